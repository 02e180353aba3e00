"""Change day: from why now to the log, interruptible at every step.

The walk resets what it should: one `Change`, the change-day checks walked in it, what was drained and
poured, and the reading after mixing. Nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from tendtui.core.bands import Bands
from tendtui.core.change_gate import gate_events, gate_station, is_shut
from tendtui.core.change_mix import MixQuestions
from tendtui.core.change_rules import Spoken, why_change
from tendtui.core.change_said import ready_lines, why_lines
from tendtui.core.change_station import (
    Facts,
    clean_station,
    drain_station,
    fill_station,
    pause_station,
    read_station,
    start_station,
)
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.drain_sum import drain_sum, safe_words
from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.fresh_mix import FreshMix, fresh_mix
from tendtui.core.judge import near
from tendtui.core.learned_values import Learned
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Rack, Show
from tendtui.core.show import clock, show_value
from tendtui.core.slow_list import slow_list
from tendtui.core.slow_rules import SlowRules
from tendtui.core.tank import tank_now
from tendtui.core.task import Task
from tendtui.core.walk_past import past_of
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["ChangeScript", "change_script"]

_BEFORE = ("test-plug-in-trip-switch", "unplug-before-water")
_DRAIN = ("small-loads", "old-water-away")
_FILL = ("hose-above-water",)
_MIX = ("goggles-before-caps", "one-bottle-at-a-time")
_START = ("before-plugging-in",)
_ELSEWHERE = ("acid-into-water", "bleach-alone", "step-stool")
"""Shown where they belong: with the bottles, before cleaning, before reaching up."""


@value_class
class ChangeScript:
    """The walk of a change day."""

    rack: Rack
    rules: SlowRules
    why: tuple[Spoken, ...]
    """Which rules spoke when the walk began."""
    mix: FreshMix | None
    """The fresh mix; None: it couldn't be worked out, and the dose does it after the refill."""
    tasks: tuple[Task, ...]
    """The change-day tasks that fit the rack and aren't silenced."""
    level_l: float | None
    """Litres in the reservoir when the walk began; None: not known. [L]"""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "change"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("CHANGE DAY")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.rack.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops up to the first shut gate."""
        facts = self._without_flow(answers)
        stations = (
            pause_station("why", _("why now"), _("Why now"), why_lines(self.why), section="plan"),
            pause_station("have", _("have ready"), _("Have ready"), self._ready(), section="plan"),
            *self._gates(("step-stool",), answers, (), "safe"),
            *self._gates(_BEFORE[:1], answers, (), "safe"),
            pause_station(
                "back", _("what runs back"), _("Before the pump stops"), self._back(), section="safe"
            ),
            *self._gates(_BEFORE[1:], answers, (), "safe"),
            *self._gates(_DRAIN, answers, facts, "drain"),
            drain_station(self.rack, facts, level_l=self.level_l),
            clean_station(facts),
            *self._gates((*self._own_steps(), "bleach-alone"), answers, facts, "clean"),
            *self._gates(_FILL, answers, facts, "fill"),
            fill_station(self.rack, facts, planned_l=self._questions().planned_water_l),
            *self._gates(_MIX, answers, facts, "mix"),
            *self._acid_gate(answers, facts),
            *self._questions().stations(answers, facts),
            *self._gates(_START, answers, facts, "start"),
            start_station(answers),
            read_station(self.rack, self._questions().expected(self.show)),
        )
        return self._until_shut(stations, answers)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask once more for an amount far from the plan."""
        return self._questions().judge(question, value, answers)

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
        """Refuse a refill that the reservoir can't hold, or that leaves the pump in air."""
        del answers
        if question.key != "fill.litres" or typed.value is None:
            return ""
        brim_l = self.rack.reservoir.brim_l or self.rack.reservoir.full_l * 1.25
        if typed.value > brim_l:
            return _("The reservoir holds {litres} at most. Read its scale.").format(
                litres=self._litres(brim_l)
            )
        if typed.value < self.rack.reservoir.least_l:
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
        return first.text or {"good": _("good"), "not-here": _("not today"), "seen": _("done")}.get(
            first.word, ""
        )

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log what each answer did to the water, and the checks."""
        for task in self.tasks:
            if question.key.startswith(f"{task.id}."):
                return gate_events(task, question, entry)
        poured = Poured(id="", seq=0, at=entry.at, by=entry.by, what="")
        if entry.value is None:
            return ()
        if question.key == "drain.litres":
            return (_with(poured, what="drained", litres=entry.value),)
        if question.key == "fill.litres":
            planned = self._questions().planned_water_l
            reason = "; ".join(rule.words for rule in self.why)
            change = Change(id="", seq=0, at=entry.at, by=entry.by, litres=entry.value, reason=reason)
            return (_with(poured, what="water", litres=entry.value, planned=planned), change)
        return self._questions().events(question, entry, answers)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the reading after mixing and the notes, and hand over to the dose for the pH."""
        reading = Reading(
            id="",
            seq=0,
            at=now,
            by=walk.by,
            level_l=answers.value("read.level"),
            conductivity_ms_cm=answers.value("read.conductivity"),
            ph=answers.value("read.ph"),
            temperature_c=answers.value("read.temperature"),
            source="dose",
        )
        read = any(
            answers.value(f"read.{name}") is not None
            for name in ("level", "conductivity", "ph", "temperature")
        )
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        said = [_("The water is changed; the days, the water added and the change-day checks count anew.")]
        if read:
            said.append(_("Next: the plan for the pH, from these readings."))
        return Finish(
            events=(*((reading,) if read else ()), *notes), then="dose" if read else None, said=tuple(said)
        )

    # parts

    def _until_shut(self, stations: tuple[Station, ...], answers: Answers) -> tuple[Station, ...]:
        by_id = {task.id: task for task in self.tasks}
        for place, station in enumerate(stations):
            task = by_id.get(station.id)
            if task is not None and is_shut(task, answers):
                return stations[: place + 1]
        return stations

    def _gates(
        self, ids: tuple[str, ...], answers: Answers, facts: Facts, section: str
    ) -> tuple[Station, ...]:
        by_id = {task.id: task for task in self.tasks}
        return tuple(gate_station(by_id[i], answers, facts=facts, section=section) for i in ids if i in by_id)

    def _acid_gate(self, answers: Answers, facts: Facts) -> tuple[Station, ...]:
        return self._gates(("acid-into-water",), answers, facts, "mix") if self.mix and self.mix.acid else ()

    def _own_steps(self) -> tuple[str, ...]:
        placed = (*_BEFORE, *_DRAIN, *_FILL, *_MIX, *_START, *_ELSEWHERE)
        return tuple(task.id for task in self.tasks if task.id not in placed)

    def _questions(self) -> MixQuestions:
        return MixQuestions(rack=self.rack, mix=self.mix)

    def _ready(self) -> tuple[str, ...]:
        return ready_lines(self.rack, self.mix, level_l=self.level_l)

    def _back(self) -> tuple[str, ...]:
        safe = safe_words(minutes=self.rules.lip_minutes, hot_minutes=self.rules.hot_minutes)
        stand = _("Without flow the plants stand {safe}: judgement, no authority gives a figure.")
        return (*drain_sum(self.rack, level_l=self.level_l), stand.format(safe=safe))

    def _without_flow(self, answers: Answers) -> Facts:
        """Say since when the plants stand without flow, and how long they can."""
        stopped = answers.by_key.get("unplug-before-water.state")
        if stopped is None or stopped.at is None:
            return ()
        until = stopped.at + timedelta(minutes=self.rules.lip_minutes)
        hot = stopped.at + timedelta(minutes=self.rules.hot_minutes)
        told = _("since {since}; good until about {until}, in heat {hot}").format(
            since=clock(stopped.at), until=clock(until), hot=clock(hot)
        )
        return ((_("plants without flow"), told),)

    def _litres(self, value_l: float) -> str:
        return show_value(value_l, Quantity.VOLUME, self.show)


