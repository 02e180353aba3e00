"""Worked examples of extension services, handbooks and manuals.

Source: tests/reference/data/chemistry_examples.csv, a source and how it is known on every row.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tendtui.chemistry import Solution
from tendtui.chemistry.buffers import (
    buffer_ph,
    conductivity_standard_us_cm,
    electrode_slope_percent,
    nernst_slope_mv,
)
from tendtui.chemistry.oxygen import (
    air_pressure_atm,
    oxygen_saturation_mg_l,
    oxygen_saturation_percent,
)
from tendtui.chemistry.reagents import REAGENTS
from tendtui.chemistry.strength import powder_mmol_g, strength_mol_l
from tests.support.chemistry_tables import Row, rows

US_GAL_L = 3.785411784
US_FL_OZ_ML = 29.5735295625
CACO3_MG_PER_MEQ = 50.04
FROM_A_LABEL = {"density": 1.835}


def _ml(formula: str, percent: float, *, alkalinity_mg_l: float, litres: float, protons: float) -> float:
    meq = litres * alkalinity_mg_l / CACO3_MG_PER_MEQ
    return meq / protons / strength_mol_l(formula, percent_w_w=percent)


def _fl_oz(formula: str, percent: float, *, protons: float) -> float:
    """Ounces that take 50 mg/L of alkalinity out of 100 US gallons."""
    ml = _ml(formula, percent, alkalinity_mg_l=50.0, litres=100.0 * US_GAL_L, protons=protons)
    return ml / US_FL_OZ_ML


def _protons(name: str, formula: str) -> float:
    """Protons given per mole at pH 5.8, the strong-acid limit counted in very dilute water."""
    bare = Solution.at_ph(5.8, {}, temperature_c=25.0, dic_mmol=0.0)
    little = 1e-3
    acid = Solution.at_ph(5.8, {name: little}, temperature_c=25.0, dic_mmol=0.0)
    zero_level = {"H3PO4": 1.0, "H3Cit": 1.0}[formula]
    return zero_level + (acid.alkalinity_meq - bare.alkalinity_meq) / little


def _neutralised_share() -> float:
    """Share of bicarbonate to turn into CO2 to stand at pH 5.8, closed, in very dilute water."""
    start = Solution.at_ph(8.3, {"Na": 0.01}, temperature_c=25.0, alkalinity_meq=0.01)
    end = Solution.at_ph(5.8, {"Na": 0.01}, temperature_c=25.0, dic_mmol=start.dic_mmol)
    species = end.species_mmol
    return species["CO2"] / (species["CO2"] + species["HCO3-"])


EXAMPLES: dict[str, Callable[[], float]] = {
    "W001": lambda: conductivity_standard_us_cm("1408", temperature_c=5.0),
    "W002": lambda: conductivity_standard_us_cm("1408", temperature_c=15.0),
    "W003": lambda: conductivity_standard_us_cm("1408", temperature_c=20.0),
    "W004": lambda: conductivity_standard_us_cm("1408", temperature_c=25.0),
    "W005": lambda: conductivity_standard_us_cm("1408", temperature_c=30.0),
    "W023": lambda: buffer_ph("4.00", temperature_c=20.0),
    "W024": lambda: buffer_ph("6.86", temperature_c=20.0),
    "W025": lambda: buffer_ph("6.86", temperature_c=30.0),
    "W026": lambda: buffer_ph("9.18", temperature_c=10.0),
    "W027": lambda: buffer_ph("9.18", temperature_c=25.0),
    "W028": lambda: buffer_ph("7.00", temperature_c=20.0),
    "W029": lambda: buffer_ph("10.01", temperature_c=15.0),
    "W030": lambda: nernst_slope_mv(temperature_c=10.0),
    "W031": lambda: nernst_slope_mv(temperature_c=20.0),
    "W032": lambda: nernst_slope_mv(temperature_c=25.0),
    "W033": lambda: nernst_slope_mv(temperature_c=30.0),
    "W034": lambda: electrode_slope_percent(
        first_mv=160.0, first_ph=4.01, second_mv=-15.0, second_ph=7.01, temperature_c=25.0
    ),
    "W035": lambda: electrode_slope_percent(
        first_mv=160.0, first_ph=4.01, second_mv=15.0, second_ph=7.01, temperature_c=25.0
    ),
    "W036": lambda: electrode_slope_percent(
        first_mv=171.0, first_ph=4.01, second_mv=0.0, second_ph=7.00, temperature_c=20.0
    ),
    "W045": lambda: _ml("H2SO4", 93.0, alkalinity_mg_l=100.0, litres=100.0 * US_GAL_L, protons=2.0),
    "W046": lambda: _fl_oz("H2SO4", 35.0, protons=2.0),
    "W047": lambda: _fl_oz("HNO3", 67.0, protons=1.0),
    "W048": lambda: _fl_oz("H3PO4", 75.0, protons=1.04),
    "W049": lambda: _fl_oz("H3Cit", 50.0, protons=2.2),
    "W050": lambda: (
        US_FL_OZ_ML
        * strength_mol_l("H2SO4", percent_w_w=93.0, density=FROM_A_LABEL["density"])
        * 32.06
        / (100.0 * US_GAL_L)
    ),
    "W051": lambda: 2.0 * strength_mol_l("H2SO4", percent_w_w=93.0, density=FROM_A_LABEL["density"]),
    "W052": lambda: strength_mol_l("HNO3", percent_w_w=38.0),
    "W053": lambda: strength_mol_l("H3PO4", percent_w_w=75.0),
    "W054": lambda: _ml("H3PO4", 75.0, alkalinity_mg_l=2.0 * CACO3_MG_PER_MEQ, litres=100.0, protons=1.0),
    "W055": lambda: _ml("HNO3", 38.0, alkalinity_mg_l=2.0 * CACO3_MG_PER_MEQ, litres=100.0, protons=1.0),
    "W056": lambda: _protons("P", "H3PO4"),
    "W057": lambda: _protons("Cit", "H3Cit"),
    "W058": _neutralised_share,
    "W059": lambda: 100.0 * 0.5 / powder_mmol_g("KOH") / REAGENTS["KOH"].hydroxides,
    "W060": lambda: oxygen_saturation_mg_l(temperature_c=10.0),
    "W061": lambda: oxygen_saturation_mg_l(temperature_c=15.0),
    "W062": lambda: oxygen_saturation_mg_l(temperature_c=18.0),
    "W063": lambda: oxygen_saturation_mg_l(temperature_c=20.0),
    "W064": lambda: oxygen_saturation_mg_l(temperature_c=25.0),
    "W065": lambda: oxygen_saturation_mg_l(temperature_c=30.0),
    "W066": lambda: oxygen_saturation_mg_l(temperature_c=20.0, altitude_m=300.0),
    "W067": lambda: oxygen_saturation_mg_l(temperature_c=20.0, altitude_m=600.0),
    "W069": lambda: air_pressure_atm(altitude_m=1000.0),
    "W070": lambda: oxygen_saturation_percent(oxygen_mg_l=6.5, temperature_c=22.0),
}
# 0.1 mol/kg KCl has its row in standards.csv and its test there
ROWS = tuple(row for row in rows("chemistry_examples") if row["id"] != "W006")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_a_published_example_comes_out(row: Row) -> None:
    assert EXAMPLES[row["id"]]() == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
