from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from tendtui.chemistry import Solution, mix, solve

FEED = {"Ca": 3.2, "Mg": 1.0, "Na": 0.3, "K": 5.8, "NH4": 0.6, "NO3": 11.4, "Cl": 0.3, "SO4": 1.1, "P": 1.0}


@pytest.fixture
def water() -> Solution:
    return Solution.at_ph(7.2, {"Ca": 1.5, "Mg": 0.5, "Na": 0.4}, temperature_c=21.0, alkalinity_meq=2.4)


def test_a_water_keeps_what_it_was_given(water: Solution) -> None:
    assert water.ph == 7.2
    assert water.temperature_c == 21.0
    assert water.alkalinity_meq == pytest.approx(2.4, abs=1e-6)
    assert water.totals_mmol["Ca"] == 1.5
    assert water.totals_mmol["P"] == 0.0


def test_the_closing_ion_carries_the_charge_that_is_missing(water: Solution) -> None:
    assert water.closing_meq == pytest.approx(2.4 - 2 * 1.5 - 2 * 0.5 - 0.4, abs=1e-6)


def test_the_closing_ion_carries_no_current_and_no_strength() -> None:
    closed = Solution.at_ph(7.0, {"K": 10.0}, temperature_c=25.0, dic_mmol=0.0)
    salt = Solution.from_totals({"K": 10.0, "Cl": 10.0}, temperature_c=25.0, dic_mmol=0.0)
    assert closed.closing_meq == pytest.approx(-10.0, abs=1e-3)
    assert closed.ionic_strength_mol_kg == pytest.approx(salt.ionic_strength_mol_kg / 2, rel=1e-4)
    assert closed.conductivity_us_cm == pytest.approx(0.5 * salt.conductivity_us_cm, rel=0.04)


def test_ph_from_totals_follows_from_the_charge() -> None:
    assert Solution.from_totals({"Na": 1.0, "Cl": 1.0}, dic_mmol=0.0).ph == pytest.approx(7.0, abs=0.01)
    acid = Solution.from_totals({"Cl": 1.0}, dic_mmol=0.0)
    assert acid.ph == pytest.approx(3.0, abs=0.02)
    assert acid.closing_meq == 0.0


def test_water_in_air_is_slightly_acid_and_opening_it_changes_nothing() -> None:
    rain = Solution.from_totals({}, temperature_c=25.0, pco2_atm=420e-6)
    assert rain.ph == pytest.approx(5.6, abs=0.03)
    assert rain.open_to_air().ph == pytest.approx(rain.ph, abs=1e-6)


def test_no_carbon_dioxide_in_the_air_takes_all_carbonate_away(water: Solution) -> None:
    assert water.open_to_air(0.0).dic_mmol == pytest.approx(0.0, abs=1e-12)
    assert Solution.at_ph(6.0, FEED, pco2_atm=0.0).dic_mmol == 0.0


def test_an_alkalinity_that_only_rounding_misses_is_taken_as_no_carbonate() -> None:
    bare = Solution.at_ph(5.0, FEED, temperature_c=20.0, dic_mmol=0.0)
    again = Solution.at_ph(5.0, FEED, temperature_c=20.0, alkalinity_meq=bare.alkalinity_meq - 0.001)
    assert again.dic_mmol == 0.0


def test_a_solution_never_changes(water: Solution) -> None:
    before = (water.ph, dict(water.totals_mmol))
    water.with_added("HNO3", 1.0).open_to_air()
    assert (water.ph, dict(water.totals_mmol)) == before
    with pytest.raises(TypeError):
        water.totals_mmol["Ca"] = 9.0  # type: ignore[index]  # the point of the test


def test_adding_nothing_changes_nothing(water: Solution) -> None:
    assert water.with_added("HNO3", 0.0).ph == pytest.approx(water.ph, abs=1e-7)


def test_a_dose_to_the_ph_it_has_is_nothing(water: Solution) -> None:
    assert water.dose_to_ph(water.ph, "HNO3") == 0.0
    settled = water.open_to_air(420e-6)
    assert settled.dose_to_ph(settled.ph, "HNO3", pco2_atm=420e-6) == pytest.approx(0.0, abs=1e-5)


def test_carbon_dioxide_leaves_and_the_ph_creeps_up(water: Solution) -> None:
    dosed = water.with_added("HNO3", water.dose_to_ph(5.8, "HNO3"))
    assert dosed.ph == pytest.approx(5.8, abs=1e-6)
    assert dosed.pco2_atm > 420e-6
    assert dosed.open_to_air(420e-6).ph > 6.5


