"""The sum everything hangs on: conductivity times litres, and what it would be at the full mark.

Drinking leaves this sum alone; eating lowers it; a leak lowers it in step with the litres; feed raises it.
Conductivity is taken as additive by litres, which holds within 2 % for dilutions of up to a half (one feed
diluted from its own strength to half of it, public table of conductivities computed with PHREEQC).
"""

from __future__ import annotations

__all__ = ["at_full_ms_cm", "salt_ms_cm_l", "strongest_ms_cm"]


def salt_ms_cm_l(*, conductivity_ms_cm: float, litres_l: float) -> float:
    """Give the salt in a solution as conductivity times litres. [mS/cm·L].

    Args:
        conductivity_ms_cm: Of the solution, at 25 °C. [mS/cm]
        litres_l: Reservoir and pipes. [L]
    """
    return conductivity_ms_cm * litres_l


def at_full_ms_cm(
    *, conductivity_ms_cm: float, level_l: float, full_l: float, pipes_l: float, source_ms_cm: float
) -> float:
    """Give the conductivity that topping up to the full mark with source water would leave. [mS/cm].

    Args:
        conductivity_ms_cm: As read, at 25 °C. [mS/cm]
        level_l: In the reservoir, pump running. [L]
        full_l: At the full mark. [L]
        pipes_l: Standing in the pipes. [L]
        source_ms_cm: Of the source water. [mS/cm]

    Raises:
        ValueError: If there is nothing to fill.

    Source:
        Balance of what is dissolved, derived here.
    """
    whole_l = full_l + pipes_l
    if not whole_l > 0.0:
        raise ValueError("a tank without litres has no full mark")
    there = salt_ms_cm_l(conductivity_ms_cm=conductivity_ms_cm, litres_l=level_l + pipes_l)
    return (there + source_ms_cm * (full_l - level_l)) / whole_l


def strongest_ms_cm(*, conductivity_ms_cm: float, litres_l: float, left_l: float) -> float:
    """Give the strength if water alone leaves and every salt stays: the worst that thirst can do. [mS/cm].

    Args:
        conductivity_ms_cm: Now. [mS/cm]
        litres_l: Reservoir and pipes now. [L]
        left_l: Reservoir and pipes then. [L]

    Raises:
        ValueError: If nothing is left.
    """
    if not left_l > 0.0:
        raise ValueError("no litres are left")
    return conductivity_ms_cm * litres_l / left_l
