"""A dose walk as cycles: a plan, what was done of it, and the reading that the next plan starts from.

All is folded anew from the answers, so that a walk taken up again stands where it was.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from tendtui.core.dose_walk_wait import mixed_at
from tendtui.core.event import Event, Poured, Reading
from tendtui.core.measured_amount import rounded_down
from tendtui.core.mixing import MIXES
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Read, Step, Verdict, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.core.walk_value import Answers
from tendtui.value import replace, value_class

__all__ = [
    "MOST_CYCLES",
    "Cycle",
    "Planner",
    "Slot",
    "cycles_of",
    "deviates",
    "event_of",
    "mark_of",
    "read_key",
]

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
class Slot:
    """One step of a plan in the walk."""

    id: str
    """Station id."""
    step: Step
    planned: float | None = None
    """The amount asked for now: litres, millilitres or grams."""

    @property
    def amount_key(self) -> str:
        """The question that takes what really was done."""
        return f"{self.id}.poured"

    @property
    def label_key(self) -> str:
        """The question that takes the bottle's name."""
        return f"{self.id}.label"

    @property
    def any_key(self) -> str:
        """The question whether any went in, after an interruption."""
        return f"{self.id}.any"


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
    foreseen: Plan | None = None
    """Where it is so: the plan that waits for the reading, with what to expect of what really went in."""


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
            cycle = replace(cycle, foreseen=planner((*events, *poured), poured[-1].at))
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
    at = now
    factor = 1.0
    unknown = went_in = not_read = is_off = False
    over = answers.done(f"{number}-why.why")
    until: datetime | None = None
    steps = () if plan.verdict is Verdict.CHANGE else plan.steps
    for place, step in enumerate(steps):
        slot = _slot(rack, f"{number}-{place}", step, factor=factor)
        if isinstance(step, AddWater | Drain | Pour):
            if unknown or (slot.planned is not None and slot.planned <= 0.0):
                continue
            slots.append(slot)
            event = event_of(slot, answers, number=number, place=place)
            if event is not None:
                made.append(event)
                went_in = went_in or _amount(event) > 0.0
                factor = _factor(rack, plan, slot, _amount(event), factor, most_ms_cm=most_ms_cm)
                is_off = is_off or abs(_amount(event) - _amount_of(step)) > mark_of(rack, step) + 1e-9
            elif answers.word(slot.any_key) == "unknown":
                unknown = went_in = True
            elif _skipped(answers, slot):
                factor = 0.0 if _is_feed(rack, step) else factor
                is_off = True
            else:
                over = False
        elif any(isinstance(s, AddWater | Drain | Pour) for s in steps) and not went_in and over:
            continue  # nothing went in: nothing to wait for, nothing to read
        else:
            if isinstance(step, Wait):
                ids = [s.id for s in slots]
                until = mixed_at(ids, answers, minutes=step.minutes, planned_at=plan.at, held=held)
            slots.append(slot)
            keys = _keys(slot)
            over = over and all(answers.done(key) for key in keys)
            readings = _readings(slot, answers, number=number, place=place, until=until)
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
    )


def _slot(rack: Rack, slot_id: str, step: Step, *, factor: float) -> Slot:
    match step:
        case AddWater(litres=litres) | Drain(litres=litres):
            return Slot(id=slot_id, step=step, planned=litres)
        case Pour(ml=ml, g=g):
            amount = ml if ml is not None else g or 0.0
            if _is_feed(rack, step):
                amount = rounded_down(amount * factor, mark=mark_of(rack, step))
            pour = replace(step, ml=amount) if ml is not None else replace(step, g=amount)
            return Slot(id=slot_id, step=pour, planned=amount)
        case _:
            return Slot(id=slot_id, step=step)


def mark_of(rack: Rack, step: Step) -> float:
    """Give the smallest step of the tool for a pouring: litres, millilitres or grams."""
    match step:
        case Pour(ml=ml):
            return rack.measuring.liquid_ml if ml is not None else rack.measuring.powder_g
        case _:
            return rack.measuring.water_l


