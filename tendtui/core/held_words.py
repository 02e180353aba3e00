"""What waits for the grower, said to whoever may not do it: as the grower's step, never as an order."""

from __future__ import annotations

from tendtui.core.dose_guard import pourers
from tendtui.core.rack import Rack
from tendtui.words import _

__all__ = ["for_grower"]

_MOST_NAMED = 2
"""Growers named; of more, any will do."""


def for_grower(what: str, rack: Rack, *, change: bool) -> str:
    """Say whose step it is, and to leave it alone.

    Args:
        what: The step, in words.
        rack: Who is who.
        change: Whether the water is to be changed; else it is something from a bottle.
    """
    names = pourers(rack)
    who = _(" or ").join(names) if 0 < len(names) <= _MOST_NAMED else _("the grower")
    said = (
        _("For {who}, not for you: {what}. Leave the water as it is.")
        if change
        else _("For {who}, not for you: {what}. Leave the bottles shut.")
    )
    return said.format(who=who, what=what)
