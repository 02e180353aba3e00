"""Plans for readings that are odd, and for racks that leave little room."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_today import answer_of, portions_today
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.learned_values import Factor, Learned
from tendtui.core.plan import AddWater, Drain, Plan, Read, Verdict
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Source
from tendtui.core.tank import tank_now
from tendtui.value import replace
from tests.support.dose_case import ACID, NOW, RACK, does, facts, plan, pours, with_adjusters, words

SALTY = Source(conductivity_ms_cm=1.9, ph=7.5, alkalinity_mg_l_caco3=200.0)


class TestAlkalineTank:
    """A pH that no balance with the air can have made."""

    @pytest.mark.parametrize("ph", [8.0, 8.6, 9.0, 9.4])
    def test_feed_is_what_the_label_says_whatever_the_ph(self, ph: float) -> None:
        usual = pours(plan(level=58.0, conductivity=1.0, ph=6.0))["Feed A"]
        assert pours(plan(level=58.0, conductivity=1.0, ph=ph))["Feed A"] == pytest.approx(usual, rel=0.05)

    def test_no_more_carbonate_is_believed_than_can_have_come_in(self) -> None:
        rain = replace(RACK, source=Source(conductivity_ms_cm=0.02, ph=6.0, alkalinity_mg_l_caco3=4.0))
        given = {Quantity.LEVEL: 58.0, Quantity.CONDUCTIVITY: 1.6, Quantity.PH: 9.2}
        tank = tank_now((), rain, NOW, given=given)
        model = tank_model(rain, tank, facts(), Learned(), usual_ms_cm=1.6)
        assert model.solution_now(Guess(), ph_read=9.2).dic_mmol < 2.5
        assert pours(plan(rain, level=58.0, conductivity=1.6, ph=9.2))["Acid"] < 40.0


class TestStrongSourceWater:
    """Source water that reads as much as the band."""

    def test_the_pump_gets_its_water_all_the_same(self) -> None:
        made = plan(replace(RACK, source=SALTY), level=25.0, conductivity=3.4, ph=6.0)
        assert does(made) == ["AddWater", "Wait", "Read"]

    def test_a_change_leaves_room_for_feed(self) -> None:
        made = plan(replace(RACK, source=replace(SALTY, conductivity_ms_cm=1.6)), level=0.0, ph=6.0)
        assert pours(made)["Feed A"] >= 10.0

    def test_a_change_without_feed_says_why(self) -> None:
        made = plan(replace(RACK, source=SALTY), level=0.0)
        assert not pours(made)
        assert "no room for feed" in words(made)

    def test_no_water_is_said_to_go_in_where_none_does(self) -> None:
        made = plan(replace(RACK, source=SALTY), level=58.0, conductivity=2.4, ph=5.9)
        assert made.verdict is Verdict.LEAVE
        assert "water go in" not in words(made)
        assert "goes in first" not in words(made)


@pytest.mark.parametrize("level", [45.0, 58.0])
def test_a_swap_is_not_told_as_a_topping_up(level: float) -> None:
    made = plan(level=level, conductivity=2.6, ph=5.9)
    assert any(isinstance(step, Drain) for step in made.steps)
    assert "water go in" not in words(made)
    assert "it would still be" in words(made)


def test_no_water_is_spoken_of_where_none_goes_in() -> None:
    made = plan(level=63.0, conductivity=1.2, ph=6.0)
    assert does(made)[0] == "Drain"
    assert "With the water that goes in" not in words(made)


@pytest.mark.parametrize(("level", "ph"), [(58.0, 4.6), (60.0, 4.9), (58.0, 4.1)])
def test_without_a_bottle_as_much_is_swapped_as_reaches_the_band(level: float, ph: float) -> None:
    made = plan(with_adjusters(ACID), level=level, conductivity=1.6, ph=ph, temperature=21.0)
    assert any(isinstance(step, AddWater | Drain) for step in made.steps)
    assert made.expect.ph is not None
    assert made.expect.ph_tomorrow is not None
    assert 5.6 <= made.expect.ph <= made.expect.ph_tomorrow <= 6.2


def test_a_creep_that_can_not_be_met_is_not_called_too_small_for_the_tool() -> None:
    made = plan(level=58.0, conductivity=1.6, ph=5.7, alkalinity=0.6, temperature=21.0)
    assert made.verdict is Verdict.LEAVE
    assert "other side of the band" in words(made)
    assert "less than one mark" not in words(made)


class TestDropTest:
    """A drop test of the tank itself."""

    @pytest.mark.parametrize("meq", [0.05, 0.2, 0.35])
    def test_no_more_acid_is_planned_than_the_alkalinity_found(self, meq: float) -> None:
        """At pH 6.9 the usual phosphate holds 0.57 meq/L; the test finds less, so there is less of it."""
        made = plan(level=58.0, conductivity=1.6, ph=6.9, alkalinity=meq, temperature=21.0)
        assert pours(made)["Acid"] * 1.0755 / 76.0 <= 0.75 * meq + 0.04  # 10 % w/w is 1.0755 mol/L

    def test_it_takes_most_of_the_doubt_of_phosphate_away(self) -> None:
        def room(made: Plan) -> float:
            assert made.range.ph is not None
            acid = pours(made)["Acid"]
            return (made.range.ph[1] - made.range.ph[0]) / acid

        guessed = plan(level=58.0, conductivity=1.6, ph=6.9, temperature=21.0)
        for meq in (0.6, 0.8, 1.2):
            tested = plan(level=58.0, conductivity=1.6, ph=6.9, alkalinity=meq, temperature=21.0)
            assert room(tested) < 0.5 * room(guessed)

    @pytest.mark.parametrize(("ph", "meq"), [(6.9, 40.0), (6.9, 3.0), (5.4, 1.2), (7.9, 0.1)])
    def test_one_that_can_not_be_is_left_out_and_said(self, ph: float, meq: float) -> None:
        made = plan(level=58.0, conductivity=1.6, ph=ph, alkalinity=meq, temperature=21.0)
        assert "The drop test of the tank found" in words(made)
        assert "left out" in words(made)
        assert made.steps == plan(level=58.0, conductivity=1.6, ph=ph, temperature=21.0).steps

    def test_its_own_doubt_is_a_drop_whatever_is_known_of_the_source_water(self) -> None:
        untested = replace(RACK, source=replace(RACK.source, alkalinity_mg_l_caco3=None))
        given = {"level": 58.0, "conductivity": 1.6, "ph": 6.9, "alkalinity": 1.0, "temperature": 21.0}
        one, other = plan(**given).range.ph, plan(untested, **given).range.ph  # type: ignore[arg-type]
        assert one is not None
        assert other is not None
        assert other[1] - other[0] == pytest.approx(one[1] - one[0], abs=0.05)


def test_a_bare_meter_without_a_temperature_is_read_again() -> None:
    rack = replace(RACK, meter=replace(RACK.meter, temperature_compensated=False))
    made = plan(rack, level=50.0, conductivity=1.2, ph=6.0)
    assert made.steps == (Read(what=("temperature", "conductivity")),)
    assert "doesn't reckon with the temperature" in words(made)
    assert pours(plan(rack, level=50.0, conductivity=1.2, ph=6.0, temperature=20.0))
    assert pours(plan(level=50.0, conductivity=1.2, ph=6.0))


def feeds_of(**labels: float) -> Rack:
    """Give the rack with other label strengths, by part."""
    feeds = tuple(replace(f, label_conductivity_ms_cm=labels[f.name[-1]]) for f in RACK.feeds)
    return replace(RACK, feeds=feeds)


class TestContradictions:
    """Labels, analyses and tests that can't all be right."""

    def test_feed_goes_in_as_the_strongest_label_asks(self) -> None:
        made = plan(feeds_of(A=0.7, B=1.5), level=50.0, conductivity=1.2, ph=6.0)
        strongest = plan(feeds_of(A=1.5, B=1.5), level=50.0, conductivity=1.2, ph=6.0)
        assert pours(made)["Feed A"] == pytest.approx(pours(strongest)["Feed A"], rel=0.05)
        assert "strongest claim" in words(made)

    @pytest.mark.parametrize(("first", "second"), [(0.7, 1.5), (1.5, 0.7)])
    def test_the_range_holds_what_either_label_would_make(self, first: float, second: float) -> None:
        made = plan(feeds_of(A=first, B=second), level=50.0, conductivity=1.2, ph=6.0)
        amount, whole_l = pours(made)["Feed A"] / 2.0, 77.6  # 2 mL a litre; reservoir and pipes
        before = (1.2 * 68.0 + 0.3 * 9.5) / whole_l
        assert made.range.conductivity_ms_cm is not None
        low, high = made.range.conductivity_ms_cm
        for label in (first, second):
            assert low - 0.03 <= before + label * amount / whole_l <= high + 0.03

    def test_the_rest_follows_once_the_tank_has_told(self) -> None:
        told = Learned(feed_strength=Factor(value=1.0, spread=0.04, count=1))
        made = plan(feeds_of(A=0.7, B=1.5), level=50.0, conductivity=1.2, ph=6.0, learned=told)
        usual = plan(feeds_of(A=0.7, B=0.7), level=50.0, conductivity=1.2, ph=6.0)
        assert pours(made)["Feed A"] == pytest.approx(pours(usual)["Feed A"], rel=0.05)
        assert "strongest claim" not in words(made)

    def test_a_fresh_mix_starts_with_the_strongest_label_too(self) -> None:
        made = plan(feeds_of(A=0.7, B=1.5), level=0.0, conductivity=1.6, ph=6.0)
        strongest = plan(feeds_of(A=1.5, B=1.5), level=0.0, conductivity=1.6, ph=6.0)
        assert pours(made)["Feed A"] == pytest.approx(pours(strongest)["Feed A"], rel=0.05)
        assert "strongest claim" in words(made)

    def test_an_analysis_that_says_more_than_the_label_starts_low(self) -> None:
        strong = {"N_nitrate": 9.0, "K2O": 20.0, "CaO": 9.0, "P2O5": 5.0}
        feeds = tuple(replace(feed, analysis=strong) for feed in RACK.feeds)
        made = plan(replace(RACK, feeds=feeds), level=50.0, conductivity=1.2, ph=6.0)
        assert pours(made)["Feed A"] < 0.5 * pours(plan(level=50.0, conductivity=1.2, ph=6.0))["Feed A"]

    @pytest.mark.parametrize(
        "analysis",
        [
            {"N_nitrate": 3.5, "K2O": 5.0, "CaO": 4.0, "MgO": 1.2, "S": 0.5},  # no phosphate
            {"N_nitrate": 12.0, "K2O": 1.0, "P2O5": 1.5},  # charge left open
        ],
    )
    def test_an_analysis_that_can_not_be_whole_narrows_nothing(self, analysis: dict[str, float]) -> None:
        feeds = tuple(replace(feed, analysis=analysis) for feed in RACK.feeds)
        given = {"level": 50.0, "conductivity": 1.2, "ph": 6.4, "temperature": 21.0}
        made = plan(replace(RACK, feeds=feeds), **given)  # type: ignore[arg-type]
        assert made.range.ph_tomorrow is not None
        assert made.range.ph_tomorrow[1] - made.range.ph_tomorrow[0] > 0.4
        whole = {"N_nitrate": 3.5, "P2O5": 1.5, "K2O": 5.0, "CaO": 4.0, "MgO": 1.2, "S": 0.5}
        feeds = tuple(replace(feed, analysis=whole) for feed in RACK.feeds)
        known = plan(replace(RACK, feeds=feeds), **given)  # type: ignore[arg-type]
        assert known.range.ph_tomorrow is not None
        assert known.range.ph_tomorrow[1] - known.range.ph_tomorrow[0] < 0.35

    def test_source_water_that_contradicts_itself_is_in_wide_doubt(self) -> None:
        source = Source(conductivity_ms_cm=0.1, ph=7.8, alkalinity_mg_l_caco3=350.0)
        made = plan(replace(RACK, source=source), level=40.0, conductivity=1.6, ph=6.4)
        assert "one of the two is wrong" in words(made)
        assert made.range.ph_tomorrow is not None
        assert made.range.ph_tomorrow[1] - made.range.ph_tomorrow[0] > 1.0


