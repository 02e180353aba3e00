"""A dose walk as cycles: a plan, what was done of it, and the reading that the next plan starts from.

All is folded anew from the answers, so that a walk taken up again stands where it was.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from tendtui.core.dose_slot import Slot, is_feed, mark_of, read_key, slot_of
from tendtui.core.dose_walk_event import event_of, place_in_log, poured_event, readings_of
from tendtui.core.dose_walk_share import next_share
from tendtui.core.dose_walk_wait import mixed_at
from tendtui.core.event import Event, Poured
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Read, Verdict, Wait
from tendtui.core.rack import Rack
from tendtui.core.walk_value import Answers
from tendtui.value import replace, value_class

__all__ = ["MOST_CYCLES", "Cycle", "Planner", "cycles_of"]

MOST_CYCLES = 8
"""Plans in one walk: water and feed, then a pH correction's portions, with room for one reading again."""

_FIELDS = {
    "level": "level_l",
    "conductivity": "conductivity_ms_cm",
    "ph": "ph",
    "temperature": "temperature_c",
    "alkalinity": "alkalinity_meq_l",
}

Planner = Callable[[tuple[Event, ...], datetime], Plan]
"""Makes the plan for what was logged up to a moment."""


@value_class
class Cycle:
    """A plan and its slots as they stand after the answers."""

    number: int
    plan: Plan
    slots: tuple[Slot, ...]
    made: tuple[Event, ...]
    """What the answers of this cycle left, as the log will hold it."""
    over: bool
    """Whether all of it is answered."""
    went_in: bool
    """Whether anything did."""
    not_read: bool
    """Whether a reading was left out."""
    last_at: datetime
    mixed_at: datetime | None = None
    """Before this, what is read is not mixed yet; None: nothing is waited for."""
    is_off: bool = False
    """Whether other amounts went in than planned."""
    to_come: tuple[Poured, ...] = ()
    """What is asked for now and not answered yet, as if it went in."""
    foreseen: Plan | None = None
    """Where it is so: the plan that waits for the reading, with what to expect of what really went in and of
    what is still to come."""


def cycles_of(
    rack: Rack,
    past: tuple[Event, ...],
    answers: Answers,
    *,
    began: datetime,
    planner: Planner,
    meanwhile: Planner | None = None,
    most_ms_cm: float | None = None,
) -> tuple[Cycle, ...]:
    """Fold the answers into cycles, the last one under way or the end.

    Args:
        rack: Its tools.
        past: What was logged before the walk began.
        answers: All that counts.
        began: When the walk began.
        planner: Makes plans.
        meanwhile: Makes the plans after somebody said that a change comes later; None: there are none.
        most_ms_cm: Conductivity past which no part of the feed follows another that was too much; None: the
            plan's own.
    """
    cycles: list[Cycle] = []
    events, now = past, began
    for number in range(MOST_CYCLES):
        held = cycles[-1].mixed_at if cycles else None
        cycle = _cycle(rack, number, planner(events, now), answers, now=now, held=held, most_ms_cm=most_ms_cm)
        if cycle.is_off and cycle.went_in:
            poured = tuple(event for event in cycle.made if isinstance(event, Poured))
            rest = tuple(replace(event, at=poured[-1].at) for event in cycle.to_come)
            cycle = replace(cycle, foreseen=planner((*events, *poured, *rest), poured[-1].at))
        cycles.append(cycle)
        later = cycle.over and cycle.plan.verdict is Verdict.CHANGE and _comes_later(cycle, answers)
        if meanwhile is not None and later:
            planner = meanwhile
        elif not cycle.over or _is_last(cycle):
            break
        events, now = (*events, *cycle.made), cycle.last_at
    return tuple(cycles)


def _comes_later(cycle: Cycle, answers: Answers) -> bool:
    return answers.word(f"{cycle.number}-why.why") == "later"


