"""The reading that a round leaves in the log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from tendtui.core.event import Reading
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter
from tendtui.core.units import at_25_c
from tendtui.core.walk_value import Answer, Answers, Walk

__all__ = ["DOSED", "MOST_L_MIN", "at_25", "log_key", "round_reading"]

DOSED = (Quantity.LEVEL, Quantity.CONDUCTIVITY, Quantity.PH, Quantity.TEMPERATURE)
"""What a dose is computed from."""

MOST_L_MIN = 30.0
"""[L/min] A pump of a small rack gives less at the head of its top tier. Common practice, no source."""

_Given = Mapping[str, tuple[Question, Answer]]


def round_reading(
    walk: Walk, stops: Iterable[Station], answers: Answers, *, meter: Meter, now: datetime
) -> Reading:
    """Make the log's reading of a round.

    It stands at the time of its first figure of the water: what was poured after that, by whomever, was
    not in it.
    """
    asks = {q.key: q for stop in stops for q in stop.questions}
    given = {key: (asks[key], answer) for key, answer in answers.by_key.items() if key in asks}
    numbers = {k: (q, a) for k, (q, a) in given.items() if q.kind is Kind.NUMBER}
    values = {
        log_key(q): at_25(meter, q, a.value, answers) for q, a in numbers.values() if a.value is not None
    }
    times = [a.at for q, a in numbers.values() if q.quantity in DOSED and a.value is not None and a.at]
    return Reading(
        id="",
        seq=0,
        at=min(times, default=now),
        by=walk.by,
        level_l=values.get("level"),
        conductivity_ms_cm=values.get("conductivity"),
        ph=values.get("ph"),
        temperature_c=values.get("temperature"),
        flow_l_min={k.removeprefix("flow."): v for k, v in values.items() if k.startswith("flow.")},
        looks={k: a.word for k, (q, a) in given.items() if q.kind is Kind.CHOICE and a.word},
        not_done={k: a.reason for k, (_q, a) in given.items() if a.reason},
        doubt=_doubts(numbers, answers, meter),
        first={
            log_key(q): at_25(meter, q, a.first, answers) for q, a in numbers.values() if a.first is not None
        },
        same=tuple(k for k, (_q, a) in given.items() if a.same),
        notes=_notes(given, answers),
        source="round",
    )


def log_key(question: Question) -> str:
    """Give the name under which the log keeps a number: `ph`, `flow.Top`."""
    if question.quantity is Quantity.FLOW:
        return f"flow.{question.key.rpartition('.')[0]}"
    return "" if question.quantity is None else question.quantity.value


def at_25(meter: Meter, question: Question, value: float, answers: Answers) -> float:
    """Give a strength at 25 °C where the meter doesn't compensate; every other value as it is."""
    if question.quantity is not Quantity.CONDUCTIVITY or meter.temperature_compensated:
        return value
    temperature_c = answers.value("conductivity.temperature")
    if temperature_c is None:
        return value
    return at_25_c(conductivity_ms_cm=value, temperature_c=max(temperature_c, 0.0))


def _doubts(numbers: _Given, answers: Answers, meter: Meter) -> tuple[str, ...]:
    doubts = [log_key(q) for q, a in numbers.values() if a.doubt or _is_flood(q, a)]
    bare = not meter.temperature_compensated and answers.value("conductivity.temperature") is None
    if bare and answers.value("conductivity.conductivity") is not None:
        doubts.append("conductivity")  # without the temperature it may be a fifth off
    return tuple(dict.fromkeys(doubts))


def _is_flood(question: Question, answer: Answer) -> bool:
    """Say whether an outlet is said to give what none can, however often: seconds typed for litres."""
    return question.quantity is Quantity.FLOW and (answer.value or 0.0) > MOST_L_MIN


def _notes(given: _Given, answers: Answers) -> Mapping[str, str]:
    """Give what was said at each station, also in the place of an answer or a reason."""
    notes = dict(answers.notes)
    for key, (_question, answer) in given.items():
        if answer.text:
            station, _dot, asked = key.rpartition(".")
            said = f"{asked}: {answer.text}"
            notes[station] = "; ".join(filter(None, (notes.get(station, ""), said)))
    return {station: text for station, text in notes.items() if station}
