"""Running a piece of a test in a child that may be killed."""

from __future__ import annotations

import os
import signal
import traceback
import warnings
from collections.abc import Callable

__all__ = ["DONE", "KILLED", "child"]

DONE = 0
KILLED = -signal.SIGKILL


def child(work: Callable[[], object], *, seconds: int = 20) -> int:
    """Run `work` in a forked child and give how it ended: 0 done, 1 raised, -9 killed, -14 took too long."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        number = os.fork()
    if number == 0:
        _run(work, seconds)
    _number, status = os.waitpid(number, 0)
    return os.waitstatus_to_exitcode(status)


def _run(work: Callable[[], object], seconds: int) -> None:
    signal.alarm(seconds)
    status = 1
    try:
        work()
        status = 0
    except BaseException:  # noqa: BLE001 - the parent only sees the exit status, so the child tells the rest
        traceback.print_exc()
    finally:
        os._exit(status)
