"""What the columns of somebody's table mean: by their heads, their numbers, and answers to questions."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.units import shown_unit, unit_named
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["MEANINGS", "Ask", "Column", "columns_of", "number_in", "unit_asks"]

MEANINGS = (
    "at",
    "date",
    "time",
    "level",
    "conductivity",
    "ph",
    "temperature",
    "alkalinity",
    "by",
    "note",
    "skip",
)
"""What a column can be; `flow.TIER` comes beside them."""

_QUANTITIES: Mapping[str, Quantity] = {
    "level": Quantity.LEVEL,
    "conductivity": Quantity.CONDUCTIVITY,
    "ph": Quantity.PH,
    "temperature": Quantity.TEMPERATURE,
    "alkalinity": Quantity.ALKALINITY,
}
_HEADS: Mapping[str, tuple[str, ...]] = {
    "at": ("at", "datetime", "timestamp", "date time", "date and time", "when", "zeitpunkt", "zeitstempel"),
    "date": ("date", "day", "datum", "tag"),
    "time": ("time", "clock", "hour", "uhrzeit", "zeit"),
    "level": (
        "level",
        "volume",
        "litres",
        "liters",
        "water level",
        "gallons",
        "wasserstand",
        "stand",
        "füllstand",
        "liter",
    ),
    "conductivity": (
        "conductivity",
        "ec",
        "tds",
        "ppm",
        "ec value",
        "strength",
        "leitwert",
        "leitfähigkeit",
        "lf",
        "ms",
        "us",
    ),
    "ph": ("ph", "ph value", "acidity", "ph wert"),
    "temperature": (
        "temperature",
        "temp",
        "water temp",
        "water temperature",
        "temperatur",
        "wassertemperatur",
    ),
    "alkalinity": ("alkalinity", "kh"),
    "by": ("by", "who", "name", "person", "wer"),
    "note": ("note", "notes", "comment", "comments", "remark", "notiz", "bemerkung"),
}
_OWN = ("id", "seq", "doubt", "unmixed", "same", "source")
"""Columns of our own export that say nothing new."""

_GAPS = " \u00a0\u2009\u202f'"
"""What may part thousands beside point and comma."""

_NUMBER = re.compile(rf"([-−]?\d[\d.,{_GAPS}]*)\s*(.*)")
_MICRO_FROM = 20.0
"""No solution for plants has as many mS/cm; a larger number is µS/cm or ppm."""

_FAHRENHEIT_FROM = 45.0
"""No root lives in water as warm in °C."""


@value_class
class Ask:
    """A question that only the person can answer."""

    key: str
    """For `--answer KEY=WORD`."""
    ask: str
    choices: tuple[tuple[str, str], ...]
    """Word to answer, and what it means."""


@value_class
class Column:
    """A column of the table."""

    head: str
    meaning: str
    unit: str = ""
    """As found in its head, by its numbers, or answered."""

    @property
    def quantity(self) -> Quantity | None:
        """Give what is measured in it, or None."""
        return Quantity.FLOW if self.meaning.startswith("flow.") else _QUANTITIES.get(self.meaning)


def columns_of(
    heads: Sequence[str], *, tiers: Sequence[str], answers: Mapping[str, str]
) -> tuple[tuple[Column, ...], tuple[Ask, ...]]:
    """Say what each column is, and ask where its head doesn't tell.

    Args:
        heads: The first line of the table.
        tiers: Names of the rack's tiers, for flows.
        answers: `column.HEAD` -> a meaning; `skip` leaves the column out.
    """
    columns, asks = [], []
    taken: set[str] = set()
    for head in heads:
        meaning, unit = _meaning(head, tiers)
        meaning = answers.get(f"column.{head}", meaning)
        free = [m for m in (*MEANINGS, *(f"flow.{tier}" for tier in tiers)) if m not in taken or m == "skip"]
        if meaning not in free:
            asks.append(
                Ask(
                    key=f"column.{head}",
                    ask=_("What stands in the column {head}?").format(head=head or _("without a name")),
                    choices=tuple((word, meaning_words(word)) for word in free),
                )
            )
            continue
        taken.add(meaning)
        columns.append(Column(head=head, meaning=meaning, unit=unit))
    return tuple(columns), tuple(asks)


def meaning_words(meaning: str) -> str:
    """Say what a meaning is, in words."""
    if meaning.startswith("flow."):
        return _("flow at {tier}, litres a minute").format(tier=meaning.partition(".")[2])
    return {
        "at": _("date and time together"),
        "date": _("the date"),
        "time": _("the time of day"),
        "level": _("litres in the reservoir"),
        "conductivity": _("conductivity, or ppm"),
        "ph": _("pH"),
        "temperature": _("temperature of the water"),
        "alkalinity": _("alkalinity"),
        "by": _("who did it"),
        "note": _("a note"),
        "skip": _("leave it out"),
    }[meaning]


def number_in(cell: str, *, decimal: str) -> tuple[float, str] | None:
    """Read a cell as a number and the unit written behind it; None where it is none.

    Args:
        cell: As it stands in the table.
        decimal: `.` or `,`: which one is the point; the other one groups thousands.
    """
    match = _NUMBER.fullmatch(cell.strip())
    if match is None:
        return None
    digits = "".join(c for c in match[1].replace("−", "-") if c not in _GAPS)
    other = "," if decimal == "." else "."
    if other in digits:
        thousands = re.fullmatch(rf"-?\d{{1,3}}(\{other}\d{{3}})+(\{decimal}\d+)?", digits)
        if thousands:
            digits = digits.replace(other, "")
        elif digits.count(other) == 1 and decimal not in digits:
            digits = digits.replace(
                other, decimal
            )  # the other sign is the point here, and nothing else it can be
    try:
        return float(digits.replace(decimal, ".")), match[2].strip()
    except ValueError:
        return None


def unit_asks(
    columns: Sequence[Column],
    cells: Mapping[str, Sequence[str]],
    *,
    decimal: str,
    show: Show,
    answers: Mapping[str, str],
) -> tuple[tuple[Column, ...], tuple[Ask, ...]]:
    """Give each column its unit, by its head, an answer, or the size of its numbers; ask where two fit.

    Args:
        columns: As `columns_of` gave them.
        cells: Head -> its cells.
        decimal: Which sign is the point.
        show: The person's units, for litres or gallons.
        answers: `unit.MEANING` -> a unit.
    """
    found, asks = [], []
    for column in columns:
        quantity = column.quantity
        if quantity is None or column.unit:
            found.append(column)
            continue
        answered = answers.get(f"unit.{column.meaning}", "")
        if answered != "by-size" and unit_named(answered, quantity) is None:
            answered = ""
        numbers = [n for cell in cells[column.head] if (n := number_in(cell, decimal=decimal)) is not None]
        bare = [value for value, unit in numbers if not unit]
        unit = answered or _unit_by_size(quantity, bare, show)
        if unit:
            found.append(Column(head=column.head, meaning=column.meaning, unit=unit))
        else:
            asks.append(_unit_ask(column, bare))
            found.append(column)
    return tuple(found), tuple(asks)


def _meaning(head: str, tiers: Sequence[str]) -> tuple[str, str]:
    """Give meaning and unit of a head like `EC (mS/cm)`, `temperature_C` or `flow.Top`."""
    text = head.strip()
    name, dot, tier = text.partition(".")
    if text.casefold() in _OWN or (dot and name in ("looks", "not_done", "first", "notes")):
        return "skip", ""
    if name.casefold() == "flow" and tier in tiers:
        return f"flow.{tier}", ""
    plain = re.sub(r"[\[\](){}_,;:/°-]+", " ", text.replace("/cm", "")).casefold().split()
    for cut in range(len(plain), 0, -1):
        words = " ".join(plain[:cut])
        for meaning, heads in _HEADS.items():
            if words in heads:
                return meaning, _unit_in(text, meaning)
    return "", ""


def _unit_in(head: str, meaning: str) -> str:
    quantity = _QUANTITIES.get(meaning)
    if quantity is None:
        return ""
    if meaning == "ph":
        return "pH"
    for part in _unit_parts(head):
        if part.casefold() != meaning and unit_named(part, quantity) is not None:
            return part
    return ""


def _unit_parts(head: str) -> list[str]:
    inside = re.findall(r"[\[({]([^\])}]*)[\])}]", head)
    tail = head.split("_", 1)[1] if "_" in head else ""
    whole = tail.replace("mS_cm", "mS/cm").replace("uS_cm", "uS/cm").replace("meq_L", "meq/L")
    return [part.strip() for part in (*inside, whole, *head.replace("_", " ").split()[1:]) if part.strip()]


def _unit_by_size(quantity: Quantity, bare: Sequence[float], show: Show) -> str:
    """Give the unit where only one fits; empty where two do."""
    match quantity:
        case Quantity.PH:
            return "pH"
        case Quantity.CONDUCTIVITY:
            return "mS/cm" if all(value < _MICRO_FROM for value in bare) else ""
        case Quantity.TEMPERATURE:
            if all(value < _FAHRENHEIT_FROM for value in bare):
                return "C"
            return "F" if all(value >= _FAHRENHEIT_FROM for value in bare) else ""
        case Quantity.ALKALINITY:
            return "" if bare else "mg"
        case Quantity.FLOW:
            return "L/min"
        case _:
            unit = shown_unit(quantity, show)
            return "L" if unit is None else unit.name


def _unit_ask(column: Column, bare: Sequence[float]) -> Ask:
    quantity = column.quantity
    small = sum(1 for value in bare if value < _MICRO_FROM)
    ask = _("In which unit is {head}?").format(head=column.head)
    if quantity is Quantity.CONDUCTIVITY:
        choices = [(unit, unit) for unit in ("uS/cm", "ppm500", "ppm640", "ppm700", "mS/cm")]
        if 0 < small < len(bare):
            ask = _("{head} mixes numbers under 20 and far over it. In which unit are they?").format(
                head=column.head
            )
            choices.append(("by-size", _("the small ones in mS/cm, the large ones in µS/cm")))
        return Ask(key=f"unit.{column.meaning}", ask=ask, choices=tuple(choices))
    if quantity is Quantity.TEMPERATURE:
        return Ask(
            key=f"unit.{column.meaning}",
            ask=_("{head} mixes numbers under 45 and over it. In which unit are they?").format(
                head=column.head
            ),
            choices=(("C", "°C"), ("F", "°F"), ("by-size", _("the small ones in °C, the large ones in °F"))),
        )
    return Ask(
        key=f"unit.{column.meaning}",
        ask=ask,
        choices=(("mg", _("milligrams a litre, as calcium carbonate")), ("meq", "meq/L"), ("dKH", "dKH")),
    )
