"""Counts what the tests of faults did, for the table at the end of their run."""

from __future__ import annotations

from collections import Counter

__all__ = ["TALLY", "count"]

TALLY: Counter[str] = Counter()
"""What was done -> how often."""


def count(what: str, times: int = 1) -> None:
    """Count something done.

    Args:
        what: The words of its line in the table.
        times: How often.
    """
    TALLY[what] += times
