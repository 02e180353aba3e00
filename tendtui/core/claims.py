"""How far apart claims about one number may stand, and the doubt that they leave."""

from __future__ import annotations

from collections.abc import Iterable
from math import log

__all__ = ["WIDEST", "doubt_of"]

_NINE_IN_TEN = 1.645
"""Standard deviations on either side that hold nine values of ten of a normal distribution."""

WIDEST = 1.4
"""However far two claims differ, the logarithm of four times as much: past it one of them is a slip."""


def doubt_of(claims: Iterable[float]) -> float:
    """Give the doubt of a number of which claims differ, as a logarithm: the farthest is held nine in ten.

    Args:
        claims: Each over the one that is used.
    """
    return max(min(abs(log(max(claim, 1e-3))), WIDEST) for claim in claims) / _NINE_IN_TEN
