"""Change day: from why now to the log, interruptible at every step.

The walk resets what it should: one `Change`, the change-day checks walked in it, what was drained and
poured, and the reading after mixing. Nothing else.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.bands import Bands
from tendtui.core.change_gate import gate_events, gate_station, is_shut
from tendtui.core.change_mix import MixQuestions
from tendtui.core.change_read import FreshReading
from tendtui.core.change_rules import Spoken
from tendtui.core.change_said import ready_lines, why_lines
from tendtui.core.change_station import (
    Facts,
    as_cleaned,
    drain_station,
    fill_station,
    pause_station,
    rinse_stations,
    start_station,
    wait_until,
    wipe_station,
)
from tendtui.core.drain_sum import drain_sum, safe_words
from tendtui.core.event import Change, Event, Note, Poured
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.judge import near
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.show import clock, show_value
from tendtui.core.slow_rules import SlowRules
from tendtui.core.task import Task
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["CLEANED", "ChangeScript"]

CLEANED = ("clean-air-stones", "clean-pump")
"""Tasks of their own cadence that change day does anyway: done here, they count from today."""
_BEFORE = ("test-plug-in-trip-switch", "unplug-before-water")
_DRAIN = ("small-loads", "old-water-away")
_FILL = ("hose-above-water",)
_MIX = ("goggles-before-caps",)
_MIXED = ("one-bottle-at-a-time",)
_START = ("before-plugging-in",)
_ELSEWHERE = ("acid-into-water", "bleach-alone", "step-stool")
"""Shown where they belong: after the reading, before cleaning, before reaching up."""


@value_class
class ChangeScript(RackScript):
    """The walk of a change day."""

    rules: SlowRules
    why: tuple[Spoken, ...]
    """Which rules spoke when the walk began."""
    mix: FreshMix | None
    """The fresh mix; None: it couldn't be worked out, and the dose does it after the refill."""
    tasks: tuple[Task, ...]
    """The change-day tasks and those of `CLEANED` that fit the rack and aren't silenced."""
    level_l: float | None
    """Litres in the reservoir when the walk began; None: not known. [L]"""
    bands: Bands
    """What the rack is kept at."""
    stand: tuple[str, ...] = ()
    """How far the rules were from asking when the walk began."""
    left_before: datetime | None = None
    """A bottle named before this, and no amount after it: the walk was left in between. None: it wasn't."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "change"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("CHANGE DAY")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops up to the first shut gate."""
        facts, mix = self.without_flow(answers), self._questions(answers)
        stations = (
            pause_station("why", _("why now"), _("Why now"), why_lines(self.why, self.stand), section="plan"),
            pause_station("have", _("have ready"), _("Have ready"), self._ready(), section="plan"),
            *self._gates(("step-stool",), answers, (), "safe"),
            pause_station(
                "back", _("what runs back"), _("Before the pump stops"), self._back(), section="safe"
            ),
            *self._gates(_BEFORE, answers, (), "safe"),
            *self._gates(_DRAIN, answers, facts, "drain"),
            drain_station(self.rack, facts, level_l=self.level_l),
            wipe_station(facts),
            *self._gates((*CLEANED, *self._own_steps(), "bleach-alone"), answers, facts, "clean"),
            *self._gates(_FILL, answers, facts, "fill"),
            *rinse_stations(self.rack, facts, rinse_l=mix.rinse_l),
            fill_station(self.rack, facts, planned_l=mix.planned_water_l),
            *(self._gates(_MIX, answers, facts, "mix") if mix.pours else ()),
            *mix.stations(answers, facts),
            *(self._mixed_gate(answers, facts) if mix.pours else ()),
            *self._gates(_START, answers, facts, "start"),
            start_station(self.rack, answers),
            self._reading(answers).station(answers, reached=answers.done("start.wait")),
            *self._acid_gate(answers),
        )
        return self._until_shut(stations, answers)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask once more for an amount far from the plan, and for a reading far from the mix."""
        if question.key.startswith("read.") and question.quantity is not None:
            return self._reading(answers).judge(question.quantity, value, answers)
        return self._questions(answers).judge(question, value, answers)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the second keying confirms the first."""
        if question.quantity is None or question.quantity in (
            Quantity.LIQUID,
            Quantity.POWDER,
            Quantity.VOLUME,
        ):
            return abs(first - second) <= 1e-9 + 0.01 * abs(first)
        return near(first, second, quantity=question.quantity, meter=self.meter)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go on before it is mixed, and water that can't be in the reservoir."""
        if question.until is not None and typed.at < question.until:
            return _("It is {now}; read at {until}. If you can't wait, press x and say why").format(
                now=clock(typed.at.astimezone(question.until.tzinfo)), until=clock(question.until)
            )
        if typed.value is None:
            return ""
        if question.key.startswith("read.") and question.quantity is not None:
            return self._reading(answers).refuse(question.quantity, typed.value)
        if question.key not in ("fill.litres", "rinse.litres", "drain.litres", "rinse.drained"):
            return ""
        brim_l = self.rack.reservoir.brim_l or self.rack.reservoir.full_l * 1.25
        if typed.value > brim_l:
            return _("The reservoir holds {litres} at most. Read its scale.").format(
                litres=self._litres(brim_l)
            )
        if question.key == "fill.litres" and typed.value < self.rack.reservoir.least_l:
            least = self._litres(self.rack.reservoir.least_l)
            return _("Below {litres} the pump draws air. Fill on, then type the litres.").format(litres=least)
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was done at a station."""
        for question in station.questions:
            value = answers.value(question.key)
            if value is not None and question.quantity is not None:
                return show_value(value, question.quantity, self.show)
        first = answers.by_key.get(station.questions[0].key)
        if first is None:
            return ""
        words = {
            "good": _("good"),
            "not-here": _("not today"),
            "seen": _("done"),
            "no": _("no"),
            "yes": _("yes"),
        }
        return first.text or words.get(first.word, "")

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log what each answer did to the water, and the checks."""
        for task in self.tasks:
            if question.key.startswith(f"{task.id}."):
                return gate_events(task, question, entry)
        poured = Poured(id="", seq=0, at=entry.at, by=entry.by, what="")
        if question.key.startswith("pour."):
            return self._questions(answers).events(question, entry, answers)
        if entry.value is None:
            return ()
        if question.key in ("drain.litres", "rinse.drained"):
            return (_with(poured, what="drained", litres=entry.value),)
        if question.key == "rinse.litres":
            return (_with(poured, what="water", litres=entry.value),)
        if question.key == "fill.litres":
            planned = self._questions(answers).planned_water_l
            reason = "; ".join(rule.words for rule in self.why)
            change = Change(id="", seq=0, at=entry.at, by=entry.by, litres=entry.value, reason=reason)
            return (_with(poured, what="water", litres=entry.value, planned=planned), change)
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the reading after mixing and the notes, and hand over to the dose for the pH."""
        reading = self._reading(answers).reading(walk, answers, now)
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        said = [_("The water is changed; the days, the water added and the change-day checks count anew.")]
        if reading is None:
            said.append(_("Not read: nothing is poured for the pH before it is. It stays on today's page."))
            return Finish(events=notes, said=tuple(said))
        said.append(_("Next: the plan for the pH, from these readings."))
        return Finish(events=(reading, *notes), then="dose", said=tuple(said))

    def without_flow(self, answers: Answers) -> Facts:
        """Say since when the plants stand without flow, and how long they can; nothing with the pump on."""
        stopped = answers.by_key.get("unplug-before-water.state")
        if stopped is None or stopped.at is None or wait_until(answers) is not None:
            return ()
        until = stopped.at + timedelta(minutes=self.rules.lip_minutes)
        hot = stopped.at + timedelta(minutes=self.rules.hot_minutes)
        told = _("since {since}; good until about {until}, in heat {hot}").format(
            since=clock(stopped.at), until=clock(until), hot=clock(hot)
        )
        return ((_("plants without flow"), told),)

    # parts

    def _until_shut(self, stations: tuple[Station, ...], answers: Answers) -> tuple[Station, ...]:
        by_id = {task.id: task for task in self.tasks}
        for place, station in enumerate(stations):
            task = by_id.get(station.id)
            if task is not None and is_shut(task, answers):
                return stations[: place + 1]
        return stations

    def _gates(
        self, ids: tuple[str, ...], answers: Answers, facts: Facts, section: str, *, ask: str = ""
    ) -> tuple[Station, ...]:
        by_id = {task.id: as_cleaned(task) for task in self.tasks}
        return tuple(
            gate_station(by_id[i], answers, facts=facts, section=section, ask=ask) for i in ids if i in by_id
        )

    def _mixed_gate(self, answers: Answers, facts: Facts) -> tuple[Station, ...]:
        ask = _("All parts are in, each stirred in by itself. Look at the water.")
        return self._gates(_MIXED, answers, facts, "mix", ask=ask)

    def _acid_gate(self, answers: Answers) -> tuple[Station, ...]:
        """Ask for the jug of water once the reading wants acid or alkali, before the plan names how much."""
        ph = answers.value("read.ph")
        if ph is None or self.bands.ph.band.holds(ph) or not self.rack.adjusters:
            return ()
        return self._gates(("acid-into-water",), answers, (), "read")

    def _reading(self, answers: Answers) -> FreshReading:
        until, waited = wait_until(answers), answers.by_key.get("start.wait")
        early = ""
        if until is not None and waited is not None and waited.at is not None and waited.at < until:
            early = _("[!] Read before {until}: it may not be mixed yet.").format(until=clock(until))
        return FreshReading(
            rack=self.rack,
            bands=self.bands,
            mix=self.mix,
            steps=self._questions(answers).done(answers),
            early=early,
        )

    def _own_steps(self) -> tuple[str, ...]:
        placed = (*CLEANED, *_BEFORE, *_DRAIN, *_FILL, *_MIX, *_MIXED, *_START, *_ELSEWHERE)
        return tuple(task.id for task in self.tasks if task.id not in placed)

    def _questions(self, answers: Answers) -> MixQuestions:
        left = set()
        for key, named in answers.by_key.items():
            station, _dot, asked = key.rpartition(".")
            is_left = self.left_before is not None and named.at is not None and named.at < self.left_before
            if asked == "name" and is_left and not answers.done(f"{station}.amount"):
                left.add(station)
        return MixQuestions(rack=self.rack, mix=self.mix, left=frozenset(left))

    def _ready(self) -> tuple[str, ...]:
        return ready_lines(self.rack, self.mix, level_l=self.level_l)

    def _back(self) -> tuple[str, ...]:
        safe = safe_words(minutes=self.rules.lip_minutes, hot_minutes=self.rules.hot_minutes)
        stand = _("Without flow the plants stand {safe}: judgement, no authority gives a figure.")
        return (*drain_sum(self.rack, level_l=self.level_l), stand.format(safe=safe))

    def _litres(self, value_l: float) -> str:
        return show_value(value_l, Quantity.VOLUME, self.show)


def _with(poured: Poured, *, what: str, litres: float, planned: float | None = None) -> Poured:
    return Poured(
        id=poured.id, seq=poured.seq, at=poured.at, by=poured.by, what=what, litres=litres, planned=planned
    )
