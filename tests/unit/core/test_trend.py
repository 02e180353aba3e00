"""Courses of readings: what is in them, their bands, their edges, what was done."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TypedDict

import pytest

from tendtui.core.band import Band
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.learn_course import course_of
from tendtui.core.quantity import Quantity
from tendtui.core.trend import Reach, Trend, Trends, trends_of, within
from tendtui.core.trend_table import table_rows
from tests.support.fake_session import fake_rack

NOW = datetime(2026, 5, 31, 12, 0, tzinfo=UTC)
BANDS = {Quantity.PH: Band(low=5.6, high=6.2), Quantity.CONDUCTIVITY: Band(low=1.4, high=1.8)}
RACK = fake_rack()
TIER = RACK.tiers[0].name


class Keys(TypedDict):
    id: str
    seq: int
    at: datetime


def keys(days_ago: float, n: int = 0) -> Keys:
    return {"id": f"{days_ago}-{n}", "seq": n, "at": NOW - timedelta(days=days_ago)}


def trends(*events: Event) -> Trends:
    return trends_of(course_of(RACK, events), NOW, BANDS)


def by_id(found: Trends, name: str) -> Trend:
    return next(t for t in found.trends if t.id == name)


def test_every_quantity_and_every_outlet_has_a_course() -> None:
    ids = [t.id for t in trends().trends]
    assert ids == ["level", "at_full", "ph", "temperature", *(f"flow.{tier.name}" for tier in RACK.tiers)]


def test_strength_is_brought_to_the_full_mark() -> None:
    """Balance of salts: 60 L full and 5 L in pipes of our own making; topping up with water of 0.3 mS/cm."""
    found = trends(Reading(**keys(1), level_l=45.0, conductivity_ms_cm=1.8))
    point = course_of(RACK, [Reading(**keys(1), level_l=45.0, conductivity_ms_cm=1.8)]).points[0]
    whole = 60.0 + point.pipes_l
    assert by_id(found, "at_full").samples[0].value == pytest.approx(
        (1.8 * (45.0 + point.pipes_l) + 0.3 * 15.0) / whole
    )


def test_a_doubtful_value_is_kept_apart_and_stretches_nothing() -> None:
    found = trends(Reading(**keys(2), ph=6.0), Reading(**keys(1), ph=61.0, doubt=("ph",)))
    sour = by_id(found, "ph")
    assert [s.doubt for s in sour.samples] == [False, True]
    assert sour.last is not None
    assert sour.last.value == 6.0
    assert sour.high < 7.0
    assert sour.outside == 0


def test_values_outside_the_band_are_counted() -> None:
    found = trends(*(Reading(**keys(n), ph=ph) for n, ph in ((3, 5.5), (2, 6.2), (1, 6.3))))
    assert by_id(found, "ph").outside == 2


def test_the_edges_hold_the_band_and_the_values() -> None:
    sour = by_id(trends(Reading(**keys(1), ph=6.9)), "ph")
    assert sour.low < 5.6
    assert sour.high > 6.9


def test_flows_share_their_edges_so_that_outlets_can_be_compared() -> None:
    flows = {tier.name: 2.0 + n for n, tier in enumerate(RACK.tiers)}
    found = [t for t in trends(Reading(**keys(1), flow_l_min=flows)).trends if t.quantity is Quantity.FLOW]
    assert len({(t.low, t.high) for t in found}) == 1
    assert found[0].low < 2.0
    assert found[0].high > 4.0


def test_a_long_gap_is_not_joined_but_a_weekly_habit_is() -> None:
    daily = trends(*(Reading(**keys(n), ph=6.0) for n in (20, 19, 18, 17, 3, 2, 1)))
    assert len(by_id(daily, "ph").joined()) == 5
    weekly = trends(*(Reading(**keys(n), flow_l_min={TIER: 2.0}) for n in (28, 21, 14, 7)))
    assert len(by_id(weekly, f"flow.{TIER}").joined()) == 3


def test_what_was_done_is_marked_by_its_kind() -> None:
    feed = RACK.feeds[0].name
    found = trends(
        Change(**keys(9)),
        Poured(**keys(8), what="water", litres=5.0),
        Poured(**keys(7), what=feed, ml=20.0),
        Poured(**keys(6), what="Acid", ml=2.0),
        Poured(**keys(5), what="drained", litres=5.0),
    )
    assert [mark.act for mark in found.marks] == ["change", "water", "feed", "adjuster", "drained"]


def test_a_week_holds_a_week_and_ends_today() -> None:
    whole = trends(*(Reading(**keys(n), ph=5.0 + n / 10.0) for n in (40, 6, 1)))
    week = within(whole, Reach.WEEK)
    assert len(by_id(week, "ph").samples) == 2
    assert week.share(NOW) == 1.0
    assert week.share(week.first) == 0.0
    assert by_id(week, "ph").high < by_id(whole, "ph").high
    assert within(whole, Reach.SEASON).first == NOW - timedelta(days=40)


def test_the_outlets_band_is_never_narrower_than_a_cup_can_tell() -> None:
    found = trends(*(Reading(**keys(n), flow_l_min={TIER: 2.0}) for n in range(10, 1, -1)))
    band = by_id(found, f"flow.{TIER}").band
    assert band is not None
    assert band.high - band.low == pytest.approx(0.2)


def test_the_table_holds_every_number_of_the_charts_and_what_was_done_between() -> None:
    found = trends(
        Reading(**keys(3), ph=6.0, level_l=50.0),
        Poured(**keys(2.5), what="water", litres=5.0),
        Poured(**keys(2.4), what=RACK.feeds[0].name, ml=20.0),
        Reading(**keys(2), ph=6.4),
        Poured(**keys(1), what="Acid", ml=2.0),
    )
    rows = table_rows(found, found.trends)
    assert [row.done for row in rows] == ["", "FW", "A"]
    shown = [value.value for row in rows for value in row.values if value is not None]
    drawn = [sample.value for trend in found.trends for sample in trend.samples]
    assert sorted(shown) == sorted(drawn)


def test_swapping_water_for_solution_is_marked_as_drained_then_water() -> None:
    swap = (Poured(**keys(2), what="drained", litres=9.0), Poured(**keys(2, 1), what="water", litres=9.0))
    found = trends(Reading(**keys(3), ph=6.0), *swap, Reading(**keys(1), ph=6.0))
    assert [row.done for row in table_rows(found, found.trends)] == ["", "DW"]


def test_an_empty_log_has_empty_courses() -> None:
    found = trends()
    assert all(not t.samples for t in found.trends)
    assert table_rows(found, found.trends) == ()
