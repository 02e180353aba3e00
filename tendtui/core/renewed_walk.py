"""Saying in a few keys that a bottle, a meter or a buffer is new: what was learned of the old is kept aside.

What a bottle holds and the date printed on a buffer go into rack.toml, where the days left are counted from.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from tendtui.core.cover_date import read_day
from tendtui.core.event import Event, Note, Renewed
from tendtui.core.figure import METERS, STANDARDS, part_words
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.show import unit_words
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.errors import RefusedError
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["RenewedScript"]

_SORT, _WHICH, _HOLDS, _DATE = "renewed.sort", "renewed.which", "renewed.holds", "renewed.date"
_FEED, _ADJUSTER, _STANDARD = "feed", "adjuster", "standard"


@value_class
class RenewedScript(RackScript):
    """The walk that logs one new bottle, meter or buffer."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "renewed"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("NEW BOTTLE OR METER")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask what is new, which one where there are several, what it holds or until when it is good."""
        sort = answers.word(_SORT)
        questions = [self._sort()]
        if len(self._things(sort)) > 1:
            questions.append(self._which(sort))
        if sort == _STANDARD:
            questions.append(self._date())
        elif sort in (_FEED, _ADJUSTER):
            questions.append(self._holds(self._what(answers)))
        return (Station(id="renewed", name=_("what is new"), questions=tuple(questions)),)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse what is no date."""
        del answers
        if question.key == _DATE and typed.text:
            try:
                read_day(typed.text, today=typed.at.date())
            except RefusedError as refused:
                return f"{refused.what}. {refused.do}"
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was chosen."""
        del station
        return part_words(self._what(answers))

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log it with the last answer."""
        if question.key == _SORT and entry.word in METERS:
            what = entry.word
        elif question.key in (_HOLDS, _DATE):
            what = self._what(answers)
        else:
            return ()
        return (Renewed(id="", seq=0, at=entry.at, by=entry.by, what=what),)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Say what becomes of what was learned, and what comes next."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        changes = self._changes(answers, now)
        return Finish(
            events=notes,
            said=self._said(self._what(answers), answers.word(_SORT)),
            context={"changes": changes} if changes else {},
        )

    def _said(self, what: str, sort: str) -> tuple[str, ...]:
        if sort == _STANDARD:
            return (_("{what} is new from now on.").format(what=_capital(part_words(what))),)
        kept = _("{what} is new from now on. What was learned of the old one is kept aside.").format(
            what=_capital(part_words(what))
        )
        if what == "meter.ph":
            return (kept, _("Check it in buffer 7, then 4, before anything is poured on what it shows."))
        if what == "meter.conductivity":
            return (kept, _("Check it in the standard before anything is poured on what it shows."))
        if sort == _FEED:
            then = _("It is taken as its label says until some pourings have shown how strong it is.")
        else:
            then = _("It is taken as its label says, with small portions at first.")
        other = _("Another make or strength? Then change its label under: Lists, Describe the rack.")
        return (kept, then, other)

    def _changes(self, answers: Answers, now: datetime) -> Mapping[str, object]:
        """Give what goes into rack.toml."""
        what, holds = self._what(answers), answers.value(_HOLDS)
        if answers.word(_SORT) == _STANDARD:
            text = answers.text(_DATE)
            if text:
                return self._place("use_by", what, read_day(text, today=now.date()))
            return self._place("use_by", what, None) if what in self._table("use_by") else {}
        return self._place("stock", what, holds) if holds else {}

    def _place(self, table: str, name: str, value: float | date | None) -> Mapping[str, object]:
        """Give one change; a name with a point in it can't stand in a dotted place."""
        if "." not in name:
            return {f"{table}.{name}": value}
        return {table: {**self._table(table), name: value}}

    def _table(self, name: str) -> Mapping[str, object]:
        table = self.rack.extra.get(name)
        return table if isinstance(table, Mapping) else {}

    def _what(self, answers: Answers) -> str:
        """Give what is new, as the log has it; empty where it is still to be asked."""
        sort = answers.word(_SORT)
        if sort in METERS:
            return sort
        things = self._things(sort)
        return things[0] if len(things) == 1 else answers.word(_WHICH)

    def _things(self, sort: str) -> tuple[str, ...]:
        return {
            _FEED: tuple(feed.name for feed in self.rack.feeds),
            _ADJUSTER: tuple(adjuster.name for adjuster in self.rack.adjusters),
            _STANDARD: STANDARDS,
        }.get(sort, ())

    # questions

    def _sort(self) -> Question:
        sorts = [(_FEED, _("a bottle of feed")), (_ADJUSTER, _("a bottle of acid or alkali"))]
        there = [(word, text) for word, text in sorts if self._things(word)]
        meters = [(word, _("the {meter}").format(meter=part_words(word))) for word in METERS]
        return _choice(_SORT, _("What is new?"), (*there, *meters, (_STANDARD, _("a buffer or a standard"))))

    def _which(self, sort: str) -> Question:
        names = self._things(sort)[:9]
        ask = _("Which one?") if sort == _STANDARD else _("Which bottle?")
        return _choice(_WHICH, ask, tuple((name, part_words(name)) for name in names))

    def _holds(self, bottle: str) -> Question:
        dry = any(feed.name == bottle and feed.label_g_per_l is not None for feed in self.rack.feeds)
        quantity = Quantity.POWDER if dry else Quantity.LIQUID
        return Question(
            key=_HOLDS,
            place=bottle or _("bottles and meters"),
            ask=_("How much is in it? The days it lasts are counted from that; Enter alone leaves it open."),
            kind=Kind.NUMBER,
            quantity=quantity,
            unit=unit_words(quantity, self.show),
            optional=True,
            may_skip=False,
        )

    def _date(self) -> Question:
        return Question(
            key=_DATE,
            place=_("bottles and meters"),
            ask=_("Until which day is it good, as printed on it? Enter alone: none is printed."),
            kind=Kind.TEXT,
            optional=True,
            may_skip=False,
        )


def _capital(text: str) -> str:
    """Give a name as a sentence begins; names of bottles and pH stay as they are written."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]


def _choice(key: str, ask: str, rows: tuple[tuple[str, str], ...]) -> Question:
    choices = tuple(
        Choice(digit=str(n), word=word, text=text) for n, (word, text) in enumerate(rows, start=1)
    )
    return Question(
        key=key, place=_("bottles and meters"), ask=ask, kind=Kind.CHOICE, choices=choices, may_skip=False
    )
