"""Until when a dose walk waits, and what was read before that."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from tendtui.core.mixing import to_full_minute
from tendtui.core.walk_value import Answers

__all__ = ["mixed_at"]


def mixed_at(
    poured: Iterable[str], answers: Answers, *, minutes: float, planned_at: datetime, held: datetime | None
) -> datetime:
    """Give the clock time at which what went in is mixed, to the full minute.

    Args:
        poured: Ids of the steps of this plan that came before the wait.
        answers: All that counts.
        minutes: How long to wait. [min]
        planned_at: When the plan was made.
        held: What the plan before was waiting for, and still is where nothing went in since.
    """
    times = [
        answer.at
        for station in poured
        for key, answer in answers.by_key.items()
        if key.startswith(f"{station}.") and answer.at is not None and not answer.reason
    ]
    if not times and held is not None and held > planned_at:
        return held
    return to_full_minute(max(times, default=planned_at) + timedelta(minutes=minutes))
