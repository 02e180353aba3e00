"""Standards that meters are checked in, by temperature, and the slope of a pH electrode."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import isfinite
from types import MappingProxyType

from tendtui.chemistry.activity import KELVIN, LN10

GAS_CONSTANT_J = 8.314462618
"""[J/(mol K)] molar gas constant, exact since 2019 (SI brochure, 9th edition)."""

FARADAY_C_MOL = 96485.33212
"""[C/mol] Faraday constant, exact since 2019 (SI brochure, 9th edition)."""

TEMPERATURES_C = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
"""[°C] columns of the tables below."""

BUFFERS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "4.00": (4.006, 3.999, 3.996, 3.996, 3.998, 4.003, 4.010, 4.019, 4.029),
        "6.86": (6.981, 6.949, 6.921, 6.898, 6.879, 6.864, 6.852, 6.844, 6.838),
        "7.00": (7.12, 7.09, 7.06, 7.04, 7.02, 7.00, 6.99, 6.99, 6.98),
        "9.18": (9.458, 9.391, 9.330, 9.276, 9.226, 9.182, 9.142, 9.105, 9.072),
        "10.01": (10.32, 10.25, 10.18, 10.12, 10.06, 10.01, 9.97, 9.93, 9.89),
    }
)
"""pH of each buffer, named by its value at 25 °C.

Source: 4.00 phthalate, 6.86 phosphate and 9.18 borax: HJ 1147-2020, Water quality, determination of pH
(seen in a copy), within 0.01 of Bates, J. Res. NBS 66A:179 (1962). 7.00 and 10.01: technical
buffers, a meter maker's table; the label of the bottle wins.
"""

CONDUCTIVITY_STANDARDS: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "1408": (772.92, 890.96, 1013.95, 1141.45, 1273.03, 1408.23, 1546.63, 1687.79, 1831.27),
        "1413": (776.0, 894.0, 1017.0, 1145.0, 1277.0, 1413.0, 1552.0, 1694.0, 1838.0),
        "12880": (7150.0, 8220.0, 9330.0, 10480.0, 11670.0, 12880.0, 14120.0, 15380.0, 16663.0),
    }
)
"""[µS/cm] uncompensated conductivity of potassium chloride standards, named by the value at 25 °C.

Source: 1408 (0.01 mol/kg): CRC Handbook of Chemistry and Physics, Standard KCl solutions, from Wu, Koch &
Pratt, J. Res. NIST 96:191 (1991). 1413 (0.0100 mol/L) and 12880 (0.100 mol/L): scaled here from that table.
"""


def buffer_ph(name: str, *, temperature_c: float) -> float:
    """Give the pH of a buffer at a temperature.

    Args:
        name: One of BUFFERS.
        temperature_c: Temperature, 0 to 40. [°C]

    Returns:
        pH.

    Raises:
        ValueError: If there is no such buffer, or the temperature is out of range.
    """
    return _between(_row(BUFFERS, name, what="buffer"), temperature_c=temperature_c)


def conductivity_standard_us_cm(name: str, *, temperature_c: float) -> float:
    """Give what a meter without temperature compensation shows in a standard.

    Args:
        name: One of CONDUCTIVITY_STANDARDS.
        temperature_c: Temperature, 0 to 40. [°C]

    Returns:
        Conductivity at that temperature. [µS/cm]

    Raises:
        ValueError: If there is no such standard, or the temperature is out of range.
    """
    return _between(_row(CONDUCTIVITY_STANDARDS, name, what="standard"), temperature_c=temperature_c)


def nernst_slope_mv(*, temperature_c: float) -> float:
    """Give the ideal slope of a pH electrode.

    Args:
        temperature_c: Temperature, above -273.15. [°C]

    Returns:
        Millivolts per pH unit (59.16 at 25 °C). [mV]

    Source:
        Nernst equation, ln 10 · R T / F.
    """
    return 1000.0 * LN10 * GAS_CONSTANT_J * (temperature_c + KELVIN) / FARADAY_C_MOL


def electrode_slope_percent(
    *, first_mv: float, first_ph: float, second_mv: float, second_ph: float, temperature_c: float
) -> float:
    """Give an electrode's slope as a share of the ideal one, from two buffers.

    Args:
        first_mv: Reading in one buffer. [mV]
        first_ph: pH of that buffer.
        second_mv: Reading in the other. [mV]
        second_ph: pH of that one.
        temperature_c: Temperature. [°C]

    Returns:
        Slope; 95 to 105 is good. [%]

    Raises:
        ValueError: If both buffers have the same pH, or a number is missing.

    Source:
        Nernst equation.
    """
    span = second_ph - first_ph
    if not span or not isfinite(span):
        raise ValueError("The two buffers must differ in pH.")
    return 100.0 * (first_mv - second_mv) / span / nernst_slope_mv(temperature_c=temperature_c)


def _row(table: Mapping[str, tuple[float, ...]], name: str, *, what: str) -> Sequence[float]:
    if name not in table:
        raise ValueError(f"There is no {what} “{name}” in the table; it has {', '.join(table)}.")
    return table[name]


def _between(values: Sequence[float], *, temperature_c: float) -> float:
    """Interpolate along TEMPERATURES_C by a straight line (within 0.003 pH and 0.1 % of the curve)."""
    if not TEMPERATURES_C[0] <= temperature_c <= TEMPERATURES_C[-1]:
        raise ValueError(f"The table runs from 0 to 40 °C, not to {temperature_c:g}.")
    place = max(1, bisect_left(TEMPERATURES_C, temperature_c))
    below, above = list(pairwise(TEMPERATURES_C))[place - 1]
    share = (temperature_c - below) / (above - below)
    return values[place - 1] + share * (values[place] - values[place - 1])
