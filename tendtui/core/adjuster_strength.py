"""How much of its reagent a bottle of acid or alkali holds."""

from __future__ import annotations

from tendtui.chemistry.reagents import REAGENTS, Reagent
from tendtui.chemistry.strength import STRONGEST_PERCENT, strength_mol_l
from tendtui.core.rack import Adjuster
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["UNKNOWN_SPREAD", "Strength", "reagent_of", "strength_of"]

KNOWN_SPREAD = 0.06
"""Doubt of a printed strength and of the model together, as the logarithm.

Source: labels within 3 per cent (common practice, no source); the model's dose within 3 per cent of the
public tables of reference doses.
"""

STRONGEST_MOL_L = 25.0
"""[mol/L] above any bottle on sale."""

UNKNOWN_SPREAD = 0.6
"""Doubt of a bottle whose strength isn't printed, as the logarithm.

Source: bottles on sale hold about 5 to 60 per cent (common practice, no source).
"""

UNKNOWN_PERCENT = {"HNO3": 30.0, "H3PO4": 35.0, "H2SO4": 20.0, "HCl": 15.0, "H3Cit": 25.0, "KOH": 20.0}
"""[% w/w] taken where none is printed: the middle of what is sold (common practice, no source)."""

_BY_NAME = {reagent.name: reagent for reagent in REAGENTS.values()}


@value_class
class Strength:
    """What one bottle brings."""

    reagent: Reagent
    mol_l: float
    """mol of the pure reagent in a litre, which is mmol in a millilitre. [mol/L]"""
    spread: float
    """Doubt of it, as the logarithm."""
    assumed: tuple[str, ...] = ()


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
    mol_l = _printed(adjuster, reagent)
    spread = KNOWN_SPREAD
    if mol_l is None:
        mol_l = strength_mol_l(reagent.formula, percent_w_w=UNKNOWN_PERCENT.get(reagent.formula, 20.0))
        spread = UNKNOWN_SPREAD
        assumed.append(
            _(
                "{bottle} prints no strength: the first portion is small, the next follow what it did. "
                "A jar test would settle it."
            ).format(bottle=adjuster.name)
        )
    return Strength(reagent=reagent, mol_l=mol_l, spread=spread, assumed=tuple(assumed))


def _printed(adjuster: Adjuster, reagent: Reagent) -> float | None:
    """Give the strength on the label; None where there is none, or one that no bottle holds."""
    if adjuster.strength_mol_l is not None and 0.0 < adjuster.strength_mol_l <= STRONGEST_MOL_L:
        return adjuster.strength_mol_l
    percent = adjuster.percent_w_w
    if percent is None or not 0.0 < percent <= STRONGEST_PERCENT[reagent.formula]:
        return None
    return strength_mol_l(reagent.formula, percent_w_w=percent)
