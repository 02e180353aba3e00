"""What is read while something mixes."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.event import Change, Poured, Reading
from tendtui.core.habit import habit_of
from tendtui.core.learn_course import course_of
from tendtui.core.mixing import mixing_since
from tendtui.core.quantity import Quantity
from tendtui.core.tank import tank_now
from tendtui.value import replace
from tests.support.dose_case import NOW, RACK, plan

READ = Reading(
    id="r",
    seq=1,
    at=NOW - timedelta(minutes=40),
    level_l=58.0,
    conductivity_ms_cm=1.6,
    ph=6.9,
    temperature_c=21.0,
)


def acid(minutes_ago: float, *, what: str = "Acid", ml: float | None = 4.0) -> Poured:
    return Poured(id="p", seq=2, at=NOW - timedelta(minutes=minutes_ago), what=what, ml=ml)


@pytest.mark.parametrize(
    ("poured", "mixes"),
    [
        (acid(0.1), True),
        (acid(13.0), True),
        (acid(14.5), False),
        (acid(20.0), False),
        (acid(0.0), False),
        (acid(5.0, ml=0.0), False),
        (acid(5.0, what="drained"), False),
    ],
)
def test_a_quarter_of_an_hour_is_waited_after_what_went_in(poured: Poured, mixes: bool) -> None:
    assert (mixing_since((READ, poured), NOW) == poured.at) is mixes


def test_the_plain_water_of_a_first_fill_needs_no_mixing_and_feed_in_it_does() -> None:
    at = NOW - timedelta(minutes=5)
    fill = Change(id="c", seq=2, at=at, litres=30.0, reason="first fill")
    water = Poured(id="p", seq=3, at=at, what="water", litres=35.0)
    assert mixing_since((fill, water), NOW) is None
    assert mixing_since((replace(fill, reason="age"), water), NOW) == at
    later = at + timedelta(minutes=1)
    assert mixing_since((fill, water, acid(4.0)), NOW) == later
    topped_up = replace(water, at=NOW - timedelta(minutes=2))
    assert mixing_since((fill, water, acid(4.0), topped_up), NOW) == topped_up.at


def test_a_ph_named_in_the_call_while_acid_mixes_is_warned_of() -> None:
    made = plan(events=[READ, acid(4.0)], ph=6.5, conductivity=1.6)
    assert "Something went in at 08:08, and isn't mixed before 08:23." in made.cautions
    late = plan(events=[READ, acid(20.0)], ph=6.5, conductivity=1.6)
    assert not [said for said in late.cautions if "isn't mixed" in said]


def test_a_first_reading_that_was_too_early_leaves_the_tank_unread() -> None:
    early = Reading(id="e", seq=3, at=NOW, conductivity_ms_cm=1.9, ph=5.0, unmixed=("conductivity", "ph"))
    found = tank_now((acid(3.0), early), RACK, NOW)
    assert (found.conductivity, found.ph) == (None, None)
    assert found.unread == (Quantity.CONDUCTIVITY, Quantity.PH)


def test_what_was_read_in_time_beside_it_still_counts() -> None:
    early = Reading(id="e", seq=3, at=NOW, level_l=57.0, ph=5.0, temperature_c=22.0, unmixed=("ph",))
    found = tank_now((READ, acid(3.0), early), RACK, NOW)
    assert found.ph is not None
    assert found.temperature is not None
    assert (found.ph.value, found.temperature.value) == (6.9, 22.0)
    assert found.unread == (Quantity.CONDUCTIVITY, Quantity.PH)


def test_a_too_early_reading_teaches_nothing_and_is_no_slip() -> None:
    early = Reading(id="e", seq=3, at=NOW, level_l=58.0, ph=5.0, unmixed=("ph",))
    point = course_of(RACK, (READ, acid(3.0), early)).points[-1]
    assert (point.ph, point.level_l, point.reading.doubt) == (None, 58.0, ())
    assert habit_of((READ, early), Quantity.PH, now=NOW).last == READ.ph