RAIN = replace(RACK, source=Source(conductivity_ms_cm=0.0, ph=6.0, alkalinity_mg_l_caco3=0.0))


def read_twice(rack: Rack, ms_cm: float, *, ph: float = 6.8, earlier: tuple[Event, ...] = ()) -> Plan:
    events = [
        replace(reading(minutes, seq, ph), conductivity_ms_cm=ms_cm)
        for minutes, seq in ((20.0, 8), (10.0, 9))
    ]
    return plan(rack, events=(*earlier, *events))


class TestLessThanATankCanRead:
    """Distilled water, or a dry probe, read twice."""

    @pytest.mark.parametrize("rack", [RACK, RAIN])
    def test_it_is_still_not_fed(self, rack: Rack) -> None:
        made = read_twice(rack, 0.0, earlier=(reading(1500.0, 1, 6.0),))
        assert "Feed A" not in pours(made)
        assert "twice, and it can't be" in words(made)
        assert "No feed is planned until then" in words(made)
        assert made.readings.conductivity_ms_cm == pytest.approx(0.0)

    def test_acid_goes_in_as_if_it_might_be_plain_water(self) -> None:
        made = read_twice(RACK, 0.0, earlier=(reading(1500.0, 1, 6.0),))
        usual = plan(level=58.0, conductivity=1.6, ph=6.8)
        assert pours(made)["Acid"] < 0.3 * pours(usual)["Acid"]

    def test_water_still_goes_in(self) -> None:
        earlier = (reading(1500.0, 1, 6.0),)
        events = [
            replace(reading(m, s, 6.0), conductivity_ms_cm=0.0, level_l=40.0)
            for m, s in ((20.0, 8), (10.0, 9))
        ]
        assert does(plan(events=(*earlier, *events))) == ["AddWater", "Wait", "Read"]

    def test_rain_after_a_change_is_fed(self) -> None:
        change = Change(id="c", seq=2, at=NOW - timedelta(minutes=60), litres=58.0)
        made = read_twice(RAIN, 0.01, ph=5.8, earlier=(reading(1500.0, 1, 6.0), change))
        assert pours(made)["Feed A"] > 50.0

    def test_rain_in_an_unknown_tank_is_read_again(self) -> None:
        made = plan(RAIN, level=58.0, conductivity=0.0, ph=5.8)
        assert made.steps == (Read(what=("conductivity",)),)


