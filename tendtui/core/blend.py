"""Waters as what is conserved when they mix, and what they make once mixed.

Amounts are mmol per kg of water; a litre is taken as a kilogram of water, which is right within
0.5 % for what stands in a reservoir.
"""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.chemistry import Solution
from tendtui.value import value_class

__all__ = ["CHARGES", "Blend", "blended", "cations_meq", "strong_meq"]

WARM_C = 25.0
"""[°C] at which conductivities are compared."""

CHARGES = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "NO3": -1, "Cl": -1, "SO4": -2, "P": -1, "Cit": -1}
"""Charge of each total, as it counts towards alkalinity."""


@value_class
class Blend:
    """What is conserved when waters mix: totals, alkalinity, carbonate."""

    totals_mmol: Mapping[str, float]
    """Per kg of water, carbonate not among them. [mmol/kg]"""
    alkalinity_meq: float
    """[meq/kg]"""
    dic_mmol: float
    """Dissolved carbonate. [mmol/kg]"""

    def solved(self, *, temperature_c: float) -> Solution:
        """Give the solution; what is missing to balance the charge is nitrate, or sodium.

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        totals = dict(self.totals_mmol)
        missing_meq = strong_meq(totals) - self.alkalinity_meq
        nitrate_mmol = totals.get("NO3", 0.0) + missing_meq
        totals["NO3"] = max(0.0, nitrate_mmol)
        if nitrate_mmol < 0.0:
            totals["Na"] = totals.get("Na", 0.0) - nitrate_mmol
        return Solution.from_totals(totals, temperature_c=temperature_c, dic_mmol=max(0.0, self.dic_mmol))

    def warm_ms_cm(self) -> float:
        """Give its conductivity at 25 °C. [mS/cm]."""
        return self.solved(temperature_c=WARM_C).conductivity_us_cm / 1000.0


def strong_meq(totals_mmol: Mapping[str, float]) -> float:
    """Give the charge that strong ions leave open: the alkalinity they stand for. [meq/kg]."""
    return sum(CHARGES.get(name, 0) * amount for name, amount in totals_mmol.items())


def cations_meq(totals: Mapping[str, float]) -> float:
    """Give the charge of all cations. [meq/kg]."""
    return sum(max(CHARGES.get(ion, 0), 0) * amount for ion, amount in totals.items())


def blended(parts: tuple[tuple[Blend, float], ...], *, over_l: float | None = None) -> Blend:
    """Mix by litres.

    Args:
        parts: Each water with its litres. [L]
        over_l: Litres the sum is spread over; None: the sum of the litres. [L]

    Raises:
        ValueError: If there is nothing to mix.
    """
    whole_l = sum(litres for _water, litres in parts) if over_l is None else over_l
    if not whole_l > 0.0:
        raise ValueError("nothing to mix")
    totals: dict[str, float] = {}
    alkalinity = dic = 0.0
    for water, litres in parts:
        share = litres / whole_l
        for name, amount in water.totals_mmol.items():
            totals[name] = totals.get(name, 0.0) + share * amount
        alkalinity += share * water.alkalinity_meq
        dic += share * water.dic_mmol
    return Blend(totals_mmol=totals, alkalinity_meq=alkalinity, dic_mmol=dic)
