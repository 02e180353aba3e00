"""Days until the level, the strength or the pH is at its limit if nobody does anything, each with a range.

From thirst by warmth and by plants as they grow, eating, and the drift of pH; not a line through two points.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime, timedelta
from itertools import product
from math import exp, hypot, sqrt

from tendtui.core.learn_course import Course, Point
from tendtui.core.learn_factor import robust_middle, weights_of
from tendtui.core.pattern_view import View
from tendtui.core.tank import litres_of
from tendtui.core.thirst import USUAL_L_DAY, Thirst, groups_at, plants_drink_l_day
from tendtui.value import value_class

__all__ = ["DayAhead", "Days", "Outlook", "days_ahead", "outlook", "ph_after"]

HORIZON_DAYS = 45.0
"""Farther ahead nothing is promised. [days]"""

STEP_DAYS = 0.25
CORNER = 1.2
"""Deviations of each of two doubts at the corners that hold nine of ten (1.645 of one alone)."""

BETWEEN_DAYS = 0.5
"""Share of a day's spread that stays through all days ahead: spells (common practice, no source)."""

USUAL_SPREAD = 0.5
"""Doubt of thirst before the rack's own is known, as a logarithm (common practice, no source)."""


@value_class
class Days:
    """A number of days, and the range that holds it nine times in ten."""

    value: float
    low: float
    high: float | None
    """None: beyond what can be promised."""


@value_class
class Outlook:
    """What lies ahead; None where too little is known, or it lies beyond the horizon."""

    least_level: Days | None = None
    conductivity: Days | None = None
    ph: Days | None = None
    litres_day: float | None = None
    """Expected thirst of the next day. [L/day]"""
    litres_day_range: tuple[float, float] | None = None


@value_class
class DayAhead:
    """One day of being away, if nobody tops up."""

    day: date
    litres: float
    """Drunk that day. [L]"""
    litres_high: float
    """In nine of ten cases it is less. [L]"""
    level_l: float
    """At its end. [L]"""
    level_low_l: float
    """In nine of ten cases it stands higher. [L]"""
    conductivity_ms_cm: float | None
    conductivity_high_ms_cm: float | None


@value_class
class _Start:
    """The tank at this moment."""

    at: datetime
    level_l: float
    pipes_l: float
    salt: float | None
    ph: float | None
    source_ms_cm: float


@value_class
class _Pull:
    """Thirst and appetite to come."""

    litres_day: Callable[[datetime], float]
    spread: float
    """Of the litres of many days, as a logarithm."""
    day_spread: float
    eaten_day: float
    """Salt eaten a day. [mS/cm·L/day]"""
    eaten_spread: float


def outlook(view: View) -> Outlook:
    """Look ahead from the last readings, nothing being added.

    Args:
        view: The course, what was learned, and the bands.
    """
    pull = _pull(view)
    start = _start(view, pull)
    if start is None:
        return Outlook()
    day = pull.litres_day(start.at)
    return Outlook(
        least_level=_least_level(view, start, pull),
        conductivity=_strength(view, start, pull),
        ph=_ph(view, start),
        litres_day=day,
        litres_day_range=(day * exp(-1.645 * pull.day_spread), day * exp(1.645 * pull.day_spread)),
    )


def days_ahead(view: View, *, first: date, last: date) -> tuple[DayAhead, ...]:
    """Tell day by day what happens from a full mark if nobody tops up.

    Args:
        view: The course, what was learned, and the bands.
        first: The first day away; the reservoir stands at the full mark that morning.
        last: The last day away.
    """
    pull = _pull(view)
    start = _start(view, pull)
    rack = view.course.rack
    if start is None:
        return ()
    strength = None if start.salt is None else start.salt / (start.level_l + start.pipes_l)
    full = rack.reservoir.full_l
    salt = None
    if strength is not None and start.salt is not None:
        missing = max(0.0, full - start.level_l)
        salt = start.salt + start.source_ms_cm * missing
    found = []
    level, low = full, full
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        at = datetime(day.year, day.month, day.day, 12, tzinfo=view.now.tzinfo)
        litres = pull.litres_day(at)
        spread = hypot(pull.spread, pull.day_spread / sqrt(n + 1.0))
        level -= litres
        low -= litres * exp(1.28 * spread)
        left = max(level, 0.0) + start.pipes_l
        low_left = max(low, 0.0) + start.pipes_l
        eaten = pull.eaten_day * (n + 1)
        found.append(
            DayAhead(
                day=day,
                litres=litres,
                litres_high=litres * exp(1.28 * pull.day_spread),
                level_l=max(level, 0.0),
                level_low_l=max(low, 0.0),
                conductivity_ms_cm=None if salt is None or left <= 0.0 else max(0.0, salt - eaten) / left,
                conductivity_high_ms_cm=None if salt is None or low_left <= 0.0 else salt / low_left,
            )
        )
    return tuple(found)


