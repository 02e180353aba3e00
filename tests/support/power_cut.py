"""What a disk may hold after the power fails, from the operations that were asked of it.

The model is stricter than any file system in use: of the names changed since their folder was last
synced any part may have reached the medium, in any order; a file not synced may hold nothing,
zeros, its first half or all of it. What was synced holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, product
from pathlib import Path

from tendtui.value import field, value_class
from tests.support.faulty_disk import Op

__all__ = ["Image", "images"]

Image = frozenset[tuple[str, bytes]]
"""File name under the folder -> its content."""


@value_class(frozen=False, kw_only=False)
class _Inode:
    written: bytes = b""
    synced: bool = False

    def may_hold(self) -> tuple[bytes, ...]:
        if self.synced:
            return (self.written,)
        half = self.written[: len(self.written) // 2]
        return (b"", b"\0" * len(self.written), half, self.written)


Names = dict[Path, _Inode]
Step = tuple[Path, _Inode | None, Path | None]
"""A name, what it shall stand for (None: nothing), and the name that goes away with it."""


@value_class(frozen=False, kw_only=False)
class _Disk:
    durable: Names
    now: Names = field(default_factory=dict)
    pending: list[Step] = field(default_factory=list)

    def do(self, op: Op) -> None:
        match op.kind:
            case "create":
                inode = self.now.get(op.path)
                if inode is None:
                    inode = _Inode()
                    self._step((op.path, inode, None))
                inode.written, inode.synced = b"", False
            case "write":
                self.now[op.path].written += op.data
            case "sync":
                self.now[op.path].synced = True
            case "rename":
                assert op.other is not None
                self._step((op.other, self.now[op.path], op.path))
            case "remove" if op.path in self.now:
                self._step((op.path, None, None))
            case "sync_folder":
                for step in [s for s in self.pending if s[0].parent == op.path]:
                    _apply(self.durable, step)
                    self.pending.remove(step)

    def _step(self, step: Step) -> None:
        _apply(self.now, step)
        self.pending.append(step)


def images(before: dict[Path, bytes], ops: Sequence[Op]) -> Iterator[tuple[int, Image]]:
    """Give every image that may be left, each once, with how many operations were begun by then."""
    names = {path: _Inode(data, synced=True) for path, data in before.items()}
    disk = _Disk(durable=dict(names), now=names)
    seen: set[tuple[int, Image]] = set()
    for count in range(len(ops) + 1):
        for image in _images_of(disk):
            if (count, image) not in seen:
                seen.add((count, image))
                yield count, image
        if count < len(ops):
            disk.do(ops[count])


def _images_of(disk: _Disk) -> Iterator[Image]:
    for many in range(len(disk.pending) + 1):
        for steps in combinations(disk.pending, many):
            names = dict(disk.durable)
            for step in steps:
                _apply(names, step)
            contents = [inode.may_hold() for inode in names.values()]
            for chosen in product(*contents):
                yield frozenset((str(path), data) for path, data in zip(names, chosen, strict=True))


def _apply(names: Names, step: Step) -> None:
    name, inode, gone = step
    if inode is None:
        names.pop(name, None)
    else:
        names[name] = inode
    if gone is not None:
        names.pop(gone, None)
