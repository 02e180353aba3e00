"""Constants against values of other sources than the ones they were taken from.

The measured values and the papers named beside them are from memory; the tolerances allow for that.
"""

from __future__ import annotations

import pytest

from tendtui.chemistry.activity import davies_term, debye_huckel_slope, water_density_kg_l
from tendtui.chemistry.equilibrium import CO2_HENRY, FACTORS, TOTALS, log_k, species_log_k, table_at
from tendtui.chemistry.minerals import MINERALS
from tendtui.chemistry.species import LIGAND_SPECIES, LIGANDS, WATER_SPECIES, Species

SPECIES = {s.name: s for s in WATER_SPECIES} | {s.name: s for group in LIGAND_SPECIES for s in group}


def _pk(acid: str, base: str, *, temperature_c: float = 25.0) -> float:
    return _log(acid, temperature_c) - _log(base, temperature_c)


def _log(name: str, temperature_c: float) -> float:
    return species_log_k(SPECIES[name], temperature_c=temperature_c)


@pytest.mark.parametrize(
    ("acid", "base", "pk"),
    [
        ("CO2", "HCO3-", 6.352),  # Harned & Davis, J. Am. Chem. Soc. 65:2030 (1943)
        ("HCO3-", "CO3-2", 10.329),  # Harned & Scholes, J. Am. Chem. Soc. 63:1706 (1941)
        ("H3PO4", "H2PO4-", 2.148),  # Bates, J. Res. NBS 47:127 (1951)
        ("H2PO4-", "HPO4-2", 7.198),  # Bates & Acree, J. Res. NBS 30:129 (1943)
        ("H3Cit", "H2Cit-", 3.128),  # Bates & Pinching, J. Am. Chem. Soc. 71:1274 (1949)
        ("H2Cit-", "HCit-2", 4.761),  # the same
        ("HCit-2", "Cit-3", 6.396),  # the same
    ],
)
def test_acid_constants_at_25_c_are_the_measured_ones(acid: str, base: str, pk: float) -> None:
    assert _pk(acid, base) == pytest.approx(pk, abs=0.02)


@pytest.mark.parametrize(
    ("temperature_c", "pk"),
    # Harned & Owen, Physical Chemistry of Electrolytic Solutions, 3rd ed. 1958, ionisation of water
    [(10.0, 14.535), (15.0, 14.346), (20.0, 14.167), (25.0, 13.996), (30.0, 13.833)],
)
def test_the_ion_product_of_water_follows_the_temperature(temperature_c: float, pk: float) -> None:
    assert -_log("OH-", temperature_c) == pytest.approx(pk, abs=0.01)


@pytest.mark.parametrize(
    ("temperature_c", "pk"),
    # Harned & Davis, J. Am. Chem. Soc. 65:2030 (1943)
    [(10.0, 6.464), (15.0, 6.419), (20.0, 6.381), (25.0, 6.352), (30.0, 6.327)],
)
def test_carbonic_acid_follows_the_temperature(temperature_c: float, pk: float) -> None:
    assert _pk("CO2", "HCO3-", temperature_c=temperature_c) == pytest.approx(pk, abs=0.005)


@pytest.mark.parametrize(
    ("temperature_c", "pk"),
    # Bates & Pinching, J. Res. NBS 42:419 (1949)
    [(15.0, 9.564), (20.0, 9.400), (25.0, 9.245), (30.0, 9.093)],
)
def test_ammonium_follows_the_temperature(temperature_c: float, pk: float) -> None:
    assert -_log("NH3", temperature_c) == pytest.approx(pk, abs=0.015)


def test_carbon_dioxide_dissolves_as_measured() -> None:
    # Harned & Davis, J. Am. Chem. Soc. 65:2030 (1943): 1.464 at 25 °C, 1.406 at 20 °C
    assert -log_k(CO2_HENRY, temperature_c=25.0) == pytest.approx(1.466, abs=0.01)
    assert -log_k(CO2_HENRY, temperature_c=20.0) == pytest.approx(1.406, abs=0.01)


@pytest.mark.parametrize(
    ("temperature_c", "slope"),
    # Robinson & Stokes, Electrolyte Solutions, 2nd ed. 1959, appendix 7.1, per kg of water
    [(10.0, 0.4977), (20.0, 0.5044), (25.0, 0.5108), (30.0, 0.5141)],
)
def test_the_limiting_slope_is_the_handbook_s(temperature_c: float, slope: float) -> None:
    assert debye_huckel_slope(temperature_c=temperature_c) == pytest.approx(slope, rel=0.01)


@pytest.mark.parametrize(
    ("temperature_c", "density"),
    # CRC Handbook of Chemistry and Physics, Standard density of water
    [(10.0, 0.99970), (20.0, 0.99821), (25.0, 0.99705), (30.0, 0.99565)],
)
def test_the_density_of_water_is_the_handbook_s(temperature_c: float, density: float) -> None:
    assert water_density_kg_l(temperature_c=temperature_c) == pytest.approx(density, abs=2e-5)


def test_davies_gives_the_measured_coefficient_of_potassium_chloride() -> None:
    # Robinson & Stokes, Electrolyte Solutions, 2nd ed. 1959, appendix 8.10: 0.770 at 0.1 mol/kg
    term = davies_term(ionic_strength_mol_kg=0.1)
    assert 10.0 ** (-debye_huckel_slope(temperature_c=25.0) * term) == pytest.approx(0.770, abs=0.015)


def test_every_species_adds_up() -> None:
    charges = {"DIC": -2, "SO4": -2, "P": -3, "Si": 0, "Cit": -3, "water": 0}
    cations = {None: 0, "Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1}
    for species in SPECIES.values():
        assert species.charge == charges[species.ligand] + species.protons + cations[species.cation]
        assert _sign_of(species) == species.charge


def _sign_of(species: Species) -> int:
    stem, sign, number = species.name.rpartition("+")
    if not sign:
        stem, sign, number = species.name.rpartition("-")
    return int(f"{sign}{number or 1}") if stem else 0


def test_every_ligand_has_its_reference_and_its_total() -> None:
    for ligand in LIGANDS:
        assert ligand.name in TOTALS
        assert SPECIES[ligand.reference].ligand == ligand.name


def test_tables_at_different_temperatures_share_their_factor_codes() -> None:
    before = len(FACTORS)
    assert table_at(13.7).henry > table_at(23.1).henry
    assert len(FACTORS) == before


def test_every_expression_meets_its_value_at_25_c() -> None:
    formations = (
        [s.formation for s in SPECIES.values()] + [m.solubility for m in MINERALS.values()] + [CO2_HENRY]
    )
    for formation in formations:
        assert log_k(formation, temperature_c=25.0) == pytest.approx(formation.log_k, abs=0.03)
