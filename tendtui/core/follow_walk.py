"""Following a finding up: what was done about it, whether it is good now, or when to look again."""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.event import Event, Note, TaskDone
from tendtui.core.finding_follow import OpenFinding
from tendtui.core.priority import reaches
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.ring import ring_grower
from tendtui.core.role import role_of
from tendtui.core.show import unit_words, when
from tendtui.core.task import Task
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["FollowScript"]

_DONE, _STATE, _AGAIN, _TOLD = "follow.done", "follow.state", "follow.again", "follow.told"
_WORD = 3
"""Letters that make a word."""


@value_class
class FollowScript(RackScript):
    """The walk that closes a finding, or gives it a new time."""

    finding: OpenFinding
    task: Task | None
    """The task in which it was found; None: it is no longer on the list."""
    began: datetime
    by: str = ""
    """Who walks it."""
    closer: str = "grower"
    """Who may say of a stop that it is good again: `shown` or `grower`."""

    @property
    def may_close(self) -> bool:
        """Whether whoever walks it may say that it is good again; what is no stop, everybody may."""
        return self.finding.severity != "stop" or reaches(role_of(self.rack, self.by).value, self.closer)

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return f"task:{self.finding.id}"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("STOP") if self.finding.severity == "stop" else _("FOLLOW UP")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask what was done; then, of what was put right, whether it is good now; else when to look again."""
        questions = [self._what_was_done()]
        word = answers.word(_DONE)
        if word == "put-right" and self.may_close:
            questions.append(self._is_good())
        if word == "put-right" and not self.may_close:
            questions.append(self._for_the_grower())
        if word in ("waits", "called") or answers.word(_STATE) == "not-so":
            questions.append(self._again())
        return (Station(id="follow", name=self._name(), questions=tuple(questions)),)

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was done."""
        del station
        return answers.text(_DONE) or answers.word(_DONE).replace("-", " ")

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse what says nothing to whoever reads it tomorrow, as a digit or a single sign."""
        del answers
        if question.key != _DONE or not typed.text or any(len(word) >= _WORD for word in _words(typed.text)):
            return ""
        return _("Say it in words, like: hose put back, floor dried")

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Close it, move its time, or keep what was done for whoever may close it."""
        if question.key == _TOLD:
            return (self._event(entry, outcome="found", text=answers.text(_DONE), due=entry.at),)
        if question.key == _STATE and entry.word == "good":
            return (self._event(entry, outcome="closed", text=answers.text(_DONE)),)
        if question.key == _AGAIN:
            due = entry.at + timedelta(days=1.0 if entry.value is None else entry.value)
            return (self._event(entry, outcome="found", text=answers.text(_DONE), due=due),)
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Say whether it is closed."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        closed = answers.word(_STATE) == "good"
        said = _("Closed: {what}.") if closed else _("Still open: {what}.")
        ring = () if self.may_close else (ring_grower(self.rack),)
        return Finish(events=notes, said=(said.format(what=self._name()), *ring))

    def _name(self) -> str:
        return self.finding.task if self.task is None else self.task.what

    def _what_was_done(self) -> Question:
        finding = self.finding
        told = _("Found {day} by {by}: {what}").format(
            day=when(finding.found_at, self.began),
            by=finding.by or _("somebody"),
            what=finding.what or self._name(),
        )
        trade = _("a licensed electrician or other trade is called and not here yet: say whom")
        choices = (
            Choice(digit="1", word="put-right", text=_("it is put right: say what was done"), ask_text=True),
            Choice(digit="2", word="called", text=trade, ask_text=True, look=True),
            Choice(digit="3", word="waits", text=_("nothing yet"), look=True),
        )
        return Question(
            key=_DONE,
            place=self._place(),
            ask=_("What was done about it?"),
            kind=Kind.CHOICE,
            choices=choices,
            before=(told, *(() if self.task is None else (self.task.if_not,))),
            safety=(_("Open, repair or bypass nothing that carries mains: that is an electrician's work."),)
            if finding.severity == "stop"
            else (),
            may_skip=False,
            quiet=True,
        )

    def _is_good(self) -> Question:
        good = _("it is good again") if self.task is None else self.task.good or _("it is good again")
        choices = (
            Choice(digit="1", word="good", text=_("looked at it just now: {good}").format(good=good)),
            Choice(digit="2", word="not-so", text=_("not quite"), look=True),
        )
        return Question(
            key=_STATE,
            place=self._place(),
            ask=_("How is it now?"),
            kind=Kind.CHOICE,
            choices=choices,
            may_skip=False,
            quiet=True,
        )

    def _for_the_grower(self) -> Question:
        lines = (
            _("What you did is kept. Only the grower says that this is good again.")
            if self.closer == "grower"
            else _(
                "What you did is kept. Somebody who was shown how, or the grower, says that it is good again."
            ),
            ring_grower(self.rack),
        )
        return Question(
            key=_TOLD,
            place=self._place(),
            ask=_("Leave it as it is, and ring."),
            kind=Kind.PAUSE,
            before=lines,
            may_skip=False,
            quiet=True,
        )

    def _again(self) -> Question:
        return Question(
            key=_AGAIN,
            place=self._place(),
            ask=_("In how many days is it to be looked at again?"),
            kind=Kind.NUMBER,
            quantity=Quantity.DAYS,
            unit=unit_words(Quantity.DAYS, self.show),
            facts=((_("else"), _("tomorrow")),),
            optional=True,
            may_skip=False,
        )

    def _place(self) -> str:
        return _("rack") if self.task is None else self.task.place

    def _event(self, entry: Entry, *, outcome: str, text: str, due: datetime | None = None) -> TaskDone:
        return TaskDone(
            id="",
            seq=0,
            at=entry.at,
            by=entry.by,
            task=self.finding.id,
            outcome=outcome,
            text=text,
            due=due,
            severity=self.finding.severity if outcome == "found" else None,
        )


def _words(text: str) -> list[str]:
    """Give the runs of letters in a text, in any script."""
    return "".join(sign if sign.isalpha() else " " for sign in text).split()
