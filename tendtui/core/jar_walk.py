"""The walk of a jar test: bottle, jar, drops and readings, and what it says for the tank."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from tendtui.core.bands import Bands
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_ph import ph_aim
from tendtui.core.event import Event, TaskDone
from tendtui.core.jar_test import JarPoint, JarResult, jar_result
from tendtui.core.learned_values import Learned
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.show import show_amount, show_number, unit_words
from tendtui.core.tank import JAR_TASK, tank_now
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["JarScript", "jar_script"]

MOST_DROPS = 8
"""Additions in one jar; more say nothing new."""

_BOTTLE, _LITRES, _THINNED, _START = "jar.bottle", "jar.litres", "jar.thinned", "jar.start"


@value_class
class JarScript(RackScript):
    """A jar test of one bottle in the tank's own solution."""

    past: tuple[Event, ...]
    bands: Bands
    facts: DoseFacts
    began: datetime
    learned: Learned | None = None

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "jar"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("JAR TEST")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops: the jar, its additions as far as they came, the result."""
        if not self.rack.adjusters:
            return (_none_station(),)
        stops = [self._jar()]
        if any(not answers.done(key) or answers.by_key[key].reason for key in (_BOTTLE, _LITRES, _START)):
            return tuple(stops)
        for number in range(1, MOST_DROPS + 1):
            stops.append(self._drop(number, answers))
            if not self._goes_on(number, answers):
                break
        if self._drops_over(answers):
            stops.append(self._end(answers))
        return tuple(stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask again where the jar went the other way."""
        if not question.key.endswith(".ph") or not question.key.startswith("drop"):
            return Judgement()
        before = self._points(answers)[-1].ph
        down = self._bottle(answers).direction == "down"
        if (value > before + 0.1) if down else (value < before - 0.1):
            return Judgement(
                again=_("It went the other way. Stir, wait until it stands still, and read again.")
            )
        return Judgement()

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether a second reading confirms the first."""
        del question
        return abs(first - second) <= max(0.1, self.meter.ph_step)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse a jar of nothing, and a thinning of less than once."""
        del answers
        if question.key == _LITRES and typed.value is not None and not 0.05 <= typed.value <= 20.0:
            return _("A jar holds between 0.05 and 20 litres. Type how much solution is in it")
        if question.key == _THINNED and typed.value is not None and typed.value < 1.0:
            return _("1 means not thinned, 10 means one part in ten. Type 1 or more")
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what stands at a station."""
        values = [answers.by_key[q.key].typed for q in station.questions if answers.value(q.key) is not None]
        return ", ".join(values)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Leave nothing before the end: a jar changes nothing in the tank."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Log what the jar says, so that it can be learned from."""
        outcome = self._outcome(answers)
        if outcome is None:
            return Finish(said=(_("The jar says nothing that can be used. Nothing was changed."),))
        bottle = self._bottle(answers)
        values = {
            "ml_per_l": outcome.ml_per_l,
            "response": outcome.response,
            "start_ph": outcome.start_ph,
            "end_ph": outcome.end_ph,
            "told_ml_per_l": outcome.told_ml_per_l,
            "jar_l": answers.value(_LITRES) or 0.0,
        }
        done = TaskDone(id="", seq=0, at=now, by=walk.by, task=JAR_TASK, text=bottle.name, values=values)
        return Finish(events=(done,), said=self._said(outcome, bottle))

    def _bottle(self, answers: Answers) -> Adjuster:
        name = answers.word(_BOTTLE)
        return next((a for a in self.rack.adjusters if a.name == name), self.rack.adjusters[0])

    def _points(self, answers: Answers) -> tuple[JarPoint, ...]:
        thinned = max(answers.value(_THINNED) or 1.0, 1.0)
        points = [JarPoint(added_ml=0.0, ph=answers.value(_START) or 7.0)]
        added = 0.0
        for number in range(1, MOST_DROPS + 1):
            more, ph = answers.value(f"drop{number}.added"), answers.value(f"drop{number}.ph")
            if more is None or ph is None:
                break
            added += more / thinned
            points.append(JarPoint(added_ml=added, ph=ph))
        return tuple(points)

    def _aim(self) -> float:
        drift = None if self.learned is None else self.learned.drift_ph_day
        return ph_aim(self.bands.ph.band, drift_ph_day=drift)

    def _goes_on(self, number: int, answers: Answers) -> bool:
        """Say whether another addition follows this one."""
        added, ph = answers.value(f"drop{number}.added"), answers.value(f"drop{number}.ph")
        if added is None or ph is None:
            return False
        return ph > self._aim() if self._bottle(answers).direction == "down" else ph < self._aim()

    def _drops_over(self, answers: Answers) -> bool:
        for number in range(1, MOST_DROPS + 1):
            keys = (f"drop{number}.added", f"drop{number}.ph")
            if not answers.done(keys[0]):
                return False
            if answers.value(keys[0]) is None:
                return True
            if not answers.done(keys[1]):
                return False
            if not self._goes_on(number, answers):
                return True
        return True

    def _outcome(self, answers: Answers) -> JarResult | None:
        points = self._points(answers)
        jar_l = answers.value(_LITRES)
        if jar_l is None or len(points) < 2:
            return None
        try:
            return jar_result(
                self._model(),
                self._bottle(answers),
                points,
                jar_l=jar_l,
                aim=self._aim(),
                band=self.bands.ph.band,
            )
        except ValueError:
            return None

    def _model(self) -> TankModel:
        tank = tank_now(self.past, self.rack, self.began)
        band = self.bands.conductivity.band
        usual = (band.low + band.high) / 2.0
        return tank_model(self.rack, tank, self.facts, self.learned or Learned(), usual_ms_cm=usual)

    def _jar(self) -> Station:
        bottles = tuple(
            Choice(digit=str(n), word=adjuster.name, text=adjuster.name)
            for n, adjuster in enumerate(self.rack.adjusters[:9], start=1)
        )
        return Station(
            id="jar",
            name=_("the jar"),
            questions=(
                Question(
                    key=_BOTTLE,
                    place=_("Jar test"),
                    ask=_("Which bottle is tried?"),
                    kind=Kind.CHOICE,
                    choices=bottles,
                    why=_("The jar answers for the water and for the bottle at once."),
                    safety=_safety(),
                    quiet=True,
                ),
                Question(
                    key=_LITRES,
                    place=_("Jar test"),
                    ask=_("Take solution from the tank into a clear jar. How much is in it?"),
                    kind=Kind.NUMBER,
                    quantity=Quantity.VOLUME,
                    unit=unit_words(Quantity.VOLUME, self.show),
                    how=_("One litre is easy to reckon with; measure it, don't guess."),
                    good=_("Mixed solution from the running tank, nothing poured for an hour."),
                ),
                Question(
                    key=_THINNED,
                    place=_("Jar test"),
                    ask=_(
                        "How many times is the bottle thinned for the jar? 1 = not at all, 10 = one part "
                        "in ten."
                    ),
                    kind=Kind.NUMBER,
                    quantity=Quantity.COUNT,
                    how=_("Acid into water: 9 millilitres of water first, then 1 millilitre of the bottle."),
                    why=_("A litre needs drops only; thinned, they become millilitres one can read."),
                    safety=_safety(),
                ),
                Question(
                    key=_START,
                    place=_("Jar test"),
                    ask=_("What is the pH in the jar, before anything goes in?"),
                    kind=Kind.NUMBER,
                    quantity=Quantity.PH,
                ),
            ),
        )

    def _drop(self, number: int, answers: Answers) -> Station:
        bottle = self._bottle(answers).name
        questions = [
            Question(
                key=f"drop{number}.added",
                place=bottle,
                ask=_("How much goes into the jar now? Enter alone = enough."),
                kind=Kind.NUMBER,
                quantity=Quantity.LIQUID,
                unit=unit_words(Quantity.LIQUID, self.show),
                optional=True,
                safety=_safety(),
                how=_("A little at a time, stirred; what is typed is only what goes in now."),
                good=_("pH moves by a quarter to a half each time."),
                quiet=True,
            )
        ]
        if answers.value(f"drop{number}.added") is not None or not answers.done(f"drop{number}.added"):
            questions.append(
                Question(
                    key=f"drop{number}.ph",
                    place=bottle,
                    ask=_("Stirred, and standing still: what is the pH now?"),
                    kind=Kind.NUMBER,
                    quantity=Quantity.PH,
                    facts=((_("wanted"), show_number(round(self._aim(), 1), Quantity.PH, self.show)),),
                )
            )
        return Station(
            id=f"drop{number}", name=_("addition {n}").format(n=number), questions=tuple(questions)
        )

    def _end(self, answers: Answers) -> Station:
        outcome = self._outcome(answers)
        said: tuple[str, ...] = (
            _("The jar did not move the way the bottle should, or nothing was added: it says nothing."),
        )
        if outcome is not None:
            said = self._said(outcome, self._bottle(answers))
        return Station(
            id="end",
            name=_("what it says"),
            questions=(
                Question(
                    key="end.seen",
                    place=_("Jar test"),
                    ask=_("Pour the jar away, not back: read it, then go on."),
                    kind=Kind.PAUSE,
                    before=said,
                    may_skip=False,
                    quiet=True,
                ),
            ),
            listed=False,
        )

    def _said(self, outcome: JarResult, bottle: Adjuster) -> tuple[str, ...]:
        words = {
            "aim": show_number(round(self._aim(), 1), Quantity.PH, self.show),
            "ml": show_amount(outcome.ml_per_l, decimals=3),
            "bottle": bottle.name,
            "tank": show_amount(outcome.tank_ml, decimals=1),
            "first": show_amount(outcome.first_ml),
        }
        tank = tank_now(self.past, self.rack, self.began)
        if tank.level is None or tank.level_is_stale:
            each = _("To pH {aim} it takes {ml} millilitres of {bottle} a litre.")
            then = _("Read the level: the next dose then says how much that is for the tank.")
        else:
            each = _("To pH {aim} it takes {ml} millilitres of {bottle} a litre, {tank} for the whole tank.")
            then = _("The next dose reckons with it; its first portion will be about {first} millilitres.")
        said = [each.format(**words), then.format(**words)]
        if not outcome.reached:
            said.append(_("The jar did not come to the wanted pH: the rest of the way is reckoned."))
        return tuple(said)


def jar_script(
    *,
    rack: Rack,
    events: Iterable[Event],
    began: datetime,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
) -> JarScript:
    """Make the script of a jar test.

    Args:
        rack: The rack.
        events: The log.
        began: When the walk began.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
    """
    past = tuple(event for event in events if event.at <= began)
    return JarScript(rack=rack, past=past, bands=bands, facts=facts, began=began, learned=learned)


def _none_station() -> Station:
    question = Question(
        key="jar.none",
        place=_("Jar test"),
        ask=_("The rack file names no bottle that moves pH: there is nothing to try."),
        kind=Kind.PAUSE,
        may_skip=False,
    )
    return Station(id="jar", name=_("the jar"), questions=(question,))


def _safety() -> tuple[str, ...]:
    return (
        _("Gloves and glasses on. Acid or alkali into water, never water into it."),
        _("Never near bleach. The jar is for this only, never for drinking; children and animals away."),
    )
