"""The few operations by which this program changes a disk.

They stand apart so that a test can make each of them fail, stop short or be recorded.
"""

from __future__ import annotations

import errno
import os
import sys
from contextlib import suppress
from pathlib import Path

__all__ = ["Disk", "current", "use"]

_NO_FOLDER_SYNC = (errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS)
"""What network mounts answer that can't sync a folder; they order renames themselves."""


class Disk:
    """The operating system's own operations."""

    def create(self, path: Path) -> int:
        """Open an empty file that only the user may read, and give its descriptor."""
        flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_NOFOLLOW | os.O_CLOEXEC
        return os.open(path, flags, 0o600)

    def write(self, fd: int, data: memoryview) -> int:
        """Write some of the data and give how much it was."""
        return os.write(fd, data)

    def sync(self, fd: int) -> None:
        """Wait until the file's content is on the medium."""
        if sys.platform == "darwin":  # pragma: no cover - another system
            import fcntl

            # fsync alone leaves the data in the drive's own memory there; network mounts know only fsync
            with suppress(OSError):
                fcntl.fcntl(fd, fcntl.F_FULLFSYNC)
                return
        os.fsync(fd)

    def close(self, fd: int) -> None:
        """Close the descriptor."""
        os.close(fd)

    def rename(self, draft: Path, target: Path) -> None:
        """Put the draft in the target's place, in one step."""
        draft.replace(target)

    def remove(self, path: Path) -> None:
        """Remove a file; one that isn't there is no fault."""
        path.unlink(missing_ok=True)

    def make_folder(self, path: Path) -> None:
        """Make a folder that only the user may enter."""
        path.mkdir(mode=0o700)

    def sync_folder(self, path: Path) -> None:
        """Wait until the folder's list of names is on the medium."""
        fd = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            os.fsync(fd)
        except OSError as fault:
            if fault.errno not in _NO_FOLDER_SYNC:
                raise
        finally:
            os.close(fd)


_layer: list[Disk] = [Disk()]


def current() -> Disk:
    """Give the operations in use."""
    return _layer[-1]


def use(disk: Disk | None) -> None:
    """Put other operations in place, or `None` for the system's own again."""
    del _layer[1:]
    if disk is not None:
        _layer.append(disk)
