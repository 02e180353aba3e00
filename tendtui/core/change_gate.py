"""Checks of change day at their place in it: a failed stop check is a gate until it is put right."""

from __future__ import annotations

from tendtui.core.event import Event, TaskDone
from tendtui.core.finding_follow import follow_due, follow_id
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.safety_line import lines_for
from tendtui.core.task import NOT_HERE, Task
from tendtui.core.task_walk import stop_question
from tendtui.core.walk_value import Answers, Entry
from tendtui.value import replace
from tendtui.words import _

__all__ = ["gate_events", "gate_station", "is_shut"]

Facts = tuple[tuple[str, str], ...]


def gate_station(task: Task, answers: Answers, *, facts: Facts = (), section: str = "") -> Station:
    """Give the stop of one check."""
    key = f"{task.id}.state"
    questions = [_state(task, key, facts)]
    if answers.word(key) == "not-so" and task.severity == "stop":
        questions.append(stop_question(task, key=f"{task.id}.stop"))
        questions.append(_right(task))
    return Station(id=task.id, name=task.what, questions=tuple(questions), section=section)


def is_shut(task: Task, answers: Answers) -> bool:
    """Say whether the walk may not go on past this check."""
    failed = answers.word(f"{task.id}.state") == "not-so" and task.severity == "stop"
    return failed and not answers.done(f"{task.id}.right")


def gate_events(task: Task, question: Question, entry: Entry) -> tuple[Event, ...]:
    """Log the check, and its finding's end once it is put right."""
    done = TaskDone(id="", seq=0, at=entry.at, by=entry.by, task=task.id, text=entry.text)
    if question.key == f"{task.id}.right":
        return (replace(done, task=follow_id(task.id), outcome="closed"),)
    if question.key != f"{task.id}.state":
        return ()
    if entry.word == "not-so":
        due = follow_due(task.severity, entry.at)
        return (replace(done, outcome="found", severity=task.severity, due=due),)
    if entry.word == "not-here":
        return (replace(done, text=_("there is none here"), values={NOT_HERE: 1.0}),)
    return (done,)


def _state(task: Task, key: str, facts: Facts) -> Question:
    choices = [
        Choice(digit="1", word="good", text=task.good),
        Choice(
            digit="2",
            word="not-so",
            text=_("not so: say what you found"),
            look=True,
            ask_text=True,
            advice=task.if_not,
        ),
    ]
    if task.may_not_apply:
        choices.append(Choice(digit="3", word="not-here", text=_("there is none here, or not today")))
    return Question(
        key=key,
        place=task.place,
        ask=task.what,
        kind=Kind.CHOICE,
        choices=tuple(choices),
        facts=facts,
        safety=lines_for(task),
        how=" ".join(task.how),
        why=task.why,
        may_skip=task.severity != "stop",
        quiet=True,
    )


def _right(task: Task) -> Question:
    choice = Choice(digit="1", word="put-right", text=_("it is put right: say what was done"), ask_text=True)
    return Question(
        key=f"{task.id}.right",
        place=task.place,
        ask=_("Put right? If not, pause here: the walk waits."),
        kind=Kind.CHOICE,
        choices=(choice,),
        may_skip=False,
        quiet=True,
    )
