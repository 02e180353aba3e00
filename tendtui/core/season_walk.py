"""Ending a season and starting again: steps, checks and the drain, from the packaged table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.change_gate import gate_events, gate_station, is_shut
from tendtui.core.change_station import drain_station, pause_station
from tendtui.core.drain_sum import drain_sum
from tendtui.core.event import Event, Note, Plants, Poured
from tendtui.core.plants import Batch, standing
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.safety_line import hands_lines
from tendtui.core.show import show_value
from tendtui.core.task import Task
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["SeasonScript", "SeasonStep", "season_script"]


@value_class
class SeasonStep:
    """One step: exactly one of a task's id, something to do, the drain, or what runs back."""

    section: str
    check: str = ""
    do: str = ""
    why: str = ""
    drain: bool = False
    back: bool = False
    """The sum that is shown before the pump is stopped."""
    pull: bool = False
    """Whether all plants are pulled in it."""
    needs: str = ""
    """What the rack must have for it: `air`; empty: nothing."""


@value_class
class SeasonScript(RackScript):
    """The walk that lays a rack up, or wakes it."""

    walk_kind: str
    head: str
    why: tuple[str, ...]
    steps: tuple[SeasonStep, ...]
    log: str
    """What the note about it is called."""
    said: str
    then: str | None
    tasks: Mapping[str, Task]
    standing: tuple[Batch, ...] = ()
    """The plants that stood when the walk began."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return self.walk_kind

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return self.head

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops up to the first shut gate."""
        stations = [self._why()]
        for number, step in enumerate(self.steps, start=1):
            task = self.tasks.get(step.check)
            if step.check and task is None:
                continue  # silenced, or not on this rack
            if step.needs == "air" and not self.rack.reservoir.aerated:
                continue
            stations.append(self._station(number, step, task, answers))
            if task is not None and is_shut(task, answers):
                break
        return tuple(stations)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was done."""
        question = station.questions[0]
        value = answers.value(question.key)
        if value is not None:
            return show_value(value, Quantity.VOLUME, self.show)
        answer = answers.by_key.get(question.key)
        if answer is None:
            return ""
        return answer.text or {"good": _("good"), "not-here": _("not here")}.get(answer.word, _("done"))

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log checks, the drain, and the plants that are pulled."""
        del answers
        task = self.tasks.get(question.key.partition(".")[0])
        if task is not None:
            return gate_events(task, question, entry)
        if question.key == "drain.litres" and entry.value is not None:
            drained = Poured(id="", seq=0, at=entry.at, by=entry.by, what="drained", litres=entry.value)
            return (drained,)
        if entry.word and any(
            s.pull and question.key == f"do.{n}" for n, s in enumerate(self.steps, start=1)
        ):
            return tuple(_pulled(batch, entry) for batch in self.standing)
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave a note that the season ended or began."""
        notes = [Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values()]
        mark = Note(id="", seq=0, at=now, by=walk.by, text=self.head.capitalize(), about=self.log)
        return Finish(events=(mark, *notes), then=self.then, said=(self.said,))

    def _why(self) -> Station:
        question = Question(
            key="why.read",
            place=_("rack"),
            ask=_("Why and what"),
            kind=Kind.PAUSE,
            before=self.why,
            safety=hands_lines(),
            quiet=True,
        )
        return Station(id="why", name=_("why and what"), questions=(question,), section="plan")

    def _station(self, number: int, step: SeasonStep, task: Task | None, answers: Answers) -> Station:
        if task is not None:
            return gate_station(task, answers, section=step.section)
        if step.drain:
            return drain_station(self.rack, (), level_l=None)
        if step.back:
            runs_back = drain_sum(self.rack, level_l=None)
            return pause_station(
                "back", _("what runs back"), _("Before the pump stops"), runs_back, section=step.section
            )
        question = Question(
            key=f"do.{number}", place=_("rack"), ask=step.do, kind=Kind.PAUSE, why=step.why, quiet=True
        )
        return Station(id=f"do.{number}", name=step.do, questions=(question,), section=step.section)


def _pulled(batch: Batch, entry: Entry) -> Plants:
    return Plants(
        id="",
        seq=0,
        at=entry.at,
        by=entry.by,
        act="pull",
        crop=batch.crop,
        count=batch.count,
        tier=batch.tier,
    )


def season_script(
    kind: str,
    table: Mapping[str, object],
    tasks: Sequence[Task],
    rack: Rack,
    *,
    past: Sequence[Event] = (),
) -> SeasonScript:
    """Make the script of `season-end` or `season-start`.

    Args:
        kind: The walk's kind.
        table: The packaged table.
        tasks: The rack's tasks; silenced ones are left out of the walk.
        rack: The rack.
        past: Effective events from before the walk began, for the plants that stand.

    Raises:
        LookupError: If the table knows no such walk.
    """
    season = next(
        (value for value in table.values() if isinstance(value, Mapping) and value.get("kind") == kind), None
    )
    if season is None:
        raise LookupError(f"no season walk is called {kind}")
    then = season.get("then")
    return SeasonScript(
        walk_kind=kind,
        head=_(str(season["title"])),
        why=tuple(_(line) for line in season["why"]),
        steps=tuple(_step(row) for row in season["step"]),
        log=str(season["log"]),
        said=_(str(season["said"])),
        then=None if then is None else str(then),
        tasks={task.id: task for task in tasks if not task.silenced},
        rack=rack,
        standing=standing(past),
    )


def _step(row: Mapping[str, object]) -> SeasonStep:
    return SeasonStep(
        section=str(row["section"]),
        check=str(row.get("check", "")),
        do=_(str(row.get("do", ""))),
        why=_(str(row.get("why", ""))),
        drain=bool(row.get("drain", False)),
        pull=bool(row.get("pull", False)),
        back=bool(row.get("back", False)),
        needs=str(row.get("needs", "")),
    )
