"""Doses, mixtures, conductivity and saturation against independent tables.

Source: tests/reference/data/chemistry_sources.md says what each table is, where it comes from and what is
demanded.
"""

from __future__ import annotations

import pytest

from tendtui.chemistry import Solution, mix
from tests.support.chemistry_tables import NAMES, Row, pressure, reagent, rows, start, summary, totals

DOSES = rows("ph_dose")
RESPONSES = rows("ph_response")
MIXTURES = rows("mixing")
CONDUCTIVITIES = rows("ec")
SATURATIONS = rows("precip")
STANDARDS = rows("standards")
BUFFERS = tuple(row for row in STANDARDS if row["kind"] == "pH")
COMPOSITIONS = {row["solution"]: row for row in CONDUCTIVITIES if row["kind"] == "solution"}
HARD = {"soft", "medium", "hard", "veryhard", "softened", "rain", "sulfate"}


def _dose(row: Row) -> float:
    return start(row).dose_to_ph(float(row["ph_target"]), reagent(row), pco2_atm=pressure(row))


def _dose_error_percent(row: Row) -> float:
    wanted = float(row["dose_mmol_per_kg"])
    return 100.0 * abs(_dose(row) - wanted) / wanted


@pytest.mark.parametrize("row", DOSES, ids=lambda row: row["id"])
def test_a_dose_is_right(row: Row) -> None:
    wanted = float(row["dose_mmol_per_kg"])
    assert abs(_dose(row) - wanted) <= max(0.03 * wanted, 0.004)


def test_doses_are_right_on_the_whole() -> None:
    middle, most, _ = summary(_dose_error_percent(row) for row in DOSES)
    assert middle <= 0.5
    assert most <= 1.5


def test_doses_of_waters_without_phosphate_are_within_one_percent() -> None:
    plain = [_dose_error_percent(row) for row in DOSES if not float(row["P"])]
    assert len(plain) > 20
    assert max(plain) <= 1.0


@pytest.mark.parametrize("row", DOSES, ids=lambda row: row["id"])
def test_the_given_dose_lands_at_the_target(row: Row) -> None:
    if row["mode"] == "open":
        after = start(row).with_added(reagent(row), float(row["dose_mmol_per_kg"]))
        ph = after.open_to_air(float(row["pco2_atm"])).ph
    else:
        ph = start(row).with_added(reagent(row), float(row["dose_mmol_per_kg"])).ph
    _assert_between(ph, row, "ph_end_dose")


@pytest.mark.parametrize(
    "row", [row for row in DOSES if row["ph_after_closed_then_open"]], ids=lambda row: row["id"]
)
def test_ph_settles_in_air_as_foretold(row: Row) -> None:
    after = start(row).with_added(reagent(row), float(row["dose_mmol_per_kg"]))
    _assert_between(after.open_to_air(420e-6).ph, row, "ph_air_dose")


def _assert_between(ph: float, row: Row, column: str) -> None:
    low, high = sorted((float(row[f"{column}_m2pct"]), float(row[f"{column}_p2pct"])))
    assert low - 0.03 <= ph <= high + 0.03


@pytest.mark.parametrize("row", RESPONSES, ids=lambda row: row["id"])
def test_a_known_dose_gives_the_known_ph(row: Row) -> None:
    after = start(row).with_added(reagent(row), float(row["dose_mmol_per_kg"]))
    _assert_between(after.ph, row, "ph_closed")
    _assert_between(after.open_to_air(420e-6).ph, row, "ph_open_420ppm")
    spread = abs(float(row["ph_open_420ppm_p2pct"]) - float(row["ph_open_420ppm_m2pct"]))
    assert after.open_to_air(float(row["pco2_atm"])).ph == pytest.approx(
        float(row["ph_open_pco2"]), abs=0.03 + spread / 2
    )


def _partner(row: Row, prefix: str) -> Solution:
    return Solution.at_ph(
        float(row[f"{prefix}ph"]),
        totals(row, prefix),
        temperature_c=float(row["temperature_C"]),
        dic_mmol=float(row[f"{prefix}dic_mmol"]),
    )


