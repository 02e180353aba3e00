"""Formation constants at one temperature, laid out for the solver."""

from __future__ import annotations

from functools import lru_cache
from math import log10
from typing import NamedTuple

from tendtui.chemistry.activity import KELVIN, LN10, debye_huckel_slope
from tendtui.chemistry.species import (
    CATION_CHARGES,
    CATIONS,
    LIGAND_SPECIES,
    LIGANDS,
    WATER_SPECIES,
    Formation,
    Species,
)

GAS_CONSTANT_KJ = 8.314462618e-3
"""[kJ/(mol K)] molar gas constant, exact since 2019."""

STANDARD_K = 298.15
"""[K] temperature of the tabulated constants."""

CO2_HENRY = Formation(
    log_k=-1.468,
    analytic=(109.534, 1.9913e-2, -6986.04, -40.83, 669370.0),
    source="PB",
)
"""Dissolved CO2 (mol/kg) over its pressure in the gas (atm)."""

Term = tuple[float, int, int, int]
"""One species beside its reference: constant, code of its activity factor, protons, charge squared."""

Terms = tuple[Term, ...]
"""Species that differ by protons only."""


class LigandTable(NamedTuple):
    """The species of one ligand, split by the cation they hold."""

    total: int
    """Place of the ligand's total in the list of totals."""
    bare: Terms
    """Without a cation."""
    pairs: tuple[tuple[int, Terms], ...]
    """With a cation, by its place in CATIONS."""


class Table(NamedTuple):
    """All constants at one temperature."""

    slope: float
    """Limiting slope times ln 10."""
    ligands: tuple[LigandTable, ...]
    """One entry for each of LIGANDS."""
    hydroxide: Term
    """OH-."""
    hydrolysis: tuple[tuple[int, Term], ...]
    """What a cation becomes when it gives a proton to water, by its place in CATIONS."""
    henry: float
    """Dissolved CO2 over its pressure. [mol/(kg atm)]"""


TOTALS = ("Ca", "Mg", "Na", "K", "NH4", "NO3", "Cl", "SO4", "P", "Si", "Cit", "DIC")
"""Order of the totals in the solver; the cations come first, as in CATIONS."""

_SPECIES = {s.name: s for s in WATER_SPECIES} | {s.name: s for group in LIGAND_SPECIES for s in group}


def log_k(formation: Formation, *, temperature_c: float) -> float:
    """Give log10 of a constant at a temperature.

    Args:
        formation: The constant.
        temperature_c: Temperature, 0 to 50. [°C]

    Returns:
        log10 of the constant, infinite dilution.

    Source:
        van 't Hoff with a constant enthalpy, or the formation's own expression in T.
    """
    kelvin = temperature_c + KELVIN
    if formation.analytic is not None:
        powers = (1.0, kelvin, 1.0 / kelvin, log10(kelvin), kelvin**-2, kelvin**2)
        return sum(a * b for a, b in zip(formation.analytic, powers, strict=False))
    return formation.log_k - formation.delta_h_kj / (LN10 * GAS_CONSTANT_KJ) * (
        1.0 / kelvin - 1.0 / STANDARD_K
    )


def species_log_k(species: Species, *, temperature_c: float) -> float:
    """Give log10 of a species' constant from the bare ligand, at a temperature.

    Args:
        species: The species.
        temperature_c: Temperature, 0 to 50. [°C]

    Returns:
        log10 of the constant, infinite dilution.
    """
    own = log_k(species.formation, temperature_c=temperature_c)
    if species.onto is None:
        return own
    return own + species_log_k(_SPECIES[species.onto], temperature_c=temperature_c)


FACTORS: list[tuple[int, int]] = [(0, 0), (1, 0)]
"""Distinct activity factors, as (change of the sum of charges squared, uncharged species lost less gained).

The second is one over the coefficient of a single charge.
"""


def _factor_code(charge_squares: int, neutrals: int) -> int:
    factor = (charge_squares, neutrals)
    if factor not in FACTORS:
        FACTORS.append(factor)
    return FACTORS.index(factor)


_REFERENCES = {ligand.name: _SPECIES[ligand.reference] for ligand in LIGANDS}


def _code(species: Species) -> int:
    squares, neutrals = species.charge**2, -int(species.charge == 0)
    if species.ligand in _REFERENCES:
        reference = _REFERENCES[species.ligand]
        squares -= reference.charge**2
        neutrals += int(reference.charge == 0)
    if species.cation is not None:
        squares -= CATION_CHARGES[CATIONS.index(species.cation)] ** 2
    return _factor_code(squares, neutrals)


# Filled once here, so that the solver's list of factors never grows while it runs.
_CODES = {s.name: _code(s) for s in _SPECIES.values()}


def term_of(species: Species, *, temperature_c: float) -> Term:
    """Lay out one species for the solver.

    Args:
        species: The species.
        temperature_c: Temperature, 0 to 50. [°C]

    Returns:
        Constant, factor code, protons and charge squared, beside the ligand's reference form.
    """
    reference = _REFERENCES.get(species.ligand)
    log, protons = species_log_k(species, temperature_c=temperature_c), species.protons
    if reference is not None:
        log -= species_log_k(reference, temperature_c=temperature_c)
        protons -= reference.protons
    return (10.0**log, _CODES[species.name], protons, species.charge**2)


def _ligand_table(place: int, *, temperature_c: float) -> LigandTable:

    def holding(cation: str | None) -> Terms:
        group = (s for s in LIGAND_SPECIES[place] if s.cation == cation)
        return tuple(term_of(s, temperature_c=temperature_c) for s in group)

    pairs = tuple((i, holding(cation)) for i, cation in enumerate(CATIONS))
    return LigandTable(
        TOTALS.index(LIGANDS[place].name), holding(None), tuple((i, terms) for i, terms in pairs if terms)
    )


@lru_cache(maxsize=512)
def table_at(temperature_c: float) -> Table:
    """Lay out every constant at a temperature.

    Args:
        temperature_c: Temperature, 0 to 50. [°C]

    Returns:
        The table; kept for the next call.
    """
    water = {s.cation: term_of(s, temperature_c=temperature_c) for s in WATER_SPECIES}
    return Table(
        LN10 * debye_huckel_slope(temperature_c=temperature_c),
        tuple(_ligand_table(i, temperature_c=temperature_c) for i in range(len(LIGANDS))),
        water[None],
        tuple((i, water[cation]) for i, cation in enumerate(CATIONS) if cation in water),
        10.0 ** log_k(CO2_HENRY, temperature_c=temperature_c),
    )
