from __future__ import annotations

from itertools import pairwise

import pytest

from tendtui.chemistry.reagents import REAGENTS, reagent_named
from tendtui.chemistry.strength import STRONGEST_PERCENT, density_kg_l, powder_mmol_g, strength_mol_l


@pytest.mark.parametrize(
    ("formula", "percent", "density"),
    [
        # CRC Handbook of Chemistry and Physics, Concentrative properties of aqueous solutions, 20 °C,
        # from memory
        ("HNO3", 10.0, 1.0543),
        ("HNO3", 38.0, 1.2337),
        ("H3PO4", 10.0, 1.0532),
        ("H3PO4", 30.0, 1.1805),
        ("H3PO4", 85.0, 1.689),
        ("H2SO4", 10.0, 1.0661),
        ("H2SO4", 35.0, 1.2599),
        ("HCl", 10.0, 1.0476),
        ("HCl", 36.0, 1.1789),
        ("KOH", 10.0, 1.0904),
        ("KOH", 50.0, 1.5102),
        ("K2CO3", 10.0, 1.0904),
        ("KHCO3", 10.0, 1.0650),
        # the same table, seen
        ("H3Cit", 10.0, 1.0402),
        ("H3Cit", 20.0, 1.0858),
    ],
)
def test_densities_are_the_handbook_s(formula: str, percent: float, density: float) -> None:
    assert density_kg_l(formula, percent_w_w=percent) == pytest.approx(density, rel=0.003)


@pytest.mark.parametrize("formula", list(REAGENTS))
def test_density_rises_without_a_jump_up_to_the_strongest_solution(formula: str) -> None:
    most = STRONGEST_PERCENT[formula]
    steps = [most * i / 200.0 for i in range(1, 201)]
    densities = [density_kg_l(formula, percent_w_w=p) for p in steps]
    for below, above in pairwise(densities):
        assert -0.0005 < above - below < 0.02


@pytest.mark.parametrize("percent", [0.0, -5.0, 99.9])
def test_a_solution_that_cannot_be_is_refused(percent: float) -> None:
    with pytest.raises(ValueError, match="A solution of sulfuric acid is above 0 and at most 98 per cent"):
        density_kg_l("H2SO4", percent_w_w=percent)


def test_a_density_on_the_label_wins() -> None:
    assert strength_mol_l("HNO3", percent_w_w=10.0, density=1.0) == pytest.approx(1.587, abs=0.001)


def test_a_powder_is_counted_by_its_formula_weight() -> None:
    assert powder_mmol_g("KHCO3") == pytest.approx(9.989, abs=0.005)
    assert powder_mmol_g("H3Cit") == pytest.approx(5.205, abs=0.005)


def test_a_reagent_is_found_by_the_name_on_its_label() -> None:
    assert reagent_named(" Phosphoric acid").formula == "H3PO4"
    with pytest.raises(ValueError, match="There is no reagent “vinegar”; the reagents are nitric acid"):
        reagent_named("vinegar")


def test_acids_give_protons_and_alkalis_take_them() -> None:
    for reagent in REAGENTS.values():
        assert (reagent.protons == 0) != (reagent.hydroxides == 0)