@pytest.mark.parametrize("row", MIXTURES, ids=lambda row: row["id"])
def test_a_mixture_is_right(row: Row) -> None:
    mixture = mix(_partner(row, "a_"), float(row["kg_a"]), _partner(row, "b_"), float(row["kg_b"]))
    assert mixture.ph == pytest.approx(float(row["ph_mix"]), abs=0.02)
    assert mixture.open_to_air(420e-6).ph == pytest.approx(float(row["ph_mix_open_420ppm"]), abs=0.02)
    for name in NAMES:
        assert mixture.totals_mmol[name] == pytest.approx(float(row[f"mix_{name}"]), rel=1e-3, abs=1e-5)
    assert mixture.dic_mmol == pytest.approx(float(row["mix_dic_mmol"]), rel=1e-3)
    assert mixture.alkalinity_meq == pytest.approx(float(row["mix_alkalinity_meq"]), abs=0.005)


@pytest.mark.parametrize("row", MIXTURES, ids=lambda row: row["id"])
def test_the_conductivity_of_a_mixture_is_right(row: Row) -> None:
    mixture = mix(_partner(row, "a_"), float(row["kg_a"]), _partner(row, "b_"), float(row["kg_b"]))
    assert mixture.conductivity_us_cm == pytest.approx(float(row["ec_mix"]), rel=0.04)


def _measured(row: Row) -> Solution:
    return Solution.at_ph(
        float(row["ph"]),
        totals(row),
        temperature_c=float(row["temperature_C"]),
        dic_mmol=float(row["dic_mmol"]),
    )


@pytest.mark.parametrize("row", CONDUCTIVITIES, ids=lambda row: row["id"])
def test_conductivity_is_right(row: Row) -> None:
    tolerance = 0.07 if row["solution"] in HARD else 0.04
    assert _measured(row).conductivity_us_cm == pytest.approx(float(row["ec25_uS_cm"]), rel=tolerance)


@pytest.mark.parametrize(
    "row", [row for row in CONDUCTIVITIES if row["factor"]], ids=lambda row: row["factor"]
)
def test_conductivity_grows_with_strength_as_it_should(row: Row) -> None:
    whole = next(r for r in CONDUCTIVITIES if r["factor"] and float(r["factor"]) == 1.0)
    ours = _measured(row).conductivity_us_cm / _measured(whole).conductivity_us_cm
    wanted = float(row["ec25_uS_cm"]) / float(whole["ec25_uS_cm"])
    assert ours == pytest.approx(wanted, rel=0.015 if float(row["factor"]) <= 2.0 else 0.03)


def test_potassium_chloride_has_its_standard_conductivity() -> None:
    for molality, temperature_c, value in ((10.0, "25", 1408.23), (100.0, "25", 12824.6)):
        listed = [
            float(row["value"])
            for row in STANDARDS
            if row["kind"] == "EC"
            and row["temperature_C"] == temperature_c
            and 1000.0 * float(row["molality_mol_per_kg_water"]) == molality
        ]
        assert listed == [value]
        salt = Solution.from_totals({"K": molality, "Cl": molality}, temperature_c=25.0, dic_mmol=0.0)
        assert salt.conductivity_us_cm == pytest.approx(value, rel=0.01)


RECIPES = {
    "KH2PO4 0.025 + Na2HPO4 0.025": {"K": 25.0, "Na": 50.0, "P": 50.0},
    "KH2PO4 0.008695 + Na2HPO4 0.03043": {"K": 8.695, "Na": 60.86, "P": 39.125},
    "KH2citrate 0.05": {"K": 50.0, "Cit": 50.0},
}


@pytest.mark.parametrize("row", BUFFERS, ids=lambda row: f"{row['what'][:14]} {row['temperature_C']}")
def test_standard_buffers_read_their_ph(row: Row) -> None:
    temperature_c = float(row["temperature_C"])
    if row["what"].startswith("pure water"):
        buffer = Solution.from_totals({}, temperature_c=temperature_c, pco2_atm=420e-6)
    else:
        buffer = Solution.from_totals(RECIPES[row["what"]], temperature_c=temperature_c, dic_mmol=0.0)
    assert buffer.ph == pytest.approx(float(row["value"]), abs=0.03)


@pytest.mark.parametrize("row", SATURATIONS, ids=lambda row: f"{row['solution']} {row['ph']}")
def test_saturation_is_right(row: Row) -> None:
    solution = Solution.at_ph(
        float(row["ph"]),
        totals(COMPOSITIONS[row["solution"]]),
        temperature_c=float(row["temperature_C"]),
        pco2_atm=float(row["pco2_atm"]),
    )
    for name, tolerance in (("brushite", 0.1), ("gypsum", 0.1), ("calcite", 0.1), ("hydroxyapatite", 0.5)):
        assert solution.saturation_index(name) == pytest.approx(float(row[f"si_{name}"]), abs=tolerance)
