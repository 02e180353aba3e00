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


def gate_station(
    task: Task, answers: Answers, *, facts: Facts = (), section: str = "", ask: str = ""
) -> Station:
    """Give the stop of one check; with `only_if` it is asked first whether there is anything to check.

    Args:
        task: The check.
        answers: All that counts.
        facts: What stands beside the field.
        section: The part of the walk.
        ask: How it is asked here; empty: by its name.
    """
    key = f"{task.id}.state"
    questions = [_wanted(task, facts)] if task.only_if else []
    if not task.only_if or answers.word(f"{task.id}.wanted") == "yes":
        questions.append(_state(task, key, facts, ask))
    if answers.word(key) == "not-so" and task.severity == "stop":
        questions.append(stop_question(task, key=f"{task.id}.stop"))
        questions.append(_right(task))
    name = task.only_if or ask or task.what
    return Station(id=task.id, name=name, questions=tuple(questions), section=section)


def is_shut(task: Task, answers: Answers) -> bool:
    """Say whether the walk may not go on past this check."""
    failed = answers.word(f"{task.id}.state") == "not-so" and task.severity == "stop"
    return failed and not answers.done(f"{task.id}.right")


def gate_events(task: Task, question: Question, entry: Entry) -> tuple[Event, ...]:
    """Log the check, and its finding's end once it is put right."""
    done = TaskDone(id="", seq=0, at=entry.at, by=entry.by, task=task.id, text=entry.text)
    if question.key == f"{task.id}.right":
        return (replace(done, task=follow_id(task.id), outcome="closed"),)
    if question.key == f"{task.id}.wanted":
        return (_not_here(done),) if entry.word == "no" else ()
    if question.key != f"{task.id}.state":
        return ()
    if entry.word == "not-so":
        due = follow_due(task.severity, entry.at)
        return (replace(done, outcome="found", severity=task.severity, due=due),)
    if entry.word == "not-here":
        return (_not_here(done),)
    return (done,)


def _not_here(done: TaskDone) -> TaskDone:
    return replace(done, text=_("there is none here"), values={NOT_HERE: 1.0})


def _wanted(task: Task, facts: Facts) -> Question:
    return Question(
        key=f"{task.id}.wanted",
        place=task.place,
        ask=task.only_if,
        kind=Kind.CHOICE,
        choices=(
            Choice(digit="1", word="no", text=_("no")),
            Choice(digit="2", word="yes", text=_("yes")),
        ),
        facts=facts,
        may_skip=False,
        quiet=True,
    )


def _state(task: Task, key: str, facts: Facts, ask: str) -> Question:
    choices = [
        Choice(digit="1", word="good", text=task.good),
        Choice(
            digit="2",
            word="not-so",
            text=_("not so: say what you found"),
            look=True,
            ask_text=True,
            advice="" if task.severity == "stop" else task.if_not,  # STOP says it next
        ),
    ]
    if task.may_not_apply and not task.only_if:
        choices.append(Choice(digit="3", word="not-here", text=_("there is none here, or not today")))
    return Question(
        key=key,
        place=task.place,
        ask=ask or task.what,
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
