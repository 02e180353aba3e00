"""How long what went in takes to mix, and what is read of it meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from tendtui.core.event import Change, Event, Poured
from tendtui.core.not_filled import FIRST_FILL
from tendtui.core.show import clock
from tendtui.words import _

__all__ = ["MIXED_AFTER", "MIXES", "mixing_since", "still_mixing", "that_mix", "to_full_minute"]

MIXED_AFTER = timedelta(minutes=15)
"""What went in less than this ago isn't mixed: strength and pH read then are those of a streak. The wait of
every plan. Source: growers' guides, 15 to 30 minutes."""

AS_WRITTEN = timedelta(minutes=1)
"""By which times written down from a wall clock may be off."""

MIXES = ("conductivity", "ph")
"""What a meter shows of a streak where all isn't mixed yet."""


def mixing_since(events: Iterable[Event], at: datetime) -> datetime | None:
    """Give when the newest of what still mixes at a moment went in; None: all is mixed.

    What bears the same time was written down with the reading, and is no earlier than it.
    """
    newest = max((poured.at for poured in that_mix(events) if poured.at < at), default=None)
    return newest if newest is not None and at - newest < MIXED_AFTER - AS_WRITTEN else None


def that_mix(events: Iterable[Event]) -> Iterator[Poured]:
    """Give what went in and has to mix: all but the plain water of a first fill, which is the same all over.

    Args:
        events: Effective events, in time order.
    """
    is_plain = False
    for event in events:
        if isinstance(event, Change):
            is_plain = event.reason == FIRST_FILL
        elif isinstance(event, Poured) and event.what != "drained" and _is_some(event):
            is_plain = is_plain and event.what == "water"
            if not is_plain:
                yield event


def still_mixing(poured_at: datetime, at: datetime) -> str:
    """Say that something is still mixing, in the clock of the moment it is said."""
    until = to_full_minute(poured_at + MIXED_AFTER)
    return _("Something went in at {poured}, and isn't mixed before {until}.").format(
        poured=clock(poured_at.astimezone(at.tzinfo)), until=clock(until.astimezone(at.tzinfo))
    )


def to_full_minute(at: datetime) -> datetime:
    """Round a moment up: a clock on the wall shows no seconds."""
    whole = at.replace(second=0, microsecond=0)
    return whole if whole == at else whole + timedelta(minutes=1)


def _is_some(poured: Poured) -> bool:
    return bool(poured.ml or poured.g or poured.litres)
