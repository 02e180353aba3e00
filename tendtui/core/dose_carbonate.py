"""The carbonate of a tank: what the air holds in it, what a known alkalinity needs, no more than can be."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.chemistry import Solution
from tendtui.core.dose_drop_test import with_phosphate_of
from tendtui.value import value_class

__all__ = ["Carbonate"]

_PK1 = 6.35
"""Of carbonic acid at 25 °C, for choosing an order only. Source: Plummer & Busenberg (1982)."""

_ALKALINE_PH = 8.0
"""Under this the carbonate of the air is always less than what can have come in."""


@value_class
class Carbonate:
    """What bounds the carbonate of a tank, under one guess of the truth."""

    temperature_c: float
    """[°C]"""
    pco2_atm: float
    """Carbon dioxide that the water settles with. [atm]"""
    most_in_air_mmol: float
    """Dissolved carbonate that can have come in by water, plants and alkali. [mmol/kg]"""
    fresh_mmol: float
    """Dissolved carbonate of fresh source water: a tank under it may hold all of that as well. [mmol/kg]"""

    def in_air(self, totals: Mapping[str, float], *, ph: float) -> Solution:
        """Hold the carbonate of the air at a pH, but no more than can ever have come in.

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        in_air = Solution.at_ph(ph, totals, temperature_c=self.temperature_c, pco2_atm=self.pco2_atm)
        if ph < _ALKALINE_PH or in_air.dic_mmol <= self.most_in_air_mmol:
            return in_air
        return self._with_dic(totals, ph, self.most_in_air_mmol)

    def with_alkalinity(
        self,
        totals: Mapping[str, float],
        *,
        ph: float,
        alkalinity_meq: float,
        most_dic_mmol: float | None = None,
    ) -> Solution:
        """Hold a known alkalinity at a pH, between the carbonate of the air and all that can be dissolved.

        Args:
            totals: What else is dissolved. [mmol/kg]
            ph: The pH.
            alkalinity_meq: The alkalinity. [meq/kg]
            most_dic_mmol: Carbonate that there was, where nothing but what was poured brought more. [mmol/kg]

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        in_air = self.in_air(totals, ph=ph)
        if alkalinity_meq <= in_air.alkalinity_meq:
            return in_air
        most_mmol = self.fresh_mmol * 1.2 + in_air.dic_mmol
        if most_dic_mmol is not None:
            most_mmol = min(most_mmol, max(most_dic_mmol, in_air.dic_mmol))
        needed_mmol = in_air.dic_mmol + (alkalinity_meq - in_air.alkalinity_meq) * (1.0 + 10.0 ** (_PK1 - ph))
        if needed_mmol > most_mmol:  # spares a solve where the bound will hold
            fullest = self._with_dic(totals, ph, most_mmol)
            if fullest.alkalinity_meq <= alkalinity_meq:
                return fullest
        try:
            held = Solution.at_ph(ph, totals, temperature_c=self.temperature_c, alkalinity_meq=alkalinity_meq)
        except ValueError:
            return in_air
        return held if held.dic_mmol <= most_mmol else self._with_dic(totals, ph, most_mmol)

    def with_drop_test(self, totals: Mapping[str, float], *, ph: float, alkalinity_meq: float) -> Solution:
        """Hold what a drop test of the tank found: less phosphate where it is low, else more carbonate.

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        in_air, bare = self.in_air(totals, ph=ph), self.in_air({**totals, "P": 0.0}, ph=ph)
        totals = with_phosphate_of(totals, alkalinity_meq=alkalinity_meq, in_air=in_air, bare=bare)
        return self.with_alkalinity(totals, ph=ph, alkalinity_meq=alkalinity_meq)

    def _with_dic(self, totals: Mapping[str, float], ph: float, dic_mmol: float) -> Solution:
        return Solution.at_ph(ph, totals, temperature_c=self.temperature_c, dic_mmol=dic_mmol)
