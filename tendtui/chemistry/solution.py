"""A solution: what is dissolved, its pH, and what happens when something is done to it."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite, log10
from types import MappingProxyType

from tendtui.chemistry import carbonate, conductivity, minerals
from tendtui.chemistry.composition import (
    NAMES,
    check_temperature,
    checked_ph,
    checked_totals,
    counted,
    strong_ions,
)
from tendtui.chemistry.equilibrium import TOTALS, Table, log_k, table_at
from tendtui.chemistry.reagents import reagent
from tendtui.chemistry.solve import Direction, NoSolutionError, State, at_balance, at_h
from tendtui.chemistry.speciation import distribution, log_activity
from tendtui.value import field, value_class

STRONGEST_MOL_KG = 1.0
"""[mol/kg] ionic strength past which activity coefficients by Davies mean nothing."""

_SAME_PH = 1e-6
_ROUNDING_MOL_KG = 1e-8


@value_class
class Solution:
    """A solution at equilibrium with itself. Made by at_ph or from_totals, never changed."""

    temperature_c: float
    """Temperature. [°C]"""
    ph: float
    """pH, as a meter calibrated in standard buffers reads it at this temperature."""
    alkalinity_meq: float
    """Alkalinity from H2CO3, H2PO4-, NH4+, H4SiO4, SO4-2 and H2Cit-. [meq/kg]"""
    closing_meq: float
    """Charge of the inert ion that closes the balance; negative for an anion. [meq/kg]"""
    ionic_strength_mol_kg: float
    """Ionic strength. [mol/kg]"""
    pco2_atm: float
    """CO2 pressure it would stand in balance with. [atm]"""
    _totals: tuple[float, ...] = field()
    _state: State = field()

    @classmethod
    def at_ph(
        cls,
        ph: float,
        totals: Mapping[str, float],
        *,
        temperature_c: float = 25.0,
        alkalinity_meq: float | None = None,
        dic_mmol: float | None = None,
        pco2_atm: float | None = None,
    ) -> Solution:
        """Make a solution of known pH; an inert ion closes the charge.

        Args:
            ph: pH, 1 to 13.
            totals: Amounts of Ca, Mg, Na, K, NH4, NO3, Cl, SO4, P, Si, Cit; missing is 0. [mmol/kg]
            temperature_c: Temperature, 0 to 50. [°C]
            alkalinity_meq: Alkalinity. [meq/kg]
            dic_mmol: Dissolved carbonate. [mmol/kg]
            pco2_atm: CO2 pressure it stands in balance with. [atm]

        Returns:
            The solution.

        Raises:
            ValueError: If a number is out of range, not exactly one of alkalinity, carbonate and CO2 pressure
                is given, or they can't be had at this pH.
        """
        carbonate.check_one_given(alkalinity_meq=alkalinity_meq, dic_mmol=dic_mmol, pco2_atm=pco2_atm)
        amounts, table = checked_totals(totals, temperature_c=temperature_c), table_at(temperature_c)
        h = 10.0 ** -checked_ph(ph)
        if alkalinity_meq is not None:
            state = carbonate.from_alkalinity(table, h, amounts, alkalinity=alkalinity_meq / 1000.0)
        elif dic_mmol is not None:
            state = at_h(table, h, carbonate.with_dic(amounts, dic_mmol / 1000.0))
        else:
            state = at_h(table, h, amounts, co2=carbonate.co2_activity(table, pco2_atm=pco2_atm or 0.0))
        closing = state.alkalinity - strong_ions(amounts)
        return _solution(
            table, carbonate.with_dic(amounts, state.dic), closing, state, temperature_c=temperature_c
        )

    @classmethod
    def from_totals(
        cls,
        totals: Mapping[str, float],
        *,
        temperature_c: float = 25.0,
        dic_mmol: float | None = None,
        pco2_atm: float | None = None,
        closing_meq: float = 0.0,
    ) -> Solution:
        """Make a solution of known composition; its pH follows from the charge.

        Args:
            totals: Amounts of Ca, Mg, Na, K, NH4, NO3, Cl, SO4, P, Si, Cit; missing is 0. [mmol/kg]
            temperature_c: Temperature, 0 to 50. [°C]
            dic_mmol: Dissolved carbonate. [mmol/kg]
            pco2_atm: CO2 pressure it stands in balance with. [atm]
            closing_meq: Charge of an inert ion that is there too; negative for an anion. [meq/kg]

        Returns:
            The solution.

        Raises:
            ValueError: If a number is out of range, or not exactly one of carbonate and CO2 pressure is
                given.
        """
        carbonate.check_one_given(dic_mmol=dic_mmol, pco2_atm=pco2_atm)
        if not isfinite(closing_meq):
            raise ValueError("closing_meq must be a number.")
        amounts, closing = checked_totals(totals, temperature_c=temperature_c), closing_meq / 1000.0
        if dic_mmol is not None:
            return _balanced(
                carbonate.with_dic(amounts, dic_mmol / 1000.0), closing, temperature_c=temperature_c
            )
        return _balanced(amounts, closing, temperature_c=temperature_c, pco2_atm=pco2_atm)

    @property
    def totals_mmol(self) -> Mapping[str, float]:
        """Amounts by name, zeros included. [mmol/kg]."""
        return MappingProxyType({name: 1000.0 * t for name, t in zip(NAMES, self._totals, strict=False)})

    @property
    def dic_mmol(self) -> float:
        """Dissolved carbonate. [mmol/kg]."""
        return 1000.0 * self._totals[-1]

    @property
    def species_mmol(self) -> Mapping[str, float]:
        """Amount of every species. [mmol/kg]."""
        amounts = distribution(self._state, self._totals, temperature_c=self.temperature_c)
        return MappingProxyType({name: 1000.0 * amount for name, amount in amounts.items()})

    @property
    def conductivity_us_cm(self) -> float:
        """Conductivity at 25 °C, brought there closed to the air. [µS/cm]."""
        warm = self.at_temperature(conductivity.REFERENCE_C)
        amounts = distribution(warm._state, warm._totals, temperature_c=conductivity.REFERENCE_C)
        return conductivity.conductivity_us_cm(
            amounts_mol_kg=amounts, ionic_strength_mol_kg=warm.ionic_strength_mol_kg
        )

    def at_temperature(self, temperature_c: float) -> Solution:
        """Bring it to another temperature, closed to the air.

        Args:
            temperature_c: Temperature, 0 to 50. [°C]

        Returns:
            The solution there.

        Raises:
            ValueError: If the temperature is out of range.
        """
        if temperature_c == self.temperature_c:
            return self
        check_temperature(temperature_c=temperature_c)
        return _balanced(
            self._totals, self.closing_meq / 1000.0, temperature_c=temperature_c, start=self._state
        )

    def with_added(self, formula: str, amount_mmol: float) -> Solution:
        """Add a reagent, closed to the air.

        Args:
            formula: HNO3, H3PO4, H2SO4, HCl, H3Cit, KOH, K2CO3 or KHCO3.
            amount_mmol: Amount of the pure reagent, 0 or more. [mmol/kg]

        Returns:
            The solution after it.

        Raises:
            ValueError: If there is no such reagent, or the amount is out of range.
        """
        if not (isfinite(amount_mmol) and amount_mmol >= 0.0):
            raise ValueError("The amount added must be a number of 0 or more.")
        moved = [
            t + amount_mmol / 1000.0 * d
            for t, d in zip(self._totals, _direction(formula).totals, strict=True)
        ]
        return _balanced(
            tuple(moved), self.closing_meq / 1000.0, temperature_c=self.temperature_c, start=self._state
        )

    def open_to_air(self, pco2_atm: float = carbonate.OUTDOOR_AIR_CO2_ATM) -> Solution:
        """Let CO2 go or come until it stands in balance with the air.

        Args:
            pco2_atm: CO2 pressure in the air. [atm]

        Returns:
            The solution after it.

        Raises:
            ValueError: If the pressure is out of range.
        """
        carbonate.check_one_given(pco2_atm=pco2_atm)
        return _balanced(
            self._totals,
            self.closing_meq / 1000.0,
            temperature_c=self.temperature_c,
            pco2_atm=pco2_atm,
            start=self._state,
        )

    def dose_to_ph(self, ph: float, formula: str, *, pco2_atm: float | None = None) -> float:
        """Find how much of a reagent brings it to a pH.

        Args:
            ph: pH wanted, 1 to 13.
            formula: HNO3, H3PO4, H2SO4, HCl, H3Cit, KOH, K2CO3 or KHCO3.
            pco2_atm: CO2 pressure held by the air meanwhile; None when closed to the air. [atm]

        Returns:
            Amount of the pure reagent. [mmol/kg]

        Raises:
            ValueError: If no amount of that reagent leads there.
        """
        table = table_at(self.temperature_c)
        co2 = None
        if pco2_atm is not None:
            carbonate.check_one_given(pco2_atm=pco2_atm)
            co2 = carbonate.co2_activity(table, pco2_atm=pco2_atm)
        elif abs(ph - self.ph) < _SAME_PH:
            reagent(formula)
            return 0.0
        try:
            state = at_h(
                table,
                10.0 ** -checked_ph(ph),
                self._totals,
                co2=co2,
                direction=_direction(formula),
                alkalinity=self.alkalinity_meq / 1000.0,
                start=self._state,
            )
        except NoSolutionError:
            state = None
        if state is None or not _is_sensible(state):
            raise NoSolutionError(
                f"No amount of {reagent(formula).name} brings pH {self.ph:.2f} to {ph:.2f}."
            )
        return 1000.0 * max(state.amount, 0.0)

    def saturation_index(self, name: str) -> float:
        """Give log10 of ion product over solubility product: 0 is saturation, above it can fall out.

        Args:
            name: brushite, hydroxyapatite, gypsum or calcite.

        Returns:
            The index; minus infinity where an ion is missing.

        Raises:
            ValueError: If there is no such mineral.
        """
        mineral = minerals.mineral(name)
        amounts = distribution(self._state, self._totals, temperature_c=self.temperature_c)
        product = sum(
            number * log_activity(ion, self._state, amounts, temperature_c=self.temperature_c)
            for ion, number in mineral.ions
        )
        return product - log_k(mineral.solubility, temperature_c=self.temperature_c)


def mix(first: Solution, first_l: float, second: Solution, second_l: float) -> Solution:
    """Mix two solutions, closed to the air.

    A litre of each is taken to hold the same mass of water; between two ordinary waters or feeds that is
    right within 0.4 %.

    Args:
        first: A solution.
        first_l: Its volume. [L]
        second: Another.
        second_l: Its volume. [L]

    Returns:
        The mixture, its temperature in proportion.

    Raises:
        ValueError: If a volume is negative or both are 0.
    """
    if not (
        isfinite(first_l)
        and isfinite(second_l)
        and first_l >= 0.0
        and second_l >= 0.0
        and first_l + second_l > 0.0
    ):
        raise ValueError("Volumes to mix must be 0 or more, and not both 0.")
    share = first_l / (first_l + second_l)

    def blend(a: float, b: float) -> float:
        return share * a + (1.0 - share) * b

    return _balanced(
        tuple(blend(a, b) for a, b in zip(first._totals, second._totals, strict=True)),
        blend(first.closing_meq, second.closing_meq) / 1000.0,
        temperature_c=blend(first.temperature_c, second.temperature_c),
        start=first._state if share > 0.5 else second._state,
    )


def _direction(formula: str) -> Direction:
    brings = dict(reagent(formula).brings)
    totals = tuple(brings.get(name, 0.0) for name in TOTALS)
    return Direction(totals, strong_ions(totals))


def _is_sensible(state: State) -> bool:
    most = max(state.amount, state.ionic_strength_mol_kg)
    return state.amount > -_ROUNDING_MOL_KG and most <= STRONGEST_MOL_KG


def _balanced(
    totals: tuple[float, ...],
    closing: float,
    *,
    temperature_c: float,
    pco2_atm: float | None = None,
    start: State | None = None,
) -> Solution:
    table, totals = table_at(temperature_c), counted(totals)
    co2 = None if pco2_atm is None else carbonate.co2_activity(table, pco2_atm=pco2_atm)
    state = at_balance(table, totals, strong_ions(totals) + closing, co2=co2, start=start)
    return _solution(
        table, carbonate.with_dic(totals, state.dic), closing, state, temperature_c=temperature_c
    )


def _solution(
    table: Table, totals: tuple[float, ...], closing: float, state: State, *, temperature_c: float
) -> Solution:
    if state.ionic_strength_mol_kg > STRONGEST_MOL_KG:
        raise ValueError("This is too strong for the model: a concentrate, not a solution to feed with.")
    return Solution(
        temperature_c=temperature_c,
        ph=-log10(state.h),
        alkalinity_meq=1000.0 * (strong_ions(totals) + closing),
        closing_meq=1000.0 * closing,
        ionic_strength_mol_kg=state.ionic_strength_mol_kg,
        pco2_atm=state.co2 / table.henry,
        _totals=totals,
        _state=state,
    )
