"""The walk that prepares an absence: from when till when, who stands in, what to do before leaving."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time

from tendtui.core.bottle_mix import mix_words
from tendtui.core.cover import LONGEST_DAYS, Cover, away_of, before_leaving
from tendtui.core.cover_date import read_day
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.rack_script import RackScript
from tendtui.core.sheet_words import SheetWords
from tendtui.core.show import date_words
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.errors import RefusedError
from tendtui.value import field, value_class
from tendtui.words import _, n_

__all__ = ["CoverScript"]

_LONGEST_AHEAD_DAYS = 366


@value_class
class CoverScript(RackScript):
    """What is asked before an absence; see `tendtui.core.walk_value.Script`."""

    words: SheetWords
    today: date
    """The day on which the walk began."""
    covers: tuple[Cover, ...] = ()
    """Those kept already."""
    mix: Mapping[str, float] = field(default_factory=dict)
    """What a litre of the bottles takes if they are to hold feed; empty: that can't be said."""
    kind: str = "cover"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("AWAY")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the days, the stand-in, and what is to be done before leaving."""
        return (
            Station(id="days", name=n_("day", "days", 2), questions=(_first(), _last()), section="cover"),
            Station(
                id="stand-in",
                name=_("stand-in"),
                questions=(_who(), _phone(), _depth(), *((_bottles(),) if self.mix else ())),
                section="cover",
            ),
            Station(id="before", name=_("before you go"), questions=(self._before(answers),), listed=False),
        )

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse days that can't be: in the past, the wrong way round, or kept by somebody else."""
        match question.key:
            case "days.first":
                return self._refused_first(typed.text)
            case "days.last":
                return self._refused_last(typed.text, answers)
            case "stand-in.phone":
                digits = sum(c.isdigit() for c in typed.text)
                return (
                    ""
                    if not typed.text or digits >= 3
                    else _("That is no number. Leave it empty if there is none")
                )
            case _:
                return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was answered."""
        if station.id == "days":
            days = [self._day_of(answers, key) for key in ("days.first", "days.last")]
            return " – ".join(_words(day) for day in days if day is not None)
        return answers.text("stand-in.who") if station.id == "stand-in" else ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[()]:
        """Nothing of it is an event."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Keep the cover."""
        del now
        cover = self.cover(answers, grower=walk.by)
        if cover is None:
            return Finish(said=(_("Nothing was kept: the days were left open."),))
        said = [
            _("Kept: {who}, {days}.").format(who=cover.who or _("nobody yet"), days=self.found_days(cover))
        ]
        said.append(_("Print the sheet: tendtui sheet --html > sheet.html"))
        if not cover.phone:
            said.append(
                _("There is no number of {who} yet: ask for it.").format(who=cover.who or _("the stand-in"))
            )
        if not self.rack.phones:
            said.append(_("No number to ring is known: add two to rack.toml under [people.phones]."))
        if cover.days > LONGEST_DAYS:
            said.append(_("One sheet holds {most} days: print a second one later.").format(most=LONGEST_DAYS))
        return Finish(away=away_of((*self.covers, cover)), said=tuple(said))

    def cover(self, answers: Answers, *, grower: str = "") -> Cover | None:
        """Give the cover that the answers describe, or None where the days aren't known."""
        first, last = self._day_of(answers, "days.first"), self._day_of(answers, "days.last")
        if first is None or last is None or last < first:
            return None
        word = answers.word("stand-in.depth")
        return Cover(
            first=first,
            last=last,
            who=answers.text("stand-in.who"),
            phone=answers.text("stand-in.phone"),
            depth="levels" if word == "levels" else "readings" if word == "readings" else "looks",
            grower=grower,
            mix=self.mix if answers.word("stand-in.bottles") == "feed" else {},
        )

    def found_days(self, cover: Cover) -> str:
        """Give its days in words."""
        days = n_("{n} day", "{n} days", cover.days).format(n=cover.days)
        return _("{first} to {last}, {days}").format(
            first=_words(cover.first), last=_words(cover.last), days=days
        )

    def _before(self, answers: Answers) -> Question:
        cover = self.cover(answers)
        lines: list[str] = []
        if cover is not None:
            mixed = mix_words(cover.mix, self.rack)
            for leaving in before_leaving(cover, self.words, today=self.today, mixed=mixed):
                late = _(" (late: now)") if leaving.late else ""
                lines.append(f"{_words(leaving.day)}{late}: {' '.join(leaving.what)}")
        return Question(
            key="before.list",
            place=_("Before you go"),
            ask=_("Read it, then go on. In the last week, today's page says each day's part."),
            kind=Kind.PAUSE,
            before=tuple(lines),
            may_skip=False,
        )

    def _refused_first(self, text: str) -> str:
        try:
            first = read_day(text, today=self.today)
        except RefusedError as error:
            return f"{error.what}. {error.do}"
        if first < self.today:
            return _("{day} is in the past. Type the first day away").format(day=_words(first, year=True))
        if (first - self.today).days > _LONGEST_AHEAD_DAYS:
            return _("{day} is more than a year away. Look at the year").format(day=_words(first, year=True))
        return self._taken(first, first)

    def _refused_last(self, text: str, answers: Answers) -> str:
        first = self._day_of(answers, "days.first")
        try:
            last = read_day(text, today=first or self.today)
        except RefusedError as error:
            return f"{error.what}. {error.do}"
        if first is not None and last < first:
            return _("{last} is before {first}. Type the last day away").format(
                last=_words(last, year=True), first=_words(first, year=True)
            )
        if first is not None and (last - first).days > _LONGEST_AHEAD_DAYS:
            return _("That is more than a year. Look at the year")
        return "" if first is None else self._taken(first, last)

    def _taken(self, first: date, last: date) -> str:
        other = _overlapping(self.covers, first, last)
        if other is None:
            return ""
        return _("{who} has {days} already. One person a day: choose other days").format(
            who=other.who or _("somebody"), days=self.found_days(other)
        )

    def _day_of(self, answers: Answers, key: str) -> date | None:
        text = answers.text(key)
        if not text:
            return None
        since = self._day_of(answers, "days.first") if key == "days.last" else None
        try:
            return read_day(text, today=since or self.today)
        except RefusedError:
            return None


