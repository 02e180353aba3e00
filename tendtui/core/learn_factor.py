"""Learning one positive number from many uncertain answers, robustly.

The number's logarithm is held on a grid. Each answer multiplies its likelihood in; the likelihood has long
tails (Student's t), so that a mistyped figure is explained as odd and moves nothing. Older answers count
less, which lets the number follow slow change. The same answers always give the same number.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, sqrt

from tendtui.core.learned_values import Factor
from tendtui.value import value_class

__all__ = ["Evidence", "factor_from", "robust_middle", "weighted_median", "weights_of"]

TAILS = 4.0
"""Degrees of freedom of Student's t.

Source: Lange, Little & Taylor, Robust statistical modeling using the t distribution, JASA 84:881 (1989), who
find 4 a good choice where it isn't estimated (from memory).
"""

HALF_LIFE = 25.0
"""After so many later answers one counts half (common practice, no source)."""

_POINTS = 301
_REACH = 8.0
_LEAST = 1.2
"""However sure one was before, three times as much is thought of: citrate and breath can hide a buffer."""

_MOST = 2.2
"""The farthest that is looked for: nine times as much, or as little."""


@value_class
class Evidence:
    """One answer of the tank."""

    measured: float
    """What was read."""
    spread: float
    """One standard deviation of it, the model's own misfit included."""
    predict: Callable[[float], float]
    """What would be read for a value of the factor."""


def factor_from(evidence: Sequence[Evidence], *, prior_spread: float, least_spread: float = 0.015) -> Factor:
    """Learn a factor that is 1 as long as nothing is known.

    Args:
        evidence: The answers, oldest first.
        prior_spread: Doubt before any of them: one standard deviation of the logarithm.
        least_spread: It never claims to know better than this.

    Returns:
        Its value and the spread of its logarithm.
    """
    reach = min(max(_REACH * prior_spread, _LEAST), _MOST)
    grid = [reach * (2.0 * n / (_POINTS - 1) - 1.0) for n in range(_POINTS)]
    weight = weights_of(len(evidence))
    # the start has long tails as well: a label may be plainly wrong
    width = 0.75 * prior_spread
    scores = [-0.5 * (TAILS + 1.0) * log(1.0 + (x / width) ** 2 / TAILS) for x in grid]
    factors = [exp(x) for x in grid]
    for answer, share in zip(evidence, weight, strict=True):
        pull, predict, measured = -0.5 * (TAILS + 1.0) * share, answer.predict, answer.measured
        least = 1.0 / (TAILS * answer.spread * answer.spread)
        scores = [
            score + pull * log(1.0 + least * (measured - predict(factor)) ** 2)
            for score, factor in zip(scores, factors, strict=True)
        ]
    top = max(scores)
    mass = [exp(score - top) for score in scores]
    whole = sum(mass)
    mean = sum(x * m for x, m in zip(grid, mass, strict=True)) / whole
    variance = sum((x - mean) ** 2 * m for x, m in zip(grid, mass, strict=True)) / whole
    return Factor(value=exp(mean), spread=max(least_spread, sqrt(variance)), count=len(evidence))


def weights_of(count: int, *, half_life: float = HALF_LIFE) -> tuple[float, ...]:
    """Give the weight of each of so many answers, oldest first; the newest counts 1.

    Args:
        count: How many.
        half_life: After so many later answers one counts half.
    """
    return tuple(0.5 ** ((count - 1 - n) / half_life) for n in range(count))


def weighted_median(values: Sequence[float], weights: Sequence[float]) -> float:
    """Give the value with half of the weight on either side.

    Raises:
        ValueError: If there are no values.
    """
    if not values:
        raise ValueError("no values, no middle")
    pairs = sorted(zip(values, weights, strict=True))
    half = sum(weights) / 2.0
    run = 0.0
    for candidate, weight in pairs:
        run += weight
        if run >= half:
            return candidate
    return pairs[-1][0]


def robust_middle(values: Sequence[float], weights: Sequence[float]) -> tuple[float, float]:
    """Give the middle of values and the spread of one of them, odd ones counting little.

    The mean with the weights of Student's t; finer than a median where a meter has coarse steps.

    Raises:
        ValueError: If there are no values.
    """
    middle = weighted_median(values, weights)
    misses = [abs(value - middle) for value in values]
    spread = max(1.4826 * weighted_median(misses, weights), 0.25 * max(misses, default=0.0), 1e-9)
    for _turn in range(10):
        pulls = [
            w * (TAILS + 1.0) / (TAILS + ((v - middle) / spread) ** 2)
            for v, w in zip(values, weights, strict=True)
        ]
        middle = sum(p * v for p, v in zip(pulls, values, strict=True)) / sum(pulls)
        square = sum(p * (v - middle) ** 2 for p, v in zip(pulls, values, strict=True)) / sum(weights)
        spread = max(sqrt(square), 1e-9)
    return middle, spread