class TestPhThatCanNotBe:
    """pH 11 read twice: more alkali than this conductivity holds."""

    def test_water_and_feed_are_planned_without_it(self) -> None:
        events = [replace(reading(m, s, 11.0), level_l=45.0) for m, s in ((20.0, 8), (10.0, 9))]
        made = plan(events=events)
        assert does(made) == ["AddWater", "Pour", "Pour", "Wait", "Read"]
        assert "pH 11.0 can't be" in made.reasons[0]
        assert made.readings.ph == pytest.approx(11.0)
        assert made.expect.ph is None

    def test_with_nothing_else_to_do_it_is_left(self) -> None:
        made = plan(events=[reading(20.0, 8, 11.0), reading(10.0, 9, 11.0)])
        assert made.verdict is Verdict.LEAVE
        assert "pH was not read" not in words(made)


class TestMetersThatDisagree:
    """Two readings of one hour that can't both be right."""

    def test_ph_is_read_once_more(self) -> None:
        made = plan(events=(reading(20.0, 1, 6.1), reading(10.0, 2, 6.8)))
        assert made.steps == (Read(what=("ph",)),)
        assert "pH 6.1, then pH 6.8" in words(made)

    def test_two_that_agree_count(self) -> None:
        first, second = reading(20.0, 1, 6.1), reading(10.0, 2, 6.8)
        assert plan(events=(first, second, reading(5.0, 3, 6.1))).verdict is Verdict.LEAVE
        assert pours(plan(events=(first, second, reading(5.0, 3, 6.8))))["Acid"] > 0.0

    def test_conductivity_is_read_once_more(self) -> None:
        other = replace(reading(10.0, 2, 6.0), conductivity_ms_cm=1.3)
        made = plan(events=(reading(20.0, 1, 6.0), other))
        assert made.steps == (Read(what=("conductivity",)),)

    def test_a_usual_reading_after_a_doubtful_one_counts(self) -> None:
        typo = replace(reading(20.0, 1, 6.0), conductivity_ms_cm=1.07, doubt=("conductivity",))
        made = plan(events=(typo, replace(reading(10.0, 2, 6.0), conductivity_ms_cm=1.70)))
        assert made.verdict is Verdict.LEAVE
        assert "disagree" not in words(made)

    def test_what_went_in_between_explains_it(self) -> None:
        acid = replace(PORTION, at=NOW - timedelta(minutes=40))
        assert "disagree" not in words(plan(events=(FIRST, acid, reading(20.0, 3, 6.2))))

    def test_hours_apart_they_may_differ(self) -> None:
        assert "disagree" not in words(plan(events=(reading(200.0, 1, 6.1), reading(10.0, 2, 6.8))))

    def test_what_is_named_in_the_call_is_taken(self) -> None:
        assert pours(plan(events=(reading(20.0, 1, 6.1),), ph=6.8))["Acid"] > 0.0