def ph_after(view: View, *, ph: float, days: float) -> tuple[float, float, float] | None:
    """Give where pH goes by itself: expected, and the range of nine in ten; None before it is known.

    Args:
        view: The course, and what was learned.
        ph: At the beginning.
        days: How long. [days]
    """
    pace = _pace_of(view)
    if pace is None:
        return None
    middle, unsure, spread = pace
    value, off = ph + middle * days, 1.645 * hypot(unsure * days, spread)
    return value, value - off, value + off


def _least_level(view: View, start: _Start, pull: _Pull) -> Days:
    least = view.course.rack.reservoir.least_l

    def leaves(deviations: float) -> float | None:
        return _when(start, pull, deviations, lambda level, _days: level <= least)

    value = leaves(0.0)
    low = leaves(1.645)
    high = leaves(-1.645)
    return Days(
        value=HORIZON_DAYS if value is None else value,
        low=HORIZON_DAYS if low is None else low,
        high=high,
    )


def _strength(view: View, start: _Start, pull: _Pull) -> Days | None:
    band, salt = view.conductivity, start.salt
    if band is None or salt is None:
        return None
    least = 0.25 * view.course.rack.reservoir.least_l

    def leaves(thirst: float, appetite: float) -> float | None:
        eaten = pull.eaten_day + appetite * pull.eaten_spread

        def out(level: float, days: float) -> bool:
            if level <= least:
                return True
            strength = max(0.0, salt - eaten * days) / (level + start.pipes_l)
            return not band.low <= strength <= band.high

        return _when(start, pull, thirst, out)

    return _ranged(leaves(0.0, 0.0), [leaves(a, b) for a, b in product((-CORNER, CORNER), repeat=2)])


def _ph(view: View, start: _Start) -> Days | None:
    band = view.ph
    if band is None or start.ph is None:
        return None
    if not band.holds(start.ph):
        return Days(value=0.0, low=0.0, high=0.0)
    pace = _pace_of(view)
    if pace is None:
        return None
    middle, unsure, spread = pace

    def leaves(deviations: float, wander: float) -> float | None:
        rate = middle + deviations * unsure
        reach = wander * spread  # a day is off by this; it does not add up
        limit = band.high if rate > 0.0 else band.low
        if abs(rate) < 1e-6:
            return None
        days = max(0.0, (limit - (start.ph or 0.0) - reach) / rate)
        return days if days <= HORIZON_DAYS else None

    return _ranged(leaves(0.0, 0.0), [leaves(a, b) for a, b in product((-CORNER, CORNER), repeat=2)])


def _pace_of(view: View) -> tuple[float, float, float] | None:
    """Give how pH goes in a day by itself, how unsure that is, and how far single days stray. [1/day]."""
    raw, pace = _raw_pace(view.course), view.learning.ph_day
    if raw is None and pace is None:
        return None
    middle, spread, count = (
        raw if raw is not None else (pace.value, pace.spread, pace.count) if pace else (0.0, 0.0, 1)
    )
    return middle, hypot(spread / sqrt(max(1, count)), 0.3 * abs(middle)), spread


def _raw_pace(course: Course) -> tuple[float, float, int] | None:
    """Give how pH went from day to day where nothing was poured between. [1/day]."""
    steps = [
        ((s.last.ph or 0.0) - (s.first.ph or 0.0)) / s.days
        for s in course.steps[-80:]
        if s.first.ph is not None
        and s.last.ph is not None
        and not s.poured
        and not s.changed
        and 0.4 <= s.days <= 3.0
    ]
    if len(steps) < 4:
        return None
    middle, spread = robust_middle(steps, weights_of(len(steps), half_life=14.0))
    return middle, spread, len(steps)


