"""A rack laid up between two seasons: since when, and what is asked for all the same."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tendtui.core.due import TaskDue
from tendtui.core.event import Change, Event, Note
from tendtui.value import replace
from tendtui.words import _

__all__ = ["ENDED", "STARTED", "laid_up_since", "resting"]

ENDED, STARTED = "season-end", "season-start"
"""What the notes of the two walks are called."""


def laid_up_since(events: Sequence[Event], now: datetime) -> datetime | None:
    """Give when the season ended; None: the rack runs.

    Starting again ends it, and so does a first fill by whatever way it was logged.

    Args:
        events: Effective events, in time order.
        now: The moment asked about.
    """
    for event in reversed(events):
        if event.at > now:
            continue
        if isinstance(event, Change) or (isinstance(event, Note) and event.about == STARTED):
            return None
        if isinstance(event, Note) and event.about == ENDED:
            return event.at
    return None


def resting(due: TaskDue, *, is_laid_up: bool) -> TaskDue:
    """Let a task rest while there is nothing to look at: most while laid up, a few while the rack runs."""
    asked = due.task.laid_up if is_laid_up else "" if due.task.laid_up == "only" else "too"
    if asked or due.task.silenced:
        return due
    because = _("rests while the rack is laid up") if is_laid_up else _("only while the rack is laid up")
    return replace(due, due=None, is_due=False, because=because, score=0.0)
