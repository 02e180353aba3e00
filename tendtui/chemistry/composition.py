"""What a solution may be asked to be: names of its parts, ranges, and the refusal of anything else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isfinite

from tendtui.chemistry.equilibrium import TOTALS
from tendtui.chemistry.solve import CHARGES

NAMES = TOTALS[:-1]
"""Names a composition is given in."""

COLDEST_C, WARMEST_C = 0.0, 50.0
"""[°C] range the constants are used in; checked against an independent engine from 12 to 30."""

LOWEST_PH, HIGHEST_PH = 1.0, 13.0
"""Range of pH that may be asked for; checked against an independent engine from 3 to 10."""


ONE_ION_MOL_KG = 1e-24
"""[mol/kg] Less than one ion in a kilogram of water (1 / Avogadro's number, 1.7e-24 mol): none is there."""


def counted(totals: Iterable[float]) -> tuple[float, ...]:
    """Give totals without those too small to be even one ion, which no float could divide with care.

    Args:
        totals: Totals in the solver's order. [mol/kg]

    Returns:
        The same, those set to 0.
    """
    return tuple(total if total > ONE_ION_MOL_KG else 0.0 for total in totals)


def strong_ions(totals: tuple[float, ...]) -> float:
    """Give the alkalinity that totals stand for, the closing ion aside.

    Args:
        totals: Totals in the solver's order. [mol/kg]

    Returns:
        Alkalinity. [eq/kg]
    """
    return sum(charge * total for charge, total in zip(CHARGES, totals, strict=True))


def check_temperature(*, temperature_c: float) -> None:
    """Refuse a temperature out of range.

    Args:
        temperature_c: Temperature. [°C]

    Raises:
        ValueError: If it is out of range.
    """
    if not COLDEST_C <= temperature_c <= WARMEST_C:
        raise ValueError(f"The temperature must lie between {COLDEST_C:g} and {WARMEST_C:g} °C.")


def checked_ph(ph: float) -> float:
    """Give the pH back if it is in range.

    Args:
        ph: pH.

    Returns:
        The same.

    Raises:
        ValueError: If it is out of range.
    """
    if not LOWEST_PH <= ph <= HIGHEST_PH:
        raise ValueError(f"The pH must lie between {LOWEST_PH:g} and {HIGHEST_PH:g}.")
    return ph


def checked_totals(totals: Mapping[str, float], *, temperature_c: float) -> tuple[float, ...]:
    """Give totals in mol/kg and the solver's order, carbonate 0.

    Args:
        totals: Amounts by name; missing is 0. [mmol/kg]
        temperature_c: Temperature. [°C]

    Returns:
        Totals. [mol/kg]

    Raises:
        ValueError: If a name is unknown, or a number is missing or out of range.
    """
    check_temperature(temperature_c=temperature_c)
    for name, amount in totals.items():
        if name not in NAMES:
            raise ValueError(f"There is no “{name}” in the model; it knows {', '.join(NAMES)}.")
        if not (isfinite(amount) and amount >= 0.0):
            raise ValueError(f"The amount of {name} must be a number of 0 or more.")
    return (*counted(totals.get(name, 0.0) / 1000.0 for name in NAMES), 0.0)
