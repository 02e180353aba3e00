"""Cover while the grower is away: days that can be, the list before leaving, the way back."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.cover import Cover, away_of, before_leaving, cover_on, covers_of, next_cover
from tendtui.core.cover_date import read_day
from tendtui.core.event import Poured, Reading
from tendtui.core.sheet_words import sheet_words
from tendtui.core.state import State
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.session.session import Session
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tests.support.folders import RACK, folder_in
from tests.support.walker import Tick, open_at, walk_through

TODAY = date(2026, 3, 14)
NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
WEEK = {
    "days.first": "20 Mar",
    "days.last": "26 Mar",
    "stand-in.who": "Fay [/]",
    "stand-in.phone": "",
    "stand-in.depth": "2",
    "stand-in.bottles": "1",
}
FAY = Cover(first=date(2026, 3, 10), last=date(2026, 3, 13), who="Fay", phone="1", grower="Ines")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return open_at(folder_in(tmp_path), NOW, by="Ines")[0]


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-07-03", (2026, 7, 3)),
        ("3 Jul", (2026, 7, 3)),
        ("jul 3", (2026, 7, 3)),
        ("3. july 2027", (2027, 7, 3)),
        ("3.7.", (2026, 7, 3)),
        ("13/4", (2026, 4, 13)),
        ("4/13", (2026, 4, 13)),
        ("5/5", (2026, 5, 5)),
        ("13 Mar", (2027, 3, 13)),
        ("14 Mar", (2026, 3, 14)),
        ("29 Feb", (2028, 2, 29)),
        ("tomorrow", (2026, 3, 15)),
        ("day after tomorrow", (2026, 3, 16)),
        ("in 6 days", (2026, 3, 20)),
        ("sat", (2026, 3, 14)),
        ("Friday", (2026, 3, 20)),
    ],
)
def test_a_day_is_read_as_people_write_it(typed: str, day: tuple[int, int, int]) -> None:
    assert read_day(typed, today=TODAY) == date(*day)


@pytest.mark.parametrize("typed", ["", "soon", "31 Feb 2026", "32.1.", "2026-13-01", "0 Mar", "3"])
def test_what_is_no_day_is_refused(typed: str) -> None:
    with pytest.raises(RefusedError, match="is not a day"):
        read_day(typed, today=TODAY)


def test_two_readings_of_a_day_are_asked_about() -> None:
    with pytest.raises(RefusedError, match="can be read as two days"):
        read_day("3/7", today=TODAY)


def test_the_walk_keeps_the_cover_and_says_what_is_missing(session: Session) -> None:
    seen, said = walk_through(session, "cover", WEEK, outcome=session.start("cover", by="Ines"))
    (cover,) = covers_of(session.state.away)
    assert (cover.first, cover.last, cover.who) == (date(2026, 3, 20), date(2026, 3, 26), "Fay [/]")
    assert (cover.depth, cover.grower, cover.days) == ("levels", "Ines", 7)
    assert seen[-1].question.before[0].startswith("Fri 13 Mar (late: now): Measure the litres a day")
    assert seen[-1].question.before[-1].startswith("Fri 20 Mar: Fill to the upper line")
    assert "There is no number of Fay [/] yet: ask for it." in said
    assert any("No number to ring is known" in line for line in said)


@pytest.mark.parametrize(
    ("first", "said"),
    [
        ("2026-03-13", "Fri 13 Mar 2026 is in the past"),
        ("2027-12-01", "is more than a year away"),
        ("3/7", "can be read as two days"),
        ("2026-04-03", "Bo has Wed 1 Apr to Sun 5 Apr, 5 days already"),
    ],
)
def test_days_that_cannot_be_are_refused(session: Session, first: str, said: str) -> None:
    other = Cover(first=date(2026, 4, 1), last=date(2026, 4, 5), who="Bo")
    session.change_state(lambda state: _with(state, away_of([other])))
    session.start("cover", by="Ines")
    with pytest.raises(RefusedError, match=said):
        session.enter("cover", key="days.first", typed=first)


def test_the_last_day_lies_after_the_first_and_in_nobody_elses_week(session: Session) -> None:
    other = Cover(first=date(2026, 4, 1), last=date(2026, 4, 5), who="Bo")
    session.change_state(lambda state: _with(state, away_of([other])))
    session.start("cover", by="Ines")
    session.enter("cover", key="days.first", typed="28 Mar")
    with pytest.raises(RefusedError, match="Fri 27 Mar 2026 is before Sat 28 Mar 2026"):
        session.enter("cover", key="days.last", typed="2026-03-27")
    with pytest.raises(RefusedError, match="One person a day"):
        session.enter("cover", key="days.last", typed="2 Apr")


def test_a_number_without_digits_is_no_number(session: Session) -> None:
    session.start("cover", by="Ines")
    for key in ("days.first", "days.last", "stand-in.who"):
        session.enter("cover", key=key, typed=WEEK[key])
    with pytest.raises(RefusedError, match="That is no number"):
        session.enter("cover", key="stand-in.phone", typed="no idea")


def test_what_to_do_before_leaving_is_counted_back() -> None:
    cover = Cover(first=date(2026, 5, 10), last=date(2026, 5, 12), who="")
    days = before_leaving(cover, sheet_words(read_data("sheet")), today=date(2026, 5, 6))
    assert [day.day.day for day in days] == [3, 5, 7, 8, 9, 10]
    assert [day.late for day in days] == [True, True, False, False, False, False]
    # the change two or three days before, never the last day: growers' guides
    assert "Change the water" in days[2].what[0]


def test_broken_covers_are_left_out() -> None:
    rows = [{"first": TODAY, "last": TODAY - timedelta(days=1), "who": "x"}, {"who": "y"}, 3]
    assert covers_of({"cover": rows}) == ()
    assert covers_of({"cover": "x"}) == ()
    assert away_of(()) == {}


def test_whose_day_it_is() -> None:
    assert cover_on([FAY], date(2026, 3, 13)) == FAY
    assert cover_on([FAY], date(2026, 3, 14)) is None
    assert next_cover([FAY], date(2026, 3, 9)) == FAY
    assert next_cover([FAY], date(2026, 3, 14)) is None


def _back(tmp_path: Path, *, rack: str = RACK) -> tuple[Session, Tick]:
    session, clock = open_at(folder_in(tmp_path, rack=rack), NOW, by="Ines")
    session.change_state(lambda state: _with(state, away_of([FAY])))
    return session, clock


PAPER = {
    "paper.2026-03-10": "18:10 4",
    "paper.2026-03-11": "",
    "paper.2026-03-12": "7.45 - 38 21 by=Joss",
    "paper.2026-03-13": "18:00 3,5 note=looked thirsty, ph=6.1?",
}


def test_the_paper_log_comes_in_with_its_real_times(tmp_path: Path) -> None:
    session, _clock = _back(tmp_path)
    seen, _said = walk_through(session, "return", PAPER, outcome=session.start("return", by="Ines"))
    assert seen[0].question.before[0].startswith("Read first, touch nothing")
    # fourteen lines are typed in a row: the first day explains, the others only show what a line looks like
    first, *others = [prompt.question for prompt in seen if prompt.question.key.startswith("paper.")]
    assert first.why
    assert all("like 18:10 5;" in q.how and not q.why and not q.good for q in others)
    poured = [event for event in session.events if isinstance(event, Poured)]
    assert [(p.at.isoformat(), p.by, p.litres) for p in poured] == [
        ("2026-03-10T18:10:00+00:00", "Fay", 4.0),
        ("2026-03-13T18:00:00+00:00", "Fay", 3.5),
    ]
    (read,) = [event for event in session.events if isinstance(event, Reading)]
    assert (read.at.hour, read.at.minute, read.by) == (7, 45, "Joss")
    assert (read.level_l, read.temperature_c, read.ph) == (38.0, 21.0, None)
    assert session.state.away == {}
    assert "round" in session.state.walks


def test_what_the_diary_has_already_is_not_typed_twice(tmp_path: Path) -> None:
    session, clock = _back(tmp_path)
    at = datetime(2026, 3, 11, 18, 5, tzinfo=UTC)
    session.record_events([Poured(id="", seq=0, at=at, by="Fay", what="water", litres=3.0)])
    clock.at += timedelta(minutes=1)
    seen, _said = walk_through(session, "return", PAPER, outcome=session.start("return", by="Ines"))
    told = {p.question.key: p.question.before for p in seen if p.question.key.startswith("paper.")}
    known = "In the diary for this day: Fay 18:05 3 litres water. Type only what is not there yet."
    assert told["paper.2026-03-11"] == (known,)
    assert told["paper.2026-03-12"] == ()


def test_a_line_may_be_typed_as_it_stands_and_a_strange_one_takes_a_mark(tmp_path: Path) -> None:
    session, _clock = _back(tmp_path)
    told = {
        **PAPER,
        "paper.2026-03-10": "4 38 21 1.4 6.1 18:10",
        "paper.2026-03-11": "18:05 4 38 21 6.1 1.4!",
    }
    walk_through(session, "return", told, outcome=session.start("return", by="Ines"))
    first, second, *_others = [event for event in session.events if isinstance(event, Reading)]
    assert (first.at.isoformat(), first.conductivity_ms_cm, first.ph) == (
        "2026-03-10T18:10:00+00:00",
        1.4,
        6.1,
    )
    assert (second.ph, second.doubt) == (1.4, ("conductivity", "ph"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("4", "The line has no time"),
        ("25:00 4", "The line has no time"),
        ("18:10", "There is only a time"),
        ("18:10 4 38 21 1.4 6.1 9", "9 is one number too many"),
        ("18:10 4 x 38 = 3", "there is nothing called ''"),
        ("18:10 600", "more than this rack holds"),
        ("18:10 4 ph=61", "ph: 61 can't be"),
        ("18:10 4 38 21 6.1 1.4", "put ! at the end"),
        ("18:10 4 900", r"Look at the mark again\.$"),
    ],
)
def test_a_line_that_cannot_be_read_is_refused_and_nothing_lost(
    tmp_path: Path, typed: str, said: str
) -> None:
    session, _clock = _back(tmp_path)
    session.start("return", by="Ines")
    session.enter("return", key="first.read", typed="")
    with pytest.raises(RefusedError, match=said):
        session.enter("return", key="paper.2026-03-10", typed=typed)
    assert session.events == ()


def test_a_line_of_this_evening_is_refused_at_noon(tmp_path: Path) -> None:
    session, _clock = open_at(folder_in(tmp_path), NOW, by="Ines")
    session.change_state(lambda state: _with(state, away_of([Cover(first=TODAY, last=TODAY, who="Fay")])))
    session.start("return", by="Ines")
    session.enter("return", key="first.read", typed="")
    with pytest.raises(RefusedError, match="later than now"):
        session.enter("return", key="paper.2026-03-14", typed="18:00 4")


def test_back_early_gives_the_rest_of_the_days_back(tmp_path: Path) -> None:
    session, _clock = open_at(folder_in(tmp_path), NOW, by="Ines")
    cover = Cover(first=date(2026, 3, 13), last=date(2026, 3, 20), who="Fay")
    session.change_state(lambda state: _with(state, away_of([cover])))
    answers = {"paper.2026-03-13": "", "paper.2026-03-14": ""}
    walk_through(session, "return", answers, outcome=session.start("return", by="Ines"))
    assert cover_on(covers_of(session.state.away), date(2026, 3, 15)) is None


def test_without_a_cover_there_is_nothing_to_catch_up(session: Session) -> None:
    with pytest.raises(OutOfTurnError, match="Nobody has stood in"):
        session.start("return", by="Ines")


def _with(state: State, away: dict[str, object]) -> State:
    return replace(state, away=away)
