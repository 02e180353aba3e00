"""Saying in two keys that a bottle or a meter is new: what was learned of the old one is kept aside."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event, Note, Renewed
from tendtui.core.figure import METERS, part_words
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.rack_script import RackScript
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["RenewedScript"]

_SORT, _WHICH = "renewed.sort", "renewed.which"
_FEED, _ADJUSTER = "feed", "adjuster"


@value_class
class RenewedScript(RackScript):
    """The walk that logs one new bottle or meter."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "renewed"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("NEW BOTTLE OR METER")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask what sort of thing is new, and which bottle where there are several."""
        questions = [self._sort()]
        if len(self._bottles(answers.word(_SORT))) > 1:
            questions.append(self._which(answers.word(_SORT)))
        return (Station(id="renewed", name=_("what is new"), questions=tuple(questions)),)

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was chosen."""
        del station
        what = self._what(answers.word(_SORT), answers.word(_WHICH))
        return part_words(what) if what else ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log it with the last answer."""
        sort = entry.word if question.key == _SORT else answers.word(_SORT)
        what = self._what(sort, entry.word if question.key == _WHICH else "")
        return (Renewed(id="", seq=0, at=entry.at, by=entry.by, what=what),) if what else ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Say what becomes of what was learned, and what comes next."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        what = self._what(answers.word(_SORT), answers.word(_WHICH))
        kept = _("{what} is new from now on. What was learned of the old one is kept aside.").format(
            what=part_words(what)
        )
        if what == "meter.ph":
            then = _("Check it in buffer 7, then 4, before anything is poured on what it shows.")
        elif what == "meter.conductivity":
            then = _("Check it in the standard before anything is poured on what it shows.")
        elif answers.word(_SORT) == _FEED:
            then = _("It is taken as its label says until some pourings have shown how strong it is.")
        else:
            then = _("It is taken as its label says, with small portions at first.")
        other = _("Another make or strength? Then change its label under: Lists, Describe the rack.")
        return Finish(events=notes, said=(kept, then, *(() if what in METERS else (other,))))

    def _what(self, sort: str, which: str) -> str:
        """Give what is new, as the log has it; empty where it is still to be asked."""
        if sort in METERS:
            return sort
        bottles = self._bottles(sort)
        return bottles[0] if len(bottles) == 1 else which

    def _bottles(self, sort: str) -> tuple[str, ...]:
        if sort == _FEED:
            return tuple(feed.name for feed in self.rack.feeds)
        return tuple(adjuster.name for adjuster in self.rack.adjusters) if sort == _ADJUSTER else ()

    def _sort(self) -> Question:
        sorts = [(_FEED, _("a bottle of feed")), (_ADJUSTER, _("a bottle of acid or alkali"))]
        there = [(word, text) for word, text in sorts if self._bottles(word)]
        rows = (*there, *((word, _("the {meter}").format(meter=part_words(word))) for word in METERS))
        return _choice(_SORT, _("What is new?"), rows)

    def _which(self, sort: str) -> Question:
        names = self._bottles(sort)[:9]
        return _choice(_WHICH, _("Which bottle?"), tuple((name, name) for name in names))


def _choice(key: str, ask: str, rows: tuple[tuple[str, str], ...]) -> Question:
    choices = tuple(
        Choice(digit=str(n), word=word, text=text) for n, (word, text) in enumerate(rows, start=1)
    )
    return Question(
        key=key, place=_("bottles and meters"), ask=ask, kind=Kind.CHOICE, choices=choices, may_skip=False
    )