def change_script(
    *,
    data: Mapping[str, Mapping[str, object]],
    rack: Rack,
    events: Sequence[Event],
    done: Mapping[str, datetime],
    walk: Walk,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
) -> ChangeScript:
    """Make the script as things stood when the walk began.

    Args:
        data: The packaged tables, by the names in `slow_list.FILES`.
        rack: The rack.
        events: Effective events, in time order; those made since the walk began are left aside.
        done: What the state file remembers.
        walk: The change day.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
    """
    began = walk.began
    past = past_of(events, walk)
    top_ms_cm = bands.conductivity.band.high
    slow = slow_list(data, rack, past, done, began, top_ms_cm=top_ms_cm)
    tank = tank_now(past, rack, began)
    try:
        mix = fresh_mix(rack, now=began, bands=bands, facts=facts, learned=learned, tank=tank)
    except ValueError:
        mix = None  # the dose works the bottles out from readings after the refill
    steps = [due.task for due in slow.dues if due.task.cadence.trigger == "change-day"]
    return ChangeScript(
        rack=rack,
        rules=slow.rules,
        why=why_change(rack, past, began, rules=slow.rules, top_ms_cm=top_ms_cm),
        mix=mix,
        tasks=tuple(task for task in steps if not task.silenced),
        level_l=None if tank.level is None else tank.level.value,
    )


def _with(poured: Poured, *, what: str, litres: float, planned: float | None = None) -> Poured:
    return Poured(
        id=poured.id, seq=poured.seq, at=poured.at, by=poured.by, what=what, litres=litres, planned=planned
    )
