"""Disks that stop, fail or remember: the layer under the store for tests of what is lost."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import NoReturn

from tendtui.store.disk import Disk
from tendtui.value import field, value_class

__all__ = ["FailingDisk", "Op", "RecordingDisk", "StoppingDisk"]


@value_class(kw_only=False)
class Op:
    """One operation as it was asked for."""

    kind: str
    path: Path
    other: Path | None = None
    data: bytes = b""


@value_class(frozen=False, kw_only=False)
class RecordingDisk(Disk):
    """Does everything and remembers it in order."""

    ops: list[Op] = field(default_factory=list)
    _open: dict[int, Path] = field(default_factory=dict)

    def before(self, op: Op) -> None:
        """Take notice of an operation that is about to be done."""
        self.ops.append(op)

    def after(self, op: Op) -> None:
        """Take notice of an operation that was done."""

    def create(self, path: Path) -> int:
        op = Op("create", path)
        self.before(op)
        fd = super().create(path)
        self._open[fd] = path
        self.after(op)
        return fd

    def write(self, fd: int, data: memoryview) -> int:
        op = Op("write", self._open[fd], data=bytes(data))
        self.before(op)
        done = super().write(fd, data)
        self.after(op)
        return done

    def sync(self, fd: int) -> None:
        op = Op("sync", self._open[fd])
        self.before(op)
        super().sync(fd)
        self.after(op)

    def close(self, fd: int) -> None:
        super().close(fd)
        self._open.pop(fd)

    def rename(self, draft: Path, target: Path) -> None:
        op = Op("rename", draft, target)
        self.before(op)
        super().rename(draft, target)
        self.after(op)

    def remove(self, path: Path) -> None:
        op = Op("remove", path)
        self.before(op)
        super().remove(path)
        self.after(op)

    def make_folder(self, path: Path) -> None:
        op = Op("make_folder", path)
        self.before(op)
        super().make_folder(path)
        self.after(op)

    def sync_folder(self, path: Path) -> None:
        op = Op("sync_folder", path)
        self.before(op)
        super().sync_folder(path)
        self.after(op)


@value_class(frozen=False, kw_only=False)
class StoppingDisk(RecordingDisk):
    """Kills its own process at one operation: before it or half way through a write, or after it."""

    at: int = 0
    how: str = "half"

    def before(self, op: Op) -> None:
        if len(self.ops) == self.at:
            if self.how == "half" and op.kind == "write":
                for fd, path in self._open.items():
                    if path == op.path:
                        os.write(fd, op.data[: len(op.data) // 2])
            if self.how != "after":
                _die()
        super().before(op)

    def after(self, op: Op) -> None:
        if self.how == "after" and len(self.ops) == self.at + 1:
            _die()


@value_class(frozen=False, kw_only=False)
class FailingDisk(RecordingDisk):
    """Fails at one operation, or from there on, with an error of the system."""

    at: int = 0
    number: int = 0
    for_good: bool = False

    def before(self, op: Op) -> None:
        super().before(op)
        here = len(self.ops) - 1
        if here == self.at or (self.for_good and here > self.at and op.kind != "remove"):
            raise OSError(self.number, os.strerror(self.number), str(op.path))


def _die() -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("still alive")
