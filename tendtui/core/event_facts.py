"""Everything an event of the diary holds, named and said in the words of the round."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.core.event import Event
from tendtui.core.looks import NOT_LOOKED, RoundWords, answer_seen, name_of
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.reason import reasons
from tendtui.core.show import quantity_name, show_amount, show_number, show_value
from tendtui.value import fields, value_class
from tendtui.words import _, n_

__all__ = ["FactWords", "event_facts", "part_name"]

_MEASURED: Mapping[str, tuple[str, Quantity]] = {
    "level_l": ("level", Quantity.LEVEL),
    "conductivity_ms_cm": ("conductivity", Quantity.CONDUCTIVITY),
    "ph": ("ph", Quantity.PH),
    "temperature_c": ("temperature", Quantity.TEMPERATURE),
    "alkalinity_meq_l": ("alkalinity", Quantity.ALKALINITY),
}
"""Field of a reading -> the name that corrections and doubts give it, and what it measures."""
_NAMED = dict(_MEASURED.values())
_UNSAID = ("id", "seq", "at", "by", "extra")


@value_class
class FactWords:
    """The words that facts are said in."""

    show: Show
    round: RoundWords | None = None
    """The words of the round; None: keys stand as they are in the file."""
    tiers: tuple[str, ...] = ()
    tasks: Mapping[str, str] | None = None
    """Task id -> what is done."""


def event_facts(event: Event, words: FactWords) -> tuple[tuple[str, str], ...]:
    """Give everything an event holds: (name, value)."""
    told: list[tuple[str, str]] = []
    for part in fields(event):
        value = getattr(event, part.name)
        if part.name not in _UNSAID and value not in (None, "", (), {}):
            told += _facts(part.name, value, words)
    told += [(str(key), str(value)) for key, value in event.extra.items()]
    return tuple(told)


def part_name(name: str) -> str:
    """Give what people call a part that can be corrected: `ph`, `flow.Top`, `amount`."""
    family, _dot, tier = name.partition(".")
    if family == "flow" and tier:
        return _("flow at {tier}").format(tier=tier)
    if name in _NAMED:
        return quantity_name(_NAMED[name])
    return {"amount": _("amount"), "litres": n_("litre", "litres", 2), "text": _("words")}.get(name, name)


def _facts(name: str, value: object, words: FactWords) -> Iterable[tuple[str, str]]:
    """Give the facts of one part of an event."""
    if name in _MEASURED and isinstance(value, float):
        quantity = _MEASURED[name][1]
        yield quantity_name(quantity), _shown(value, quantity, words.show)
    elif isinstance(value, Mapping):
        yield from _each(name, value, words)
    elif name in ("doubt", "same", "unmixed") and isinstance(value, tuple):
        label = {"doubt": _("in doubt"), "same": _("same as last time")}.get(
            name, _("read before it was mixed")
        )
        yield label, ", ".join(_asked_name(str(key), words) for key in value)
    elif name == "replaces":
        yield _("corrects"), _("an earlier entry, which stays in the file ({id})").format(id=value)
    elif name == "task" and words.tasks:
        yield _("task"), words.tasks.get(str(value), str(value))
    elif isinstance(value, tuple):
        yield _part(name), ", ".join(str(inner) for inner in value)
    else:
        yield _part(name), _said(value)


def _each(name: str, values: Mapping[str, object], words: FactWords) -> Iterable[tuple[str, str]]:
    """Give a fact for each value of a table."""
    for key, value in values.items():
        match name:
            case "flow_l_min" if isinstance(value, float):
                yield _("flow at {tier}").format(tier=key), show_value(value, Quantity.FLOW, words.show)
            case "looks":
                yield _asked_name(key, words), _seen(key, str(value), words)
            case "not_done":
                yield _("not done: {what}").format(what=_asked_name(key, words)), _why(str(value))
            case "first":
                yield _("typed first: {what}").format(what=_asked_name(key, words)), _first(key, value, words)
            case "notes":
                yield _("note: {place}").format(place=_asked_name(key, words)), str(value)
            case _:
                yield f"{_part(name)}, {key}", _said(value)


def _asked_name(key: str, words: FactWords) -> str:
    """Name what was read or looked at, as the round does."""
    if "." not in key or key.startswith("flow."):
        return part_name(key)
    return key if words.round is None else name_of(key, words.round, tiers=words.tiers)


def _seen(key: str, word: str, words: FactWords) -> str:
    """Give what was seen, as it stood in the list of answers; words of one's own as they are."""
    if word == NOT_LOOKED:
        return _("could not look")
    seen = None if words.round is None else answer_seen(key, word, words.round)
    return word if seen is None else _(seen.text)


def _why(word: str) -> str:
    if word == NOT_LOOKED:
        return _("could not look")
    return next((reason.text for reason in reasons() if reason.word == word), word)


def _first(key: str, value: object, words: FactWords) -> str:
    if isinstance(value, float) and key in _NAMED:
        return _shown(value, _NAMED[key], words.show)
    if isinstance(value, float) and key.startswith("flow."):
        return show_value(value, Quantity.FLOW, words.show)
    return _said(value)


def _shown(value: float, quantity: Quantity, show: Show) -> str:
    """Give a measured value; the name of pH says pH already."""
    return (
        show_number(value, quantity, show) if quantity is Quantity.PH else show_value(value, quantity, show)
    )


def _part(name: str) -> str:
    """Give what people call a part of an event."""
    return {
        "source": _("written by"),
        "ml": n_("millilitre", "millilitres", 2),
        "g": n_("gram", "grams", 2),
        "litres": n_("litre", "litres", 2),
        "planned": _("asked for"),
        "typed_first": _("typed first"),
        "about": _("about"),
        "text": _("words"),
        "outcome": _("outcome"),
    }.get(name, name.replace("_", " "))


def _said(value: object) -> str:
    return show_amount(value) if isinstance(value, float) else str(value)
