"""The numbers of the charts as rows: one for each reading, with the letters of what was done before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.trend import Act, Sample, Trend, Trends
from tendtui.value import value_class

__all__ = ["LETTERS", "TableRow", "table_rows"]

LETTERS: Mapping[Act, str] = {
    "change": "C",
    "renewed": "N",
    "feed": "F",
    "adjuster": "A",
    "drained": "D",
    "water": "W",
}
"""The letter of each act, the heaviest act first; the charts use the same."""


@value_class
class TableRow:
    """One reading."""

    at: datetime
    values: tuple[Sample | None, ...]
    """In the order of the trends; None: not read."""
    done: str
    """Letters of what was done since the row before."""


def table_rows(trends: Trends, shown: Sequence[Trend]) -> tuple[TableRow, ...]:
    """Give the rows, oldest first; what was done after the last reading has a row of its own.

    Args:
        trends: For what was done.
        shown: The columns.
    """
    by_event: dict[str, dict[int, Sample]] = {}
    times: dict[str, datetime] = {}
    for place, trend in enumerate(shown):
        for sample in trend.samples:
            by_event.setdefault(sample.event, {})[place] = sample
            times[sample.event] = sample.at
    rows: list[TableRow] = []
    before: datetime | None = None
    for event, at in sorted(times.items(), key=lambda item: item[1]):
        values = tuple(by_event[event].get(place) for place in range(len(shown)))
        rows.append(TableRow(at=at, values=values, done=_done(trends, before, at)))
        before = at
    late = [mark.at for mark in trends.marks if before is not None and mark.at > before]
    if late:
        empty: tuple[Sample | None, ...] = (None,) * len(shown)
        rows.append(TableRow(at=late[-1], values=empty, done=_done(trends, before, trends.now)))
    return tuple(rows)


def _done(trends: Trends, after: datetime | None, until: datetime) -> str:
    acts = {m.act for m in trends.marks if (after is None or m.at > after) and m.at <= until}
    return "".join(letter for act, letter in LETTERS.items() if act in acts)
