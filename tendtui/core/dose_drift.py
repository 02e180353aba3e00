"""Which way pH goes by itself in this tank."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from datetime import datetime, timedelta

from tendtui.core.tank import TankNow
from tendtui.core.uncertainty import quantile

__all__ = ["drift_of", "fall_lately"]

LOOK_BACK = timedelta(days=14)
SHORTEST, LONGEST = timedelta(hours=10), timedelta(days=3)
"""Pairs of readings nearer or farther than this say little about a day."""

FEWEST = 3

PLAIN_FALL = -0.15
"""A smaller fall is within what a meter may show twice. [1/day]"""

LATELY = timedelta(hours=30)


def drift_of(tank: TankNow) -> float | None:
    """Give the usual rise of pH a day, from pairs of readings between which nothing went in. [1/day].

    Args:
        tank: Its readings and pourings.

    Returns:
        The middle of at least three pairs; None where there are fewer.
    """
    slopes = [slope for _at, slope in _slopes(tank)]
    if len(slopes) < FEWEST:
        return None
    # a meter of coarse steps shows a slow rise as 0, 0, 0.1: the middle alone would see none
    return sum(quantile(slopes, share) for share in (0.25, 0.5, 0.75)) / 3.0


def fall_lately(tank: TankNow) -> float | None:
    """Give how far pH fell in the last quiet day, where it plainly did; None: it didn't. [1/day].

    Carbon dioxide that leaves can only raise it: a fall is the roots' doing, and goes on.

    Args:
        tank: Its readings and pourings.
    """
    slopes = list(_slopes(tank))
    if not slopes:
        return None
    at, slope = slopes[-1]
    return slope if slope < PLAIN_FALL and tank.at - at <= LATELY else None


def _slopes(tank: TankNow) -> Iterator[tuple[datetime, float]]:
    readings = [
        r for r in tank.readings if r.ph is not None and r.at >= tank.at - LOOK_BACK and "ph" not in r.unsure
    ]
    for before, after in itertools.pairwise(readings):
        span = after.at - before.at
        if not SHORTEST <= span <= LONGEST or before.ph is None or after.ph is None:
            continue
        if any(before.at <= p.at <= after.at and p.what != "drained" for p in tank.pourings):
            continue
        yield after.at, (after.ph - before.ph) / (span / timedelta(days=1))
