"""How much of its reagent a bottle of acid or alkali holds."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import log

from tendtui.chemistry.reagents import REAGENTS, Reagent
from tendtui.core.rack import Adjuster
from tendtui.words import _

__all__ = ["UNKNOWN_SPREAD", "Strength", "density_kg_l", "mol_l_of", "reagent_of", "strength_of"]

UNKNOWN_SPREAD = 0.6
"""Doubt of a bottle whose strength isn't printed, as the logarithm.

Source: bottles on sale hold about 5 to 60 per cent (common practice, no source).
"""

UNKNOWN_PERCENT = {"HNO3": 30.0, "H3PO4": 35.0, "H2SO4": 20.0, "HCl": 15.0, "H3Cit": 25.0, "KOH": 20.0}
"""[% w/w] taken where none is printed: the middle of what is sold (common practice, no source)."""

# Density at 20 °C by per cent w/w, kg/L. Source: CRC Handbook of Chemistry and Physics, "Concentrative
# properties of
# aqueous solutions", and Perry's Chemical Engineers' Handbook, densities of aqueous inorganic solutions
# (both from
# memory; points shared with the table of acids in d1 of the public references agree within 0.5 %).
_DENSITIES: dict[str, tuple[tuple[float, float], ...]] = {
    "HNO3": (
        (0, 0.998),
        (10, 1.054),
        (20, 1.115),
        (30, 1.180),
        (38, 1.234),
        (50, 1.310),
        (60, 1.367),
        (67, 1.400),
        (70, 1.413),
    ),
    "H3PO4": (
        (0, 0.998),
        (10, 1.053),
        (20, 1.113),
        (30, 1.181),
        (40, 1.254),
        (50, 1.335),
        (60, 1.426),
        (75, 1.579),
        (85, 1.689),
    ),
    "H2SO4": (
        (0, 0.998),
        (10, 1.066),
        (20, 1.139),
        (30, 1.219),
        (35, 1.260),
        (50, 1.395),
        (70, 1.611),
        (93, 1.828),
        (98, 1.836),
    ),
    "HCl": ((0, 0.998), (10, 1.047), (20, 1.098), (30, 1.149), (37, 1.184)),
    "H3Cit": ((0, 0.998), (10, 1.039), (20, 1.083), (30, 1.130), (40, 1.179), (50, 1.232)),
    "KOH": ((0, 0.998), (10, 1.090), (20, 1.186), (30, 1.287), (45, 1.451), (50, 1.511)),
    "K2CO3": ((0, 0.998), (10, 1.090), (20, 1.190), (30, 1.298), (50, 1.540)),
    "KHCO3": ((0, 0.998), (10, 1.066), (20, 1.140), (24, 1.170)),
}

_BY_NAME = {reagent.name: reagent for reagent in REAGENTS.values()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What one bottle brings."""

    reagent: Reagent
    mol_l: float
    """mol of the pure reagent in a litre, which is mmol in a millilitre. [mol/L]"""
    spread: float
    """Doubt of it, as the logarithm."""
    assumed: tuple[str, ...] = ()


def density_kg_l(formula: str, *, percent_w_w: float) -> float:
    """Give the density of a reagent's solution in water at 20 °C, between the points of a table.

    Args:
        formula: HNO3, H3PO4, H2SO4, HCl, H3Cit, KOH, K2CO3 or KHCO3.
        percent_w_w: Per cent by weight. [%]

    Returns:
        Density. [kg/L]

    Raises:
        KeyError: If there is no such reagent.
    """
    points = _DENSITIES[formula]
    for (low, at_low), (high, at_high) in itertools.pairwise(points):
        if percent_w_w <= high:
            return at_low + (percent_w_w - low) / (high - low) * (at_high - at_low)
    return points[-1][1]


def mol_l_of(formula: str, *, percent_w_w: float) -> float:
    """Give the strength of a solution of known per cent.

    Args:
        formula: HNO3, H3PO4, H2SO4, HCl, H3Cit, KOH, K2CO3 or KHCO3.
        percent_w_w: Per cent by weight. [%]

    Returns:
        Strength. [mol/L]

    Raises:
        KeyError: If there is no such reagent.
    """
    density = density_kg_l(formula, percent_w_w=percent_w_w)
    return 10.0 * percent_w_w * density / REAGENTS[formula].formula_weight_g_mol


def reagent_of(adjuster: Adjuster) -> Reagent | None:
    """Give the reagent a bottle names; None where it names none we know, or one for the other direction."""
    named = _BY_NAME.get((adjuster.reagent or "").strip().lower())
    if named is None:
        return None
    return named if (named.protons > 0) == (adjuster.direction == "down") else None


def strength_of(adjuster: Adjuster) -> Strength:
    """Give what a bottle brings, as printed or as guessed low risk."""
    reagent = reagent_of(adjuster)
    assumed = []
    if reagent is None:
        reagent = REAGENTS["H3PO4" if adjuster.direction == "down" else "KOH"]
        assumed.append(
            _("{bottle} names no reagent: taken as {reagent}.").format(
                bottle=adjuster.name, reagent=_(reagent.name)
            )
        )
    mol_l = adjuster.strength_mol_l
    spread = 0.04
    if mol_l is None and adjuster.percent_w_w is not None and 0.0 < adjuster.percent_w_w <= 100.0:
        mol_l = mol_l_of(reagent.formula, percent_w_w=adjuster.percent_w_w)
    if mol_l is None or not mol_l > 0.0:
        mol_l = mol_l_of(reagent.formula, percent_w_w=UNKNOWN_PERCENT.get(reagent.formula, 20.0))
        spread = UNKNOWN_SPREAD
        assumed.append(
            _(
                "{bottle} prints no strength: the first portion is small, the next follow what it did. "
                "A jar test would settle it."
            ).format(bottle=adjuster.name)
        )
    return Strength(reagent=reagent, mol_l=mol_l, spread=max(spread, log(1.04)), assumed=tuple(assumed))
