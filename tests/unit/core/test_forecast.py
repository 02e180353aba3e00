"""Thirst and what lies ahead: near what then happens, with ranges that hold it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tendtui.chemistry import Solution
from tendtui.core.band import Band
from tendtui.core.event import Change, Event, Plants, Poured, Reading, Renewed
from tendtui.core.forecast import HORIZON_DAYS, days_ahead, outlook
from tendtui.core.forecast_change import change_ahead
from tendtui.core.forecast_stock import bottles_left, past_date
from tendtui.core.learn_course import course_of
from tendtui.core.learned import Learning, learn_lightly
from tendtui.core.pattern_view import View
from tendtui.core.rack import Feed, Rack, Reservoir, Source, Target, Tier
from tendtui.core.salts_left import MG_N_PER_MS_CM, unused_salts
from tendtui.core.slow_rules import SlowRules, read_rules
from tendtui.core.thirst import groups_at, grown_share, plants_drink_l_day, thirst_of
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tests.support.quiet_tank import RACK as QUIET
from tests.support.quiet_tank import START, Season

T0 = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
RACK = Rack(
    name="plain",
    reservoir=Reservoir(full_l=100.0, least_l=40.0, pipes_l=20.0),
    source=Source(conductivity_ms_cm=0.2, sodium_mg_l=20.0, chloride_mg_l=30.0),
    tiers=(Tier(name="One", pipe_inside_mm=100.0, length_m=1.0, outlet_height_mm=50.0, plants=20),),
)


def at(day: float) -> datetime:
    return T0 + timedelta(days=day)


def steady(days: int, *, litres_day: float = 3.0, temperature_c: float = 20.0) -> tuple[Event, ...]:
    """A rack that drinks the same each day and is topped up to the full mark."""
    events: list[Event] = [Change(id="change", seq=1, at=at(0), litres=100.0)]
    for n in range(1, days + 1):
        events.append(
            Reading(
                id=f"r{n}",
                seq=2 * n,
                at=at(n),
                level_l=100.0 - litres_day,
                conductivity_ms_cm=1.5,
                ph=6.0,
                temperature_c=temperature_c,
                source="round",
            )
        )
        events.append(Poured(id=f"p{n}", seq=2 * n + 1, at=at(n + 0.01), what="water", litres=litres_day))
    return tuple(events)


def view(rack: Rack, events: tuple[Event, ...], now: datetime) -> View:
    events = tuple(e for e in events if e.at <= now)
    return View(
        course=course_of(rack, events),
        learning=learn_lightly(rack, events),
        now=now,
        conductivity=Band(low=1.3, high=1.8),
        ph=Band(low=5.6, high=6.4),
    )


# -------------------- thirst


def test_steady_drinking_is_learned_as_it_is() -> None:
    course = course_of(RACK, steady(12))
    thirst = thirst_of(course)
    assert thirst is not None
    plants = plants_drink_l_day(groups_at(RACK, course.events, at(12)), {}, at=at(12))
    assert thirst.litres_day(plants_l_day=plants, temperature_c=20.0) == pytest.approx(3.0, rel=0.02)


def test_three_spans_are_needed() -> None:
    assert thirst_of(course_of(RACK, steady(3))) is None


def test_one_level_slip_moves_thirst_by_less_than_a_tenth() -> None:
    events = list(steady(15))
    for n, event in enumerate(events):
        if isinstance(event, Reading) and event.id == "r9":
            events[n] = Reading(id="r9", seq=18, at=event.at, level_l=79.0, temperature_c=20.0)
    thirst, clean = thirst_of(course_of(RACK, events)), thirst_of(course_of(RACK, steady(15)))
    assert thirst is not None
    assert clean is not None
    assert thirst.factor == pytest.approx(clean.factor, rel=0.1)


def test_warm_water_makes_thirst_as_vapour_pressure_does() -> None:
    # before anything else is learned: +6.2 % from 20 to 21 °C (Magnus formula), here as a logarithm
    thirst = thirst_of(course_of(RACK, steady(12)))
    assert thirst is not None
    warmer = thirst.litres_day(plants_l_day=1.0, temperature_c=21.0)
    assert warmer / thirst.litres_day(plants_l_day=1.0, temperature_c=20.0) == pytest.approx(1.062, abs=0.01)


def test_seedlings_drink_a_tenth_and_grow_into_the_whole() -> None:
    assert grown_share(age_days=0.0) < 0.15
    assert grown_share(age_days=45.0) > 0.98
    assert grown_share(age_days=None) == 1.0


def test_plants_pulled_drink_no_more() -> None:
    came = Plants(id="a", seq=1, at=at(0), act="move", crop="lettuce", count=8, tier="One")
    gone = Plants(id="b", seq=2, at=at(30), act="pull", crop="lettuce", count=5, tier="One")
    cut = Plants(id="c", seq=3, at=at(31), act="harvest", crop="lettuce", count=3, tier="One")
    assert [g.count for g in groups_at(RACK, (came, gone), at(31))] == [3]
    assert groups_at(RACK, (came,), at(1))[0].count == 8
    whole = plants_drink_l_day(groups_at(RACK, (came, gone), at(32)), {}, at=at(32))
    after = plants_drink_l_day(groups_at(RACK, (came, gone, cut), at(32)), {}, at=at(32))
    assert after < whole


# -------------------- forecast


def test_days_to_the_least_level_of_steady_drinking() -> None:
    events = steady(12)[:-1]  # the last top-up not yet made: 97 litres, 57 above the least mark, 3 a day
    seen = outlook(view(RACK, events, at(12.0)))
    assert seen.least_level is not None
    assert seen.least_level.value == pytest.approx(19.0, abs=0.5)
    assert seen.least_level.low < 19.0
    assert seen.least_level.high is not None
    assert seen.least_level.high > 19.0


def test_a_rack_without_a_level_says_nothing() -> None:
    seen = outlook(view(RACK, (Reading(id="r", seq=1, at=at(1), ph=6.0),), at(1.1)))
    assert seen.least_level is None
    assert seen.litres_day is None


def test_a_new_rack_is_unsure_and_says_so_by_its_range() -> None:
    seen = outlook(view(RACK, steady(1), at(1.1)))
    assert seen.least_level is not None
    assert seen.least_level.low < 0.55 * seen.least_level.value


def test_strength_leaves_its_band_by_thirst_alone() -> None:
    # nothing eaten: 1.5 at 120 L is 1.8 at 100 L, twenty litres on
    events = steady(12)
    seen = outlook(view(RACK, events, at(12.02)))
    assert seen.conductivity is not None
    assert seen.conductivity.value == pytest.approx(20.0 / 3.0, rel=0.35)


def test_a_ph_out_of_its_band_has_no_days_left() -> None:
    events = (*steady(12), Reading(id="x", seq=99, at=at(12.5), ph=7.0))
    seen = outlook(view(RACK, events, at(12.6)))
    assert seen.ph is not None
    assert (seen.ph.value, seen.ph.low, seen.ph.high) == (0.0, 0.0, 0.0)


def test_ph_days_follow_the_drift() -> None:
    rows = tuple(
        Reading(id=f"r{n}", seq=n + 1, at=at(n), level_l=95.0, ph=round(5.6 + 0.05 * n, 2), source="round")
        for n in range(9)
    )
    seen = outlook(view(RACK, rows, at(8.0)))
    assert seen.ph is not None  # 6.00 now, 6.40 the limit, 0.05 a day
    assert seen.ph.value == pytest.approx(8.0, rel=0.15)


@pytest.mark.slow
def test_the_range_of_a_weeks_thirst_holds_it_in_most_seasons() -> None:
    held, count = 0, 0
    for seed in range(14):
        events = Season(seed).run(52)
        now = START + timedelta(days=40, hours=3)
        before = tuple(e for e in events if e.at <= now)
        course = course_of(QUIET, events)
        spans = [s for s in course.spans if s.first.at > now and s.last.at < now + timedelta(days=7)]
        if len(spans) < 3 or any(s.drunk_l is None for s in spans):
            continue
        seen = outlook(View(course=course_of(QUIET, before), learning=learn_lightly(QUIET, before), now=now))
        drunk = sum(s.drunk_l or 0.0 for s in spans) / sum(s.days for s in spans)
        assert seen.litres_day_range is not None
        count += 1
        held += seen.litres_day_range[0] <= drunk <= seen.litres_day_range[1]
    assert count >= 10
    assert held >= 0.8 * count


def test_days_away_are_told_one_by_one() -> None:
    days = days_ahead(view(RACK, steady(12), at(12.1)), first=date(2026, 5, 20), last=date(2026, 5, 24))
    assert [day.day.day for day in days] == [20, 21, 22, 23, 24]
    assert days[-1].level_l == pytest.approx(100.0 - 5 * 3.0, abs=1.0)
    assert days[-1].level_low_l < days[-1].level_l
    assert days[0].litres_high > days[0].litres
    high = days[-1].conductivity_high_ms_cm
    assert high is not None
    # at worst the strength rises by full litres over litres left
    assert high == pytest.approx(1.5 * 120.0 / (20.0 + days[-1].level_low_l), rel=0.05)


def test_nothing_known_nothing_promised() -> None:
    assert days_ahead(view(RACK, (), at(1)), first=date(2026, 5, 20), last=date(2026, 5, 21)) == ()


# -------------------- change


@pytest.fixture
def rules() -> SlowRules:
    return read_rules(read_data("task_rules"))  # type: ignore[arg-type]  # the packaged file has its tables


def test_salts_nobody_eats_add_up_with_the_water() -> None:
    events = steady(20)
    left = unused_salts(course_of(RACK, events))
    assert left.water_l == pytest.approx(60.0)
    # 120 L filled and 60 L added: half as much again
    assert left.sodium_mg_l == pytest.approx(30.0)
    assert left.chloride_mg_l == pytest.approx(45.0)
    assert left.ballast_ms_cm == pytest.approx(0.3)


def test_what_was_drained_took_its_salts_along() -> None:
    half = Poured(id="d", seq=900, at=at(20.5), what="drained", litres=60.0)
    water = Poured(id="w", seq=901, at=at(20.6), what="water", litres=60.0)
    left = unused_salts(course_of(RACK, (*steady(20), half, water)))
    # 30 mg/L, half of it swapped for water of 20
    assert left.sodium_mg_l == pytest.approx(25.0)


FED = replace(
    RACK,
    feeds=(
        Feed(
            name="All",
            label_ml_per_l=5.0,
            label_conductivity_ms_cm=1.5,
            analysis={"N_nitrate": 4.0, "K2O": 6.0, "CaO": 6.0},
        ),
    ),
)


def eating(*, drop_ms_cm: float) -> tuple[Event, ...]:
    """A full tank of 120 L fed to label strength, then weaker by so much."""
    readings = (
        Reading(
            id=f"r{n}", seq=5 + n, at=at(1 + 10 * n), level_l=100.0, conductivity_ms_cm=1.7 - n * drop_ms_cm
        )
        for n in range(2)
    )
    feed = Poured(id="f", seq=2, at=at(0.5), what="All", ml=600.0)
    return (Change(id="c", seq=1, at=at(0), litres=100.0), feed, *readings)


def test_a_fresh_mix_leaves_nothing_over() -> None:
    left = unused_salts(course_of(FED, eating(drop_ms_cm=0.0)))
    assert left.surplus_mg_l == {}
    assert left.gathered_ms_cm == pytest.approx(0.0)


def test_a_nutrient_is_over_by_what_came_with_the_nitrogen_eaten_and_was_not_taken() -> None:
    """Pencil and paper: 0.435 mS/cm are 3 mmol/L or 42 mg/L of nitrogen at 0.145 mS/cm a mmol.

    The label brings 6.0 x 0.7147 / 4.0 = 1.072 g of calcium a gram of nitrogen, the plants take 0.668 (3.13
    mmol beside 13.4, Frontiers in Plant Science 15:1411572); of potassium 1.245 against 2.12: none is over.
    """
    left = unused_salts(course_of(FED, eating(drop_ms_cm=0.435)))
    assert set(left.surplus_mg_l) == {"Ca"}
    assert left.surplus_mg_l["Ca"] == pytest.approx(42.0 * (1.072 - 0.668), rel=0.02)


def test_the_strength_that_goes_with_a_mmol_of_nitrogen_is_the_chemistrys() -> None:
    """Uptake as above; a solution as labels make it, and the same without 3 mmol/L of nitrate."""
    full = {
        "NO3": 9.0,
        "NH4": 0.4,
        "K": 5.5,
        "Ca": 2.5,
        "Mg": 1.0,
        "P": 1.2,
        "SO4": 1.2,
        "Na": 0.5,
        "Cl": 0.4,
    }
    beside = {
        "NO3": 1.0,
        "P": 1.72 / 13.4,
        "K": 10.2 / 13.4,
        "Ca": 3.13 / 13.4,
        "Mg": 0.86 / 13.4,
        "SO4": 0.044,
    }

    def us_cm(totals: dict[str, float]) -> float:
        return Solution.at_ph(6.0, totals, temperature_c=25.0, pco2_atm=7e-4).conductivity_us_cm

    left = {name: amount - 3.0 * beside.get(name, 0.0) for name, amount in full.items()}
    mmol_per_ms_cm = 3.0 / ((us_cm(full) - us_cm(left)) / 1000.0)
    assert 14.007 * mmol_per_ms_cm == pytest.approx(MG_N_PER_MS_CM, rel=0.03)


def test_salts_left_over_bring_the_change_forward(rules: SlowRules) -> None:
    hard = Rack(
        name="h",
        reservoir=RACK.reservoir,
        source=Source(conductivity_ms_cm=0.45),
        target=Target(change_every_days=90),
    )
    # 3 L a day into 120 L leave 0.45 x 3 / 120 = 0.011 mS/cm a day; a third of 1.2 is 0.4: on day 36
    ahead = change_ahead(course_of(hard, steady(12)), at(12), rules, litres_day=3.0, wanted_ms_cm=1.2)
    assert ahead is not None
    assert ahead.days.value == pytest.approx(0.4 / (0.45 * 3.0 / 120.0) - 12.0, abs=1.0)
    assert "left over" in ahead.because


def test_the_change_is_due_by_its_days(rules: SlowRules) -> None:
    rack = Rack(name="d", reservoir=RACK.reservoir, target=Target(change_every_days=30))
    ahead = change_ahead(course_of(rack, steady(12, litres_day=0.5)), at(12), rules, litres_day=0.5)
    assert ahead is not None
    assert ahead.days.value == pytest.approx(18.0, abs=0.6)


def test_salty_water_brings_the_change_forward(rules: SlowRules) -> None:
    salty = Rack(
        name="s",
        reservoir=RACK.reservoir,
        source=Source(conductivity_ms_cm=0.2, sodium_mg_l=80.0),
        target=Target(change_every_days=60),
    )
    ahead = change_ahead(course_of(salty, steady(12)), at(12), rules, litres_day=3.0)
    assert ahead is not None
    assert ahead.days.value < 10.0
    assert "sodium" in ahead.because


def test_an_empty_log_has_no_change_ahead(rules: SlowRules) -> None:
    assert change_ahead(course_of(RACK, ()), at(1), rules, litres_day=3.0) is None


# -------------------- bottles


def stocked() -> Rack:
    return replace(
        QUIET,
        extra={
            "stock": {"A": 1000.0},
            "use_by": {"buffer 7": date(2026, 6, 1), "buffer 4": date(2027, 1, 1)},
        },
    )


def test_a_bottle_lasts_as_long_as_its_use_of_late_says() -> None:
    poured = tuple(Poured(id=f"p{n}", seq=n, at=at(n), what="A", ml=10.0) for n in range(1, 29))
    left = {b.what: b for b in bottles_left(course_of(stocked(), poured), at(28.5))}
    assert left["A"].left == pytest.approx(720.0)
    assert left["A"].days == pytest.approx(72.0, rel=0.05)
    assert left["B"].left is None
    assert left["B"].used_day == 0.0


def test_a_new_bottle_counts_from_new() -> None:
    poured = tuple(Poured(id=f"p{n}", seq=n, at=at(n), what="A", ml=10.0) for n in range(1, 29))
    new = Renewed(id="new", seq=99, at=at(20.5), what="A")
    left = bottles_left(course_of(stocked(), (*poured, new)), at(28.5))[0]
    assert left.left == pytest.approx(920.0)


def test_a_buffer_past_its_date_is_named() -> None:
    course = course_of(stocked(), ())
    assert past_date(course, date(2026, 7, 1)) == (("buffer 7", date(2026, 6, 1)),)
    assert past_date(course, date(2026, 5, 1)) == ()


def test_the_horizon_is_where_promises_end() -> None:
    idle = tuple(
        Reading(id=f"r{n}", seq=n + 1, at=at(n), level_l=100.0 - 0.1 * n, source="round") for n in range(8)
    )
    seen = outlook(view(RACK, idle, at(7.0)))
    assert seen.least_level is not None
    assert seen.least_level.value == HORIZON_DAYS
    assert seen.least_level.high is None
    assert Learning().thirst is None
