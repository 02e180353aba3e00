"""Amounts become multiples of what the grower can measure here, and nowhere else."""

from __future__ import annotations

from math import ceil, floor

__all__ = ["rounded_down", "rounded_up"]

_HAIR = 1e-6
"""Share of a mark that is no more than the noise of the arithmetic."""


def rounded_down(amount: float, *, mark: float) -> float:
    """Give the largest multiple of the tool's mark that is not above the amount, never below 0.

    Args:
        amount: In the mark's own unit.
        mark: Smallest step that can be measured, above 0.

    Returns:
        A multiple of the mark, free of binary dust.

    Raises:
        ValueError: If the mark isn't above 0.
    """
    _check(mark)
    return max(0.0, _multiple(floor(amount / mark + _HAIR), mark))


def rounded_up(amount: float, *, mark: float) -> float:
    """Give the smallest multiple of the tool's mark that is not below the amount, never below 0.

    Args:
        amount: In the mark's own unit.
        mark: Smallest step that can be measured, above 0.

    Returns:
        A multiple of the mark, free of binary dust.

    Raises:
        ValueError: If the mark isn't above 0.
    """
    _check(mark)
    return max(0.0, _multiple(ceil(amount / mark - _HAIR), mark))


def _check(mark: float) -> None:
    if not mark > 0.0:
        raise ValueError("a measuring step must be above 0")


def _multiple(count: int, mark: float) -> float:
    return round(count * mark, 9)
