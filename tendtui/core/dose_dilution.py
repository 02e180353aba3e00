"""Mixing by proportion: the sums a grower can check with pencil and paper.

Exact for what is conserved (salt, sodium); for conductivity within about 2 %, and the start from which
the chemistry refines.
"""

from __future__ import annotations

__all__ = ["ballast_mg_l", "mixed_ms_cm", "swap_l", "water_to_reach_l"]


def mixed_ms_cm(*, tank_l: float, tank_ms_cm: float, water_l: float, water_ms_cm: float) -> float:
    """Give the conductivity of a mix; a loss of pure water is negative litres at 0 mS/cm.

    Args:
        tank_l: Litres before. [L]
        tank_ms_cm: Their conductivity. [mS/cm]
        water_l: Litres added. [L]
        water_ms_cm: Their conductivity. [mS/cm]

    Raises:
        ValueError: If nothing is left.
    """
    whole_l = tank_l + water_l
    if not whole_l > 0.0:
        raise ValueError("nothing is left to mix")
    return (tank_l * tank_ms_cm + water_l * water_ms_cm) / whole_l


def water_to_reach_l(
    *, tank_l: float, tank_ms_cm: float, water_ms_cm: float, wish_ms_cm: float
) -> float | None:
    """Give the litres of water that bring a tank down to a strength; None where water can't.

    Args:
        tank_l: Litres before. [L]
        tank_ms_cm: Their conductivity. [mS/cm]
        water_ms_cm: The water's. [mS/cm]
        wish_ms_cm: Wanted, not above the tank's. [mS/cm]
    """
    if wish_ms_cm >= tank_ms_cm:
        return 0.0
    if wish_ms_cm <= water_ms_cm:
        return None
    return tank_l * (tank_ms_cm - wish_ms_cm) / (wish_ms_cm - water_ms_cm)


def swap_l(
    *, tank_l: float, tank_ms_cm: float, room_l: float, water_ms_cm: float, wish_ms_cm: float
) -> float | None:
    """Give the litres to drain before refilling to a strength; None where water can't reach it.

    Args:
        tank_l: Litres before. [L]
        tank_ms_cm: Their conductivity. [mS/cm]
        room_l: Litres missing to the full mark before draining. [L]
        water_ms_cm: The water's. [mS/cm]
        wish_ms_cm: Wanted when full. [mS/cm]
    """
    if tank_ms_cm <= water_ms_cm or wish_ms_cm <= water_ms_cm:
        return None
    over = tank_l * tank_ms_cm + room_l * water_ms_cm - (tank_l + room_l) * wish_ms_cm
    return max(0.0, over / (tank_ms_cm - water_ms_cm))


def ballast_mg_l(
    *, start_mg_l: float, added_l: float, tank_l: float, source_mg_l: float, eaten_mg_l: float = 0.0
) -> float:
    """Give what a salt that plants leave behind has built up to.

    Args:
        start_mg_l: After the last change. [mg/L]
        added_l: Litres of source water added since. [L]
        tank_l: Litres of the tank. [L]
        source_mg_l: In the source water. [mg/L]
        eaten_mg_l: What plants take of it with each litre they drink. [mg/L]

    Raises:
        ValueError: If the tank holds nothing.
    """
    if not tank_l > 0.0:
        raise ValueError("an empty tank holds no salt")
    return start_mg_l + added_l * max(0.0, source_mg_l - eaten_mg_l) / tank_l
