"""Some days away: the answer, day by day, what to do before, what a stand-in pours."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tendtui.core.absence import MOST_PH, Absence, absence_of
from tendtui.core.absence_words import absence_lines
from tendtui.core.band import Band
from tendtui.core.event import Event
from tendtui.core.learn_course import course_of
from tendtui.core.learned import learn_lightly
from tendtui.core.pattern_view import View
from tendtui.core.sheet_bottles import bottles_for
from tests.support.quiet_tank import RACK, Season

DAYS = 40


def view_of(events: tuple[Event, ...], *, top_ms_cm: float = 1.8) -> View:
    now = max(event.at for event in events) + timedelta(hours=2)
    return View(
        course=course_of(RACK, events, until=now),
        learning=learn_lightly(RACK, events),
        now=now,
        conductivity=Band(low=1.3, high=top_ms_cm),
        ph=Band(low=5.6, high=6.4),
    )


@pytest.fixture(scope="module")
def seen() -> View:
    return view_of(Season(seed=5).run(DAYS))


def away(view: View, days: int) -> Absence:
    first = view.now.date() + timedelta(days=1)
    last = first + timedelta(days=days - 1)
    bottles = bottles_for(RACK, view.course.events, first=first, days=days, now=view.now)
    return absence_of(view, bottles, first=first, last=last)


def told(view: View, days: int) -> str:
    return "\n".join(absence_lines(away(view, days), view))


def test_a_weekend_is_a_yes_and_a_month_is_a_no(seen: View) -> None:
    assert away(seen, 2).answer == "yes"
    assert told(seen, 2).splitlines()[1].startswith("Yes, from a full mark")
    assert away(seen, 30).answer == "no"
    assert "Not without somebody who tops up" in told(seen, 30)


def test_between_yes_and_no_lies_perhaps(seen: View) -> None:
    answers = [away(seen, days).answer for days in range(1, 31)]
    order = {"yes": 0, "perhaps": 1, "no": 2}
    assert [order[a] for a in answers] == sorted(order[a] for a in answers)


def test_no_day_is_told_after_the_pump_draws_air(seen: View) -> None:
    absence = away(seen, 30)
    assert absence.dry_on is not None
    assert absence.days[-1].ahead.day == absence.dry_on
    assert len(absence.days) < 30
    assert "nothing more is foreseen" in told(seen, 30)


def test_the_days_follow_each_other_and_the_level_falls(seen: View) -> None:
    days = away(seen, 6).days
    assert [day.ahead.day for day in days] == [seen.now.date() + timedelta(days=n) for n in range(1, 7)]
    levels = [day.ahead.level_l for day in days]
    assert levels == sorted(levels, reverse=True)
    assert all(day.ahead.level_low_l <= day.ahead.level_l for day in days)


def test_ph_stays_what_water_in_air_can_be(seen: View) -> None:
    for day in away(seen, 30).days:
        assert day.ph is not None
        value, low, high = day.ph
        assert low <= value <= high <= MOST_PH


def test_where_the_strength_leaves_its_band_the_start_is_named() -> None:
    view = view_of(Season(seed=5).run(DAYS), top_ms_cm=1.5)
    absence = away(view, 8)
    assert absence.strong_on is not None
    assert absence.leave_ms_cm is not None
    newest = view.newest
    assert newest is not None
    whole, left = RACK.reservoir.full_l + newest.pipes_l, absence.days[-1].ahead.level_l + newest.pipes_l
    eaten = view.eaten_day[0] * whole * len(absence.days)
    assert (absence.leave_ms_cm * whole - eaten) / left <= 1.5 + 1e-6  # balance of salts
    assert "at the full mark" in told(view, 8)


def test_the_stand_in_gets_litres_and_never_touches_feed_or_acid(seen: View) -> None:
    text = told(seen, 7)
    absence = away(seen, 7)
    assert f"{absence.bottles.whole_l:g} litres in all" in text
    assert "never from the feed and acid bottles" in text


def test_what_cannot_be_promised_is_said(seen: View) -> None:
    text = told(seen, 3)
    assert "WHAT CAN'T BE PROMISED" in text
    assert "no forecast sees them coming" in text


def test_without_a_thirst_of_its_own_it_says_so() -> None:
    view = view_of(Season(seed=5).run(2))
    assert view.learning.thirst is None
    assert "own thirst isn't known yet" in told(view, 3)


def test_before_the_first_round_nothing_is_said() -> None:
    now = Season(seed=5).run(1)[0].at
    view = View(course=course_of(RACK, ()), learning=learn_lightly(RACK, ()), now=now)
    first = date(2026, 6, 1)
    bottles = bottles_for(RACK, (), first=first, days=2, now=now)
    absence = absence_of(view, bottles, first=first, last=first + timedelta(days=1))
    assert absence_lines(absence, view) == (
        "Nothing can be said yet: one round with a level is needed first.",
    )
