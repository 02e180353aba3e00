"""One writer at a time, and one screen at a time, by `flock`.

The lock is the kernel's, not the file: a file left behind by a crash holds nothing. What stands in
the file tells those who wait who holds it. Readers never lock.
"""

from __future__ import annotations

import errno
import fcntl
import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from tendtui.errors import HeldError, StateError
from tendtui.store.atomic import DRAFT_SUFFIX, list_folder, make_folder, read_file
from tendtui.store.disk import current
from tendtui.store.folder import Folder
from tendtui.value import field, value_class
from tendtui.words import _

__all__ = ["Claim", "Holder", "claim", "holder", "terminal_name", "write_lock"]

_POLL_S = 0.01
_CLAIM_PATIENCE_S = 0.3
"""A look at the claim holds it for an instant; that must not turn a screen away. [s]"""


@value_class
class Holder:
    """Who holds the folder, as far as it is known."""

    who: str = ""
    since: datetime | None = None
    where: str = ""
    process: int = 0

    def __str__(self) -> str:
        parts = [self.who or _("another tendtui")]
        if self.since is not None:
            parts.append(_("since {time}").format(time=f"{self.since:%Y-%m-%d %H:%M}"))
        if self.where:
            parts.append(_("at {place}").format(place=self.where))
        return ", ".join(parts)


@value_class(frozen=False, kw_only=False)
class _Held:
    mutex: threading.RLock = field(default_factory=threading.RLock)
    depth: int = 0
    fd: int = -1


_held: dict[str, _Held] = {}
_guard = threading.Lock()


@contextmanager
def write_lock(folder: Folder, *, wait_s: float = 10.0, who: str = "") -> Iterator[None]:
    """Hold the folder for writing; may be taken again inside itself.

    Drafts that a killed writer left are removed on the way in.

    Args:
        folder: The state folder; made if missing.
        wait_s: How long to wait for another writer. [s]
        who: The person, for those who wait meanwhile.

    Raises:
        HeldError: If another still holds it after `wait_s`.
        StateError: If the folder can't be written.
    """
    ours = _ours(folder.lock)
    ends = time.monotonic() + wait_s
    if not ours.mutex.acquire(timeout=wait_s):
        raise _held_error(_read_holder(folder.lock))
    try:
        if ours.depth == 0:
            make_folder(folder.path)
            ours.fd = _take(folder.lock, ends)
            _sign(ours.fd, who)
            _sweep(folder)
        ours.depth += 1
        try:
            yield
        finally:
            ours.depth -= 1
            if ours.depth == 0:
                os.close(ours.fd)  # closing lets go
    finally:
        ours.mutex.release()


@value_class(frozen=False, kw_only=False)
class Claim:
    """A screen's hold on the folder, until `release` or the end of the process."""

    fd: int

    def release(self) -> None:
        """Let go; a second call does nothing."""
        if self.fd >= 0:
            os.close(self.fd)
            self.fd = -1


def claim(folder: Folder, *, who: str = "") -> Claim:
    """Take the folder for a screen; writers without a screen are not stopped by it.

    Raises:
        HeldError: If another screen has it; it names who, since when and where.
        StateError: If the folder can't be written.
    """
    make_folder(folder.path)
    fd = _take(folder.claim, time.monotonic() + _CLAIM_PATIENCE_S)
    _sign(fd, who)
    return Claim(fd)


def holder(folder: Folder) -> Holder | None:
    """Tell which screen has the folder, or None; changes and waits for nothing."""
    try:
        fd = os.open(folder.claim, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError:
        return None
    try:
        fcntl.flock(fd, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except OSError as fault:
        return _read_holder(folder.claim) if fault.errno in (errno.EWOULDBLOCK, errno.EAGAIN) else None
    else:
        return None
    finally:
        os.close(fd)


def terminal_name() -> str:
    """Name the place where this process is seen: machine, terminal, and the multiplexer's pane."""
    tty = ""
    for stream in (0, 1, 2):
        with suppress(OSError):
            tty = os.ttyname(stream).removeprefix("/dev/")
            break
    pane = os.environ.get("TMUX_PANE", "")
    window = os.environ.get("STY", "")
    inside = f"tmux {pane}" if pane else f"screen {window}" if window else ""
    return " ".join(part for part in (os.uname().nodename, tty, inside) if part)


def _ours(path: Path) -> _Held:
    with _guard:
        return _held.setdefault(os.path.realpath(path), _Held())


def _take(path: Path, ends: float) -> int:
    try:
        fd = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC, 0o600)
    except OSError as fault:
        raise _no_lock(path, fault) from fault
    try:
        while not _try_lock(path, fd):
            _still_time(path, ends)
            time.sleep(_POLL_S)
    except BaseException:
        os.close(fd)
        raise
    return fd


def _try_lock(path: Path, fd: int) -> bool:
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as fault:
        if fault.errno in (errno.EWOULDBLOCK, errno.EAGAIN):
            return False
        raise _no_lock(path, fault) from fault
    return True


def _still_time(path: Path, ends: float) -> None:
    if time.monotonic() >= ends:
        raise _held_error(_read_holder(path))


def _sign(fd: int, who: str) -> None:
    """Leave word of who holds it; the file's own time says since when.

    That this can fail (a full disk) is no reason not to hold the lock.
    """
    words = "\n".join((who.replace("\n", " "), str(os.getpid()), terminal_name(), ""))
    with suppress(OSError):
        os.ftruncate(fd, 0)
        os.pwrite(fd, words.encode("utf-8", "replace"), 0)


def _read_holder(path: Path) -> Holder:
    try:
        since = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
        lines = (read_file(path) or b"")[:4096].decode("utf-8", "replace").split("\n")
    except (OSError, StateError):
        return Holder()
    lines += [""] * 3
    process = int(lines[1]) if lines[1].isascii() and lines[1].isdigit() else 0
    return Holder(who=_plain(lines[0]), since=since, where=_plain(lines[2]), process=process)


def _plain(words: str) -> str:
    return "".join(c for c in words[:80] if c.isprintable())


def _sweep(folder: Folder) -> None:
    """Clear away drafts that a stopped writer left, also where a stopped restore was keeping files."""
    kept = [path / inner for path in _listed(folder.path, "kept-") for inner in ("", "log")]
    for place in (folder.path, folder.log_dir, *kept):
        for left in _listed(place, "."):
            if left.name.endswith(DRAFT_SUFFIX):
                with suppress(OSError):
                    current().remove(left)


def _listed(place: Path, start: str) -> list[Path]:
    try:
        return [place / entry.name for entry in list_folder(place) if entry.name.startswith(start)]
    except StateError:
        return []


def _held_error(by: Holder) -> HeldError:
    return HeldError(
        _("the folder is in use ({holder})").format(holder=by),
        _("Wait until it is done there, or close it, then try again."),
    )


def _no_lock(path: Path, fault: OSError) -> StateError:
    if fault.errno in (errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS):
        return StateError(
            _("the disk it is on can't lock files, so two programs could spoil each other's work"),
            _("Move the folder to another disk and name it with --state DIR."),
            file=str(path),
        )
    return StateError(
        _("the folder can't be written ({why})").format(why=fault.strerror or type(fault).__name__),
        _("Give yourself the right to write there. Nothing was changed."),
        file=str(path),
    )
