"""Conductivity of single salts against measurements.

Source: McCleskey, J. Chem. Eng. Data 56:317 (2011), coefficients in
tests/reference/data/salt_conductivity.csv. The measured potassium chloride lies 0.7 % above the primary
standard at 0.01 mol/kg; the tolerances leave room for that.
"""

from __future__ import annotations

from math import sqrt

import pytest

from tendtui.chemistry import Solution
from tests.support.chemistry_tables import Row, rows

IONS: dict[str, dict[str, float]] = {
    "KCl": {"K": 1.0, "Cl": 1.0},
    "NaCl": {"Na": 1.0, "Cl": 1.0},
    "NH4Cl": {"NH4": 1.0, "Cl": 1.0},
    "CaCl2": {"Ca": 1.0, "Cl": 2.0},
    "MgCl2": {"Mg": 1.0, "Cl": 2.0},
    "Na2SO4": {"Na": 2.0, "SO4": 1.0},
    "K2SO4": {"K": 2.0, "SO4": 1.0},
    "CaSO4": {"Ca": 1.0, "SO4": 1.0},
    "KHCO3": {"K": 1.0},
    "NaHCO3": {"Na": 1.0},
    "KNO3": {"K": 1.0, "NO3": 1.0},
}
T_C = 25.0


def _measured_us_cm(row: Row, molality_mmol: float) -> float:
    c1, c2, c3, d1, d2, d3, b = (float(row[key]) for key in ("c1", "c2", "c3", "d1", "d2", "d3", "b"))
    root = sqrt(molality_mmol / 1000.0)
    per_charge = c1 * T_C**2 + c2 * T_C + c3 - (d1 * T_C**2 + d2 * T_C + d3) * root / (1.0 + b * root)
    return per_charge * molality_mmol * float(row["charge"])


@pytest.mark.parametrize("molality_mmol", [1.0, 2.0, 5.0, 10.0])
@pytest.mark.parametrize("row", rows("salt_conductivity"), ids=lambda row: row["salt"])
def test_a_salt_conducts_as_measured(row: Row, molality_mmol: float) -> None:
    salt = row["salt"]
    solution = Solution.from_totals(
        {name: molality_mmol * number for name, number in IONS[salt].items()},
        temperature_c=T_C,
        dic_mmol=molality_mmol if salt.endswith("HCO3") else 0.0,
    )
    tolerance = 0.05 if "SO4" in salt else 0.04
    assert solution.conductivity_us_cm == pytest.approx(_measured_us_cm(row, molality_mmol), rel=tolerance)
