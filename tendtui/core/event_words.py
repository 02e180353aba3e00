"""What an event of the diary says in one line; every fact of it stands in `tendtui.core.event_facts`."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.dose_side import is_leaving
from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.core.figure import part_words
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import show_amount, show_value
from tendtui.words import _, n_

__all__ = ["KINDS", "event_line", "kind_words"]

KINDS: tuple[type[Event], ...] = (Reading, Poured, Change, TaskDone, Note, Plants, Renewed)
"""The kinds in the order in which a filter goes through them."""

_MEASURED = (
    ("level_l", Quantity.LEVEL),
    ("conductivity_ms_cm", Quantity.CONDUCTIVITY),
    ("ph", Quantity.PH),
    ("temperature_c", Quantity.TEMPERATURE),
    ("alkalinity_meq_l", Quantity.ALKALINITY),
)


def kind_words(kind: type[Event]) -> str:
    """Give the name of a kind of event, as the diary's filter says it."""
    return {
        Reading: _("readings"),
        Poured: _("poured"),
        Change: _("changes"),
        TaskDone: _("tasks"),
        Note: _("notes"),
        Plants: _("plants"),
        Renewed: _("new bottles and meters"),
    }.get(kind, _("other"))


def event_line(event: Event, show: Show, tasks: Mapping[str, str]) -> str:
    """Say an event in one line, its day and person left out.

    Args:
        event: The event.
        show: The person's units.
        tasks: Task id -> what is done, in words.
    """
    match event:
        case Reading():
            return _reading_line(event, show)
        case Poured():
            return _poured_line(event)
        case Change():
            litres = "" if event.litres is None else show_value(event.litres, Quantity.LEVEL, show)
            return _joined(_("solution changed"), litres, event.reason)
        case TaskDone():
            done = f"{tasks.get(event.task, event.task)}: {_outcome_words(event.outcome)}"
            return _joined(f"[!] {done}" if event.outcome == "found" else done, event.text)
        case Note():
            return _note_line(event)
        case Plants():
            return _joined(f"{event.act} {event.count} {event.crop}", event.tier, event.stage)
        case Renewed():
            return _("new: {what}").format(what=part_words(event.what))
        case _:
            return type(event).__name__


def _note_line(event: Note) -> str:
    match event.about:
        case "held-dose" | "held-change":
            return _("held for the grower: {text}").format(text=event.text)
        case "change-put-off":
            return event.text or _("change day put off")
        case about if about.startswith("figure-"):
            return event.text
        case about:
            return _joined(_("note: {text}").format(text=event.text), about)


def _outcome_words(outcome: str) -> str:
    return {
        "good": _("good"),
        "found": _("something was found"),
        "could-not": _("could not be done"),
        "closed": _("settled"),
    }.get(outcome, outcome)


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _reading_line(event: Reading, show: Show) -> str:
    measured = [
        show_value(value, quantity, show)
        for name, quantity in _MEASURED
        if (value := getattr(event, name)) is not None
    ]
    if is_leaving(event):
        many = len(event.looks) + len(event.not_done)
        return _joined(_("before leaving"), n_("{n} look", "{n} looks", many).format(n=many))
    flows = [f"{tier} {show_value(flow, Quantity.FLOW, show)}" for tier, flow in event.flow_l_min.items()]
    looks = [n_("{n} look", "{n} looks", len(event.looks)).format(n=len(event.looks))] if event.looks else []
    open_ones = [_("{n} not done").format(n=len(event.not_done))] if event.not_done else []
    side = [_("after the dose")] if event.source == "dose" else []
    said = _joined(*measured, *flows, *looks, *open_ones, *side)
    return f"[!] {said}" if event.unsure else said or _("reading")


def _poured_line(event: Poured) -> str:
    amount = _amount(event)
    match event.what:
        case "water":
            line = _("water added: {amount}").format(amount=amount)
        case "drained":
            line = _("drained: {amount}").format(amount=amount)
        case what:
            line = _("poured {what}: {amount}").format(what=what, amount=amount)
    if event.planned is not None and event.planned not in (event.ml, event.g, event.litres):
        line += " " + _("(asked for {planned})").format(planned=show_amount(event.planned))
    return f"[!] {line}" if event.doubt else line


def _amount(event: Poured) -> str:
    many = 1 if 1.0 in (event.ml, event.g, event.litres) else 2
    for value, unit in (
        (event.ml, n_("millilitre", "millilitres", many)),
        (event.g, n_("gram", "grams", many)),
        (event.litres, n_("litre", "litres", many)),
    ):
        if value is not None:
            return f"{show_amount(value)} {unit}"
    return ""
