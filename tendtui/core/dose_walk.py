"""The dose, poured step by step: one screen a step, what really went in is typed and logged at once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from tendtui.core.bands import Bands
from tendtui.core.dose import plan_dose
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_slot import Slot, deviates
from tendtui.core.dose_walk_ask import (
    cut_short,
    pour_safety,
    pour_station,
    read_station,
    wait_station,
    why_station,
)
from tendtui.core.dose_walk_cycle import Cycle, cycles_of
from tendtui.core.dose_walk_event import poured_event, reading_event
from tendtui.core.dose_walk_judge import doubted_amount, doubted_reading
from tendtui.core.dose_walk_memory import folded_once, planned_once
from tendtui.core.event import Event, Note
from tendtui.core.judge import near
from tendtui.core.learned_values import Learned
from tendtui.core.mixing import MIXES
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Ranges, Read, Verdict, Wait
from tendtui.core.poured_today import poured_today
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.reason import reasons
from tendtui.core.role import PUT_OFF
from tendtui.core.show import clock, show_value, when
from tendtui.core.tank import tank_now
from tendtui.core.units import at_25_c
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["DoseScript", "dose_script"]

LEFT_AFTER = timedelta(minutes=10)
"""Nobody takes this long from the label to the mark: the walk was left in between."""

TOO_OLD = timedelta(hours=12)
"""A plan from readings this old is not begun any more: a night's drinking and creeping lies between."""

ANSWERS_FOR = timedelta(hours=4)
"""For so long what is read tells what a portion did (common practice, no source)."""


