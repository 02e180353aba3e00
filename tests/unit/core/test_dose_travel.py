"""pH until tomorrow: what is done today about it, and how far one portion goes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import pytest

from tendtui.core.acid_left import left_of_acid
from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_drift import drift_of
from tendtui.core.dose_foresee import shown_after
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_travel import FROM_EDGE, Travel, aim_of
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.learned_values import Factor, Learned
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Verdict
from tendtui.core.rack import Rack
from tendtui.core.tank import TankNow, tank_now
from tendtui.value import replace
from tests.support.dose_case import (
    ACID,
    NOW,
    RACK,
    Given,
    bands,
    does,
    facts,
    plan,
    pours,
    with_adjusters,
    words,
)

GOOD: Given = {"level": 58.0, "conductivity": 1.6, "ph": 5.9, "temperature": 21.0}
BAND = Band(low=5.6, high=6.2)


def reading(hours: float, seq: int, **values: float) -> Reading:
    return Reading(id=f"r{seq}", seq=seq, at=NOW - timedelta(hours=hours), **values)  # type: ignore[arg-type]


def acid(hours: float, seq: int, ml: float) -> Poured:
    return Poured(id=f"p{seq}", seq=seq, at=NOW - timedelta(hours=hours), what="Acid", ml=ml)


def rising(drift: float) -> Learned:
    return Learned(drift_ph_day=drift)


class TestTomorrow:
    def test_what_will_creep_out_of_the_band_gets_a_little_today(self) -> None:
        made = plan(learned=rising(0.15), **GOOD | {"ph": 6.1})
        assert list(pours(made)) == ["Acid"]
        assert "creep past 6.2 by tomorrow" in words(made)
        assert made.expect.ph is not None
        assert BAND.holds(made.expect.ph)

    def test_what_stays_inside_is_left_alone(self) -> None:
        assert plan(learned=rising(0.15), **GOOD | {"ph": 5.9}).verdict is Verdict.LEAVE

    @pytest.mark.parametrize("ph", [5.6, 5.7, 6.0, 6.1, 6.2])
    def test_a_reading_in_the_band_is_left_alone_where_no_drift_is_known(self, ph: float) -> None:
        assert plan(**GOOD | {"ph": ph}).verdict is Verdict.LEAVE

    def test_a_slow_rise_near_the_edge_is_met_too(self) -> None:
        assert list(pours(plan(learned=rising(0.02), **GOOD | {"ph": 6.1}))) == ["Acid"]
        assert plan(learned=rising(0.02), **GOOD | {"ph": 6.0}).verdict is Verdict.LEAVE

    def test_what_will_sink_out_of_the_band_gets_a_little_alkali(self) -> None:
        made = plan(learned=rising(-0.2), **GOOD | {"ph": 5.7})
        assert list(pours(made)) == ["Lye"]
        assert "sink past 5.6 by tomorrow" in words(made)

    def test_carbon_dioxide_that_will_leave_is_foreseen(self) -> None:
        made = plan(**GOOD | {"ph": 6.1, "alkalinity": 0.9})
        assert list(pours(made)) == ["Acid"]

    def test_once_a_day_holds_here_too(self) -> None:
        events: list[Event] = [
            reading(9.0, 1, level_l=58.0, conductivity_ms_cm=1.6, ph=6.5),
            acid(8.9, 2, 5.0),
        ]
        made = plan(events=[*events, reading(0.1, 3, conductivity_ms_cm=1.6, ph=6.1)], learned=rising(0.2))
        assert made.verdict is Verdict.LEAVE
        assert "once a day is enough" in words(made)
        assert "a little now" not in words(made)  # nothing is poured, so nothing says so

    def test_a_correction_of_yesterday_evening_is_called_so(self) -> None:
        events: list[Event] = [
            reading(11.1, 1, level_l=58.0, conductivity_ms_cm=1.6, ph=6.5),
            acid(11.0, 2, 5.0),
        ]
        made = plan(events=[*events, reading(0.1, 3, conductivity_ms_cm=1.6, ph=6.4)])
        assert made.verdict is Verdict.LEAVE
        evening = (NOW - timedelta(hours=11)).strftime("%H:%M")
        assert f"pH was corrected yesterday {evening}: once a day is enough" in words(made)

    def test_a_correction_of_yesterday_does_not_keep_back_that_of_today(self) -> None:
        first = reading(17.2, 1, level_l=58.0, conductivity_ms_cm=1.6, ph=6.5)
        made = plan(events=[first, acid(17.1, 2, 5.0), reading(0.1, 3, conductivity_ms_cm=1.6, ph=6.4)])
        assert list(pours(made)) == ["Acid"]

    @pytest.mark.parametrize(
        ("ph", "drift", "said"),
        [
            (6.15, 0.03, "creep up to about 6.2 by tomorrow, the edge of what is wanted."),
            (
                6.1,
                0.2,
                "creep past 6.2 by tomorrow, to about 6.3. The plants are counted in: +0.2 a day lately.",
            ),
            (5.7, -0.15, "sink to about 5.6 by tomorrow, the edge of what is wanted."),
            (
                5.7,
                -0.2,
                "sink past 5.6 by tomorrow, to about 5.5. The plants are counted in: -0.2 a day lately.",
            ),
        ],
    )
    def test_what_is_past_the_edge_by_a_hundredth_stands_at_it(
        self, ph: float, drift: float, said: str
    ) -> None:
        assert said in words(plan(learned=rising(drift), **GOOD | {"ph": ph}))


class TestOneCorrection:
    def begun(self, ph: float) -> list[Event]:
        first = reading(0.7, 1, level_l=58.0, conductivity_ms_cm=1.6, ph=6.7, temperature_c=21.0)
        return [first, acid(0.5, 2, 8.0), reading(0.1, 3, conductivity_ms_cm=1.6, ph=ph)]

    def test_a_correction_that_was_begun_goes_on_to_its_aim(self) -> None:
        made = plan(events=self.begun(6.2), learned=rising(0.05))
        assert list(pours(made)) == ["Acid"]
        assert "goes on to its aim" in words(made)

    def test_and_ends_near_it(self) -> None:
        assert plan(events=self.begun(5.9), learned=rising(0.05)).verdict is Verdict.LEAVE

    def fresh(self, *answers: float) -> list[Event]:
        """A change, 7 mL of acid at pH 6.0 since, and 2 mL more after each answer but the last."""
        hard = [
            reading(24.0, 1, level_l=20.0, conductivity_ms_cm=1.45, ph=6.1, temperature_c=21.0),
            Poured(id="d", seq=2, at=NOW - timedelta(hours=3.4), what="drained", litres=20.0),
            Change(id="c", seq=3, at=NOW - timedelta(hours=3.3), litres=34.0),
            Poured(id="w", seq=4, at=NOW - timedelta(hours=3.3), what="water", litres=34.0),
            Poured(id="a", seq=5, at=NOW - timedelta(hours=3.2), what="Feed A", ml=51.0),
            Poured(id="b", seq=6, at=NOW - timedelta(hours=3.1), what="Feed B", ml=51.0),
            reading(2.6, 7, level_l=34.0, conductivity_ms_cm=1.6, ph=6.0, temperature_c=21.0),
            acid(2.5, 8, 7.0),
        ]
        for nth, ph in enumerate(answers):
            hours = 2.0 - 0.5 * nth
            hard.append(reading(hours, 9 + 2 * nth, conductivity_ms_cm=1.6, ph=ph))
            if nth + 1 < len(answers):
                hard.append(acid(hours - 0.1, 10 + 2 * nth, 2.0))
        return hard

    def planned(self, *answers: float) -> Plan:
        small = replace(RACK, reservoir=replace(RACK.reservoir, full_l=35.0, least_l=15.0, pipes_l=10.0))
        return plan(small, events=self.fresh(*answers), wanted=bands(ph=(5.6, 6.3)))

    @pytest.mark.parametrize("answers", [(5.8,), (5.8, 5.8), (5.8, 5.8, 5.8)])
    def test_in_a_fresh_mix_it_ends_a_step_from_the_lowest_ph_that_is_aimed_at(
        self, answers: tuple[float, ...]
    ) -> None:
        made = self.planned(*answers)
        assert made.verdict is Verdict.LEAVE
        assert "near enough to pH 5.7, its aim: leave it, and look again tomorrow" in words(made)
        assert "pH creeps up" in words(made)

    def test_it_ends_where_portions_move_nothing(self) -> None:
        assert self.planned(6.1, 6.0).verdict is Verdict.CORRECT
        made = self.planned(6.0, 6.0)
        assert made.verdict is Verdict.LEAVE
        assert "The last portion moved nothing that the meter shows" in words(made)

    def test_what_it_is_for_and_what_tomorrow_brings_agree(self) -> None:
        fresh = self.planned(6.1, 6.0)
        assert fresh.expect.ph_tomorrow is not None
        assert fresh.expect.ph_tomorrow > 6.3
        assert "tomorrow finds it in the band" not in words(fresh)
        assert "After that it creeps on: look again tomorrow" in words(fresh)
        usual = plan(events=self.begun(6.2), learned=rising(0.05))
        assert usual.expect.ph_tomorrow is not None
        assert usual.expect.ph_tomorrow <= 6.2
        assert "tomorrow finds it in the band too" in words(usual)

    def test_a_bottle_that_is_known_is_poured_more_of_at_first(self) -> None:
        known = Learned(response={"Acid": Factor(value=1.0, spread=0.03, count=8)})
        young = Learned(response={"Acid": Factor(value=1.0, spread=0.03, count=3)})
        given = GOOD | {"ph": 6.8}
        known_bottle, young_bottle = plan(learned=known, **given), plan(learned=young, **given)
        assert pours(known_bottle)["Acid"] > 1.15 * pours(young_bottle)["Acid"]


class TestAim:
    def aim(self, drift: float | None, *, ph: float = 6.9) -> float:
        tank = tank_now([], RACK, NOW, given={})
        model = tank_model(RACK, tank, facts(), Learned(), usual_ms_cm=1.6)
        return aim_of(model, ACID, band=BAND, ph=ph, drift=drift)

    def test_a_rising_rack_is_brought_lower_than_a_falling_one(self) -> None:
        assert BAND.low < self.aim(0.2) < self.aim(0.0) < self.aim(-0.1) < BAND.high

    def test_never_nearer_to_the_edge_than_a_step_of_the_meter(self) -> None:
        assert self.aim(0.5) >= BAND.low + FROM_EDGE - 0.02

    def test_the_way_until_tomorrow_has_its_middle_in_the_band(self) -> None:
        assert Travel(mixed=5.7, settled=5.9, drift=0.2).over_middle(BAND) == pytest.approx(0.0)


class TestDrift:
    def test_a_slow_rise_shows_through_the_steps_of_the_meter(self) -> None:
        readings = tuple(reading(24.0 * (3 - day), day, ph=ph) for day, ph in enumerate((6.0, 6.0, 6.0, 6.1)))
        drift = drift_of(TankNow(at=NOW, readings=readings))
        assert drift is not None
        assert 0.0 < drift < 0.05

    def test_a_plain_fall_since_yesterday_counts_more_than_weeks(self) -> None:
        events = [
            reading(23.0, 1, level_l=58.5, conductivity_ms_cm=1.6, ph=6.1, temperature_c=21.0),
            reading(0.1, 2, level_l=58.0, conductivity_ms_cm=1.6, ph=5.8, temperature_c=21.0),
        ]
        assert list(pours(plan(events=events, learned=rising(0.05)))) == ["Lye"]
        steady = [replace(events[0], ph=5.8), events[1]]
        assert plan(events=steady, learned=rising(0.05)).verdict is Verdict.LEAVE


class TestWhatAcidLeaves:
    def held(self, *more: Event, rack: Rack = RACK) -> Mapping[str, float]:
        events = [Change(id="c", seq=1, at=NOW - timedelta(days=9), litres=58.0), *more]
        return left_of_acid(rack, tank_now(events, rack, NOW))

    def test_phosphoric_acid_leaves_its_phosphate(self) -> None:
        # 10 % w/w is 1.0755 mol/L (density from the CRC Handbook); 58 L and 18 L of pipes
        assert self.held(acid(48.0, 2, 50.0)) == {"P": pytest.approx(50.0 * 1.0755 / 76.05, rel=0.01)}

    def test_what_is_drained_takes_its_share(self) -> None:
        drained = Poured(id="d", seq=3, at=NOW - timedelta(hours=2), what="drained", litres=20.0)
        assert self.held(acid(48.0, 2, 50.0), drained)["P"] < self.held(acid(48.0, 2, 50.0))["P"]

    def test_what_came_before_the_change_is_gone(self) -> None:
        assert self.held(acid(24.0 * 10, 0, 50.0)) == {}

    def test_citrate_is_eaten_within_days(self) -> None:
        citric = with_adjusters(replace(ACID, reagent="citric acid"))
        fresh, old = (self.held(acid(hours, 2, 50.0), rack=citric)["Cit"] for hours in (1.0, 96.0))
        assert 0.1 < old / fresh < 0.2

    def test_a_portion_of_citric_acid_does_what_the_chemistry_says(self) -> None:
        citric = with_adjusters(replace(ACID, reagent="citric acid"))
        tank = replace(tank_now([acid(1.0, 2, 50.0)], citric, NOW), pourings=())
        model = tank_model(citric, tank, facts(), Learned(), usual_ms_cm=1.6)
        ml = 20.0
        mmol = ml * model.strength_of(citric.adjusters[0]).mol_l / model.litres
        expected = model.solution_now(Guess(), ph_read=6.6).with_added("H3Cit", mmol).ph
        shown = shown_after(model, (Pour(what="Acid", ml=ml),), Guess(), ph=6.6, ms_cm=1.6)
        assert shown.ph == pytest.approx(expected, abs=0.02)

    def test_acid_of_no_known_strength_is_not_counted(self) -> None:
        unknown = with_adjusters(replace(ACID, percent_w_w=None))
        assert self.held(acid(48.0, 2, 50.0), rack=unknown) == {}

    def test_it_counts_in_the_model(self) -> None:
        tank = tank_now([acid(48.0, 2, 50.0)], RACK, NOW)
        model = tank_model(RACK, tank, facts(), Learned(), usual_ms_cm=1.6)
        bare = tank_model(RACK, tank_now([], RACK, NOW), facts(), Learned(), usual_ms_cm=1.6)
        assert model.totals(Guess())[0]["P"] > bare.totals(Guess())[0]["P"] + 0.5


class TestWaterAndFeed:
    def test_water_that_would_leave_it_near_the_low_edge_brings_feed_along(self) -> None:
        made = plan(level=47.0, conductivity=1.72, ph=5.9, temperature=21.0)
        assert does(made) == ["AddWater", "Pour", "Pour", "Wait", "Read"]
        assert made.expect.conductivity_ms_cm == pytest.approx(1.6, abs=0.03)

    def test_water_leaves_room_for_acid_also_where_ph_is_fine_now(self) -> None:
        made = plan(level=47.0, conductivity=1.95, ph=5.9, temperature=21.0)
        (water,) = (step for step in made.steps if isinstance(step, AddWater))
        assert water.litres < 13.0

    def test_nothing_is_drained_for_the_millilitres_of_a_portion(self) -> None:
        full = reading(0.9, 1, level_l=60.0, conductivity_ms_cm=1.6, ph=6.8, temperature_c=21.0)
        events = [full, acid(0.5, 2, 12.0), reading(0.1, 3, conductivity_ms_cm=1.6, ph=6.5)]
        assert not any(isinstance(step, Drain) for step in plan(events=events).steps)

    def test_water_kept_back_for_bottles_is_said_with_what_goes_in(self) -> None:
        said = words(plan(level=47.0, conductivity=1.95, ph=5.9, temperature=21.0))
        assert "room for 13 litres; 12.5 litres of water go in" in said


class TestWhatIsPromised:
    def test_a_fresh_mix_promises_no_ph_that_will_be_corrected(self) -> None:
        said = words(plan(level=0.0, conductivity=1.4, ph=7.2, temperature=21.0))
        assert "corrected after a reading" in said
        assert "by tomorrow" not in said

    def test_nor_does_feed_before_a_correction(self) -> None:
        said = words(plan(level=40.0, conductivity=1.2, ph=6.9, temperature=21.0))
        assert "pH comes after it" in said
        assert "by tomorrow" not in said

    def test_what_is_drained_for_a_change_can_be_read_off(self) -> None:
        made = plan(level=41.8895, conductivity=5.5, ph=5.9, temperature=21.0)
        assert made.verdict is Verdict.CHANGE
        drained = [step.litres for step in made.steps if isinstance(step, Drain)]
        assert drained[0] == 42.0