def _overlapping(covers: Iterable[Cover], first: date, last: date) -> Cover | None:
    return next((c for c in covers if c.first <= last and first <= c.last), None)


def _words(day: date, *, year: bool = False) -> str:
    words = date_words(datetime.combine(day, time(12)))
    return f"{words} {day.year}" if year else words


def _first() -> Question:
    return Question(
        key="days.first",
        place=_("Away"),
        ask=_("From which day on does somebody else look after it?"),
        kind=Kind.TEXT,
        how=_("like 3 Jul, 2026-07-03, tomorrow or fri"),
        why=_("what is to be done before is counted back from this day"),
        may_skip=False,
    )


def _last() -> Question:
    return Question(
        key="days.last",
        place=_("Away"),
        ask=_("Until which day, that day included?"),
        kind=Kind.TEXT,
        how=_("like 10 Jul; the last day on which the other person looks"),
        why=_("each day gets a bottle and a line on the sheet"),
        may_skip=False,
    )


def _who() -> Question:
    return Question(
        key="stand-in.who",
        place=_("Stand-in"),
        ask=_("Who looks after it?"),
        kind=Kind.TEXT,
        how=_("one person for these days; two who water unseen is the classic failure"),
        may_skip=False,
    )


def _phone() -> Question:
    return Question(
        key="stand-in.phone",
        place=_("Stand-in"),
        ask=_("What is their number? Enter alone if there is none."),
        kind=Kind.TEXT,
        optional=True,
        may_skip=False,
    )


def _depth() -> Question:
    return Question(
        key="stand-in.depth",
        place=_("Stand-in"),
        ask=_("How much do they take on?"),
        kind=Kind.CHOICE,
        choices=(
            Choice(digit="1", word="looks", text=_("four looks and the bottle, no numbers")),
            Choice(digit="2", word="levels", text=_("the same, and level and temperature noted")),
            Choice(digit="3", word="readings", text=_("the same, and conductivity and pH noted")),
        ),
        may_skip=False,
    )


def _bottles() -> Question:
    return Question(
        key="stand-in.bottles",
        place=_("Stand-in"),
        ask=_("What stands ready in the day's bottles?"),
        kind=Kind.CHOICE,
        how=_("you fill them before you go and write the day on each"),
        why=_("whoever stands in never measures feed or acid"),
        good=_("plain water for some days; mixed feed where the tank would grow weak over a longer time"),
        choices=(
            Choice(digit="1", word="water", text=_("plain water")),
            Choice(digit="2", word="feed", text=_("feed, mixed by me and ready to pour as it is")),
        ),
        may_skip=False,
    )
