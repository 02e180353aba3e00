"""How far a solution is from letting a mineral fall out."""

from __future__ import annotations

from types import MappingProxyType

from tendtui.chemistry.activity import LN10
from tendtui.chemistry.species import KJ_PER_KCAL, Formation
from tendtui.value import value_class


@value_class
class Mineral:
    """A mineral that dissolves into ions."""

    name: str
    """Trade name, lower case."""
    ions: tuple[tuple[str, int], ...]
    """Species it dissolves into, with their number; H+ counts against when negative."""
    solubility: Formation
    """Solubility product."""


_ALL = (
    Mineral(
        # CaHPO4·2H2O; the published form is ln K = -8403.5/T + 41.863 - 0.09678 T
        name="brushite",
        ions=(("Ca+2", 1), ("HPO4-2", 1)),
        solubility=Formation(
            log_k=-6.59,
            analytic=(41.863 / LN10, -0.09678 / LN10, -8403.5 / LN10),
            # coefficients from memory; they give the paper's 6.59 at 25 °C and 6.63 at 5 °C
            source="Gregory, Moreno & Brown, J. Res. NBS 74A:461 (1970)",
        ),
    ),
    Mineral(
        name="hydroxyapatite",
        ions=(("Ca+2", 5), ("HPO4-2", 3), ("H+", -4)),
        solubility=Formation(log_k=-3.421, delta_h_kj=-36.155 * KJ_PER_KCAL, source="P"),
    ),
    Mineral(
        name="gypsum",
        ions=(("Ca+2", 1), ("SO4-2", 1)),
        solubility=Formation(log_k=-4.58, analytic=(68.2401, 0.0, -3221.51, -25.0627), source="N"),
    ),
    Mineral(
        name="calcite",
        ions=(("Ca+2", 1), ("CO3-2", 1)),
        solubility=Formation(log_k=-8.48, analytic=(-171.9065, -0.077993, 2839.319, 71.595), source="PB"),
    ),
)

MINERALS = MappingProxyType({m.name: m for m in _ALL})
"""Minerals by name. Sources P, N and PB as in species."""


def mineral(name: str) -> Mineral:
    """Find a mineral by its name.

    Args:
        name: One of MINERALS.

    Returns:
        The mineral.

    Raises:
        ValueError: If there is no such mineral.
    """
    try:
        return MINERALS[name]
    except KeyError:
        known = ", ".join(MINERALS)
        raise ValueError(f"There is no mineral “{name}”; the minerals are {known}.") from None
