"""The cards of the practice round: what one would see and read at each question, two of them with a fault."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.prompt import Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.round_stations import RoundFacts
from tendtui.core.show import show_number, show_value
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Card", "cards_for"]

_FALLBACK = {Quantity.CONDUCTIVITY: 1.4, Quantity.PH: 6.0, Quantity.TEMPERATURE: 20.0, Quantity.FLOW: 2.0}
"""What the card shows where this rack has no past and no band: a leafy rack in good order (common practice,
no source). [mS/cm, pH, °C, L/min]"""

_WARM_C = 1.0
_ACID_OFF = 1.1
_SHARE_OF_FULL = 0.7
_STEPS = {
    Quantity.PH: 1,
    Quantity.TEMPERATURE: 1,
    Quantity.CONDUCTIVITY: 2,
    Quantity.LEVEL: 0,
    Quantity.FLOW: 1,
}


_LAST_DIGIT = {
    Quantity.PH: 0.051,
    Quantity.TEMPERATURE: 0.051,
    Quantity.CONDUCTIVITY: 0.006,
    Quantity.LEVEL: 0.51,
}
_TIMED = 0.03
"""Share by which whole seconds differ from the flow that they stand for."""


@value_class
class Card:
    """What one would find at a question."""

    key: str
    see: str
    """The sentence shown above the question."""
    word: str = ""
    """For a look: the answer that fits."""
    value: float | None = None
    """For a number: what the meter shows, in the stored unit."""
    tolerance: float = 0.0
    """By how much a typed number may differ and still be read right: the last digit shown."""
    fault: str = ""
    """Why it is a fault, for the report; empty: all is well there."""


def cards_for(
    questions: Sequence[Question],
    *,
    facts: RoundFacts,
    data: Mapping[str, object],
    hot_c: float,
    seed: int,
    run: int = 0,
) -> Mapping[str, Card]:
    """Give a card for each question, with one faulty look and one faulty number among them.

    Args:
        questions: Those of the round, in their order.
        facts: The rack, its past and its bands.
        data: The tables of `practice.toml`.
        hot_c: Water as warm as this is acted on the same day. [°C]
        seed: Decides where the faults begin; the same number and run plant the same.
        run: Moves both faults on by one question each: two runs in a row never plant the same.
    """
    looks = [q for q in questions if q.kind is Kind.CHOICE and _faults(data, q)]
    numbers = [q for q in questions if q.quantity in (Quantity.LEVEL, Quantity.TEMPERATURE, Quantity.PH)]
    bad_look = looks[(seed + run) % len(looks)].key if looks else ""
    bad_number = numbers[(seed // 7 + run) % len(numbers)].key if numbers else ""
    cards: dict[str, Card] = {}
    for question in questions:
        if question.kind is Kind.NUMBER:
            cards[question.key] = _number(question, facts, data, hot_c=hot_c, bad=question.key == bad_number)
        elif question.kind is Kind.CHOICE:
            cards[question.key] = _look(question, data, bad=question.key == bad_look)
    return cards


def _look(question: Question, data: Mapping[str, object], *, bad: bool) -> Card:
    row = _row(data, question)
    good = next((choice for choice in question.choices if not choice.look and not choice.skips), None)
    faults = _faults(data, question)
    if bad and faults:
        return Card(
            key=question.key,
            see=_said(data, "card", see=_(str(faults[0]["see"]))),
            word=str(faults[0]["word"]),
            fault=_(str(faults[0]["says"])),
        )
    see = _(str(row["good"])) if row else "" if good is None else good.text
    return Card(key=question.key, see=_said(data, "card", see=see), word="" if good is None else good.word)


def _number(
    question: Question, facts: RoundFacts, data: Mapping[str, object], *, hot_c: float, bad: bool
) -> Card:
    quantity = question.quantity or Quantity.LEVEL
    value = _well(question, quantity, facts)
    fault = ""
    if bad:
        value = _off(value, quantity, facts, hot_c=hot_c)
        fault = next(
            (_(str(row["says"])) for row in _rows(data, "number") if row["quantity"] == quantity.value), ""
        )
    value = round(value, _STEPS.get(quantity, 1))
    return Card(
        key=question.key,
        see=_said(data, "card", see=_reading(question, quantity, value, facts.rack.show, data)),
        value=value,
        tolerance=_LAST_DIGIT.get(quantity, _TIMED * value),
        fault=fault,
    )


def _reading(
    question: Question, quantity: Quantity, value: float, show: Show, data: Mapping[str, object]
) -> str:
    if quantity is Quantity.FLOW and question.jug_l:
        seconds = show_value(round(60.0 * question.jug_l / value), Quantity.SECONDS, show)
        return _said(data, "seconds", value=seconds)
    if quantity is Quantity.FLOW:
        return _said(data, "cup", value=f"{show_number(value, quantity, show)} {_('litres')}")
    name = "level" if quantity is Quantity.LEVEL else "number"
    return _said(data, name, value=show_value(value, quantity, show))


def _well(question: Question, quantity: Quantity, facts: RoundFacts) -> float:
    """Give a value as on a good day: this rack's last, else the middle of what is wanted."""
    tier = question.key.rpartition(".")[0]
    habit = facts.habits.get(f"flow.{tier}" if quantity is Quantity.FLOW else quantity.value)
    band = facts.bands.get(quantity)
    if quantity is Quantity.LEVEL:
        tank = facts.rack.reservoir
        if habit is not None and habit.last is not None and tank.least_l <= habit.last <= tank.full_l:
            return habit.last
        return tank.least_l + _SHARE_OF_FULL * (tank.full_l - tank.least_l)
    if habit is not None and habit.last is not None and (band is None or band.low <= habit.last <= band.high):
        return habit.last
    return (band.low + band.high) / 2.0 if band is not None else _FALLBACK.get(quantity, 1.0)


def _off(value: float, quantity: Quantity, facts: RoundFacts, *, hot_c: float) -> float:
    match quantity:
        case Quantity.LEVEL:
            return max(1.0, facts.rack.reservoir.least_l - 3.0)
        case Quantity.TEMPERATURE:
            return hot_c + _WARM_C
        case _:
            band = facts.bands.get(quantity)
            return (value if band is None else band.high) + _ACID_OFF


def _said(data: Mapping[str, object], name: str, **fill: str) -> str:
    words = data["words"]
    sentence = _(str(words[name])) if isinstance(words, Mapping) else ""
    for key, text in fill.items():  # a name may hold braces, so `format` would not do
        sentence = sentence.replace(f"{{{key}}}", text)
    return sentence


def _row(data: Mapping[str, object], question: Question) -> Mapping[str, object] | None:
    name = question.key.rpartition(".")[2]
    return next((row for row in _rows(data, "card") if row["question"] == name), None)


def _faults(data: Mapping[str, object], question: Question) -> list[Mapping[str, object]]:
    """Give the faults of a question whose answers it really offers today."""
    row = _row(data, question)
    offered = {choice.word for choice in question.choices}
    return [fault for fault in _rows(row or {}, "fault") if fault["word"] in offered]


def _rows(table: Mapping[str, object], key: str) -> list[Mapping[str, object]]:
    rows = table.get(key)
    return [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, Iterable) else []
