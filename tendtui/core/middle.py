"""The median. That of the standard library brings fractions, decimals and random numbers: 4 ms at a start."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["median"]


def median(values: Iterable[float]) -> float:
    """Give the value in the middle, or half way between the two there.

    Raises:
        ValueError: If there are none.
    """
    ordered = sorted(values)
    if not ordered:
        raise ValueError("there is no middle of nothing")
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2
