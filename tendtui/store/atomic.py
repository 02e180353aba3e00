"""The one door through which files are read and replaced.

A file is replaced by one rename: before it the old content stands, after it the new, and never a
mixture. The draft is flushed to the medium before the rename, the folder after it.
"""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

from tendtui.errors import ChangedError, StateError
from tendtui.store.disk import current
from tendtui.words import _

__all__ = [
    "DRAFT_SUFFIX",
    "LIMIT_BYTES",
    "list_folder",
    "make_folder",
    "read_file",
    "remove_file",
    "replace_file",
    "replace_loosely",
    "unless_changed",
]

DRAFT_SUFFIX = ".draft"
LIMIT_BYTES = 8 * 1024 * 1024
"""No file of this program grows past this; a larger one is something else. [bytes]"""


def read_file(path: Path, *, limit_bytes: int = LIMIT_BYTES) -> bytes | None:
    """Read a whole file, or give None where there is none.

    Never waits: a pipe or a device in the file's place is refused, not opened for reading.

    Raises:
        StateError: If it can't be read, isn't a file, or is far too large.
    """
    try:
        fd = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    except FileNotFoundError:
        return None
    except OSError as fault:
        raise _unreadable(path, fault) from fault
    try:
        return _read_all(path, fd, limit_bytes)
    except OSError as fault:
        raise _unreadable(path, fault) from fault
    finally:
        os.close(fd)


def list_folder(path: Path) -> list[os.DirEntry[str]]:
    """Give what is in a folder, by name; a folder that isn't there is empty.

    Raises:
        StateError: If it can't be looked into.
    """
    while True:
        try:
            with os.scandir(path) as entries:
                return sorted(entries, key=lambda entry: entry.name)
        except FileNotFoundError:
            return []
        except InterruptedError:  # the one call that Python itself doesn't take up again
            continue
        except OSError as fault:
            raise StateError(
                _("the folder can't be looked into ({why})").format(why=_why(fault)),
                _("Put it back from a copy, or give yourself the right to read it."),
                file=str(path),
            ) from fault


def replace_file(path: Path, data: bytes) -> None:
    """Put `data` in the place of the file, so that a crash leaves the old or the new, whole.

    A link is followed: the file that it names is replaced.

    Raises:
        StateError: If it can't be saved; the old content stands and no draft is left.
    """
    target = _swap(path, data, synced=True)
    try:
        current().sync_folder(target.parent)
    except OSError as fault:
        raise _unwritable(path, fault) from fault


def replace_loosely(path: Path, data: bytes) -> None:
    """Put `data` in the place of the file without waiting for the medium: for what can be made again.

    Raises:
        StateError: If it can't be saved.
    """
    _swap(path, data, synced=False)


def unless_changed(path: Path, was: bytes | None, data: bytes) -> None:
    """Replace the file only if it still holds what was read; what it should hold already is fine.

    Raises:
        ChangedError: If somebody else wrote it meanwhile.
        StateError: If it can't be read or saved.
    """
    found = read_file(path)
    if found == data:
        return
    if found != was:
        raise ChangedError(
            _("it was changed by another program meanwhile"),
            _("Nothing was overwritten. Look at the file, then try again."),
            file=str(path),
        )
    replace_file(path, data)


def make_folder(path: Path) -> None:
    """Make the folder and those above it where they are missing, for the user's eyes alone.

    Raises:
        StateError: If it can't be made.
    """
    try:
        missing = [p for p in (path, *path.parents) if not p.exists()]
        for folder in reversed(missing):
            with suppress(FileExistsError):
                current().make_folder(folder)
            current().sync_folder(folder.parent)
    except OSError as fault:
        raise _unwritable(path, fault) from fault
    if not path.is_dir():
        raise StateError(_("it is not a folder"), _("Name another with --state DIR."), file=str(path))


def remove_file(path: Path) -> None:
    """Remove a file of which a copy is kept.

    Raises:
        StateError: If it can't be removed.
    """
    try:
        current().remove(path)
        current().sync_folder(path.parent)
    except OSError as fault:
        raise StateError(
            _("it can't be moved away ({why})").format(why=_why(fault)),
            _("Try again; what stood here is kept."),
            file=str(path),
        ) from fault


def _read_all(path: Path, fd: int, limit_bytes: int) -> bytes:
    about = os.fstat(fd)
    if not stat.S_ISREG(about.st_mode):
        raise StateError(
            _("something that isn't a file stands in its place"),
            _("Move it away and put the file back from a copy."),
            file=str(path),
        )
    if about.st_size > limit_bytes:
        raise StateError(
            _("it is {mb} MB large, far more than this file can need").format(mb=about.st_size // 1_000_000),
            _("Move it away and put the right file back from a copy."),
            file=str(path),
        )
    parts: list[bytes] = []
    while part := os.read(fd, 1 << 20):
        parts.append(part)
    return b"".join(parts)


def _swap(path: Path, data: bytes, *, synced: bool) -> Path:
    target = Path(os.path.realpath(path))
    draft = target.with_name(f".{target.name}{DRAFT_SUFFIX}")
    try:
        _write_draft(draft, data, synced=synced)
        current().rename(draft, target)
    except BaseException as fault:
        with suppress(OSError):
            current().remove(draft)
        if isinstance(fault, OSError):
            raise _unwritable(path, fault) from fault
        raise
    return target


def _write_draft(draft: Path, data: bytes, *, synced: bool) -> None:
    disk = current()
    fd = disk.create(draft)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[disk.write(fd, rest) :]
        if synced:
            disk.sync(fd)
    finally:
        disk.close(fd)


def _unreadable(path: Path, fault: OSError) -> StateError:
    if fault.errno in (errno.EACCES, errno.EPERM):
        return StateError(
            _("it may not be read by you"), _("Give yourself the right to read it."), file=str(path)
        )
    if fault.errno == errno.ENOTDIR:
        return StateError(
            _("something that isn't a folder stands in the way"),
            _("Name another folder with --state DIR."),
            file=str(path),
        )
    return StateError(
        _("it can't be read ({why})").format(why=_why(fault)),
        _("Look at the disk it is on."),
        file=str(path),
    )


def _unwritable(path: Path, fault: OSError) -> StateError:
    kept = _("What was saved before stands.")
    match fault.errno:
        case errno.ENOSPC | errno.EDQUOT | errno.EFBIG:
            what, do = _("it can't be saved, the disk is full"), _("Make room and try again.")
        case errno.EROFS:
            what, do = _("it can't be saved, the disk is read-only"), _("Make it writable and try again.")
        case errno.EACCES | errno.EPERM:
            what = _("it can't be saved, you may not write there")
            do = _("Give yourself the right to write there.")
        case errno.ENOENT | errno.ENOTDIR:
            what, do = _("it can't be saved, its folder is gone"), _("Bring the folder back and try again.")
        case errno.EISDIR:
            what, do = _("it can't be saved, a folder stands in its place"), _("Move the folder away.")
        case _:
            what = _("it can't be saved ({why})").format(why=_why(fault))
            do = _("Look at the disk and try again.")
    return StateError(what, f"{do} {kept}", file=str(path))


def _why(fault: OSError) -> str:
    return fault.strerror or type(fault).__name__
