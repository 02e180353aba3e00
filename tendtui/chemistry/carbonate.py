"""The ways to say how much carbonate a water holds, and what the air makes of it."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from tendtui.chemistry.equilibrium import TOTALS, Table
from tendtui.chemistry.solve import DIC, Direction, NoSolutionError, State, at_h

OUTDOOR_AIR_CO2_ATM = 420e-6
"""[atm] carbon dioxide in outdoor air.

Source: Lan & Keeling, Trends in CO2, NOAA Global Monitoring Laboratory: 420 µmol/mol in 2022-2023 (from
memory).
"""

CARBON_DIOXIDE = Direction(tuple(float(name == "DIC") for name in TOTALS), 0.0)
"""Adding carbon dioxide: carbonate, and no alkalinity."""

_ROUNDING_EQ = 2e-6


def check_one_given(**given: float | None) -> None:
    """Refuse anything but exactly one finite number.

    Args:
        given: The quantities, by name.

    Raises:
        ValueError: If none, or more than one, is given, or one is not a number in range.
    """
    names = ", ".join(given)
    if sum(value is not None for value in given.values()) != 1:
        raise ValueError(f"Say how much carbonate there is by exactly one of {names}.")
    for name, value in given.items():
        if value is not None and not isfinite(value):
            raise ValueError(f"{name} must be a number.")
        if value is not None and value < 0.0 and name != "alkalinity_meq":
            raise ValueError(f"{name} must be 0 or more.")


def co2_activity(table: Table, *, pco2_atm: float) -> float:
    """Give the dissolved CO2 that a gas pressure holds.

    Args:
        table: Constants.
        pco2_atm: Pressure of CO2 in the gas. [atm]

    Returns:
        Activity of dissolved CO2. [mol/kg]

    Source:
        Henry constant: Plummer & Busenberg, Geochim. Cosmochim. Acta 46:1011 (1982).
    """
    return table.henry * pco2_atm


def from_alkalinity(table: Table, h: float, totals: Sequence[float], *, alkalinity: float) -> State:
    """Find the carbonate that gives an alkalinity at a pH.

    Args:
        table: Constants.
        h: Hydrogen-ion activity.
        totals: Totals, carbonate 0. [mol/kg]
        alkalinity: Alkalinity. [eq/kg]

    Returns:
        The state, its dic found.

    Raises:
        ValueError: If the alkalinity is less than the other buffers hold at that pH, or far more than
            carbonate can hold there.
    """
    state = at_h(table, h, totals, direction=CARBON_DIOXIDE, alkalinity=alkalinity)
    if state.amount < 0.0:
        bare = at_h(table, h, totals)
        if bare.alkalinity - alkalinity > _ROUNDING_EQ:
            raise NoSolutionError(
                f"An alkalinity of {1000.0 * alkalinity:.3g} meq does not fit this pH: "
                f"what else is dissolved already holds {1000.0 * bare.alkalinity:.3g} meq."
            )
        return bare
    if state.dic > 1.0:
        raise NoSolutionError(f"An alkalinity of {1000.0 * alkalinity:.3g} meq can't be had at so low a pH.")
    return state._replace(alkalinity=alkalinity)


def with_dic(totals: Sequence[float], dic: float) -> tuple[float, ...]:
    """Give the totals with another carbonate.

    Args:
        totals: Totals. [mol/kg]
        dic: Dissolved carbonate. [mol/kg]

    Returns:
        The totals.
    """
    return (*totals[:DIC], dic)
