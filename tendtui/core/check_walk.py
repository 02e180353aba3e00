"""Several short checks walked together: one question each, each with a result of its own."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event, Note, TaskDone
from tendtui.core.finding_follow import follow_due
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.rack_script import RackScript
from tendtui.core.safety_line import lines_for
from tendtui.core.task import NOT_HERE, Task
from tendtui.core.task_walk import stop_question
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import replace, value_class
from tendtui.words import _, n_

__all__ = ["CheckScript"]


@value_class
class CheckScript(RackScript):
    """The walk of a group of checks; a check of severity stop that fails ends it."""

    group: str
    tasks: tuple[Task, ...]

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return f"task:{self.group}"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("CHECKS")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give one stop for each check, none after a failed one of severity stop."""
        stations: list[Station] = []
        for task in self.tasks:
            key = f"{task.id}.state"
            questions = [self._state(task, key)]
            stopped = answers.word(key) == "not-so" and task.severity == "stop"
            if stopped:
                questions.append(stop_question(task, key=f"{task.id}.stop"))
            stations.append(
                Station(id=task.id, name=task.what, questions=tuple(questions), section=task.place)
            )
            if stopped:
                break
        return tuple(stations)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was found."""
        answer = answers.by_key[station.questions[0].key]
        words = {"good": _("good"), "not-here": _("none here")}
        return answer.text or words.get(answer.word, _("not looked at"))

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log each check at once."""
        del answers
        task = next((task for task in self.tasks if question.key == f"{task.id}.state"), None)
        if task is None:
            return ()
        done = TaskDone(id="", seq=0, at=entry.at, by=entry.by, task=task.id, text=entry.text)
        match entry.word:
            case "not-so":
                due = follow_due(task.severity, entry.at)
                return (replace(done, outcome="found", severity=task.severity, due=due),)
            case "not-here":
                return (replace(done, text=_("there is none here"), values={NOT_HERE: 1.0}),)
            case _:
                return (done,)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Say how many were good, and what was found."""
        words = [answers.word(f"{task.id}.state") for task in self.tasks]
        good = sum(word in ("good", "not-here") for word in words)
        said = [n_("{n} check good.", "{n} checks good.", good).format(n=good)]
        said.extend(
            _("[!] {what}: {found}").format(what=task.what, found=answers.text(f"{task.id}.state"))
            for task in self.tasks
            if answers.word(f"{task.id}.state") == "not-so"
        )
        left = len(self.tasks) - sum(bool(word) for word in words)
        if left:
            said.append(n_("{n} check stays due.", "{n} checks stay due.", left).format(n=left))
        notes = tuple(
            Note(id="", seq=0, at=now, by=walk.by, text=f"{task.what}: {answers.notes[task.id]}")
            for task in self.tasks
            if task.id in answers.notes
        )
        return Finish(events=notes, said=tuple(said))

    def _state(self, task: Task, key: str) -> Question:
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
            Choice(digit="3", word="could-not", text=_("could not look"), skips=True),
        ]
        if task.may_not_apply:
            choices.append(Choice(digit="4", word="not-here", text=_("there is none here")))
        return Question(
            key=key,
            place=task.place,
            ask=task.what,
            kind=Kind.CHOICE,
            choices=tuple(choices),
            safety=lines_for(task),
            where=task.place,
            how=" ".join(task.how),
            why=task.why,
            quiet=True,
        )
