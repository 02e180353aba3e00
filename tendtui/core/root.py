"""Finding where a rising function passes zero."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["root_of"]


def root_of(miss: Callable[[float], float], *, low: float, high: float, near: float) -> float:
    """Find where a rising function passes zero, by false position held inside a bracket.

    Args:
        miss: The function.
        low: Where it is below zero (else `low` is given back).
        high: Where it is above zero (else `high` is given back).
        near: How small the function must be.
    """
    at_low, at_high = miss(low), miss(high)
    if at_low >= 0.0:
        return low
    if at_high <= 0.0:
        return high
    place, side = low, 0
    for _turn in range(40):
        place = (low * at_high - high * at_low) / (at_high - at_low)
        now = miss(place)
        if abs(now) < near:
            break
        if now < 0.0:
            low, at_low, at_high, side = place, now, at_high / (2.0 if side < 0 else 1.0), -1
        else:
            high, at_high, at_low, side = place, now, at_low / (2.0 if side > 0 else 1.0), 1
    return place