@value_class
class DoseScript(RackScript):
    """The walk of a dose; the same rack, log and answers always give the same questions."""

    past: tuple[Event, ...]
    """What was logged before the walk began; nothing of the walk itself."""
    bands: Bands
    facts: DoseFacts
    began: datetime
    learned: Learned | None = None
    signs: tuple[str, ...] = ()
    """What the readings together say, found at the end of the round; said before anything is poured."""
    left_before: datetime | None = None
    """A label typed before this, and no amount after it: the walk was left in between. None: it wasn't."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

    def plan(self, answers: Answers) -> Plan:
        """Give the plan under way."""
        return self._cycles(answers)[-1].plan

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops: a pause with the plan, its steps, the reading; then the next plan's."""
        stops: list[Station] = []
        for cycle in self._cycles(answers):
            stops.append(self._why(cycle))
            stops += self._steps(cycle, answers)
        return tuple(stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Have a number keyed twice where it is neither what was asked nor what was expected."""
        slot, cycle = self._slot(question.key, answers)
        if isinstance(slot.step, Read):
            return self._judged_reading(question, value, cycle)
        if not deviates(self.rack, slot, value):
            return Judgement()
        return doubted_amount(slot, value)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the second keying confirms the first."""
        if question.key.endswith(".poured"):
            return abs(first - second) <= (question.whole_steps or 0.0) + 1e-9
        if question.quantity is None:
            return first == second
        return near(first, second, quantity=question.quantity, meter=self.meter)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go on before the wait is over, and water that the reservoir can't hold."""
        if question.until is not None and typed.at < question.until:
            return _("It is {now}; read at {until}. If you can't wait, press x and say why").format(
                now=clock(typed.at.astimezone(question.until.tzinfo)), until=clock(question.until)
            )
        if question.key.rpartition(".")[2] not in ("label", "poured"):
            return ""
        slot, cycle = self._slot(question.key, answers)
        if not cycle.went_in and typed.at - cycle.plan.at > TOO_OLD and typed.value != 0.0:
            return _(
                "The plan is of {when}: too old to pour by. Pause with Esc and walk the round, or press x"
            ).format(when=when(cycle.plan.at, typed.at))
        if typed.value is None or not question.key.endswith(".poured"):
            return ""
        most = self._most(slot)
        if most is not None and typed.value > most:
            return _("The reservoir can't take or give {value}. Look at the mark again").format(
                value=show_value(typed.value, Quantity.VOLUME, self.show)
            )
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was done there."""
        said = []
        for question in station.questions:
            answer = answers.by_key.get(question.key)
            if answer is None or question.quantity is None or answer.value is None:
                continue
            shown = show_value(answer.value, question.quantity, self.show)
            until = self._slot_or_none(question.key, answers)[1].mixed_at
            if (
                question.quantity in MIXES
                and until is not None
                and answer.at is not None
                and answer.at < until
            ):
                shown = _("{figure}, before it was mixed").format(figure=shown)
            said.append(shown)
        if not said and any(answers.word(q.key) == "unknown" for q in station.questions):
            return _("nobody knows how much")
        return ", ".join(said)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log at once what went in and what was read."""
        if question.key.endswith("-why.why") and entry.word == "later":
            said = _("change day put off")
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=said, about=PUT_OFF),)
        slot, cycle = self._slot_or_none(question.key, answers)
        if slot is None:
            return ()
        if question.key == slot.any_key:
            return self._settled(slot, entry)
        if entry.value is None:
            return ()
        if question.key == slot.amount_key:
            made = poured_event(slot, entry.value, at=entry.at, by=entry.by)
            return (replace(made, typed_first=entry.first, doubt=("amount",) if entry.doubt else ()),)
        name = question.key.rpartition(".")[2]
        value = self._at_25(name, entry.value)
        return (
            reading_event(
                name,
                value,
                at=entry.at,
                by=entry.by,
                doubt=entry.doubt,
                first=entry.first,
                until=cycle.mixed_at,
            ),
        )

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Go on to the leaving list, or to the change; what was left out stands in the diary."""
        cycles = self._cycles(answers)
        left = self._left_out(cycles, answers)
        said = (*self._done(cycles, answers), *left)
        notes = (Note(id="", seq=0, at=now, by=walk.by, text=" ".join(left)),) if left else ()
        then = "change" if answers.word(f"{cycles[-1].number}-why.why") == "now" else "leaving"
        return Finish(events=notes, then=then, said=said)

    def _left_out(self, cycles: tuple[Cycle, ...], answers: Answers) -> tuple[str, ...]:
        """Say which steps of the dose were not done, and why."""
        texts = {choice.word: choice.text for choice in reasons()}
        said = []
        for station in (stop for cycle in cycles for stop in self._steps(cycle, answers)):
            asked = (answers.by_key.get(question.key) for question in station.questions)
            left = next((answer for answer in asked if answer is not None and answer.reason), None)
            if left is not None:
                why = left.text or texts.get(left.reason, left.reason)
                said.append(_("Not done: {what} ({why}).").format(what=station.name, why=why))
        return tuple(said)

    def _cycles(self, answers: Answers) -> tuple[Cycle, ...]:
        return folded_once(replace(self, left_before=None), answers)

    def fold(self, answers: Answers) -> tuple[Cycle, ...]:
        """Fold the answers into plans and what was done of them."""
        return cycles_of(
            self.rack,
            self.past,
            self._in_25(answers),
            began=self.began,
            planner=self.planned,
            meanwhile=self._planned_meanwhile,
            most_ms_cm=self.bands.conductivity.band.high,
        )

    def planned(self, events: tuple[Event, ...], now: datetime) -> Plan:
        """Give the plan for what was logged up to a moment; one that was made is not made again."""
        return planned_once(replace(self, left_before=None), events, now, put_off=False)

    def _planned_meanwhile(self, events: tuple[Event, ...], now: datetime) -> Plan:
        return planned_once(replace(self, left_before=None), events, now, put_off=True)

    def plan_at(self, events: tuple[Event, ...], now: datetime, *, put_off: bool = False) -> Plan:
        """Make the plan for a moment of this walk."""
        return plan_dose(
            self.rack,
            tank_now(events, self.rack, now),
            now=now,
            bands=self.bands,
            facts=self.facts,
            learned=self.learned,
            put_off=put_off,
        )

    def _why(self, cycle: Cycle) -> Station:
        today = (
            poured_today(self.past, self.began, self.rack) if cycle.number == 0 and cycle.plan.steps else ()
        )
        signs = self.signs if cycle.number == 0 else ()
        return why_station(cycle, self.rack, (*signs, *today))

    def _steps(self, cycle: Cycle, answers: Answers) -> list[Station]:
        stops = []
        for slot in cycle.slots:
            match slot.step:
                case AddWater() | Drain() | Pour():
                    stops.append(
                        pour_station(
                            slot,
                            cycle,
                            self.rack,
                            shape=self._shape(slot, answers),
                            safety=pour_safety(slot, cycle),
                        )
                    )
                case Wait():
                    stops.append(wait_station(slot, cycle, until=cycle.mixed_at or cycle.plan.at))
                case _:
                    if self._is_late(cycle):
                        cycle = replace(cycle, foreseen=replace(cycle.plan, range=Ranges()))
                        early = _(
                            "This was poured hours ago: air and plants moved it since. Read it as it is now."
                        )
                    else:
                        early = cut_short(answers, cycle)
                    stops.append(read_station(slot, cycle, self.rack, early=early, scale=self._scale()))
        return stops

    def _is_late(self, cycle: Cycle) -> bool:
        """Say whether so long went by since all was mixed that nothing read now answers the portion."""
        if self.left_before is None or cycle.mixed_at is None:
            return False
        return self.left_before - cycle.mixed_at > ANSWERS_FOR

    def _shape(self, slot: Slot, answers: Answers) -> tuple[bool, bool]:
        """Say whether to ask if any went in, and whether to ask for the amount."""
        label = answers.by_key.get(slot.label_key)
        if label is not None and label.reason:
            return False, False
        if answers.done(slot.any_key):
            return True, answers.word(slot.any_key) in {"none", "part"}
        left = label is not None and label.at is not None and not answers.done(slot.amount_key)
        if left and self.left_before is not None and label is not None and label.at is not None:
            return label.at < self.left_before, True
        return False, True

    def _slot(self, key: str, answers: Answers) -> tuple[Slot, Cycle]:
        slot, cycle = self._slot_or_none(key, answers)
        if slot is None:
            raise ValueError(f"there is no step for {key}")
        return slot, cycle

    def _slot_or_none(self, key: str, answers: Answers) -> tuple[Slot | None, Cycle]:
        cycles = self._cycles(answers)
        station = key.rpartition(".")[0]
        for cycle in cycles:
            for slot in cycle.slots:
                if slot.id == station:
                    return slot, cycle
        return None, cycles[-1]

    def _most(self, slot: Slot) -> float | None:
        reservoir = self.rack.reservoir
        if isinstance(slot.step, AddWater | Drain):
            return 1.5 * max(reservoir.full_l, reservoir.brim_l or 0.0)
        return None

    def _settled(self, slot: Slot, entry: Entry) -> tuple[Event, ...]:
        if entry.word == "all" and slot.planned is not None:
            return (poured_event(slot, slot.planned, at=entry.at, by=entry.by),)
        if entry.word == "unknown" and isinstance(slot.step, Pour):
            said = _("Nobody knows how much {what} went in.").format(what=slot.step.what)
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=said),)
        return ()

    def _judged_reading(self, question: Question, value: float, cycle: Cycle) -> Judgement:
        if self._is_late(cycle):
            return Judgement()
        at_25_c = value if question.quantity is None else self._at_25(question.quantity.value, value)
        return doubted_reading(question, value, cycle, at_25_c=at_25_c, meter=self.meter, show=self.show)

    def _in_25(self, answers: Answers) -> Answers:
        """Bring typed conductivities to 25 °C where the meter doesn't."""
        if self.meter.temperature_compensated:
            return answers
        by_key = {
            key: replace(answer, value=self._at_25("conductivity", answer.value))
            if key.endswith(".conductivity") and answer.value is not None
            else answer
            for key, answer in answers.by_key.items()
        }
        return replace(answers, by_key=by_key)

    def _at_25(self, name: str, value: float) -> float:
        return value * self._scale() if name == Quantity.CONDUCTIVITY.value else value

    def _scale(self) -> float:
        """Give the conductivity at 25 °C over what the meter shows."""
        held = tank_now(self.past, self.rack, self.began).temperature
        if self.meter.temperature_compensated or held is None:
            return 1.0
        return at_25_c(conductivity_ms_cm=1.0, temperature_c=max(held.value, 0.0))

    def _done(self, cycles: tuple[Cycle, ...], answers: Answers) -> tuple[str, ...]:
        said = []
        for station in (stop for cycle in cycles for stop in self._steps(cycle, answers)):
            found = self.found(station, answers)
            if found:
                said.append(f"{station.name}: {found}")
        last = cycles[-1].plan
        if last.verdict is Verdict.LEAVE:
            said += last.reasons
        return tuple(said)


def dose_script(
    *,
    rack: Rack,
    events: Iterable[Event],
    walk: Walk,
    now: datetime,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
) -> DoseScript:
    """Make the script of a dose.

    Args:
        rack: The rack.
        events: The log, with or without what this walk left there.
        walk: The walk; `resumed_at` in its context says when it was last taken up again.
        now: The moment.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
    """
    own = f"{walk.id}-"
    signs = walk.context.get("signs")
    resumed_at = walk.context.get("resumed_at")
    left_before = now - LEFT_AFTER
    if isinstance(resumed_at, datetime):
        left_before = max(left_before, resumed_at)
    past = (e for e in events if e.at <= walk.began and not e.id.startswith(own))
    return DoseScript(
        rack=rack,
        past=tuple(past),
        bands=bands,
        facts=facts,
        began=walk.began,
        learned=learned,
        signs=tuple(str(sign) for sign in signs) if isinstance(signs, list | tuple) else (),
        left_before=left_before,
    )
