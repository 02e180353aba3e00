"""The walk after an absence: read before touching, then the paper log typed in with its real times."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta

from tendtui.core.band import Band
from tendtui.core.bottle_mix import mixed_in
from tendtui.core.cover import Cover, away_of
from tendtui.core.event import Event, Note, Poured
from tendtui.core.poured_today import poured_on
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.recording import record
from tendtui.core.sheet_words import SheetWords
from tendtui.core.show import date_words
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.errors import CallError, RefusedError
from tendtui.value import replace, value_class
from tendtui.words import _, n_

__all__ = ["ReturnScript", "paper_line"]

_CLOCK = re.compile(r"(\d{1,2})[:.](\d\d)")
_COLUMNS = ("added_water", "level", "temperature", "conductivity", "ph")
"""What the numbers of a line are, in the order in which the sheet has its columns."""

_EXAMPLES: Mapping[str, str] = {
    "looks": "18:10 5",
    "levels": "18:10 5 38 21",
    "readings": "18:10 5 38 21 1.4 6.1",
}
"""A line as the sheet of each depth has it."""

SURE = "!"
"""At the end of a line that is hard to believe, and stands on the sheet all the same."""

_NOTHING = ("-", "–", "x")


@value_class
class ReturnScript(RackScript):
    """What is asked on return; see `tendtui.core.walk_value.Script`."""

    words: SheetWords
    cover: Cover
    covers: tuple[Cover, ...]
    """All that are kept, this one among them."""
    past: tuple[Event, ...]
    """What was logged before this walk began."""
    bands: Mapping[Quantity, Band]
    began: datetime
    kind: str = "return"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("BACK AGAIN")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give what to read before touching anything, the days of the sheet, and the way to the round."""
        del answers
        return (
            Station(id="first", name=_("first"), questions=(self._first(),), listed=False),
            Station(
                id="paper",
                name=_("the paper sheet"),
                questions=tuple(self._day(day, first=not n) for n, day in enumerate(self.days())),
                section="paper",
            ),
            Station(id="next", name=_("next"), questions=(self._next(),), listed=False),
        )

    def days(self) -> tuple[date, ...]:
        """Give the days of the sheet up to today."""
        last = min(self.cover.last, self.began.date())
        count = (last - self.cover.first).days + 1
        return tuple(self.cover.first + timedelta(days=n) for n in range(count))

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse a line that can't be read, and say what it should look like."""
        del answers
        try:
            self._line(question, typed)
        except RefusedError as error:
            return f"{error.what}. {error.do}"
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say how many days were typed in."""
        if station.id != "paper":
            return ""
        many = sum(1 for question in station.questions if answers.text(question.key))
        return n_("{n} day typed in", "{n} days typed in", many).format(n=many)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log a line of the sheet with its own time and the stand-in's name."""
        del answers
        return self._line(question, entry)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Go on to the round; a cover that is over is forgotten, and the tasks after an absence are due."""
        del answers
        kept = [cover for cover in self.covers if cover != self.cover]
        if self.cover.last > now.date():  # back early: the days to come are the grower's again
            before = now.date() - timedelta(days=1)
            kept += [replace(self.cover, last=before)] if self.cover.first <= before else []
        kept = [cover for cover in kept if cover.last >= now.date()]
        back = Note(id="", seq=0, at=now, by=walk.by, text=_("Back again"), about="holiday")
        return Finish(events=(back,), away=away_of(kept), then="round", said=())

    def _line(self, question: Question, entry: Entry) -> tuple[Event, ...]:
        if not question.key.startswith("paper.") or not entry.text:
            return ()
        day = date.fromisoformat(question.key.partition(".")[2])
        return paper_line(
            entry.text,
            day=day,
            cover=self.cover,
            rack=self.rack,
            past=self.past,
            bands=self.bands,
            now=self.began,
        )

    def _first(self) -> Question:
        return Question(
            key="first.read",
            place=_("Before you touch anything"),
            ask=_("Read it, then go on."),
            kind=Kind.PAUSE,
            before=tuple(_(line) for line in self.words.on_return),
            may_skip=False,
        )

    def _day(self, day: date, *, first: bool) -> Question:
        """Ask for a line; the first says all, the others only what it looks like: they are typed in a row."""
        words = date_words(datetime.combine(day, time(12), tzinfo=self.began.tzinfo))
        poured = poured_on(day, self.past, self.rack, zone=self.began.tzinfo)
        known = _("In the diary for this day: {said}. Type only what is not there yet.").format(said=poured)
        example = _EXAMPLES[self.cover.depth]
        return Question(
            key=f"paper.{day.isoformat()}",
            place=words,
            ask=_("What does the sheet say for {day}?").format(day=words),
            kind=Kind.TEXT,
            before=(known,) if poured else (),
            optional=True,
            how=_("as before, like {example}; Enter alone for an empty line").format(example=example)
            if not first
            else _(
                "the time, from the end of the sheet's line, then the litres poured, then what else was "
                "noted, in the sheet's order: {example}"
            ).format(example=example),
            why=_("the diary knows then what went in, and when; the next dose starts from it")
            if first
            else "",
            good=_(
                "Enter alone where the line is empty; - for an empty place in it; by=Name if it was "
                "somebody else"
            )
            if first
            else "",
        )

    def _next(self) -> Question:
        return Question(
            key="next.round",
            place=_("Now the round"),
            ask=_("Read it, then go on: the round starts."),
            kind=Kind.PAUSE,
            before=(
                _("Read all four before you add anything: they show what the absence did."),
                _("Put the pH meter into its buffer before you believe it."),
            ),
            may_skip=False,
        )


def paper_line(
    typed: str,
    *,
    day: date,
    cover: Cover,
    rack: Rack,
    past: tuple[Event, ...],
    bands: Mapping[Quantity, Band],
    now: datetime,
) -> tuple[Event, ...]:
    """Turn a line of the paper sheet into events.

    Args:
        typed: `18:10 5 38 21 1.4 6.1`: the time, litres poured, level, temperature, conductivity, pH; fewer
            are fine, `-` leaves a place empty, and words like `ph=6.1`, `by=Ash` or `note=…` may follow.
        day: The day of the line.
        cover: Who stood in.
        rack: For units and names.
        past: What happened before, for the habit.
        bands: What is wanted.
        now: No line may lie after this.

    Raises:
        RefusedError: If it can't be read; it names the word at fault.
    """
    sure = typed.rstrip().endswith(SURE)
    words = typed.rstrip().removesuffix(SURE).split() if sure else typed.split()
    if len(words) > 1 and _CLOCK.fullmatch(words[-1]) and not _CLOCK.fullmatch(words[0]):
        words = [words[-1], *words[:-1]]  # as it stands on the sheet
    clock = _CLOCK.fullmatch(words[0]) if words else None
    if clock is None or not (int(clock[1]) < 24 and int(clock[2]) < 60):
        raise RefusedError(
            _("The line has no time"), _("Begin with the time, like 18:10 5; if none was written, guess it.")
        )
    at = datetime.combine(day, time(int(clock[1]), int(clock[2])), tzinfo=now.tzinfo)
    if at > now:
        raise RefusedError(_("That is later than now"), _("Look at the day and the time again."))
    pairs, by = _pairs(words[1:])
    try:
        recorded = record(pairs, rack=rack, events=past, bands=bands, at=at, by=by or cover.who)
    except CallError as error:
        raise RefusedError(error.what, error.do) from None
    if recorded.doubts and not sure:
        raise RefusedError(
            recorded.doubts[0].removesuffix("."),
            _("Look whether the numbers stand in the sheet's order; if it says so, put ! at the end."),
        )
    events = recorded.events
    bottles = [event for event in events if isinstance(event, Poured) and event.what == "water"]
    mixed = [mixed_in(cover.mix, rack, e.litres or 0.0, at=at, by=e.by) for e in bottles]
    return (*events, *(poured for each in mixed for poured in each))


def _pairs(words: list[str]) -> tuple[list[tuple[str, str]], str]:
    pairs: list[tuple[str, str]] = []
    by, place = "", 0
    for n, word in enumerate(words):
        name, equals, value = word.partition("=")
        if name == "note" and equals:
            pairs.append(("note", " ".join([value, *words[n + 1 :]])))
            break
        if name == "by" and equals:
            by = value
        elif equals:
            pairs.append((name, value))
        elif place >= len(_COLUMNS):
            raise RefusedError(
                _("{word} is one number too many").format(word=word[:24]),
                _("The order is litres poured, level, temperature, conductivity, pH."),
            )
        else:
            if word not in _NOTHING:
                pairs.append((_COLUMNS[place], word))
            place += 1
    if not pairs:
        raise RefusedError(_("There is only a time"), _("Add the litres poured, or leave the line empty."))
    return pairs, by
