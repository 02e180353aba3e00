"""The dose as a newcomer walks it: the water that can be added safely, and the rest held for the grower."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event, Note, Poured
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Plan, Verdict
from tendtui.core.plan_words import step_words
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Rack, Show
from tendtui.core.role import HELD, Role, held_steps, safe_steps
from tendtui.core.show import show_value, unit_words
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["HeldDoseScript", "OthersDoseScript"]

_TWICE_FROM_L = 2.0
"""Water by which an amount typed may differ from the one asked for before it is keyed once more. [L]"""


@value_class
class HeldDoseScript:
    """What somebody does who may not dose alone; see `tendtui.core.walk_value.Script`."""

    rack: Rack
    plan: Plan
    """The plan for the readings of the round."""
    bottle_l: float | None = None
    """Water in the day's own bottle while the grower is away; None: there is none. [L]"""
    kind: str = "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.rack.meter

    @property
    def water_l(self) -> float:
        """Give the water to add: the day's bottle, else what the plan says; never over the mark. [L]."""
        planned = sum(s.litres for s in safe_steps(self.plan, Role.NEWCOMER) if isinstance(s, AddWater))
        level = self.plan.readings.level_l
        room = self.rack.reservoir.full_l - level if level is not None else 0.0
        wanted = planned if self.bottle_l is None else self.bottle_l
        return rounded_down(max(0.0, min(wanted, room)), mark=self.rack.measuring.water_l)

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the pause that says what is held, the water, and the telling."""
        del answers
        stops = [Station(id="held", name=_("what is held"), questions=(self._why(),), listed=False)]
        if self.water_l > 0.0:
            stops.append(Station(id="water", name=_("water"), questions=(self._water(),)))
        if self._held():
            stops.append(Station(id="told", name=_("tell the grower"), questions=(self._told(),)))
        return tuple(stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Have an amount keyed twice that is far from the one asked for."""
        del question, answers
        if abs(value - self.water_l) <= max(_TWICE_FROM_L, 0.1 * self.water_l):
            return Judgement()
        return Judgement(
            again=_("Asked for: {asked}. Key once more what really went in.").format(
                asked=show_value(self.water_l, Quantity.VOLUME, self.show)
            )
        )

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the second keying confirms the first."""
        del question
        return abs(first - second) <= self.rack.measuring.water_l

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse more water than the reservoir holds."""
        del question, answers
        most = 1.5 * max(self.rack.reservoir.full_l, self.rack.reservoir.brim_l or 0.0)
        if typed.value is None or typed.value <= most:
            return ""
        return _("The reservoir can't take {value}. Look at the mark again").format(
            value=show_value(typed.value, Quantity.VOLUME, self.show)
        )

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was done there."""
        value = answers.value("water.poured") if station.id == "water" else None
        if value is not None:
            return show_value(value, Quantity.VOLUME, self.show)
        word = answers.word("told.told") if station.id == "told" else ""
        return {"rang": _("told"), "wrote": _("written to"), "not-reached": _("not reached")}.get(word, "")

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log at once what went in, and that a dose is held."""
        del answers
        if question.key == "held.why" and self._held():
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=self._held(), about=HELD),)
        if question.key == "water.poured" and entry.value is not None:
            poured = Poured(
                id="", seq=0, at=entry.at, by=entry.by, what="water", litres=entry.value, planned=self.water_l
            )
            return (poured,)
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Go on to the leaving list, and say what waits."""
        del walk, now
        said = [_("Held for the grower: {what}.").format(what=self._held())] if self._held() else []
        if answers.word("told.told") == "not-reached":
            said.append(_("Try the grower again today. The plants can wait a day for food."))
        return Finish(then="leaving", said=tuple(said))

    def _held(self) -> str:
        if self.plan.verdict is Verdict.CHANGE:
            return _("the water is to be changed")
        return "; ".join(step_words(step, self.rack) for step in held_steps(self.plan, Role.NEWCOMER))

    def _why(self) -> Question:
        held = self._held()
        lines = [*self.plan.reasons]
        lines += (
            [
                _("This wants a bottle of feed or acid, or a drain. That is for the grower: {what}.").format(
                    what=held
                ),
                _("It is kept for the grower, who sees it first thing. Leave those bottles shut."),
            ]
            if held
            else [_("Nothing is to be poured from a bottle today.")]
        )
        if self.water_l > 0.0:
            lines.append(_("What you can do now: plain water, up to the upper mark."))
        return Question(
            key="held.why",
            place=_("Before you pour"),
            ask=_("Read it, then go on."),
            kind=Kind.PAUSE,
            before=tuple(lines),
            may_skip=False,
            quiet=True,
        )

    def _water(self) -> Question:
        amount = show_value(self.water_l, Quantity.VOLUME, self.show)
        ask = (
            _("Add {amount} of plain water. How much really went in?")
            if self.bottle_l is None
            else _("Pour {amount} from today's bottle. How much really went in?")
        )
        return Question(
            key="water.poured",
            place=_("Water"),
            ask=ask.format(amount=amount),
            kind=Kind.NUMBER,
            quantity=Quantity.VOLUME,
            unit=unit_words(Quantity.VOLUME, self.show),
            where=_("the reservoir, where the water falls back in"),
            how=_("Slowly, five litres at a time. Stop at the upper mark, also if some is left."),
            why=_("Plants drink plain water; the pump needs water over its mouth."),
            good=_("The level stands at or just under the full mark, pump running."),
            safety=(_("Keep plugs and leads dry; no hose is left running alone."),),
            whole_steps=self.rack.measuring.water_l,
            quiet=True,
        )

    def _told(self) -> Question:
        numbers = tuple(f"{who}: {number}" for who, number in self.rack.phones.items())
        return Question(
            key="told.told",
            place=_("Tell the grower"),
            ask=_("Have you told the grower?"),
            kind=Kind.CHOICE,
            before=(_("Say: {what}.").format(what=self._held()), *numbers),
            choices=(
                Choice(digit="1", word="rang", text=_("yes, we spoke")),
                Choice(digit="2", word="wrote", text=_("I wrote a message")),
                Choice(digit="3", word="not-reached", text=_("could not reach anybody"), look=True),
            ),
            may_skip=False,
        )


@value_class
class OthersDoseScript:
    """A dose that somebody began who may, taken up by somebody who may not: nothing goes on here."""

    rack: Rack
    began_by: str
    kind: str = "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.rack.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the one page that says whose dose it is."""
        del answers
        question = Question(
            key="others.dose",
            place=_("Not yours"),
            ask=_("Pause here and ring the grower."),
            kind=Kind.PAUSE,
            before=(
                _("{who} began this dose and has not finished it.").format(
                    who=self.began_by or _("The grower")
                ),
                *(f"{who}: {number}" for who, number in self.rack.phones.items()),
            ),
            may_skip=False,
            quiet=True,
        )
        return (Station(id="others", name=_("not yours"), questions=(question,), listed=False),)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """There is no number here."""
        del question, value, answers
        return Judgement()

    def near(self, question: Question, first: float, second: float) -> bool:
        """There is no number here."""
        del question
        return first == second

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go on."""
        del question, typed, answers
        return _("This dose is for whoever began it, or the grower. Pause here")

    def found(self, station: Station, answers: Answers) -> str:
        """Nothing is found here."""
        del station, answers
        return ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Nothing happens here."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """It doesn't end here."""
        del walk, answers, now
        return Finish()
