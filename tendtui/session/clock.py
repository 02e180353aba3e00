"""The only place that asks the machine for the time."""

from __future__ import annotations

import os
from datetime import datetime

from tendtui.errors import CallError
from tendtui.value import value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol
else:
    Protocol = object

__all__ = ["Clock", "FixedClock", "MachineClock", "clock_of_the_machine", "read_time"]


class Clock(Protocol):
    """Something that tells the time, always with an offset."""

    def now(self) -> datetime:
        """Give the time."""


class MachineClock:
    """The machine's own clock, in its own zone, to the second."""

    def now(self) -> datetime:
        """Give the time."""
        return datetime.now().astimezone().replace(microsecond=0)  # noqa: TID251 - the one place


@value_class(kw_only=False)
class FixedClock:
    """A clock that stands still: tests, and catching up a paper log."""

    at: datetime

    def now(self) -> datetime:
        """Give the time."""
        return self.at


def clock_of_the_machine() -> Clock:
    """Give the machine's clock, or the one that `TENDTUI_NOW` names.

    Raises:
        CallError: If `TENDTUI_NOW` is not a time.
    """
    named = os.environ.get("TENDTUI_NOW")
    if not named:
        return MachineClock()
    return FixedClock(read_time(named, called="TENDTUI_NOW"))


def read_time(text: str, *, called: str) -> datetime:
    """Read an ISO 8601 time; without an offset it is local.

    Args:
        text: The time as typed.
        called: What the reader knows it as, for the error.

    Raises:
        CallError: If it is not a time.
    """
    try:
        at = datetime.fromisoformat(text.strip())
        return at if at.tzinfo is not None else at.astimezone()
    except (ValueError, OverflowError):
        raise CallError(
            _("{called}: {text!r} is not a time").format(called=called, text=text[:40]),
            _("Write it like 2026-11-25T08:10 or 2026-11-25T08:10:00+00:00."),
        ) from None