def _is_last(cycle: Cycle) -> bool:
    if cycle.plan.verdict is not Verdict.CORRECT or cycle.not_read:
        return True
    reads_only = all(isinstance(slot.step, Read | Wait) for slot in cycle.slots)
    return not (cycle.went_in or reads_only)


def _cycle(
    rack: Rack,
    number: int,
    plan: Plan,
    answers: Answers,
    *,
    now: datetime,
    held: datetime | None,
    most_ms_cm: float | None,
) -> Cycle:
    slots: list[Slot] = []
    made: list[Event] = []
    to_come: list[Poured] = []
    at = now
    factor = 1.0
    unknown = went_in = not_read = is_off = False
    over = answers.done(f"{number}-why.why")
    until: datetime | None = None
    steps = () if plan.verdict is Verdict.CHANGE else plan.steps
    for place, step in enumerate(steps):
        slot = slot_of(rack, f"{number}-{place}", step, factor=factor)
        if isinstance(step, AddWater | Drain | Pour):
            if unknown or (slot.planned is not None and slot.planned <= 0.0):
                continue
            slots.append(slot)
            event = event_of(slot, answers, number=number, place=place)
            if event is not None:
                made.append(event)
                went_in = went_in or _amount(event) > 0.0
                factor = next_share(rack, plan, slot, _amount(event), factor, most_ms_cm=most_ms_cm)
                is_off = is_off or abs(_amount(event) - _amount_of(step)) > mark_of(rack, step) + 1e-9
            elif answers.word(slot.any_key) == "unknown":
                unknown = went_in = True
            elif _skipped(answers, slot):
                factor = 0.0 if is_feed(rack, step) else factor
                is_off = True
            else:
                over = False
                seq = place_in_log(number, place)
                to_come.append(
                    poured_event(slot, slot.planned or 0.0, at=at, by="", seq=seq, event_id=slot.id)
                )
        elif any(isinstance(s, AddWater | Drain | Pour) for s in steps) and not went_in and over:
            continue  # nothing went in: nothing to wait for, nothing to read
        else:
            if isinstance(step, Wait):
                ids = [s.id for s in slots]
                until = mixed_at(ids, answers, minutes=step.minutes, planned_at=plan.at, held=held)
            slots.append(slot)
            keys = _keys(slot)
            over = over and all(answers.done(key) for key in keys)
            readings = readings_of(slot, answers, number=number, place=place, until=until)
            made += readings
            not_read = not_read or (isinstance(step, Read) and any(_reason(answers, key) for key in keys))
        at = _latest(answers, slots, at)
    return Cycle(
        number=number,
        plan=plan,
        slots=tuple(slots),
        made=tuple(made),
        over=over,
        went_in=went_in,
        not_read=not_read,
        last_at=at,
        mixed_at=until,
        is_off=is_off,
        to_come=tuple(to_come),
    )


def _keys(slot: Slot) -> tuple[str, ...]:
    if isinstance(slot.step, Read):
        return tuple(read_key(slot, name) for name in slot.step.what)
    return (f"{slot.id}.wait",)


def _skipped(answers: Answers, slot: Slot) -> bool:
    return any(_reason(answers, key) for key in (slot.amount_key, slot.label_key)) or (
        answers.word(slot.any_key) == "none" and _reason(answers, slot.amount_key) != ""
    )


def _reason(answers: Answers, key: str) -> str:
    answer = answers.by_key.get(key)
    return "" if answer is None else answer.reason


def _amount_of(step: AddWater | Drain | Pour) -> float:
    if isinstance(step, Pour):
        return step.ml if step.ml is not None else step.g or 0.0
    return step.litres


def _amount(event: Poured) -> float:
    return event.ml or event.g or event.litres or 0.0


def _latest(answers: Answers, slots: list[Slot], at: datetime) -> datetime:
    if not slots:
        return at
    ids = slots[-1].id + "."
    times = [a.at for key, a in answers.by_key.items() if key.startswith(ids) and a.at is not None]
    return max([at, *times])