def deviates(rack: Rack, slot: Slot, amount: float) -> bool:
    """Say whether what went in differs from what was asked by more than a tenth and more than a mark."""
    planned = slot.planned or 0.0
    off = abs(amount - planned)
    return off > 0.1 * planned + 1e-9 and off > mark_of(rack, slot.step) + 1e-9


def _factor(
    rack: Rack, plan: Plan, slot: Slot, amount: float, factor: float, *, most_ms_cm: float | None
) -> float:
    """Plan the rest anew by what really went in: feed for the litres there are, and its parts in step.

    A part of which too much went in takes the others along only as far as the band reaches.
    """
    if not deviates(rack, slot, amount) or not slot.planned:
        return factor
    if isinstance(slot.step, AddWater):
        return factor * _for_litres(rack, plan, more_l=amount - slot.planned)
    if _is_feed(rack, slot.step):
        return min(_most_feed(rack, plan, most_ms_cm), factor * amount / slot.planned)
    return factor


def _for_litres(rack: Rack, plan: Plan, *, more_l: float) -> float:
    """Give the share of the feed that is right for other litres of water than planned, by proportion."""
    missing, _litres = _missing(rack, plan)
    expected = plan.expect.conductivity_ms_cm
    if missing <= 0.0 or expected is None:
        return 1.0
    return max(0.0, 1.0 + more_l * (expected - (rack.source.conductivity_ms_cm or 0.0)) / missing)


def _most_feed(rack: Rack, plan: Plan, most_ms_cm: float | None) -> float:
    """Give the share of the planned feed that just keeps the wanted band."""
    missing, litres = _missing(rack, plan)
    expected = plan.expect.conductivity_ms_cm
    if missing <= 0.0 or expected is None or most_ms_cm is None:
        return 1.0
    return max(1.0, 1.0 + (most_ms_cm - expected) * litres / missing)


def _missing(rack: Rack, plan: Plan) -> tuple[float, float]:
    """Give the salt that the plan's feed brings, by proportion, and the litres it goes into. [mS/cm·L, L]."""
    read, expect = plan.readings, plan.expect
    if read.level_l is None or read.conductivity_ms_cm is None or expect.conductivity_ms_cm is None:
        return 0.0, 0.0
    water_l = sum(step.litres for step in plan.steps if isinstance(step, AddWater))
    drained_l = sum(step.litres for step in plan.steps if isinstance(step, Drain))
    tank_l = read.level_l + _pipes_l(rack) - drained_l
    source_ms_cm = rack.source.conductivity_ms_cm or 0.0
    had = tank_l * read.conductivity_ms_cm + water_l * source_ms_cm
    return expect.conductivity_ms_cm * (tank_l + water_l) - had, tank_l + water_l


def _pipes_l(rack: Rack) -> float:
    try:
        return litres_in_pipes(rack)
    except ValueError:
        return 0.0


def _is_feed(rack: Rack, step: Step) -> bool:
    return isinstance(step, Pour) and any(feed.name == step.what for feed in rack.feeds)


def event_of(slot: Slot, answers: Answers, *, number: int, place: int) -> Poured | None:
    """Give what a step left in the log; None where it isn't answered, or nobody knows."""
    answer = answers.by_key.get(slot.amount_key)
    value = None if answer is None else answer.value
    if value is None and answers.word(slot.any_key) == "all":
        answer, value = answers.by_key[slot.any_key], slot.planned
    if answer is None or value is None or answer.at is None:
        return None
    return poured_event(slot, value, at=answer.at, by=answer.by, seq=_seq(number, place), event_id=slot.id)


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


def read_key(slot: Slot, name: str) -> str:
    """Give the question that takes one reading."""
    return f"{slot.id}.{name}"


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


def _readings(
    slot: Slot, answers: Answers, *, number: int, place: int, until: datetime | None
) -> list[Event]:
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
            made.append(replace(reading, id=f"{slot.id}.{name}", seq=_seq(number, place) + nth))
    return made


def _seq(number: int, place: int) -> int:
    """Stand after everything that was logged before the walk."""
    return 1_000_000_000 + 1000 * number + 10 * place


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