def test_a_conductivity_not_read_makes_the_ph_less_sure() -> None:
    with_it = plan(level=58.0, conductivity=1.6, ph=6.8, temperature=21.0)
    without = plan(level=58.0, ph=6.8, temperature=21.0)
    assert pours(without)["Acid"] < pours(with_it)["Acid"]
    assert any("conductivity was not read" in said for said in without.assumed)


class TestFreshMixUnread:
    """An empty reservoir, and nothing read of what still stands in the pipes."""

    def test_it_is_foreseen_in_wider_doubt_and_said(self) -> None:
        unread = plan(level=0.0)
        read = plan(level=0.0, conductivity=1.6, ph=6.0)
        assert "old solution in the pipes was not read" in unread.assumed[0]
        assert "expected conductivity unsure" in unread.assumed[0]
        for wide, narrow in (
            (unread.range.conductivity_ms_cm, read.range.conductivity_ms_cm),
            (unread.range.ph, read.range.ph),
        ):
            assert wide is not None
            assert narrow is not None
            assert wide[1] - wide[0] > narrow[1] - narrow[0]

    def test_the_bottle_that_follows_is_named_without_an_amount(self) -> None:
        made = plan(level=0.0)
        assert "Acid will probably be wanted then" in words(made)
        assert "Acid" not in pours(made)
        assert "probably" not in words(plan(with_adjusters(), level=0.0))


