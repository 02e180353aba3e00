"""How long each bottle lasts, and what is past its date.

What a bottle held stands in rack.toml, `[stock]` (bottle -> mL or g when new); it counts from the last time
the diary says that it was renewed. Buffers and standards with a date stand in `[use_by]`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta

from tendtui.core.event import Renewed
from tendtui.core.learn_course import Course
from tendtui.value import value_class

__all__ = ["BottleLeft", "bottles_left", "past_date"]

LATELY = timedelta(days=28)
"""Use is taken from this time back."""


@value_class
class BottleLeft:
    """One bottle."""

    what: str
    used_day: float
    """mL (g for a dry feed) a day, lately."""
    left: float | None
    """mL or g; None: what it held isn't known."""
    days: float | None
    """None: not known, or not used lately."""


def bottles_left(course: Course, now: datetime) -> tuple[BottleLeft, ...]:
    """Give how long each bottle of the rack lasts at its use of the last four weeks."""
    rack = course.rack
    stock = rack.extra.get("stock")
    held = stock if isinstance(stock, Mapping) else {}
    names = [*(feed.name for feed in rack.feeds), *(adjuster.name for adjuster in rack.adjusters)]
    return tuple(_left(course, name, held.get(name), now) for name in names)


def past_date(course: Course, today: date) -> tuple[tuple[str, date], ...]:
    """Give the buffers and standards whose date has passed."""
    table = course.rack.extra.get("use_by")
    rows = table.items() if isinstance(table, Mapping) else ()
    dates = [(str(name), day) for name, day in rows if isinstance(day, date)]
    return tuple((name, day) for name, day in dates if day < today)


def _left(course: Course, name: str, held: object, now: datetime) -> BottleLeft:
    renewed = max(
        (e.at for e in course.events if isinstance(e, Renewed) and e.what == name and e.at <= now),
        default=None,
    )
    since_new = _used(course, name, renewed, now)
    begun = min((e.at for e in course.events), default=now)
    span = min(LATELY, max(now - begun, timedelta(days=1)))
    used_day = _used(course, name, now - span, now) / (span / timedelta(days=1))
    if not isinstance(held, int | float):
        return BottleLeft(what=name, used_day=used_day, left=None, days=None)
    left = max(0.0, float(held) - since_new)
    return BottleLeft(
        what=name, used_day=used_day, left=left, days=left / used_day if used_day > 0.0 else None
    )


def _used(course: Course, name: str, since: datetime | None, now: datetime) -> float:
    return sum(
        (p.ml if p.ml is not None else p.g) or 0.0
        for p in course.pourings
        if p.what == name and p.at <= now and (since is None or p.at > since)
    )
