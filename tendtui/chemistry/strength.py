"""How much reagent a litre of a bottle holds, from its per cent by weight."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from math import exp
from types import MappingProxyType
from typing import NamedTuple

from tendtui.chemistry.activity import water_density_kg_l
from tendtui.chemistry.reagents import reagent

BOTTLE_C = 20.0
"""[°C] temperature a bottle is taken to stand at."""


class _Volume(NamedTuple):
    """Coefficients of the volume that a reagent takes up in water, and the share by weight they reach to."""

    c0: float
    c1: float
    c2: float
    c3: float
    c4: float
    most: float


_VOLUMES: Mapping[str, _Volume] = MappingProxyType(
    {
        "HNO3": _Volume(0.272070788, -0.399605969, -2.336919777, 0.006621123843, -3089.017941, 0.7011),
        "H3PO4": _Volume(1288.254993, -4126.674875, -4.646826261, 0.004661680167, -944.4596858, 0.85),
        "H2SO4": _Volume(70.83951523, 142.3526939, 0.6877945962, 0.006492996832, 1667.238646, 0.782),
        "HCl": _Volume(2.838722605e-4, 3.949469572e-3, 2.850200477, -0.01577470126, -3766.208687, 0.3757),
        "KOH": _Volume(821.1190433, 1043.201734, 0.1128733302, 0.001240236364, 539.6303884, 0.5186),
        "K2CO3": _Volume(2290.108679, 1038.773639, 0.1097693273, 0.0004977833409, -74.08668621, 0.3606),
        "KHCO3": _Volume(0.04584792537, 0.07491278083, 0.5057669050, 0.006439518640, 3163.651756, 0.3438),
    }
)  # fmt: skip
"""Source: Laliberté, A model for calculating the heat capacity of aqueous solutions, with updated density and
viscosity data, J. Chem. Eng. Data 54:1725 (2009), with the density of Laliberté & Cooper, same journal
49:1141 (2004).
"""

_TABLES: Mapping[str, tuple[tuple[float, float], ...]] = MappingProxyType(
    {
        "H3Cit": (
            (0.0, 0.9982), (1.0, 1.0022), (5.0, 1.0189), (10.0, 1.0402), (20.0, 1.0858), (30.0, 1.1346),
            (40.0, 1.1887), (50.0, 1.2483), (60.0, 1.3142),
        ),
        "H2SO4": (
            (78.0, 1.7043), (80.0, 1.7272), (85.0, 1.7786), (90.0, 1.8144), (92.0, 1.8240), (94.0, 1.8312),
            (96.0, 1.8355), (98.0, 1.8361),
        ),
        "K2CO3": ((36.0, 1.3628), (40.0, 1.4141), (50.0, 1.5404), (52.0, 1.5673)),
    }
)  # fmt: skip
"""Per cent by weight and kg/L at 20 °C. Source: CRC Handbook of Chemistry and Physics, Concentrative
properties of aqueous solutions; citric acid above 30 % carried on here with the volume it has at 30 %;
sulfuric acid and potassium carbonate from memory.
"""


def density_kg_l(formula: str, *, percent_w_w: float) -> float:
    """Give the density of a reagent dissolved in water, at 20 °C.

    Args:
        formula: One of reagents.REAGENTS.
        percent_w_w: Reagent by weight, above 0, up to what is sold. [%]

    Returns:
        Density. [kg/L]

    Raises:
        ValueError: If there is no such reagent, or no solution is that strong.

    Source:
        Laliberté & Cooper, J. Chem. Eng. Data 49:1141 (2004), eq. 6 to 9, and the tables above.
    """
    reagent(formula)
    strongest = STRONGEST_PERCENT[formula]
    if not 0.0 < percent_w_w <= strongest:
        raise ValueError(
            f"A solution of {reagent(formula).name} is above 0 and at most {strongest:g} per cent by weight."
        )
    table = _TABLES.get(formula, ())
    if table and percent_w_w >= table[0][0]:
        return _tabulated(table, percent=percent_w_w)
    return _from_volume(_VOLUMES[formula], share=percent_w_w / 100.0)


STRONGEST_PERCENT: Mapping[str, float] = MappingProxyType(
    {
        "HNO3": 70.0,
        "H3PO4": 85.0,
        "H2SO4": 98.0,
        "HCl": 38.0,
        "H3Cit": 60.0,
        "KOH": 52.0,
        "K2CO3": 52.0,
        "KHCO3": 30.0,
    }
)
"""[%] by weight, the strongest solution believed; near the limit of what dissolves or is sold."""


def strength_mol_l(formula: str, *, percent_w_w: float, density: float | None = None) -> float:
    """Give the amount of reagent in a litre of its solution.

    Args:
        formula: One of reagents.REAGENTS.
        percent_w_w: Reagent by weight. [%]
        density: Density from the label; else that of the pure solution. [kg/L]

    Returns:
        Amount. [mol/L]

    Raises:
        ValueError: If there is no such reagent, or no solution is that strong.
    """
    known = density_kg_l(formula, percent_w_w=percent_w_w) if density is None else density
    return 10.0 * percent_w_w * known / reagent(formula).formula_weight_g_mol


def powder_mmol_g(formula: str) -> float:
    """Give the amount of reagent in a gram of the dry, water-free powder.

    Args:
        formula: One of reagents.REAGENTS.

    Returns:
        Amount. [mmol/g]

    Raises:
        ValueError: If there is no such reagent.
    """
    return 1000.0 / reagent(formula).formula_weight_g_mol


def _from_volume(volume: _Volume, *, share: float) -> float:
    """Give the density from the volume the reagent takes; past its range that volume is held."""
    at = min(share, volume.most)
    spread = exp(1e-6 * (BOTTLE_C + volume.c4) ** 2)
    taken = (at + volume.c2 + volume.c3 * BOTTLE_C) / ((volume.c0 * at + volume.c1) * spread)
    water = water_density_kg_l(temperature_c=BOTTLE_C)
    return 1.0 / ((1.0 - share) / water + share * taken * 1000.0)


def _tabulated(table: tuple[tuple[float, float], ...], *, percent: float) -> float:
    place = max(1, bisect_left(table, (percent, 0.0)))
    (low, below), (high, above) = table[place - 1], table[place]
    return below + (percent - low) / (high - low) * (above - below)