def reading(minutes: float, seq: int, ph: float) -> Reading:
    at = NOW - timedelta(minutes=minutes)
    return Reading(id=f"r{seq}", seq=seq, at=at, level_l=58.0, conductivity_ms_cm=1.6, ph=ph)


FIRST = reading(60.0, 1, 6.8)
PORTION = Poured(id="p", seq=2, at=NOW - timedelta(minutes=50), what="Acid", ml=20.0)


def planned(*events: Event) -> Plan:
    return plan(events=(FIRST, PORTION, *events))


class TestAfterAPortion:
    """pH read once acid went in."""

    def test_the_same_ph_is_read_again(self) -> None:
        made = planned(reading(20.0, 3, 6.8))
        assert made.steps == (Read(what=("ph",)),)
        assert "same to the last digit" in words(made)

    def test_the_same_ph_twice_stops_the_pouring(self) -> None:
        made = planned(reading(20.0, 3, 6.8), reading(10.0, 4, 6.8))
        assert made.verdict is Verdict.LEAVE
        assert "check the meter in buffer 7" in words(made)

    def test_a_portion_too_small_to_see_proves_nothing(self) -> None:
        small = replace(PORTION, ml=2.0)
        made = plan(events=(FIRST, small, reading(20.0, 3, 6.8)))
        assert pours(made)["Acid"] > 0.0

    def test_a_ph_named_since_is_not_moved_by_what_is_in_it_already(self) -> None:
        made = plan(events=(FIRST, PORTION), ph=6.3)
        assert does(made) == ["Wait", "Read"]
        assert made.expect.ph == pytest.approx(6.3, abs=0.01)
        assert made.expect.conductivity_ms_cm is not None
        moved = plan(events=(FIRST, PORTION), conductivity=1.61)
        assert moved.expect.conductivity_ms_cm == pytest.approx(1.61, abs=0.001)
        assert moved.expect.ph is not None
        assert moved.expect.ph < 6.5

    def test_phosphate_of_the_portion_was_not_there_before_it(self) -> None:
        """A portion that did what the model says leaves the bottle's effect as it was believed."""
        expected = plan(events=(FIRST, PORTION)).expect.ph
        assert expected is not None
        after = reading(20.0, 3, expected)
        tank = tank_now((FIRST, PORTION, after), RACK, NOW)
        model = tank_model(RACK, tank, facts(), Learned(), usual_ms_cm=1.6)
        answer = answer_of(tank, portions_today(tank, RACK), ACID, ph=expected)
        answered = model.for_bottle(ACID, answer)
        assert answered.response_under(ACID, Guess()) == pytest.approx(1.0, abs=0.02)
