"""A correction: the event that replaces a mistaken one."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.entry import read_number, read_text
from tendtui.core.event import Change, Event, Note, Poured, Reading, TaskDone
from tendtui.core.judge import beyond_belief, cannot_be
from tendtui.core.pour_doubt import pour_doubt
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.errors import RefusedError
from tendtui.value import replace
from tendtui.words import _

__all__ = ["READING_FIELDS", "correctable", "corrected"]

SURE = "!"
"""Typed after a value that is hard to believe, and so all the same."""

READING_FIELDS: Mapping[str, tuple[str, Quantity]] = {
    "level": ("level_l", Quantity.LEVEL),
    "conductivity": ("conductivity_ms_cm", Quantity.CONDUCTIVITY),
    "ph": ("ph", Quantity.PH),
    "temperature": ("temperature_c", Quantity.TEMPERATURE),
    "alkalinity": ("alkalinity_meq_l", Quantity.ALKALINITY),
}
"""What people call a value of a reading -> its field and kind."""


def correctable(event: Event) -> tuple[str, ...]:
    """Give the names of what can be corrected in an event, in the order they are shown."""
    match event:
        case Reading():
            named = [
                name for name, (field, _q) in READING_FIELDS.items() if getattr(event, field) is not None
            ]
            return (*named, *(f"flow.{tier}" for tier in event.flow_l_min))
        case Poured():
            return ("amount",)
        case Change():
            return ("litres",)
        case Note() | TaskDone():
            return ("text",)
        case _:
            return ()


def corrected(event: Event, changes: Mapping[str, str], *, rack: Rack, by: str) -> Event:
    """Make the event that replaces `event`, its id and seq still to be given.

    Args:
        event: The mistaken one; its time is kept.
        changes: What is corrected -> what was typed.
        rack: For the units people use.
        by: Who corrects it.

    Raises:
        RefusedError: If a name doesn't belong to this event, a value can't be read, or it is hard to believe
            and has no `!` after it.
    """
    new = replace(event, id="", seq=0, by=by or event.by, replaces=event.id)
    for name, typed in changes.items():
        sure = typed.rstrip().endswith(SURE)
        new = _with(new, name, typed.rstrip().removesuffix(SURE) if sure else typed, rack)
        why = _hard_to_believe(new, name, rack)
        if why and not sure:
            raise RefusedError(why.removesuffix("."), _("If it is so, type it once more with ! after it."))
    return new


def _hard_to_believe(event: Event, name: str, rack: Rack) -> str:
    """Say why a value can't be, or hardly is, so; an empty text: it may be."""
    if isinstance(event, Poured):
        return pour_doubt(event, rack)
    if not isinstance(event, Reading):
        return ""
    if name.startswith("flow."):
        quantity, value = Quantity.FLOW, event.flow_l_min.get(name.removeprefix("flow."))
    else:
        field, quantity = READING_FIELDS[name]
        value = getattr(event, field)
    if value is None:
        return ""
    reservoir = rack.reservoir
    return cannot_be(value, quantity=quantity, reservoir=reservoir, show=rack.show) or beyond_belief(
        value, quantity=quantity, reservoir=reservoir, show=rack.show
    )


def _with(event: Event, name: str, typed: str, rack: Rack) -> Event:
    match event:
        case Reading() if name in READING_FIELDS:
            field, quantity = READING_FIELDS[name]
            value = read_number(typed, quantity=quantity, show=rack.show, meter=rack.meter)
            return _measured(replace(event, doubt=_without(event.doubt, name)), field, value)
        case Reading() if name.startswith("flow."):
            flow = read_number(typed, quantity=Quantity.FLOW, show=rack.show, meter=rack.meter)
            flows = {**event.flow_l_min, name.removeprefix("flow."): flow}
            return replace(event, flow_l_min=flows, doubt=_without(event.doubt, name))
        case Poured() if name == "amount":
            return _poured(event, typed, rack)
        case Change() if name == "litres":
            litres = read_number(typed, quantity=Quantity.VOLUME, show=rack.show, meter=rack.meter)
            return replace(event, litres=litres)
        case Note() | TaskDone() if name == "text":
            return replace(event, text=read_text(typed))
        case _:
            known = ", ".join(correctable(event)) or _("nothing")
            raise RefusedError(
                _("{name} isn't part of this entry").format(name=name),
                _("What can be corrected: {known}.").format(known=known),
            )


def _measured(event: Reading, field: str, value: float) -> Reading:
    match field:
        case "level_l":
            return replace(event, level_l=value)
        case "conductivity_ms_cm":
            return replace(event, conductivity_ms_cm=value)
        case "ph":
            return replace(event, ph=value)
        case "temperature_c":
            return replace(event, temperature_c=value)
        case _:
            return replace(event, alkalinity_meq_l=value)


def _poured(event: Poured, typed: str, rack: Rack) -> Poured:
    if event.litres is not None:
        return replace(
            event, litres=read_number(typed, quantity=Quantity.VOLUME, show=rack.show, meter=rack.meter)
        )
    if event.g is not None:
        return replace(
            event, g=read_number(typed, quantity=Quantity.POWDER, show=rack.show, meter=rack.meter)
        )
    return replace(event, ml=read_number(typed, quantity=Quantity.LIQUID, show=rack.show, meter=rack.meter))


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    return tuple(other for other in names if other != name)
