"""Unit conversions, TDS scales and linear temperature compensation against published figures.

Sources: tests/reference/data/units.csv names one on every row. tests/reference/data/kcl_crc.csv: CRC Handbook
of Chemistry and Physics, table "Standard KCl solutions for calibrating conductivity cells", from Wu, Koch and
Pratt, J. Res. NIST 96:191 (1991) and Wu et al. 99:241 (1994); uncertainty 0.03 to 0.04 %.
"""

from __future__ import annotations

import pytest

from tendtui.core.entry import read_number
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show
from tendtui.core.show import show_number
from tendtui.core.units import at_25_c, meq_l_of_mg_l_caco3, mg_l_caco3_of_meq_l
from tests.support.chemistry_tables import Row, rows

UNITS = rows("units")
KCL = rows("kcl_crc")
WARM = tuple(row for row in KCL if 15 <= float(row["temperature_C"]) <= 35)


@pytest.mark.parametrize("row", UNITS, ids=lambda row: row["id"])
def test_a_typed_unit_is_converted_as_published(row: Row) -> None:
    read = read_number(row["typed"], quantity=Quantity(row["quantity"]), show=Show(), meter=Meter())
    assert read == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", WARM, ids=lambda row: row["temperature_C"])
@pytest.mark.parametrize("alpha", [0.019, 0.02])
def test_linear_compensation_is_within_its_published_error(row: Row, alpha: float) -> None:
    """Within 1.5 % of the table from 15 to 35 °C, by either usual coefficient."""
    at_25 = next(float(r["kcl_0_01_uS_cm"]) for r in KCL if r["temperature_C"] == "25") / 1000.0
    found = at_25_c(
        conductivity_ms_cm=float(row["kcl_0_01_uS_cm"]) / 1000.0,
        temperature_c=float(row["temperature_C"]),
        alpha_per_c=alpha,
    )
    assert found == pytest.approx(at_25, rel=0.015)


def test_linear_compensation_is_three_percent_high_at_ten_degrees() -> None:
    """+2.9 % with 2.0 %/K, computed from the same table: the rule is no better than that."""
    found = at_25_c(conductivity_ms_cm=1.01395, temperature_c=10.0)
    assert found / 1.40823 - 1.0 == pytest.approx(0.029, abs=0.001)


@pytest.mark.parametrize(
    ("read_us_cm", "temperature_c", "alpha", "expected_us_cm", "tolerance"),
    [
        (1273.03, 20.0, 0.020, 1414.5, 0.1),
        (1273.03, 20.0, 0.019, 1406.7, 0.1),
        (1600.0, 18.0, 0.020, 1860.0, 1.0),
        (1900.0, 30.0, 0.020, 1727.0, 1.0),
    ],
)
def test_worked_examples_of_linear_compensation(
    read_us_cm: float, temperature_c: float, alpha: float, expected_us_cm: float, tolerance: float
) -> None:
    """EC25 = ECt / (1 + a (t - 25)), computed by hand; the first two start from the table's 20 °C."""
    found = at_25_c(conductivity_ms_cm=read_us_cm / 1000.0, temperature_c=temperature_c, alpha_per_c=alpha)
    assert found * 1000.0 == pytest.approx(expected_us_cm, abs=tolerance)


def test_compensation_has_no_answer_far_below_freezing() -> None:
    with pytest.raises(ValueError, match="no linear compensation at -30 °C"):
        at_25_c(conductivity_ms_cm=1.0, temperature_c=-30.0)


@pytest.mark.parametrize(
    ("unit", "shown"), [("ppm500", "700"), ("ppm640", "896"), ("ppm700", "980"), ("uS/cm", "1400")]
)
def test_one_strength_on_every_scale(unit: str, shown: str) -> None:
    """1.4 mS/cm is 700, 896 and 980 on the 500, 640 and 700 scales (factors as in units.csv)."""
    show = Show(conductivity=unit)  # type: ignore[arg-type]  # parametrize knows no literals
    assert show_number(1.4, Quantity.CONDUCTIVITY, show) == shown


def test_alkalinity_goes_both_ways() -> None:
    """1 meq/L is 50.04 mg/L as CaCO3 (half its molar mass, IUPAC atomic weights)."""
    assert mg_l_caco3_of_meq_l(1.0) == pytest.approx(50.04, abs=0.005)
    assert meq_l_of_mg_l_caco3(mg_l_caco3_of_meq_l(1.73)) == pytest.approx(1.73)
