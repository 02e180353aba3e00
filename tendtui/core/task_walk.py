"""Doing a task: made safe first, its steps ticked one at a time, its readings, its result."""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.event import Event, Note, Reading, TaskDone
from tendtui.core.finding_follow import OpenFinding, follow_due, follow_id
from tendtui.core.judge import near
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.safety_line import lines_for
from tendtui.core.show import quantity_name, unit_words, when
from tendtui.core.slow_rules import SlowRules
from tendtui.core.task import NOT_HERE, Task
from tendtui.core.task_reading import reading_stations, reading_values
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.core.water_reading import WaterReadings, flows_doubted, flows_read
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["TaskScript", "stop_question"]

_READY, _RESULT, _AGAIN, _STOP = "ready.state", "result.outcome", "result.again", "result.stop"
_AFTER = "steps-after"
_BUFFER_FAR = 1.5
"""A buffer that shows this far from its pH is the other buffer, or the meter is not in it. Chosen here."""


@value_class
class TaskScript(RackScript):
    """The walk of one task."""

    task: Task
    past: tuple[Event, ...]
    """Effective events from before the walk began, in time order."""
    rules: SlowRules
    open_finding: OpenFinding | None = None
    """What is still open from an earlier time."""
    began: datetime

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return f"task:{self.task.id}"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("TASK")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops: made safe, what is open, steps, readings, result."""
        stations = [*self._ready(), *self._still_open()]
        if answers.word(_READY) == "not-possible":
            return (self._ready()[0],)
        before, after = self._steps()
        stations.extend(before)
        stations.extend(
            reading_stations(self.task.reads, answers, rack=self.rack, events=self.past, rules=self.rules)
        )
        stations.extend(after)
        stations.append(self._result(answers))
        return tuple(stations)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask again where a buffer shows what another buffer should, or the second timing differs much."""
        wanted = {"buffers.seven": 7.0, "buffers.four": 4.0}.get(question.key)
        if wanted is not None and abs(value - wanted) > _BUFFER_FAR:
            return Judgement(
                again=_("That is far from {ph:g}. Is it this buffer, and is the cap off?").format(ph=wanted)
            )
        if question.quantity is Quantity.FLOW and question.key.startswith("flow."):
            doubt = self._water().doubt(int(question.key[len("flow.") : -1]), value)
            if doubt:
                return Judgement(again=doubt, look=True)
        first = answers.value(question.key[:-1] + "a") if question.key.endswith("b") else None
        if (
            question.quantity is Quantity.FLOW
            and first is not None
            and abs(value - first) > 0.2 * max(value, first)
        ):
            return Judgement(again=_("The two differ by more than a fifth. Time it a third time."))
        return Judgement()

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse `all alike` where the timings say otherwise."""
        if question.key != _RESULT or typed.word != "good" or "flow" not in self.task.reads:
            return ""
        said = self._water().contradicts_good(answers)
        if not said:
            return ""
        return _(
            "The numbers say: {said} Type 2 and what you see there, or go back and time it again"
        ).format(said=said)

    def _water(self) -> WaterReadings:
        return WaterReadings(rack=self.rack, events=self.past, rules=self.rules)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether a second reading confirms the first."""
        if question.quantity is None:
            return first == second
        return near(first, second, quantity=question.quantity, meter=self.meter)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what stands at a station."""
        keys = [question.key for question in station.questions]
        if station.id in ("steps", _AFTER):
            return _("{n} of {many}").format(n=sum(answers.done(key) for key in keys), many=len(keys))
        values = [
            f"{quantity_name(q.quantity)} {answers.by_key[q.key].typed}"
            for q in station.questions
            if q.quantity is not None and answers.value(q.key) is not None
        ]
        return ", ".join(values) or answers.text(keys[0]) or answers.word(keys[0]).replace("-", " ")

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log the result at once, with the numbers read; the follow-up's time as an event of its own."""
        if question.key == _READY and entry.word == "not-possible":
            return (self._done(entry, outcome="could-not"),)
        if question.key == _AGAIN and entry.value is not None:
            due = entry.at + timedelta(days=entry.value)
            moved = self._done(entry, outcome="found", due=due)
            return (replace(moved, task=follow_id(self.task.id), text="", severity=self.task.severity),)
        if question.key != _RESULT:
            return ()
        values = reading_values(self.rack, self.task.reads, answers)
        if entry.word != "found":
            outcome = "could-not" if entry.word == "could-not" else "good"
            not_here = {NOT_HERE: 1.0} if entry.word == "not-here" else {}
            done = replace(self._done(entry, outcome=outcome), values={**values, **not_here})
        else:
            due = follow_due(self.task.severity, entry.at)
            done = self._done(entry, outcome="found", due=due)
            done = replace(done, values=values, severity=self.task.severity)
        return (done, *self._flows(entry, answers))

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the notes, and say what comes next."""
        notes = tuple(
            Note(id="", seq=0, at=now, by=walk.by, text=f"{self.task.what}: {text}")
            for text in answers.notes.values()
        )
        said = [_("{what}: {result}.").format(what=self.task.what, result=self._result_words(answers))]
        if answers.word(_RESULT) == "found":
            said.append(_("It stays on today's page until it is closed."))
        if self.task.hands_in_water and answers.word(_READY) != "not-possible":
            said.append(_("Lid on, plugs dry, then plug in with dry hands and watch for two minutes."))
        acts = [word.removeprefix("plants:") for word in self.task.done_by if word.startswith("plants:")]
        if answers.word(_RESULT) != "good" or not acts:
            return Finish(events=notes, said=tuple(said))
        said.append(_("Next: which plants and how many, for the diary. Until then it stays due."))
        known: dict[str, object] = {"act": acts[0]} if len(acts) == 1 else {}
        return Finish(events=notes, then="plants", context=known, said=tuple(said))

    # stations

    def _ready(self) -> list[Station]:
        lines = lines_for(self.task)
        if not lines:
            return []
        choices = (
            Choice(digit="1", word="ready", text=_ready_words(self.task)),
            Choice(digit="2", word="not-possible", text=_("not possible now: leave the task"), look=True),
        )
        question = Question(
            key=_READY,
            place=_("before you start"),
            ask=_("Is it so?"),
            kind=Kind.CHOICE,
            choices=choices,
            safety=lines,
            quiet=True,
            may_skip=False,
        )
        return [Station(id="ready", name=_("made safe"), questions=(question,))]

    def _still_open(self) -> list[Station]:
        finding = self.open_finding
        if finding is None:
            return []
        told = _("Still open since {day}: {what}").format(
            day=when(finding.found_at, self.began), what=finding.what
        )
        question = Question(
            key="open.finding",
            place=self.task.place,
            ask=_("This was found before"),
            kind=Kind.PAUSE,
            before=(told,),
            quiet=True,
        )
        return [Station(id="open", name=_("found before"), questions=(question,), listed=False)]

    def _steps(self) -> tuple[list[Station], list[Station]]:
        """Give the steps before the readings and those after them; each ticked by itself."""
        many = len(self.task.how)
        questions = tuple(
            Question(
                key=f"steps.{n}",
                place=self.task.place,
                ask=step,
                kind=Kind.PAUSE,
                facts=((_("step"), _("{n} of {many}").format(n=n, many=many)),),
                why=self.task.why if n == 1 else "",
                quiet=True,
            )
            for n, step in enumerate(self.task.how, start=1)
        )
        cut = many if self.task.reads_after is None else min(self.task.reads_after, many)
        first, last = questions[:cut], questions[cut:]
        return (
            [Station(id="steps", name=self.task.what, questions=first)] if first else [],
            [Station(id=_AFTER, name=_("after the readings"), questions=last)] if last else [],
        )

    def _result(self, answers: Answers) -> Station:
        questions = [self._outcome()]
        if answers.word(_RESULT) == "found":
            questions.append(self._stop() if self.task.severity == "stop" else self._again())
        return Station(id="result", name=_("result"), questions=tuple(questions))

    def _outcome(self) -> Question:
        choices = [
            Choice(digit="1", word="good", text=self.task.good or _("done, nothing odd")),
            Choice(
                digit="2",
                word="found",
                text=_("found something: say what"),
                look=True,
                ask_text=True,  # what to do stands on the question that follows
            ),
            Choice(digit="3", word="could-not", text=_("could not do it: say why"), look=True, ask_text=True),
        ]
        if self.task.may_not_apply:
            choices.append(Choice(digit="4", word="not-here", text=_("there is none here")))
        return Question(
            key=_RESULT,
            place=self.task.place,
            ask=_("What was the result?"),
            kind=Kind.CHOICE,
            choices=tuple(choices),
            why=self.task.why,
            may_skip=False,
            quiet=True,
        )

    def _again(self) -> Question:
        return Question(
            key=_AGAIN,
            place=self.task.place,
            ask=_("In how many days is it to be looked at again?"),
            kind=Kind.NUMBER,
            quantity=Quantity.DAYS,
            unit=unit_words(Quantity.DAYS, self.show),
            before=(self.task.if_not,) if self.task.if_not else (),
            facts=((_("else"), _("in 7 days") if self.task.severity == "week" else _("today")),),
            optional=True,
        )

    def _stop(self) -> Question:
        return stop_question(self.task, key=_STOP)

    # events

    def _done(self, entry: Entry, *, outcome: str, due: datetime | None = None) -> TaskDone:
        text = entry.text or (_("there is none here") if entry.word == "not-here" else "")
        return TaskDone(
            id="", seq=0, at=entry.at, by=entry.by, task=self.task.id, outcome=outcome, text=text, due=due
        )

    def _flows(self, entry: Entry, answers: Answers) -> tuple[Reading, ...]:
        flows = flows_read(self.rack, answers)
        if not flows:
            return ()
        doubt = flows_doubted(self.rack, answers)
        return (
            Reading(id="", seq=0, at=entry.at, by=entry.by, flow_l_min=flows, doubt=doubt, source="task"),
        )

    def _result_words(self, answers: Answers) -> str:
        words = {
            "good": _("good"),
            "found": _("found something"),
            "not-here": _("there is none here"),
        }
        return words.get(answers.word(_RESULT), _("not done; it stays due"))


def stop_question(task: Task, *, key: str) -> Question:
    """Say Stop first, and what to do with hands off."""
    return Question(
        key=key,
        place=task.place,
        ask=_("STOP"),
        kind=Kind.PAUSE,
        before=(task.if_not,),
        safety=(
            _("Hands off. Open, repair or bypass nothing; a licensed electrician and local rules decide."),
            _("Rounds and everything with hands in the water wait until somebody says what was done."),
        ),
        may_skip=False,
        quiet=True,
    )


def _ready_words(task: Task) -> str:
    if task.hands_in_water and task.chemical:
        return _("plugs out and dry, hands dry; goggles, gloves, air")
    if task.hands_in_water:
        return _("plugs of pump and lights are out and hang dry, hands dry")
    return _("goggles and gloves on, window open, nobody near")
