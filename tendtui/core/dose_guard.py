"""Who may pour what a plan says, told without a screen: whoever asks is known first, or told that it matters.

A script gets the whole plan where nobody is named; a person who reads it may not be the one who may pour it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tendtui.core.dose_side import reads_water
from tendtui.core.event import Event, Reading
from tendtui.core.plan import Plan
from tendtui.core.rack import Rack
from tendtui.core.role import Act, Role, held_dose, held_steps, may, role_of
from tendtui.core.show import when
from tendtui.words import _

__all__ = ["asker", "bottle_lines", "held_note", "pourers"]


def pourers(rack: Rack) -> tuple[str, ...]:
    """Give the names of those who may pour from a bottle, as rack.toml lists them."""
    return tuple(
        name for name in dict.fromkeys((*rack.people, *rack.roles)) if may(role_of(rack, name), Act.FEED)
    )


def asker(by: str, events: Sequence[Event], rack: Rack) -> str:
    """Give who is to be thought of as asking: the name given, else a newcomer who was the last at the rack.

    An empty text: nobody knows. That a grower read the meters last proves nothing about who asks now.

    Args:
        by: The name given; empty: none.
        events: Effective events, in time order.
        rack: Who is who.
    """
    if by:
        return by
    last = next((e.by for e in reversed(events) if isinstance(e, Reading) and reads_water(e)), "")
    if last and not may(role_of(rack, last), Act.FEED):
        return last
    held = held_dose(events, rack)
    return "" if held is None else held.by


def bottle_lines(plan: Plan, rack: Rack, by: str) -> tuple[str, ...]:
    """Say whose the bottles are, above steps read without a name; nothing where all may pour."""
    names = pourers(rack)
    if by or not names or not held_steps(plan, Role.NEWCOMER):
        return ()
    return (
        _("Bottles are for {names} alone. Anybody else leaves them shut.").format(names=", ".join(names)),
        _("What you may do yourself: tendtui dose --by YOUR-NAME"),
        "",
    )


def held_note(events: Sequence[Event], rack: Rack, now: datetime) -> tuple[str, ...]:
    """Say that a dose is held for the grower; nothing where none is.

    Args:
        events: Effective events, in time order.
        rack: Who is who.
        now: With offset.
    """
    held = held_dose(events, rack)
    if held is None:
        return ()
    line = _("[!] Held for the grower ({who}, {when}): {what}.")
    return (line.format(who=held.by or _("somebody"), when=when(held.at, now), what=held.what), "")
