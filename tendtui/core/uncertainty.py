"""Doubt as a fixed set of draws: the same readings always give the same range.

A rank-1 lattice spreads the draws evenly over each doubt taken by itself, so that few of them
are enough; nothing here is random.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import log, sqrt

__all__ = ["DRAWS", "nine_in_ten", "normal_draws", "quantile", "standard_normal"]

DRAWS = 199
"""How many draws; prime, so that every doubt meets every other one evenly."""

_GENERATOR = 30
"""Makes the lattice: of all below DRAWS the one whose sixteen doubts are least correlated (0.09)."""

# Source of the coefficients: P. J. Acklam's rational approximation of the inverse normal distribution,
# relative error below 1.15e-9.
_A = (
    -39.69683028665376,
    220.9460984245205,
    -275.9285104469687,
    138.3577518672690,
    -30.66479806614716,
    2.506628277459239,
)
_B = (-54.47609879822406, 161.5858368580409, -155.6989798598866, 66.80131188771972, -13.28068155288572)
_C = (
    -0.007784894002430293,
    -0.3223964580411365,
    -2.400758277161838,
    -2.549732539343734,
    4.374664141464968,
    2.938163982698783,
)
_D = (0.007784695709041462, 0.3224671290700398, 2.445134137142996, 3.754408661907416)
_TAIL = 0.02425


def _polynomial(coefficients: Iterable[float], x: float) -> float:
    value = 0.0
    for coefficient in coefficients:
        value = value * x + coefficient
    return value


def standard_normal(share: float) -> float:
    """Give the value below which a share of a standard normal distribution lies.

    Args:
        share: Between 0 and 1, both outside.

    Returns:
        In standard deviations.

    Raises:
        ValueError: If the share isn't between 0 and 1.

    Source:
        P. J. Acklam, An algorithm for computing the inverse normal cumulative distribution function (2003).
    """
    if not 0.0 < share < 1.0:
        raise ValueError("a share must lie between 0 and 1")
    if share > 1.0 - _TAIL:
        return -standard_normal(1.0 - share)
    if share < _TAIL:
        root = sqrt(-2.0 * log(share))
        return _polynomial(_C, root) / _polynomial((*_D, 1.0), root)
    middle = share - 0.5
    square = middle * middle
    return middle * _polynomial(_A, square) / _polynomial((*_B, 1.0), square)


@lru_cache(maxsize=8)
def normal_draws(doubts: int) -> tuple[tuple[float, ...], ...]:
    """Give the draws: one row per draw, one standard normal value per doubt.

    Args:
        doubts: How many independent doubts there are.

    Returns:
        DRAWS rows.

    Source:
        Rank-1 lattice of Korobov's form, in I. H. Sloan & S. Joe, Lattice Methods for Multiple
        Integration, Oxford (1994); each coordinate taken through the inverse normal distribution.
    """
    steps = [pow(_GENERATOR, place, DRAWS) for place in range(doubts)]
    return tuple(
        tuple(standard_normal(((draw * step) % DRAWS + 0.5) / DRAWS) for step in steps)
        for draw in range(DRAWS)
    )


def quantile(values: Sequence[float], share: float) -> float:
    """Give the value below which a share of the values lies, between two of them in proportion.

    Args:
        values: At least one, in any order.
        share: 0 to 1.

    Returns:
        In the unit of the values.

    Raises:
        ValueError: If there are no values.
    """
    if not values:
        raise ValueError("no values, no quantile")
    ordered = sorted(values)
    place = min(max(share * len(ordered) - 0.5, 0.0), len(ordered) - 1.0)
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (place - low) * (ordered[high] - ordered[low])


def nine_in_ten(values: Sequence[float]) -> tuple[float, float]:
    """Give the low and high that hold nine of ten truths, as many below as above.

    A hair wider than nine of ten draws: a lattice has fewer far values than chance does.
    """
    return quantile(values, 0.043), quantile(values, 0.957)