def test_more_acid_is_needed_where_carbon_dioxide_leaves_meanwhile(water: Solution) -> None:
    assert water.dose_to_ph(5.8, "HNO3", pco2_atm=420e-6) > water.dose_to_ph(5.8, "HNO3")


def test_at_the_same_temperature_it_is_the_same_solution(water: Solution) -> None:
    assert water.at_temperature(21.0) is water
    assert water.at_temperature(12.0).ph != water.ph


def test_conductivity_does_not_depend_on_the_temperature_it_stands_at() -> None:
    cold = Solution.at_ph(6.0, FEED, temperature_c=12.0, dic_mmol=0.4)
    assert cold.conductivity_us_cm == pytest.approx(cold.at_temperature(25.0).conductivity_us_cm, rel=1e-9)


def test_a_mineral_whose_ion_is_missing_is_endlessly_far_from_falling_out(water: Solution) -> None:
    assert water.saturation_index("brushite") == -math.inf
    assert water.saturation_index("calcite") == pytest.approx(-0.34, abs=0.1)


def test_a_calcium_phosphate_comes_nearer_as_the_ph_rises() -> None:
    low = Solution.at_ph(5.5, FEED, dic_mmol=0.1).saturation_index("brushite")
    high = Solution.at_ph(7.5, FEED, dic_mmol=0.1).saturation_index("brushite")
    assert low < 0.0 < high


def test_mixing_with_none_of_the_other_changes_nothing(water: Solution) -> None:
    feed = Solution.at_ph(5.8, FEED, temperature_c=18.0, dic_mmol=0.4)
    assert mix(water, 10.0, feed, 0.0).ph == pytest.approx(water.ph, abs=1e-6)
    assert mix(water, 0.0, feed, 10.0).temperature_c == 18.0


def test_a_trace_of_a_cation_mixes_with_plenty_of_it() -> None:
    plenty = Solution.at_ph(4.0, {"NH4": 1.0}, temperature_c=12.0, dic_mmol=0.0)
    trace = Solution.at_ph(4.0, {"NH4": 1e-280}, temperature_c=12.0, dic_mmol=0.0)
    assert mix(plenty, 1.0, trace, 1.0).totals_mmol["NH4"] == pytest.approx(0.5)


