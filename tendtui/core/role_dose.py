"""The dose as a newcomer walks it: what the meters show, the water that can be added safely, the rest held.

Reading again is for everybody: where nothing can be planned before the water was read, that comes first,
and the plan is made anew from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tendtui.core.bottle_mix import mixed_in
from tendtui.core.dose_slot import Slot, read_key
from tendtui.core.dose_strength import MIX_MINUTES
from tendtui.core.dose_walk import DoseScript
from tendtui.core.dose_walk_ask import asked_later, read_station, wait_station
from tendtui.core.dose_walk_cycle import Cycle
from tendtui.core.dose_walk_event import reading_event
from tendtui.core.event import Event, Note, Poured, Reading
from tendtui.core.habit import habit_of, widen_of
from tendtui.core.held_plan import HeldPlan, pause_question, told_question, water_question
from tendtui.core.held_words import for_grower
from tendtui.core.judge import cannot_be, judge, near
from tendtui.core.mixing import MIXES, to_full_minute
from tendtui.core.plan import Plan, Ranges, Read, Verdict, Wait
from tendtui.core.poured_today import poured_today
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.ring import ring_grower
from tendtui.core.role import HELD, HELD_CHANGE
from tendtui.core.show import clock, show_value
from tendtui.core.tank import tank_now
from tendtui.core.units import at_25_c
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import field, replace, value_class
from tendtui.words import _

__all__ = ["HeldDoseScript"]

_TWICE_FROM_L = 2.0
"""Water by which an amount typed may differ from the one asked for before it is keyed once more. [L]"""

_MOST_TURNS = 3
"""Readings again before the rest is left to a grower."""


@value_class
class _Turn:
    """A plan, and the ids under which its questions stand."""

    number: int
    plan: Plan

    @property
    def reads_only(self) -> bool:
        """Whether the water has to be read before anything else is said."""
        steps = self.plan.steps
        return bool(steps) and all(isinstance(step, Read | Wait) for step in steps)

    def id(self, name: str) -> str:
        """Give a station's id; the first plan's are without a number."""
        return name if self.number == 0 else f"{name}-{self.number}"


@value_class
class HeldDoseScript(RackScript):
    """What somebody does who may not dose alone; see `tendtui.core.walk_value.Script`."""

    plan: Plan
    """The plan for the readings of the round."""
    bottle_l: float | None = None
    """Water left in the day's own bottle while the grower is away; None: there is none. [L]"""
    mix: Mapping[str, float] = field(default_factory=dict)
    """What the grower mixed into a litre of that bottle; empty: plain water."""
    leak: bool = False
    """Whether the readings speak of a leak."""
    dose: DoseScript | None = None
    """Makes the plan anew from what is read here; None: nothing is planned anew."""
    kind: str = "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

    @property
    def water_l(self) -> float:
        """Give the water to add by the first plan. [L]."""
        return self._told_of(self.plan).water_l

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the pause that says what is held, the water, the telling, and the reading once it is mixed."""
        stops: list[Station] = []
        for turn in self._turns(answers):
            stops += self._reading_turn(turn) if turn.reads_only else self._acting_turn(turn, answers)
        return tuple(stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Have an amount typed twice that is far off, and judge a reading as the round does."""
        if question.quantity is not Quantity.VOLUME:
            return self._judged_reading(question, value)
        asked = self._told_of(self._turn_of(question, answers).plan).water_l
        if abs(value - asked) <= max(_TWICE_FROM_L, 0.1 * asked):
            return Judgement()
        return Judgement(
            again=_("Asked for: {asked}. Type once more what really went in.").format(
                asked=show_value(asked, Quantity.VOLUME, self.show)
            )
        )

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the second keying confirms the first."""
        if question.quantity is Quantity.VOLUME or question.quantity is None:
            return abs(first - second) <= self.rack.measuring.water_l
        return near(first, second, quantity=question.quantity, meter=self.meter)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go on before the wait is over, and what can't be."""
        del answers
        if question.until is not None and typed.at < question.until:
            return _("It is {now}; read at {until}. If you can't wait, press x and say why").format(
                now=clock(typed.at.astimezone(question.until.tzinfo)), until=clock(question.until)
            )
        if typed.value is None or question.quantity is None:
            return ""
        if question.quantity is not Quantity.VOLUME:
            return cannot_be(
                typed.value, quantity=question.quantity, reservoir=self.rack.reservoir, show=self.show
            )
        most = 1.5 * max(self.rack.reservoir.full_l, self.rack.reservoir.brim_l or 0.0)
        if typed.value <= most:
            return ""
        return _("The reservoir can't take {value}. Look at the mark again").format(
            value=show_value(typed.value, Quantity.VOLUME, self.show)
        )

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was done there."""
        told = {"rang": _("told"), "wrote": _("written to"), "not-reached": _("not reached")}
        said = []
        for question in station.questions:
            answer = answers.by_key.get(question.key)
            if answer is None or answer.reason:
                continue
            if answer.value is not None and question.quantity is not None:
                said.append(show_value(answer.value, question.quantity, self.show))
            elif answer.word in told:
                said.append(told[answer.word])
        return ", ".join(said)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log at once what went in, what was read, and that a dose is held."""
        turn = self._turn_of(question, answers)
        told = self._told_of(turn.plan)
        held = told.held
        if question.key == f"{turn.id('held')}.why" and held:
            about = HELD_CHANGE if turn.plan.verdict is Verdict.CHANGE else HELD
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=held, about=about),)
        if entry.value is None:
            return ()
        if question.quantity is Quantity.VOLUME:
            made = Poured(id="", seq=0, at=entry.at, by=entry.by, what="water", litres=entry.value)
            mixed = mixed_in(self.mix, self.rack, entry.value, at=entry.at, by=entry.by)
            return (replace(made, planned=told.water_l), *mixed)
        until = self._until(turn, answers)
        read = self._reading(question, entry.value, entry.at, entry.by, doubt=entry.doubt, first=entry.first)
        if until is not None and entry.at < until and question.quantity in MIXES:
            read = replace(read, unmixed=(question.quantity.value,))
        return (read,)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Go on to the leaving list, and say what waits."""
        del walk, now
        last = self._turns(answers)[-1]
        held = "" if last.reads_only else self._told_of(last.plan).held
        said = []
        if last.reads_only:
            said.append(_("It still has to be read again; it stays on today's page."))
        if held:
            change = last.plan.verdict is Verdict.CHANGE
            said.append(for_grower(held, self.rack, change=change))
            said.append(ring_grower(self.rack))
        if answers.word(f"{last.id('told')}.told") == "not-reached":
            said.append(_("Try the grower again today. The plants can wait a day for food."))
        return Finish(then="leaving", said=tuple(said))

    def _told_of(self, plan: Plan) -> HeldPlan:
        bands = None if self.dose is None else self.dose.bands
        return HeldPlan(rack=self.rack, plan=plan, bottle_l=self.bottle_l, bands=bands, leak=self.leak)

    # turns

    def _turns(self, answers: Answers) -> tuple[_Turn, ...]:
        """Give the plans: the first, and while that only wants readings, the one made from them."""
        turns = [_Turn(number=0, plan=self.plan)]
        made: tuple[Event, ...] = ()
        while turns[-1].reads_only and len(turns) < _MOST_TURNS and self.dose is not None:
            read = self._read_in(turns[-1], answers)
            if read is None:
                break
            made = (*made, *read)
            plan = self.dose.planned((*self.dose.past, *made), read[-1].at)
            turns.append(_Turn(number=len(turns), plan=plan))
        return tuple(turns)

    def _turn_of(self, question: Question, answers: Answers) -> _Turn:
        turns = self._turns(answers)
        keys = {
            f"{turn.id(name)}.": turn for turn in turns for name in ("held", "water", "told", "wait", "read")
        }
        return next((turn for start, turn in keys.items() if question.key.startswith(start)), turns[-1])

    def _read_in(self, turn: _Turn, answers: Answers) -> tuple[Reading, ...] | None:
        """Give the readings of a turn once all are there; None: not all are, or one was left out."""
        made = []
        slot = _slot(turn)
        names = slot.step.what if isinstance(slot.step, Read) else ()
        for place, name in enumerate(names):
            answer = answers.by_key.get(read_key(slot, name))
            if answer is None or answer.value is None or answer.at is None:
                return None
            question = Question(
                key=read_key(slot, name), place="", ask="", kind=Kind.NUMBER, quantity=Quantity(name)
            )
            reading = self._reading(
                question, answer.value, answer.at, answer.by, doubt=answer.doubt, first=answer.first
            )
            made.append(replace(reading, id=question.key, seq=1_000_000_000 + 10 * turn.number + place))
        return tuple(made) or None

    def _reading(
        self, question: Question, value: float, at: datetime, by: str, *, doubt: bool, first: float | None
    ) -> Reading:
        quantity = question.quantity or Quantity.LEVEL
        return reading_event(
            quantity.value, self._at_25(quantity, value), at=at, by=by, doubt=doubt, first=first
        )

    def _judged_reading(self, question: Question, value: float) -> Judgement:
        quantity = question.quantity
        if quantity is None or self.dose is None:
            return Judgement()
        bands = {
            Quantity.CONDUCTIVITY: self.dose.bands.conductivity.band,
            Quantity.PH: self.dose.bands.ph.band,
            Quantity.TEMPERATURE: self.dose.bands.temperature.band,
        }
        habit = habit_of(self.dose.past, quantity, now=self.dose.began, widen=widen_of(self.rack))
        return judge(
            self._at_25(quantity, value),
            quantity=quantity,
            band=bands.get(quantity),
            habit=habit,
            show=self.show,
            meter=self.meter,
            reservoir=self.rack.reservoir,
        )

    def _at_25(self, quantity: Quantity, value: float) -> float:
        return value * self._scale() if quantity is Quantity.CONDUCTIVITY else value

    def _scale(self) -> float:
        """Give the conductivity at 25 °C over what the meter shows."""
        if self.meter.temperature_compensated or self.dose is None:
            return 1.0
        held = tank_now(self.dose.past, self.rack, self.dose.began).temperature
        return 1.0 if held is None else at_25_c(conductivity_ms_cm=1.0, temperature_c=max(held.value, 0.0))

    # what is asked

    def _reading_turn(self, turn: _Turn) -> list[Station]:
        plan = turn.plan
        lines = (*plan.reasons, _("This wants meters only: every bottle stays shut."))
        until = self._until(turn, Answers())
        ask = asked_later(waits=until is not None)
        why = pause_question(f"{turn.id('held')}.why", lines, place=_("Read again"), ask=ask)
        stops = [Station(id=turn.id("held"), name=_("why"), questions=(why,), listed=False)]
        if until is not None:
            stops.append(self._wait(turn, until))
        stops.append(self._read(turn, plan))
        return stops

    def _acting_turn(self, turn: _Turn, answers: Answers) -> list[Station]:
        told = self._told_of(turn.plan)
        signs = self.dose.signs if self.dose is not None and turn.number == 0 else ()
        lines = (*told.why, *self._poured_before(turn, told), *signs)
        why = pause_question(f"{turn.id('held')}.why", lines, place=told.place)
        stops = [Station(id=turn.id("held"), name=_("what is held"), questions=(why,), listed=False)]
        key = f"{turn.id('water')}.poured"
        if told.water_l > 0.0:
            water = water_question(key, told)
            stops.append(Station(id=turn.id("water"), name=_("water"), questions=(water,)))
        if told.held:
            asked = told_question(f"{turn.id('told')}.told", told)
            stops.append(Station(id=turn.id("told"), name=_("tell the grower"), questions=(asked,)))
        until = self._until(turn, answers)
        if until is not None:
            stops.append(self._wait(turn, until))
            stops.append(self._read(turn, replace(turn.plan, range=Ranges())))
        return stops

    def _poured_before(self, turn: _Turn, told: HeldPlan) -> tuple[str, ...]:
        """Say who poured today, where something may go in now, or may not because of it."""
        asked = told.water_l > 0.0 or told.bottle_l is not None
        if self.dose is None or turn.number or not asked:
            return ()
        return poured_today(self.dose.past, turn.plan.at, self.rack)

    def _until(self, turn: _Turn, answers: Answers) -> datetime | None:
        """Give when it is mixed; None: nothing went in, or not so lately that it matters."""
        minutes = sum(step.minutes for step in turn.plan.steps if isinstance(step, Wait))
        if turn.reads_only:  # a plan always waits a minute; longer only where it isn't mixed yet
            return to_full_minute(turn.plan.at + timedelta(minutes=minutes)) if minutes > 1.0 else None
        went_in = answers.by_key.get(f"{turn.id('water')}.poured")
        if went_in is None or not went_in.value or went_in.at is None:
            return None
        return to_full_minute(went_in.at + timedelta(minutes=minutes or MIX_MINUTES))

    def _wait(self, turn: _Turn, until: datetime) -> Station:
        slot = Slot(id=turn.id("wait"), step=Wait(minutes=0.0))
        return wait_station(slot, _cycle(turn, turn.plan), until=until)

    def _read(self, turn: _Turn, plan: Plan) -> Station:
        return read_station(_slot(turn), _cycle(turn, plan), self.rack, early="", scale=self._scale())


def _slot(turn: _Turn) -> Slot:
    """Give the step that takes the readings of a turn."""
    read = next(
        (step for step in turn.plan.steps if isinstance(step, Read)), Read(what=("conductivity", "ph"))
    )
    return Slot(id=turn.id("read"), step=read)


def _cycle(turn: _Turn, plan: Plan) -> Cycle:
    return Cycle(
        number=turn.number,
        plan=plan,
        slots=(),
        made=(),
        over=False,
        went_in=False,
        not_read=False,
        last_at=plan.at,
    )
