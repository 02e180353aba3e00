"""How much plain water stands ready for each day of an absence: the usual drinking, and a third more.

From the diary where it is long enough: what this rack drank, its plants as old as they will be, the water
as warm as it was. Else from the number of plants, and the sheet says that nobody measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil
from statistics import median

from tendtui.core.event import Event
from tendtui.core.learn_course import Course, course_of
from tendtui.core.rack import Rack
from tendtui.core.thirst import groups_at, plants_drink_l_day, thirst_of

__all__ = ["SPARE", "Bottle", "Bottles", "bottles_for"]

SPARE = 1.3
"""Filled over what is expected. Source: common practice, no source; a hot day drinks about a third more."""

_LATELY = timedelta(days=14)
_USUAL_WATER_C = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottle:
    """One day's water."""

    day: date
    litres: float
    """A multiple of the rack's own step, rounded up. [L]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottles:
    """All of them, and how they were found."""

    days: tuple[Bottle, ...]
    origin: str
    """`diary`: this rack's thirst, learned; `spans`: its levels of two weeks; `plants`: only their number."""
    count: int = 0
    """From how many spans between two levels."""

    @property
    def whole_l(self) -> float:
        """Give the litres of all days together. [L]."""
        return sum(bottle.litres for bottle in self.days)


def bottles_for(
    rack: Rack,
    events: Iterable[Event],
    *,
    first: date,
    days: int,
    now: datetime,
    drinks_l_day: Mapping[str, float] | None = None,
) -> Bottles:
    """Give the water for each day.

    Args:
        rack: For its plants and its smallest step of water.
        events: Effective events, in time order.
        first: The first day away.
        days: How many.
        now: With offset; what is known now.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
    """
    known = tuple(events)
    course = course_of(rack, known, until=now)
    drinks = drinks_l_day or {}
    thirst = thirst_of(course, drinks)
    lately = _lately(course, now)
    whole: list[float] = []
    for n in range(days):
        noon = datetime.combine(first + timedelta(days=n), time(12), tzinfo=now.tzinfo)
        plants_l = plants_drink_l_day(groups_at(rack, known, noon), drinks, at=noon)
        if thirst is not None:
            whole.append(thirst.litres_day(plants_l_day=plants_l, temperature_c=_water_c(course, now)))
        else:
            whole.append(lately if lately is not None else plants_l)
    step = rack.measuring.water_l
    origin = "diary" if thirst is not None else "spans" if lately is not None else "plants"
    return Bottles(
        days=tuple(
            Bottle(day=first + timedelta(days=n), litres=ceil(litres * SPARE / step - 1e-9) * step)
            for n, litres in enumerate(whole)
        ),
        origin=origin,
        count=thirst.count if thirst is not None else 0,
    )


def _lately(course: Course, now: datetime) -> float | None:
    rates = [
        span.drunk_l_day
        for span in course.spans
        if span.last.at >= now - _LATELY and span.drunk_l_day is not None
    ]
    return max(0.0, median(rates)) if rates else None


def _water_c(course: Course, now: datetime) -> float:
    read = [p.temperature_c for p in course.points if p.temperature_c is not None and p.at >= now - _LATELY]
    return median(read) if read else _USUAL_WATER_C