def test_a_search_for_a_dose_that_does_not_settle_finds_no_dose(
    water: Solution, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(solve, "MOST_SWEEPS", 1)
    with pytest.raises(ValueError, match="No amount of nitric acid brings"):
        water.dose_to_ph(5.8, "HNO3")


def test_a_strong_brine_still_conducts_about_as_measured() -> None:
    # Robinson & Stokes, Electrolyte Solutions, 2nd ed. 1959, appendix 6.3: 117.3 S cm²/mol at 0.5
    # mol/L (from memory)
    brine = Solution.from_totals({"K": 510.0, "Cl": 510.0}, temperature_c=25.0, dic_mmol=0.0)
    assert brine.conductivity_us_cm == pytest.approx(58650.0, rel=0.1)


REFUSED: list[tuple[Callable[[Solution], object], str]] = [
    (lambda s: s.dose_to_ph(9.0, "HNO3"), "No amount of nitric acid brings pH 7.20 to 9.00."),
    (lambda s: s.dose_to_ph(5.8, "KOH"), "No amount of potassium hydroxide brings pH 7.20 to 5.80."),
    (lambda s: s.dose_to_ph(11.0, "KHCO3"), "No amount of potassium bicarbonate brings pH 7.20 to 11.00."),
    (lambda s: s.dose_to_ph(1.0, "H3Cit"), "No amount of citric acid brings pH 7.20 to 1.00."),
    (lambda s: s.dose_to_ph(7.2, "HBr"), "There is no reagent “HBr”"),
    (lambda s: s.dose_to_ph(0.0, "HNO3"), "The pH must lie between 1 and 13."),
    (lambda s: s.dose_to_ph(math.nan, "HNO3"), "The pH must lie between 1 and 13."),
    (lambda s: s.dose_to_ph(5.8, "HNO3", pco2_atm=-1.0), "pco2_atm must be 0 or more."),
    (lambda s: s.with_added("HNO3", -1.0), "The amount added must be a number of 0 or more."),
    (lambda s: s.with_added("HNO3", math.inf), "The amount added must be a number of 0 or more."),
    (lambda s: s.with_added("HNO3", 5000.0), "This is too strong for the model"),
    (lambda s: s.with_added("vinegar", 1.0), "There is no reagent “vinegar”"),
    (lambda s: s.open_to_air(math.nan), "pco2_atm must be a number."),
    (lambda s: s.at_temperature(60.0), "The temperature must lie between 0 and 50 °C."),
    (lambda s: s.saturation_index("quartz"), "There is no mineral “quartz”"),
    (lambda s: mix(s, -1.0, s, 2.0), "Volumes to mix must be 0 or more, and not both 0."),
    (lambda s: mix(s, 0.0, s, 0.0), "Volumes to mix must be 0 or more, and not both 0."),
    (lambda s: mix(s, math.nan, s, 1.0), "Volumes to mix must be 0 or more, and not both 0."),
]


@pytest.mark.parametrize(("ask", "sentence"), REFUSED, ids=[sentence for _, sentence in REFUSED])
def test_what_cannot_be_is_refused_with_a_sentence(
    water: Solution, ask: Callable[[Solution], object], sentence: str
) -> None:
    with pytest.raises(ValueError) as refusal:  # noqa: PT011  # the text is compared below
        ask(water)
    assert str(refusal.value).startswith(sentence)
    assert str(refusal.value).endswith(".")


BAD_WATERS: list[tuple[Callable[[], object], str]] = [
    (lambda: Solution.at_ph(7.0, {"Ca": 1.0}), "Say how much carbonate there is by exactly one of"),
    (
        lambda: Solution.at_ph(7.0, {}, dic_mmol=1.0, pco2_atm=1e-3),
        "Say how much carbonate there is by exactly one of",
    ),
    (lambda: Solution.from_totals({}, dic_mmol=0.0, closing_meq=math.nan), "closing_meq must be a number."),
    (lambda: Solution.from_totals({}), "Say how much carbonate there is by exactly one of"),
    (lambda: Solution.at_ph(7.0, {"Fe": 1.0}, dic_mmol=1.0), "There is no “Fe” in the model"),
    (
        lambda: Solution.at_ph(7.0, {"Ca": -1.0}, dic_mmol=1.0),
        "The amount of Ca must be a number of 0 or more.",
    ),
    (lambda: Solution.at_ph(7.0, {"Ca": math.nan}, dic_mmol=1.0), "The amount of Ca must be a number"),
    (lambda: Solution.at_ph(7.0, {}, dic_mmol=-1.0), "dic_mmol must be 0 or more."),
    (lambda: Solution.at_ph(7.0, {}, alkalinity_meq=math.nan), "alkalinity_meq must be a number."),
    (lambda: Solution.at_ph(14.0, {}, dic_mmol=1.0), "The pH must lie between 1 and 13."),
    (lambda: Solution.at_ph(7.0, {}, temperature_c=-5.0, dic_mmol=1.0), "The temperature must lie between"),
    (
        lambda: Solution.at_ph(7.0, {"K": 900.0, "Cl": 9000.0}, dic_mmol=0.0),
        "This is too strong for the model",
    ),
    (
        lambda: Solution.at_ph(7.0, {"Ca": 1e6}, dic_mmol=1.0),
        "This is too strong for the model: a concentrate",
    ),
    (lambda: Solution.from_totals({"SO4": 1e12}, dic_mmol=1.0), "This is too strong for the model:"),
    (lambda: Solution.from_totals({"K": 1e300}, pco2_atm=0.0), "These amounts do not settle to any pH"),
    (lambda: Solution.at_ph(6.0, FEED, alkalinity_meq=-1.0), "An alkalinity of -1 meq does not fit this pH:"),
    (
        lambda: Solution.at_ph(2.0, {}, alkalinity_meq=2.0),
        "An alkalinity of 2 meq can't be had at so low a pH.",
    ),
]


@pytest.mark.parametrize(("make", "sentence"), BAD_WATERS, ids=[sentence for _, sentence in BAD_WATERS])
def test_a_water_that_cannot_be_is_refused_with_a_sentence(make: Callable[[], object], sentence: str) -> None:
    with pytest.raises(ValueError) as refusal:  # noqa: PT011  # the text is compared below
        make()
    assert str(refusal.value).startswith(sentence)
    assert str(refusal.value).endswith(".")
