"""What the steps of a dose leave in the log."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.dose_slot import Slot, read_key
from tendtui.core.event import Event, Poured, Reading
from tendtui.core.mixing import MIXES
from tendtui.core.plan import AddWater, Drain, Pour, Read
from tendtui.core.quantity import Quantity
from tendtui.core.walk_value import Answers
from tendtui.value import replace

__all__ = ["event_of", "place_in_log", "poured_event", "reading_event", "readings_of"]


def event_of(slot: Slot, answers: Answers, *, number: int, place: int) -> Poured | None:
    """Give what a step left in the log; None where it isn't answered, or nobody knows."""
    answer = answers.by_key.get(slot.amount_key)
    value = None if answer is None else answer.value
    if value is None and answers.word(slot.any_key) == "all":
        answer, value = answers.by_key[slot.any_key], slot.planned
    if answer is None or value is None or answer.at is None:
        return None
    return poured_event(
        slot, value, at=answer.at, by=answer.by, seq=place_in_log(number, place), event_id=slot.id
    )


def poured_event(
    slot: Slot, amount: float, *, at: datetime, by: str, seq: int = 0, event_id: str = ""
) -> Poured:
    """Make the log's event of a step done."""
    made = Poured(id=event_id, seq=seq, at=at, by=by, what="water", planned=slot.planned)
    match slot.step:
        case AddWater():
            return replace(made, litres=amount)
        case Drain():
            return replace(made, what="drained", litres=amount)
        case Pour(what=what, ml=ml):
            return (
                replace(made, what=what, ml=amount) if ml is not None else replace(made, what=what, g=amount)
            )
        case _:
            raise ValueError("nothing is poured in this step")


def reading_event(
    name: str,
    value: float,
    *,
    at: datetime,
    by: str,
    doubt: bool,
    first: float | None,
    until: datetime | None = None,
) -> Reading:
    """Make the log's event of one reading after mixing."""
    reading = Reading(
        id="",
        seq=0,
        at=at,
        by=by,
        source="dose",
        doubt=(name,) if doubt else (),
        unmixed=(name,) if name in MIXES and until is not None and at < until else (),
        first={} if first is None else {name: first},
    )
    match Quantity(name):
        case Quantity.LEVEL:
            return replace(reading, level_l=value)
        case Quantity.CONDUCTIVITY:
            return replace(reading, conductivity_ms_cm=value)
        case Quantity.PH:
            return replace(reading, ph=value)
        case Quantity.TEMPERATURE:
            return replace(reading, temperature_c=value)
        case _:
            return replace(reading, alkalinity_meq_l=value)


def readings_of(
    slot: Slot, answers: Answers, *, number: int, place: int, until: datetime | None
) -> list[Event]:
    """Give what a reading after mixing left in the log, one event a quantity."""
    if not isinstance(slot.step, Read):
        return []
    made: list[Event] = []
    for nth, name in enumerate(slot.step.what):
        answer = answers.by_key.get(read_key(slot, name))
        if answer is not None and answer.value is not None and answer.at is not None:
            reading = reading_event(
                name,
                answer.value,
                at=answer.at,
                by=answer.by,
                doubt=answer.doubt,
                first=answer.first,
                until=until,
            )
            made.append(replace(reading, id=f"{slot.id}.{name}", seq=place_in_log(number, place) + nth))
    return made


def place_in_log(number: int, place: int) -> int:
    """Stand after everything that was logged before the walk."""
    return 1_000_000_000 + 1000 * number + 10 * place
