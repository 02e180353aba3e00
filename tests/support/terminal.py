"""A terminal for tests: a pseudo-terminal with a program in it, and a screen that shows what it drew."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

import pyte

__all__ = ["Window", "window"]


class Window:
    """One program in one terminal."""

    def __init__(self, pid: int, fd: int, columns: int, rows: int) -> None:
        self.pid, self.fd = pid, fd
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.received = 0
        self.raw = b""
        self.status: int | None = None

    @property
    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display)

    def read(self, for_s: float = 0.05) -> int:
        """Take what comes within a time; give how many bytes came."""
        before, until = self.received, time.monotonic() + for_s
        while (left := until - time.monotonic()) > 0:
            if not select.select([self.fd], [], [], left)[0]:
                break
            try:
                data = os.read(self.fd, 65536)
            except OSError:
                break
            if not data:
                break
            self.received += len(data)
            self.raw += data
            self._stream.feed(_plain_for_pyte(data))
        return self.received - before

    def sees(self, *words: str, within_s: float = 15.0) -> None:
        """Wait until all words stand on the screen."""
        until = time.monotonic() + within_s
        while not all(word in self.text for word in words):
            if time.monotonic() > until:
                raise AssertionError(f"{words} not in the window:\n{self.text}")
            self.read()

    def quiet(self, for_s: float = 0.3) -> int:
        """Read until nothing has come for a while; give how many bytes came."""
        count = 0
        while came := self.read(for_s):
            count += came
        return count

    def type(self, keys: str) -> None:
        os.write(self.fd, keys.encode())

    def end(self, signum: int) -> None:
        os.kill(self.pid, signum)

    def close(self) -> None:
        """Close the terminal, as a window manager or a dropped link does."""
        os.close(self.fd)
        self.fd = -1

    def ended(self, within_s: float, *, reading: bool = True) -> bool:
        """Say whether the program ends in time; its exit status is kept."""
        until = time.monotonic() + within_s
        while time.monotonic() < until:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.status = os.waitstatus_to_exitcode(status)
                return True
            if reading and self.fd >= 0:
                self.read(0.02)
            else:
                time.sleep(0.02)
        return False

    def modes(self) -> tuple[bool, bool]:
        """Say whether the terminal echoes and edits lines, as a shell expects it."""
        local = termios.tcgetattr(self.fd)[3]
        return bool(local & termios.ECHO), bool(local & termios.ICANON)


def _plain_for_pyte(data: bytes) -> bytes:
    """Leave out what the screen doesn't know and would print: the keyboard protocol's questions."""
    for strange in (b"\x1b[>25u", b"\x1b[<u", b"\x1b[?2026$p", b"\x1b[?2048$p", b"\x1b]22;default\x07"):
        data = data.replace(strange, b"")
    return data


@contextmanager
def window(
    command: Sequence[str],
    *,
    columns: int = 80,
    rows: int = 24,
    environment: Mapping[str, str] | None = None,
    folder: str | None = None,
) -> Iterator[Window]:
    """Open a program in a terminal; whatever happens, it is gone afterwards."""
    kept = ("PATH", "HOME", "VIRTUAL_ENV", "PYTHONPATH", "TMPDIR")
    wanted = {name: os.environ[name] for name in kept if name in os.environ}
    wanted |= {"TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONUTF8": "1", **(environment or {})}
    pid, fd = pty.fork()
    if pid == 0:
        if folder is not None:
            os.chdir(folder)
        os.execvpe(command[0], list(command), wanted)
    fcntl.ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    at = Window(pid, fd, columns, rows)
    try:
        yield at
    finally:
        if at.status is None:
            with contextlib.suppress(ProcessLookupError, ChildProcessError):
                os.kill(pid, signal.SIGKILL)
                os.waitpid(pid, 0)
        if at.fd >= 0:
            os.close(at.fd)
