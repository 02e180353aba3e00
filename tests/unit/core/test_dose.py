"""What is planned, in which order, and what is never planned."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.band import Band
from tendtui.core.bands import Payer
from tendtui.core.event import Change, Poured, Reading, TaskDone
from tendtui.core.learned_values import Factor, Learned
from tendtui.core.plan import AddWater, Pour, Read, Verdict, Wait
from tendtui.core.plan_words import pour_words
from tendtui.core.rack import Adjuster, Feed, Measuring, Meter, Source
from tendtui.value import replace
from tests.support.dose_case import (
    ACID,
    NOW,
    RACK,
    Given,
    bands,
    does,
    levels,
    plan,
    pours,
    with_adjusters,
    words,
)

GOOD: Given = {"level": 58.0, "conductivity": 1.6, "ph": 5.9, "temperature": 21.0}


def reading(minutes: float, *, seq: int = 1, **values: float) -> Reading:
    return Reading(id=f"r{seq}", seq=seq, at=NOW + timedelta(minutes=minutes), **values)  # type: ignore[arg-type]


def poured(minutes: float, what: str, *, seq: int = 2, **amount: float) -> Poured:
    return Poured(id=f"p{seq}", seq=seq, at=NOW + timedelta(minutes=minutes), what=what, **amount)  # type: ignore[arg-type]


class TestOrder:
    def test_water_then_feed_then_a_wait_and_a_reading(self) -> None:
        made = plan(level=47.0, conductivity=1.21, ph=6.4, temperature=21.0)
        assert does(made) == ["AddWater", "Pour", "Pour", "Wait", "Read"]
        assert list(pours(made)) == ["Feed A", "Feed B"]

    def test_no_acid_before_the_strength_is_right(self) -> None:
        assert "Acid" not in pours(plan(level=47.0, conductivity=1.21, ph=7.4, temperature=21.0))

    def test_acid_when_only_the_ph_is_off(self) -> None:
        made = plan(**GOOD | {"ph": 6.8})
        assert list(pours(made)) == ["Acid"]
        assert does(made) == ["Pour", "Wait", "Read"]

    def test_all_inside_the_bands_is_left_alone(self) -> None:
        made = plan(**GOOD)
        assert (made.verdict, made.steps) == (Verdict.LEAVE, ())
        assert made.expect.ph == pytest.approx(5.9, abs=0.02)

    def test_a_low_level_at_good_strength_gets_water_and_the_feed_it_thins(self) -> None:
        made = plan(level=40.0, conductivity=1.6, ph=5.9, temperature=21.0)
        assert does(made) == ["AddWater", "Pour", "Pour", "Wait", "Read"]

    def test_a_low_strong_level_gets_water_only(self) -> None:
        made = plan(level=47.0, conductivity=1.95, ph=5.9, temperature=21.0)
        assert does(made) == ["AddWater", "Wait", "Read"]


class TestAfterPouring:
    def test_something_poured_after_the_reading_is_waited_for_and_read(self) -> None:
        events = [reading(-60, level_l=47.0, conductivity_ms_cm=1.2, ph=6.4), poured(-5, "Feed A", ml=55.0)]
        made = plan(events=events)
        assert does(made) == ["Wait", "Read"]
        assert made.steps[0] == Wait(minutes=10.0)
        assert made.expect.conductivity_ms_cm is not None
        assert made.expect.conductivity_ms_cm > 1.3

    def test_drained_water_asks_for_no_reading(self) -> None:
        events = [
            reading(-60, level_l=59.0, conductivity_ms_cm=1.6, ph=5.9, temperature_c=21.0),
            poured(-5, "drained", litres=1.0),
        ]
        assert plan(events=events).verdict is Verdict.LEAVE

    def test_a_given_value_replaces_only_what_it_names(self) -> None:
        events = [reading(-60, level_l=58.0, conductivity_ms_cm=1.6, ph=6.9), poured(-30, "Acid", ml=5.0)]
        made = plan(events=events, ph=6.6)
        assert made.steps[-1] == Read(what=("conductivity",))

    def test_after_a_change_everything_is_read(self) -> None:
        events = [
            reading(-600, level_l=58.0, conductivity_ms_cm=1.6, ph=6.9),
            Change(id="c", seq=2, at=NOW - timedelta(hours=1), litres=55.0),
        ]
        assert does(plan(events=events)) == ["Wait", "Read"]

    def test_a_doubtful_reading_is_taken_again_first(self) -> None:
        doubtful = replace(reading(-5, level_l=58.0, conductivity_ms_cm=1.6, ph=8.9), doubt=("ph",))
        made = plan(events=[doubtful])
        assert made.steps == (Read(what=("ph",)),)
        again = reading(-1, seq=2, ph=8.8)
        assert list(pours(plan(events=[doubtful, again]))) == ["Acid"]

    def test_the_level_is_carried_through_what_was_logged(self) -> None:
        events = [
            reading(-300, level_l=40.0),
            poured(-200, "water", litres=12.0),
            poured(-190, "drained", seq=3, litres=2.0),
            reading(-5, seq=4, conductivity_ms_cm=1.6, ph=5.9),
        ]
        made = plan(events=events)
        assert made.readings.level_l == pytest.approx(50.0)
        assert "carried" in words(made)

    def test_a_carried_level_widens_the_range(self) -> None:
        fresh = plan(level=47.0, conductivity=1.21, ph=6.4)
        old = [reading(-60 * 40, level_l=47.0)]
        carried = plan(events=old, conductivity=1.21, ph=6.4)
        assert width(carried.range.conductivity_ms_cm) > 1.1 * width(fresh.range.conductivity_ms_cm)

    def test_a_level_older_than_two_days_must_be_read(self) -> None:
        made = plan(events=[reading(-60 * 49, level_l=47.0)], conductivity=1.21, ph=6.4)
        assert made.steps == (Read(what=("level",)),)

    def test_a_change_without_a_level_starts_from_what_went_in_with_it(self) -> None:
        at = NOW - timedelta(hours=2)
        events = [
            reading(-600, level_l=47.0),
            Poured(id="d", seq=2, at=at, what="drained", litres=47.0),
            Poured(id="w", seq=3, at=at, what="water", litres=55.0),
            Change(id="c", seq=4, at=at),
        ]
        assert plan(events=events, conductivity=1.6, ph=5.9).readings.level_l == pytest.approx(55.0)


def width(pair: tuple[float, float] | None) -> float:
    assert pair is not None
    return pair[1] - pair[0]


class TestPortions:
    def test_the_first_portion_is_at_most_seven_tenths(self) -> None:
        made = plan(**GOOD | {"ph": 6.8})
        assert pours(made)["Acid"] <= 0.7 * whole_ml(made)

    def test_a_tank_with_little_phosphate_gets_less_at_first(self) -> None:
        weak = bands(strength=(0.3, 0.8))
        thin = plan(wanted=weak, level=58.0, conductivity=0.5, ph=7.0, temperature=21.0)
        assert pours(thin)["Acid"] <= 0.6 * whole_ml(thin) + 1e-9

    def test_a_portion_moves_ph_by_at_most_one(self) -> None:
        made = plan(**GOOD | {"ph": 8.2})
        assert made.expect.ph is not None
        assert made.expect.ph >= 7.2 - 0.02

    def test_the_second_portion_follows_what_the_first_one_did(self) -> None:
        before = reading(-40, level_l=58.0, conductivity_ms_cm=1.6, ph=7.0, temperature_c=21.0)
        acid = poured(-30, "Acid", ml=12.0)
        strong = plan(events=[before, acid, reading(-2, seq=3, conductivity_ms_cm=1.6, ph=6.6)])
        weak = plan(events=[before, acid, reading(-2, seq=3, conductivity_ms_cm=1.6, ph=6.85)])
        assert whole_ml(weak) > 1.5 * whole_ml(strong)
        assert "less than expected" in words(weak)

    def test_what_the_tank_answered_is_in_the_expectation_too(self) -> None:
        before = reading(-40, level_l=58.0, conductivity_ms_cm=1.6, ph=7.0, temperature_c=21.0)
        events = [before, poured(-30, "Acid", ml=12.0), reading(-2, seq=3, conductivity_ms_cm=1.6, ph=6.6)]
        made = plan(events=events)
        assert made.expect.ph is not None
        assert 5.6 <= made.expect.ph <= 6.2
        assert width(made.range.ph) < 0.6

    def test_a_portion_that_moved_it_the_wrong_way_stops_everything(self) -> None:
        before = reading(-40, level_l=58.0, conductivity_ms_cm=1.6, ph=6.6, temperature_c=21.0)
        events = [before, poured(-30, "Acid", ml=12.0), reading(-2, seq=3, conductivity_ms_cm=1.6, ph=6.9)]
        made = plan(events=events)
        assert made.steps == ()
        assert "did not go the way" in words(made)

    def test_one_correction_a_day(self) -> None:
        events = [
            reading(-60 * 9, level_l=58.0, conductivity_ms_cm=1.6, ph=6.8, temperature_c=21.0),
            poured(-60 * 9 + 5, "Acid", ml=10.0),
            reading(-5, seq=3, conductivity_ms_cm=1.6, ph=6.5),
        ]
        made = plan(events=events)
        assert made.verdict is Verdict.LEAVE
        assert "once a day is enough" in words(made)

    @pytest.mark.parametrize("ph", [4.8, 7.2])
    def test_but_not_outside_five_and_seven(self, ph: float) -> None:
        events = [
            reading(-60 * 9, level_l=58.0, conductivity_ms_cm=1.6, ph=6.8, temperature_c=21.0),
            poured(-60 * 9 + 5, "Acid", ml=10.0),
            reading(-5, seq=3, conductivity_ms_cm=1.6, ph=ph),
        ]
        assert pours(plan(events=events))

    def test_tomorrow_it_may_be_corrected_again(self) -> None:
        events = [
            reading(-60 * 24, level_l=58.0, conductivity_ms_cm=1.6, ph=6.8, temperature_c=21.0),
            poured(-60 * 24 + 5, "Acid", ml=10.0),
            reading(-5, seq=3, level_l=57.0, conductivity_ms_cm=1.6, ph=6.6),
        ]
        assert pours(plan(events=events))

    def test_four_portions_are_one_correction_and_no_more(self) -> None:
        events: list[Reading | Poured] = [
            reading(-130, level_l=58.0, conductivity_ms_cm=1.6, ph=7.6, temperature_c=21.0)
        ]
        for n in range(4):
            events.append(poured(-120 + 30 * n, "Acid", seq=10 + 2 * n, ml=5.0))
            events.append(reading(-100 + 30 * n, seq=11 + 2 * n, conductivity_ms_cm=1.6, ph=7.4 - 0.1 * n))
        third = plan(events=events[:-2], now=NOW - timedelta(minutes=35))
        assert pours(third)
        made = plan(events=events)
        assert made.steps == ()
        assert "4 portions" in words(made)

    def test_coarse_drops_get_one_portion_only(self) -> None:
        rack = replace(RACK, meter=Meter(ph_step=0.5))
        before = reading(-40, level_l=58.0, conductivity_ms_cm=1.6, ph=7.0, temperature_c=21.0)
        first = plan(rack, events=[before], now=NOW - timedelta(minutes=35))
        assert pours(first)
        after = [before, poured(-30, "Acid", ml=5.0), reading(-2, seq=3, conductivity_ms_cm=1.6, ph=6.5)]
        assert plan(rack, events=after).steps == ()

    def test_an_unprinted_strength_starts_low(self) -> None:
        unknown = replace(ACID, percent_w_w=None)
        strongest = replace(ACID, percent_w_w=60.0)
        given = GOOD | {"ph": 7.4}
        fine = Measuring(liquid_ml=0.1)
        low = plan(replace(with_adjusters(unknown), measuring=fine), **given)
        high = plan(replace(with_adjusters(strongest), measuring=fine), **given)
        assert 0.0 < pours(low)["Acid"] <= 1.2 * pours(high)["Acid"]
        assert "no strength" in words(low)

    def test_what_was_learned_of_the_acid_moves_the_amount(self) -> None:
        given = GOOD | {"ph": 6.8}
        learned = Learned(response={"Acid": Factor(value=1.5, spread=0.05)})
        assert whole_ml(plan(learned=learned, **given)) == pytest.approx(
            1.5 * whole_ml(plan(**given)), rel=0.02
        )

    def test_what_was_learned_of_the_feed_moves_the_amount(self) -> None:
        given: Given = {"level": 47.0, "conductivity": 1.21, "ph": 6.0}
        learned = Learned(feed_strength=Factor(value=1.25, spread=0.03))
        assert pours(plan(learned=learned, **given))["Feed A"] == pytest.approx(
            pours(plan(**given))["Feed A"] / 1.25, abs=1.0
        )

    def test_a_low_ph_that_rises_by_itself_is_left(self) -> None:
        carbonated = replace(RACK, adjusters=RACK.adjusters)
        made = plan(carbonated, **GOOD | {"ph": 5.5, "alkalinity": 0.6})
        assert made.verdict is Verdict.LEAVE
        assert "by itself" in words(made)

    def test_less_than_a_mark_is_left(self) -> None:
        rack = replace(RACK, measuring=Measuring(liquid_ml=50.0))
        made = plan(rack, **GOOD | {"ph": 6.4})
        assert made.verdict is Verdict.LEAVE
        assert "mark of the tool" in words(made)


def whole_ml(made: object) -> float:
    """Read the whole amount from the reason that names it."""
    text = words(made)  # type: ignore[arg-type]
    return float(text.partition("takes about ")[2].partition(" mL")[0])


class TestJar:
    def jar(self, hours: float, ml_per_l: float) -> TaskDone:
        at = NOW - timedelta(hours=hours)
        values = {"start_ph": 6.8, "end_ph": 5.8, "told_ml_per_l": ml_per_l}
        return TaskDone(id="j", seq=1, at=at, task="jar-test", text="Acid", values=values)

    def test_a_jar_of_this_water_says_the_amount(self) -> None:
        made = plan(events=[self.jar(2.0, 0.6)], **GOOD | {"ph": 6.8})
        # 0.6 mL a litre for 76 litres, to 5.81 instead of 5.8
        assert whole_ml(made) == pytest.approx(0.6 * 76.0, rel=0.05)

    def test_and_takes_most_of_the_doubt_away(self) -> None:
        given = GOOD | {"ph": 6.8}
        made = plan(events=[self.jar(2.0, 0.35)], **given)
        assert width(made.range.ph) < 0.75 * width(plan(**given).range.ph)
        assert pours(made)["Acid"] > 0.8 * whole_ml(made)

    def test_an_old_jar_says_nothing(self) -> None:
        given = GOOD | {"ph": 6.8}
        assert plan(events=[self.jar(24.0 * 4, 0.6)], **given) == plan(**given)


class TestReservoir:
    def test_over_full_is_drained_first(self) -> None:
        made = plan(level=63.0, conductivity=1.6, ph=5.9)
        assert does(made)[0] == "Drain"
        assert max(levels(made, 63.0)) <= 60.0

    def test_too_weak_and_full_makes_room_for_the_feed(self) -> None:
        made = plan(level=60.0, conductivity=1.2, ph=5.9)
        assert does(made)[:2] == ["Drain", "Pour"]
        assert max(levels(made, 60.0)) <= 60.0

    def test_too_strong_is_swapped_in_turns_between_the_marks(self) -> None:
        made = plan(level=40.0, conductivity=2.9, ph=5.9)
        assert does(made).count("Drain") == 2
        assert min(levels(made, 40.0)) >= 30.0
        assert max(levels(made, 40.0)) <= 60.0
        assert made.expect.conductivity_ms_cm is not None
        assert 1.4 <= made.expect.conductivity_ms_cm <= 1.8

    def test_far_too_strong_is_changed(self) -> None:
        made = plan(level=59.0, conductivity=5.5, ph=5.9)
        assert made.verdict is Verdict.CHANGE
        assert does(made) == [
            *("Drain", "AddWater", "Wait"),  # what stands in the pipes is rinsed out first
            *("Drain", "AddWater", "Pour", "Pour", "Wait", "Read"),
        ]
        assert made.expect.conductivity_ms_cm == pytest.approx(1.6, abs=0.03)

    def test_source_water_as_strong_as_the_band_is_said(self) -> None:
        rack = replace(RACK, source=Source(conductivity_ms_cm=1.9, ph=7.8, alkalinity_mg_l_caco3=200.0))
        made = plan(rack, level=59.0, conductivity=2.4, ph=5.9)
        assert made.steps == ()
        assert "source water itself" in words(made)

    def test_over_its_limit_it_is_changed(self) -> None:
        rack = replace(RACK, target=replace(RACK.target, change_above_ms_cm=3.0))
        assert plan(rack, level=59.0, conductivity=3.1, ph=5.9).verdict is Verdict.CHANGE

    def test_after_its_days_it_is_changed(self) -> None:
        rack = replace(RACK, target=replace(RACK.target, change_every_days=21))
        change = Change(id="c", seq=1, at=NOW - timedelta(days=21, hours=1), litres=59.0)
        assert plan(rack, events=[change], **GOOD).verdict is Verdict.CHANGE
        younger = replace(change, at=NOW - timedelta(days=20))
        assert plan(rack, events=[younger], **GOOD).verdict is Verdict.LEAVE

    def test_salt_left_behind_since_the_change_is_said(self) -> None:
        rack = replace(RACK, source=replace(RACK.source, sodium_mg_l=40.0))
        events = [
            Change(id="c", seq=1, at=NOW - timedelta(days=20), litres=0.0),
            poured(-60 * 24 * 19, "water", litres=200.0),
        ]
        assert "sodium" in words(plan(rack, events=events, **GOOD))


class TestBadInput:
    def test_nothing_read_at_all(self) -> None:
        made = plan()
        assert made.steps == (Read(what=("level", "conductivity", "ph")),)

    def test_no_level_no_amounts(self) -> None:
        made = plan(conductivity=1.2, ph=6.9)
        assert made.steps == (Read(what=("level",)),)
        assert "without it no amount" in words(made)

    def test_no_conductivity_still_gets_its_water(self) -> None:
        made = plan(level=40.0, ph=5.9)
        assert does(made) == ["AddWater", "Wait", "Read"]
        assert "no feed is planned" in words(made)
        assert made.expect.conductivity_ms_cm is None

    def test_no_ph_still_gets_its_feed(self) -> None:
        made = plan(level=47.0, conductivity=1.2)
        assert "Feed A" in pours(made)
        assert made.expect.ph is None

    def test_no_ph_and_nothing_else_to_do_is_said(self) -> None:
        assert "pH was not read" in words(plan(level=58.0, conductivity=1.6))

    def test_a_reading_of_pure_water_is_taken_again(self) -> None:
        made = plan(level=58.0, conductivity=0.01, ph=5.9)
        assert made.steps == (Read(what=("conductivity",)),)
        assert "source water" in words(made)

    def test_a_reading_of_neat_feed_is_taken_again(self) -> None:
        made = plan(level=58.0, conductivity=45.0, ph=5.9)
        assert made.steps == (Read(what=("conductivity",)),)
        assert "neat feed" in words(made)

    def test_a_meter_that_does_not_move_is_said(self) -> None:
        events = [
            reading(-90, level_l=50.0, conductivity_ms_cm=1.2, ph=6.0),
            poured(-60, "Feed A", ml=50.0),
            poured(-59, "Feed B", seq=3, ml=50.0),
            reading(-5, seq=4, conductivity_ms_cm=1.2, ph=6.0),
        ]
        made = plan(events=events)
        assert made.steps == (Read(what=("conductivity",)),)
        assert "stuck" in words(made)

    def test_new_water_that_reads_as_the_old_did_is_no_stuck_meter(self) -> None:
        events = [
            reading(-600, level_l=50.0, conductivity_ms_cm=1.5, ph=6.0),
            Change(id="c", seq=2, at=NOW - timedelta(minutes=70), litres=58.0),
            poured(-60, "Feed A", seq=3, ml=50.0),
            poured(-59, "Feed B", seq=4, ml=50.0),
            reading(-5, seq=5, conductivity_ms_cm=1.5, ph=6.0),
        ]
        assert "stuck" not in words(plan(events=events))

    @pytest.mark.parametrize("ph", [2.0, 11.0])
    def test_a_ph_no_reservoir_has_is_taken_again(self, ph: float) -> None:
        assert plan(**GOOD | {"ph": ph}).steps == (Read(what=("ph",)),)

    def test_a_ph_that_burns_roots_is_changed(self) -> None:
        assert plan(**GOOD | {"ph": 3.8}).verdict is Verdict.CHANGE

    def test_an_empty_reservoir_is_filled_afresh(self) -> None:
        made = plan(level=0.0, conductivity=1.4, ph=5.9)
        assert made.verdict is Verdict.CHANGE
        assert does(made) == ["AddWater", "Pour", "Pour", "Wait", "Read"]

    def test_ten_thousand_litres_are_not_believed(self) -> None:
        assert plan(level=10_000.0, conductivity=1.4, ph=5.9).steps == (Read(what=("level",)),)

    def test_a_litre_of_anything_is_questioned(self) -> None:
        rack = replace(RACK, reservoir=replace(RACK.reservoir, full_l=10_000.0, least_l=500.0))
        made = plan(rack, level=9_900.0, conductivity=1.2, ph=5.9)
        assert max(pours(made).values()) > 1000.0
        assert "a great deal" in words(made)

    def test_alkalinity_below_zero_is_left_out_and_said(self) -> None:
        rack = replace(RACK, source=replace(RACK.source, alkalinity_mg_l_caco3=-5.0))
        made = plan(rack, level=47.0, conductivity=1.2, ph=5.9)
        assert "below zero" in words(made)
        assert "Feed A" in pours(made)

    def test_no_source_water_known_is_said(self) -> None:
        made = plan(replace(RACK, source=Source()), level=47.0, conductivity=1.2, ph=5.9)
        assert "source water is not known" in words(made)

    def test_no_bottle_for_up_is_said(self) -> None:
        made = plan(with_adjusters(ACID), **GOOD | {"ph": 5.2, "level": RACK.reservoir.full_l})
        assert made.steps == ()
        assert "brings pH up" in words(made)

    def test_hard_source_water_brings_ph_up_where_no_bottle_does(self) -> None:
        made = plan(with_adjusters(ACID), **GOOD | {"ph": 5.2})
        assert does(made)[0] == "AddWater"
        assert "top up with that" in words(made)
        assert made.expect.ph_tomorrow is not None
        assert 5.6 <= made.expect.ph_tomorrow <= 6.4

    def test_a_falling_ph_gets_more_water_than_a_steady_one(self) -> None:
        steady = plan(with_adjusters(ACID), **GOOD | {"ph": 4.9})
        falling = plan(with_adjusters(ACID), learned=Learned(drift_ph_day=-0.4), **GOOD | {"ph": 4.9})
        litres = [sum(s.litres for s in made.steps if isinstance(s, AddWater)) for made in (steady, falling)]
        assert 0.0 < litres[0] < litres[1]

    def test_no_bottle_for_up_below_five_swaps_water(self) -> None:
        made = plan(with_adjusters(ACID), **GOOD | {"ph": 4.5})
        assert does(made) == ["Drain", "AddWater", "Wait", "Read"]

    def test_no_acid_is_said(self) -> None:
        made = plan(with_adjusters(), **GOOD | {"ph": 6.9})
        assert made.steps == ()
        assert "no acid" in words(made)

    def test_a_wish_the_bottle_cannot_reach_is_said(self) -> None:
        bicarbonate = Adjuster(name="Up", direction="up", reagent="potassium bicarbonate", percent_w_w=10.0)
        made = plan(with_adjusters(bicarbonate), wanted=bands(ph=(9.2, 9.4)), **GOOD | {"ph": 8.9})
        assert "No amount of Up" in words(made)
        assert not any(isinstance(step, Pour) for step in made.steps)

    def test_a_bottle_whose_reagent_moves_the_other_way_is_passed_over(self) -> None:
        wrong = Adjuster(name="Acid", direction="up", reagent="phosphoric acid", percent_w_w=10.0)
        made = plan(with_adjusters(wrong), **GOOD | {"ph": 5.2})
        assert not pours(made)

    def test_labels_that_contradict_each_other_are_said(self) -> None:
        feeds = (RACK.feeds[0], replace(RACK.feeds[1], label_conductivity_ms_cm=2.5))
        assert "different conductivities" in words(
            plan(replace(RACK, feeds=feeds), level=47.0, conductivity=1.2, ph=5.9)
        )

    def test_an_analysis_that_contradicts_the_strength_is_said(self) -> None:
        strong = {"N_nitrate": 9.0, "K2O": 20.0, "CaO": 9.0, "P2O5": 5.0}
        feeds = tuple(replace(feed, analysis=strong) for feed in RACK.feeds)
        assert "its label says 1.50" in words(
            plan(replace(RACK, feeds=feeds), level=47.0, conductivity=1.2, ph=5.9)
        )

    def test_a_label_of_nothing_is_not_dosed(self) -> None:
        feeds = (Feed(name="Feed A", label_ml_per_l=0.0, label_conductivity_ms_cm=1.5),)
        made = plan(replace(RACK, feeds=feeds), level=59.0, conductivity=1.2, ph=5.9)
        assert pours(made) == {}
        assert "no feed that can be dosed" in words(made)

    def test_no_feed_at_all_is_said(self) -> None:
        made = plan(replace(RACK, feeds=()), level=47.0, conductivity=1.2, ph=5.9)
        assert does(made) == ["AddWater", "Wait", "Read"]

    def test_frozen_water_does_not_stop_the_plan(self) -> None:
        assert "Feed A" in pours(plan(level=47.0, conductivity=1.2, ph=5.9, temperature=-1.0))


class TestRoomUnderTheMark:
    def test_water_leaves_room_for_the_acid_that_follows(self) -> None:
        made = plan(level=47.0, conductivity=1.95, ph=6.9, temperature=21.0)
        assert levels(made, 47.0)[-1] < 60.0

    def test_much_thin_acid_in_a_full_tank_is_drained_for_first(self) -> None:
        thin = with_adjusters(replace(ACID, percent_w_w=0.3))
        made = plan(thin, level=60.0, conductivity=1.6, ph=7.0, temperature=21.0)
        assert does(made) == ["Drain", "Pour", "Wait", "Read"]
        assert max(levels(made, 60.0)) <= 60.0

    def test_marks_too_near_each_other_leave_no_room_for_feed(self) -> None:
        rack = replace(RACK, reservoir=replace(RACK.reservoir, least_l=60.0))
        made = plan(rack, level=60.0, conductivity=1.2, ph=5.9)
        assert made.verdict is Verdict.LEAVE
        assert "no room for the feed" in words(made)


class TestDryFeed:
    def test_a_powder_is_weighed_in_its_own_steps(self) -> None:
        feeds = (
            Feed(name="Salts", label_g_per_l=0.8, label_conductivity_ms_cm=1.0),
            Feed(name="Calcium", label_g_per_l=0.6, label_conductivity_ms_cm=1.0),
        )
        rack = replace(RACK, feeds=feeds, measuring=Measuring(powder_g=0.25))
        made = plan(rack, level=47.0, conductivity=1.2, ph=5.9)
        grams = [step.g for step in made.steps if isinstance(step, Pour)]
        assert len(grams) == 2
        assert all(g is not None and g > 0.0 and (g / 0.25).is_integer() for g in grams)
        assert made.expect.conductivity_ms_cm == pytest.approx(1.6, abs=0.02)
        assert levels(made, 47.0)[-1] == 60.0


class TestWords:
    def test_who_pays_for_a_common_band_is_named(self) -> None:
        wanted = bands()
        payer = Payer(crop="spinach", wants=Band(low=1.8, high=2.3), off=-0.4)
        wanted = replace(wanted, conductivity=replace(wanted.conductivity, payers=(payer,)))
        assert "spinach would like it higher" in words(plan(wanted=wanted, **GOOD))

    def test_acid_is_never_near_bleach(self) -> None:
        assert "chlorine" in words(plan(**GOOD | {"ph": 6.8}))

    @pytest.mark.parametrize(("known", "warns"), [(False, True), (True, False)])
    def test_an_acid_of_unknown_kind_may_spit(self, *, known: bool, warns: bool) -> None:
        bottle = ACID if known else Adjuster(name="Acid", direction="down")
        made = plan(with_adjusters(bottle), **GOOD | {"ph": 6.8})
        assert ("never water into acid" in words(made)) is warns

    def test_one_is_not_many(self) -> None:
        assert pour_words(Pour(what="Acid", ml=1.0)) == "1 millilitre (one)"
        assert pour_words(Pour(what="Acid", ml=1.5)).startswith("1.5 millilitres")

    def test_alkali_burns(self) -> None:
        assert "alkali" in words(plan(**GOOD | {"ph": 4.9}))

    def test_neat_parts_never_meet(self) -> None:
        assert "neat parts meet" in words(plan(level=47.0, conductivity=1.2, ph=5.9))

    def test_creep_after_hard_water_is_foretold(self) -> None:
        made = plan(level=35.0, conductivity=1.2, ph=6.0)
        assert made.expect.ph is not None
        assert made.expect.ph_tomorrow is not None
        assert made.expect.ph_tomorrow > made.expect.ph
        assert "carbon dioxide" in words(made)

    def test_phosphate_falling_out_is_said_with_the_ph_where_it_starts(self) -> None:
        made = plan(**GOOD | {"conductivity": 1.75, "ph": 7.9})
        assert made.expect.conductivity_ms_cm is not None
        strength = f"{made.expect.conductivity_ms_cm:.2f} mS/cm"
        assert f"At {strength} calcium phosphate can fall out above pH 6" in words(made)

    def test_the_most_influential_guess_stands_first(self) -> None:
        made = plan(**GOOD | {"ph": 6.8})
        assert "phosphate" in made.assumed[0]

    def test_a_printed_analysis_narrows_the_range(self) -> None:
        printed = {
            "N_nitrate": 3.4,
            "N_ammonium": 0.2,
            "P2O5": 1.9,
            "K2O": 6.0,
            "CaO": 3.0,
            "MgO": 1.0,
            "S": 0.8,
        }
        known = replace(RACK, feeds=tuple(replace(feed, analysis=printed) for feed in RACK.feeds))
        given = GOOD | {"ph": 6.8}
        assert "no analysis" not in words(plan(known, **given))
        same = replace(RACK, adjusters=RACK.adjusters)
        assert width(plan(known, **given).range.ph) < width(plan(same, **given).range.ph)

    def test_a_drop_test_of_the_tank_is_used(self) -> None:
        with_test = plan(**GOOD | {"ph": 6.8, "alkalinity": 1.5})
        assert whole_ml(with_test) > 1.5 * whole_ml(plan(**GOOD | {"ph": 6.8}))
