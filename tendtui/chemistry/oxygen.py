"""Dissolved oxygen that water holds beside air."""

from __future__ import annotations

from math import exp

from tendtui.chemistry.activity import KELVIN

COLDEST_C, WARMEST_C = 0.0, 40.0
"""[°C] range of the equation."""

LOWEST_M, HIGHEST_M = -500.0, 6000.0
"""[m] range of altitude taken."""


def oxygen_saturation_mg_l(*, temperature_c: float, altitude_m: float = 0.0) -> float:
    """Give the oxygen in fresh water that stands in balance with damp air.

    Args:
        temperature_c: Water temperature, 0 to 40. [°C]
        altitude_m: Height above the sea, -500 to 6000. [m]

    Returns:
        Dissolved oxygen. [mg/L]

    Raises:
        ValueError: If temperature or altitude is out of range.

    Source:
        Benson & Krause, Limnol. Oceanogr. 29:620 (1984), as adopted in Standard Methods for the Examination
        of Water and Wastewater, 4500-O (1985); pressure term of the same,
        from memory.
    """
    if not COLDEST_C <= temperature_c <= WARMEST_C:
        raise ValueError(f"The water must be between {COLDEST_C:g} and {WARMEST_C:g} °C.")
    kelvin = temperature_c + KELVIN
    at_sea = exp(
        -139.34411
        + 1.575701e5 / kelvin
        - 6.642308e7 / kelvin**2
        + 1.243800e10 / kelvin**3
        - 8.621949e11 / kelvin**4
    )
    pressure = air_pressure_atm(altitude_m=altitude_m)
    vapour = exp(11.8571 - 3840.70 / kelvin - 216961.0 / kelvin**2)
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    dry = pressure * (1.0 - vapour / pressure) * (1.0 - theta * pressure) / ((1.0 - vapour) * (1.0 - theta))
    return at_sea * dry


def air_pressure_atm(*, altitude_m: float) -> float:
    """Give the usual air pressure at a height.

    Args:
        altitude_m: Height above the sea, -500 to 6000. [m]

    Returns:
        Pressure. [atm]

    Raises:
        ValueError: If the altitude is out of range.

    Source:
        International Standard Atmosphere, ISO 2533:1975 (from memory).
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise ValueError(f"The altitude must lie between {LOWEST_M:g} and {HIGHEST_M:g} m.")
    return float((1.0 - 2.25577e-5 * altitude_m) ** 5.25588)


def oxygen_saturation_percent(*, oxygen_mg_l: float, temperature_c: float, altitude_m: float = 0.0) -> float:
    """Give a reading of dissolved oxygen as a share of saturation.

    Args:
        oxygen_mg_l: Reading, 0 or more. [mg/L]
        temperature_c: Water temperature, 0 to 40. [°C]
        altitude_m: Height above the sea, -500 to 6000. [m]

    Returns:
        Saturation. [%]

    Raises:
        ValueError: If a number is out of range.
    """
    if not oxygen_mg_l >= 0.0:
        raise ValueError("Dissolved oxygen can't be less than 0.")
    return 100.0 * oxygen_mg_l / oxygen_saturation_mg_l(temperature_c=temperature_c, altitude_m=altitude_m)