def _ranged(value: float | None, corners: list[float | None]) -> Days | None:
    known = [corner for corner in corners if corner is not None]
    if value is None:
        return None
    low = min([value, *known])
    high = None if len(known) < len(corners) else max([value, *known])
    return Days(value=value, low=low, high=high)


def _when(start: _Start, pull: _Pull, deviations: float, out: Callable[[float, float], bool]) -> float | None:
    """Give the days until the tank is out of its limit; None beyond the horizon."""
    for days, level in _levels(start, pull, deviations):
        if out(level, days):
            return days
    return None


def _levels(start: _Start, pull: _Pull, deviations: float) -> Iterator[tuple[float, float]]:
    level, days = start.level_l, 0.0
    while days <= HORIZON_DAYS:
        yield days, level
        spread = hypot(pull.spread, pull.day_spread / sqrt(days + 1.0))
        step = pull.litres_day(start.at + timedelta(days=days)) * exp(deviations * spread)
        level -= step * STEP_DAYS
        days += STEP_DAYS


def _pull(view: View) -> _Pull:
    thirst = view.learning.thirst or view.usual_thirst
    warmth, warm_spread = _warmth(view.course)
    known = thirst or Thirst(factor=1.0, per_degree=0.06, spread=USUAL_SPREAD, count=0)
    drinks: Mapping[str, float] = view.drinks_l_day or {}
    rack, events = view.course.rack, view.course.events
    standing = groups_at(rack, events, view.now)

    def litres_day(at: datetime) -> float:
        plants = plants_drink_l_day(standing, drinks, at=at) if standing else USUAL_L_DAY
        return known.litres_day(plants_l_day=plants, temperature_c=warmth)

    weather = known.per_degree * warm_spread
    eaten, eaten_spread = view.eaten_day
    full = rack.reservoir.full_l + (view.newest.pipes_l if view.newest is not None else 0.0)
    return _Pull(
        litres_day=litres_day,
        spread=hypot(BETWEEN_DAYS * known.spread, weather) if thirst else USUAL_SPREAD,
        day_spread=hypot(known.spread, weather),
        eaten_day=eaten * full,
        eaten_spread=hypot(eaten_spread / 3.0, 0.3 * abs(eaten)) * full,
    )


def _warmth(course: Course) -> tuple[float, float]:
    """Give the warmth to expect, as it was lately, and how it wanders. [°C]."""
    known = [p.temperature_c for p in course.rounds[-14:] if p.temperature_c is not None]
    if not known:
        return 20.0, 3.0
    lately = known[-3:]
    middle = sum(lately) / len(lately)
    spread = sqrt(sum((t - middle) ** 2 for t in known) / len(known))
    return middle, max(0.5, min(spread, 3.0))


def _start(view: View, pull: _Pull) -> _Start | None:
    """Give the tank now: the newest level carried through what went in since, and what was drunk since."""
    newest = view.newest
    if newest is None or newest.level_l is None:
        return None
    later = [p for p in view.course.pourings if p.at >= newest.at and _after(view, newest, p)]
    days = max(0.0, (view.now - newest.at) / timedelta(days=1))
    level = newest.level_l + sum(litres_of(p) for p in later)
    drunk = min(pull.litres_day(newest.at) * days, max(0.0, level))
    level = min(level, 1.2 * newest.full_l) - drunk
    strong = next((p for p in reversed(view.course.points) if p.salt is not None), None)
    sour = next((p for p in reversed(view.course.points) if p.ph is not None), None)
    return _Start(
        at=view.now,
        level_l=max(0.0, level),
        pipes_l=newest.pipes_l,
        salt=None if strong is None else _salt_now(view, strong, pull),
        ph=None if sour is None else sour.ph,
        source_ms_cm=newest.source_ms_cm,
    )


def _salt_now(view: View, point: Point, pull: _Pull) -> float:
    later = [p for p in view.course.pourings if p.at >= point.at and _after(view, point, p)]
    water = sum(p.litres or 0.0 for p in later if p.what == "water")
    drained = sum(p.litres or 0.0 for p in later if p.what == "drained")
    days = max(0.0, (view.now - point.at) / timedelta(days=1))
    salt = (point.salt or 0.0) + water * point.source_ms_cm - drained * (point.conductivity_ms_cm or 0.0)
    return max(0.0, salt - pull.eaten_day * days)


def _after(view: View, point: Point, poured: object) -> bool:
    return any(event is poured for event in view.course.events[point.place + 1 :])
