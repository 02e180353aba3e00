"""A first fill that ended without a rack that holds water: said until it was walked to a good end."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.event import Change, Event, Note

__all__ = ["FILLED", "FIRST_FILL", "NOT_FILLED", "not_filled"]

FIRST_FILL = "first fill"
"""The reason under which the log keeps the water of it."""

NOT_FILLED = "not-filled"
"""What the diary's note is about where the first fill ended before the rack was fit for feed."""

FILLED = "filled"
"""The same, where it ended well."""


def not_filled(events: Iterable[Event]) -> Note | None:
    """Give the note of the first fill that is still to be walked; None: there is none.

    Args:
        events: Effective events, in time order.
    """
    found: Note | None = None
    for event in events:
        match event:
            case Note(about="not-filled"):
                found = event
            case Note(about="filled"):
                found = None
            case Change(reason=reason) if reason != FIRST_FILL:
                found = None
            case _:
                pass
    return found
