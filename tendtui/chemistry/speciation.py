"""The amount of every species in a solved solution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import log, log10

from tendtui.chemistry.activity import LN10
from tendtui.chemistry.equilibrium import FACTORS, TOTALS, Term, table_at, term_of
from tendtui.chemistry.solve import State, activity_factors
from tendtui.chemistry.species import CATIONS, LIGAND_SPECIES, LIGANDS, WATER_SPECIES, Species

FREE_CATIONS = ("Ca+2", "Mg+2", "Na+", "K+", "NH4+")
"""Name of each of CATIONS when it is free."""

CHARGES = {"H+": 1, "Ca+2": 2, "Mg+2": 2, "Na+": 1, "K+": 1, "NH4+": 1, "NO3-": -1, "Cl-": -1} | {
    s.name: s.charge for group in (WATER_SPECIES, *LIGAND_SPECIES) for s in group
}
"""Charge of every species."""


@lru_cache(maxsize=64)
def _terms(temperature_c: float) -> Mapping[str, Term]:
    return {
        s.name: term_of(s, temperature_c=temperature_c)
        for group in (WATER_SPECIES, *LIGAND_SPECIES)
        for s in group
    }


def _weight(species: Species, term: Term, state: State, factors: Sequence[float]) -> float:
    weight = term[0] * factors[term[1]] * state.h ** term[2]
    return weight if species.cation is None else weight * state.free[CATIONS.index(species.cation)]


def distribution(state: State, totals: Sequence[float], *, temperature_c: float) -> dict[str, float]:
    """Give the amount of every species.

    Args:
        state: A solved solution.
        totals: Its totals, in the order of TOTALS. [mol/kg]
        temperature_c: Temperature. [°C]

    Returns:
        Amount by species. [mol/kg]
    """
    table, terms = table_at(temperature_c), _terms(temperature_c)
    factors = activity_factors(table.slope, state.ionic_strength_mol_kg)
    found = dict(zip(FREE_CATIONS, state.free, strict=True))
    found |= {"H+": state.h * factors[FACTORS.index((1, 0))], "NO3-": totals[5], "Cl-": totals[6]}
    found |= {s.name: _weight(s, terms[s.name], state, factors) for s in WATER_SPECIES}
    for ligand, group in zip(LIGANDS, LIGAND_SPECIES, strict=True):
        weights = {s.name: _weight(s, terms[s.name], state, factors) for s in group}
        per_weight = totals[TOTALS.index(ligand.name)] / sum(weights.values())
        found |= {name: weight * per_weight for name, weight in weights.items()}
    return found


def log_activity(name: str, state: State, amounts: Mapping[str, float], *, temperature_c: float) -> float:
    """Give log10 of the activity of a charged species.

    Args:
        name: Species.
        state: The solved solution.
        amounts: Its distribution. [mol/kg]
        temperature_c: Temperature. [°C]

    Returns:
        log10 of the activity; minus infinity where there is none.
    """
    if name == "H+":
        return log10(state.h)
    amount = amounts[name]
    if not amount > 0.0:
        return float("-inf")
    single = log(
        activity_factors(table_at(temperature_c).slope, state.ionic_strength_mol_kg)[FACTORS.index((1, 0))]
    )
    return log10(amount) - CHARGES[name] ** 2 * single / LN10
