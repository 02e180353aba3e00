"""The guard before any pour: who poured what today, by name and time, as the diary knows it."""

from __future__ import annotations

from datetime import date, datetime, tzinfo

from tendtui.core.event import Event, Poured
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import clock, show_value
from tendtui.words import _

__all__ = ["poured_on", "poured_today"]


def poured_today(events: tuple[Event, ...], now: datetime, rack: Rack) -> tuple[str, ...]:
    """Say who poured what today, by name and time."""
    said = poured_on(now.date(), events, rack, zone=now.tzinfo)
    if not said:
        return (_("Nothing was poured today, as far as the diary knows."),)
    return (_("Poured today: {said}. What follows comes on top of it.").format(said=said),)


def poured_on(day: date, events: tuple[Event, ...], rack: Rack, *, zone: tzinfo | None) -> str:
    """Give who poured what on a day, in words; empty: nobody did, as far as the diary knows."""
    pours = (
        event
        for event in events
        if isinstance(event, Poured) and event.at.astimezone(zone).date() == day and _went_in(event)
    )
    return "; ".join(
        _("{who} {clock} {amount} {what}").format(
            who=event.by or _("somebody"),
            clock=clock(event.at.astimezone(zone)),
            amount=_poured_amount(event, rack),
            what=_("water")
            if event.what == "water"
            else _("drained")
            if event.what == "drained"
            else event.what,
        )
        for event in pours
    )


def _went_in(event: Poured) -> bool:
    return bool(event.ml or event.g or event.litres)


def _poured_amount(event: Poured, rack: Rack) -> str:
    if event.ml is not None:
        return show_value(event.ml, Quantity.LIQUID, rack.show)
    if event.g is not None:
        return show_value(event.g, Quantity.POWDER, rack.show)
    return show_value(event.litres or 0.0, Quantity.VOLUME, rack.show)
