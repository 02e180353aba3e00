"""Conductivity at 25 °C from the ions present."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt
from types import MappingProxyType

from tendtui.chemistry.activity import davies_term, debye_huckel_slope, water_density_kg_l
from tendtui.chemistry.speciation import CHARGES

REFERENCE_C = 25.0
"""[°C] temperature that conductivity is stated at."""

LIMITING_S_CM2_MOL: Mapping[str, float] = MappingProxyType(
    {
        "H+": 349.65,
        "OH-": 198.0,
        "Ca+2": 118.94,
        "Mg+2": 106.0,
        "Na+": 50.08,
        "K+": 73.48,
        "NH4+": 73.5,
        "NO3-": 71.42,
        "Cl-": 76.31,
        "SO4-2": 160.0,
        "HSO4-": 52.0,
        "HCO3-": 44.5,
        "CO3-2": 138.6,
        "H2PO4-": 36.0,
        "HPO4-2": 114.0,
        "PO4-3": 278.4,
        "H2Cit-": 30.0,
        "Cit-3": 210.6,
        # pairs, from their diffusion coefficients in P
        "CaHCO3+": 19.0,
        "MgHCO3+": 18.0,
        "NaCO3-": 22.0,
        "NaSO4-": 23.2,
        "KSO4-": 28.0,
    }
)
"""[S cm²/mol] molar conductivity of each ion at infinite dilution, 25 °C.

Source: ions: Vanýsek, Ionic conductivity and diffusion at infinite dilution, CRC Handbook of Chemistry and
Physics, section 5, per mole of ion (citrate from memory); pairs: Parkhurst & Appelo, U.S. Geological Survey
Techniques and Methods 6-A43 (2013), database phreeqc.dat.
"""

DOUBLE_CHARGE_POWER = 0.38
"""Power of the activity coefficient for an ion of double charge, at ordinary strength.

Source: fitted here to the measured conductivity of CaCl2 and MgCl2, 1 to 20 mmol/kg at 25 °C, by McCleskey,
J. Chem. Eng. Data 56:317 (2011), each taken beside its KCl; the rule for the other charges would make it
0.42.
"""

OTHER_PAIR_S_CM2_MOL = 20.0
"""[S cm²/mol] taken for a charged pair without a published value, per charge squared; near those above."""


def conductivity_us_cm(*, amounts_mol_kg: Mapping[str, float], ionic_strength_mol_kg: float) -> float:
    """Give the conductivity of a solution at 25 °C.

    Each ion's limiting conductivity is lowered by a power of its activity coefficient; within 3 % up to an
    ionic strength of 0.1 mol/kg.

    Args:
        amounts_mol_kg: Amount of each species at 25 °C. [mol/kg]
        ionic_strength_mol_kg: Ionic strength. [mol/kg]

    Returns:
        Conductivity. [µS/cm]

    Source:
        Appelo, Specific conductance: how to calculate, to use, and the pitfalls (2010), as in Parkhurst &
        Appelo, U.S. Geological Survey Techniques and Methods 6-A43 (2013); coefficients by Davies. The
        power for a double charge is fitted here, see DOUBLE_CHARGE_POWER.
    """
    slope = debye_huckel_slope(temperature_c=REFERENCE_C) * davies_term(
        ionic_strength_mol_kg=ionic_strength_mol_kg
    )
    total = 0.0
    for name, amount in amounts_mol_kg.items():
        charge = abs(CHARGES[name])
        if charge:
            limiting = LIMITING_S_CM2_MOL.get(name, OTHER_PAIR_S_CM2_MOL * charge**2)
            total += (
                amount * limiting * 10.0 ** (-slope * charge**2 * _exponent(charge, ionic_strength_mol_kg))
            )
    return 1000.0 * total * water_density_kg_l(temperature_c=REFERENCE_C)


def _exponent(charge: int, ionic_strength_mol_kg: float) -> float:
    if ionic_strength_mol_kg >= 0.36 * charge:
        return sqrt(ionic_strength_mol_kg) / charge
    return DOUBLE_CHARGE_POWER if charge == 2 else 0.6 / sqrt(charge)
