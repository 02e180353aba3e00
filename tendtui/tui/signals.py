"""Ending in time when the link, the terminal or the system says so.

A hang-up runs nothing of ours by itself, and on a stalled link the event loop stands still inside a write,
so its own signal handlers never fire. Hence plain handlers and a thread: it asks the program to leave; where
that doesn't happen it waits for a save under way, sets the terminal right without waiting for it, and ends
the process. What was confirmed is on disk by then, since every answer was saved before it was shown.
"""

from __future__ import annotations

import contextlib
import os
import select
import signal
import sys
import termios
import threading
import time
from types import FrameType, TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tendtui.tui.app import TendApp

__all__ = ["Watch"]

_POLITE_S = 1.2
"""How long the program may take to leave by itself."""
_SAVING_S = 1.3
"""How much longer a save under way is waited for."""
_SANE = b"\x1b[?2004l\x1b[?7h\x1b[<u\x1b[?1049l\x1b[?25h\x1b[?1004l\x1b[0m"
_SIGNALS = (signal.SIGHUP, signal.SIGTERM, signal.SIGINT)


class Watch:
    """Holds while the screens are open; afterwards everything is as it was."""

    def __init__(self, app: TendApp) -> None:
        self._app = app
        self._ended = threading.Event()
        self._asked = threading.Event()
        self._before: dict[int, object] = {}
        self._terminal = _attributes()
        self.signum: int | None = None

    def __enter__(self) -> Watch:
        """Install the handlers and watch for a closed terminal."""
        for signum in _SIGNALS:
            self._before[signum] = signal.signal(signum, self._handle)
        threading.Thread(target=self._wait_for_hang_up, name="tendtui-hang-up", daemon=True).start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        """Put the old handlers back."""
        self._ended.set()
        for signum, handler in self._before.items():
            signal.signal(signum, handler)  # type: ignore[arg-type]  # what `signal` gave, it takes back

    def _handle(self, signum: int, _frame: FrameType | None) -> None:
        self.end(signum)

    def end(self, signum: int) -> None:
        """End the program as if this signal had come; a second one changes nothing."""
        if self._asked.is_set():
            return
        self._asked.set()
        self.signum = signum
        threading.Thread(target=self._see_to_it, args=(signum,), name="tendtui-end", daemon=True).start()

    def _see_to_it(self, signum: int) -> None:
        self._app.leave_from_thread()
        if self._ended.wait(_POLITE_S):
            return
        until = time.monotonic() + _SAVING_S
        while self._app.saving.locked() and time.monotonic() < until and not self._ended.wait(0.02):
            pass
        if self._ended.is_set():
            return
        _set_right(self._terminal)
        os._exit(128 + signum)

    def _wait_for_hang_up(self) -> None:
        """Sleep until the terminal is gone: some ways of closing it send no signal."""
        watch = select.poll()
        with contextlib.suppress(OSError, ValueError):
            watch.register(0, 0)
            while not self._ended.is_set():
                for _fd, event in watch.poll():
                    if event & select.POLLHUP:
                        self.end(signal.SIGHUP)
                    return


def _attributes() -> list[object] | None:
    try:
        return termios.tcgetattr(0)
    except (termios.error, OSError):
        return None


def _set_right(attributes: list[object] | None) -> None:
    """Set the terminal right without waiting for it: a stalled link would hold us for ever."""
    output = sys.__stderr__.fileno() if sys.__stderr__ is not None else 2
    with contextlib.suppress(OSError):
        os.set_blocking(output, False)
        try:
            os.write(output, _SANE)
        finally:
            os.set_blocking(output, True)
    if attributes is not None:
        with contextlib.suppress(termios.error, OSError):
            termios.tcflush(0, termios.TCIFLUSH)
            termios.tcsetattr(0, termios.TCSANOW, attributes)  # type: ignore[arg-type]  # as tcgetattr gave them
