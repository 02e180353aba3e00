"""Activity coefficients of dissolved ions after Davies."""

from __future__ import annotations

from functools import lru_cache
from math import sqrt

LN10 = 2.302585092994046
"""Natural logarithm of ten."""

KELVIN = 273.15
"""[K] temperature of 0 °C, exact by definition."""

NEUTRAL_LOG_PER_IONIC_STRENGTH = 0.1
"""log10 of the coefficient of an uncharged species per mol/kg of ionic strength.

Source: Parkhurst & Appelo, U.S. Geological Survey Techniques and Methods 6-A43 (2013), the default there.
"""

DAVIES_LINEAR = 0.3
"""Factor of the linear term.

Source: C. W. Davies, Ion Association, Butterworths, London, 1962, p. 41.
"""


@lru_cache(maxsize=64)
def debye_huckel_slope(*, temperature_c: float) -> float:
    """Give the limiting slope A for log10 coefficients.

    Args:
        temperature_c: Temperature, 0 to 50. [°C]

    Returns:
        The slope (0.51 at 25 °C). [(kg/mol)^0.5]

    Source:
        Constant 1.8246e6: Truesdell & Jones, J. Res. U.S. Geol. Survey 2:233 (1974);
        dielectric constant of water: Malmberg & Maryott, J. Res. NBS 56:1 (1956), eq. 1;
        density of water: Kell, J. Chem. Eng. Data 20:97 (1975). All from memory; within 1 % of the slopes in
        Robinson & Stokes, Electrolyte Solutions, 1959.
    """
    dielectric = 87.740 - 0.40008 * temperature_c + 9.398e-4 * temperature_c**2 - 1.410e-6 * temperature_c**3
    return float(
        1.8246e6
        * sqrt(water_density_kg_l(temperature_c=temperature_c))
        / (dielectric * (temperature_c + KELVIN)) ** 1.5
    )


@lru_cache(maxsize=64)
def water_density_kg_l(*, temperature_c: float) -> float:
    """Give the density of air-free water at 1 atm, 0 to 100 °C.

    Args:
        temperature_c: Temperature. [°C]

    Returns:
        Density. [kg/L]

    Source:
        Kell, J. Chem. Eng. Data 20:97 (1975), eq. 16; coefficients from memory, within 2e-5 of the handbook's
        densities from 10 to 30 °C.
    """
    t = temperature_c
    above = 999.83952 + t * (
        16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return above / (1.0 + 16.879850e-3 * t) / 1000.0


def davies_term(*, ionic_strength_mol_kg: float) -> float:
    """Give the ionic-strength part of the Davies equation: log10 coefficient = -A z² times this.

    Holds to about 0.5 mol/kg.

    Args:
        ionic_strength_mol_kg: Ionic strength. [mol/kg]

    Returns:
        The term.

    Source:
        C. W. Davies, Ion Association, Butterworths, London, 1962, p. 41 (from memory).
    """
    root = sqrt(ionic_strength_mol_kg)
    return root / (1.0 + root) - DAVIES_LINEAR * ionic_strength_mol_kg
