"""How much plain water stands ready for each day of an absence: the usual drinking, and a third more.

From the diary where it is long enough: what this rack drank, its plants as old as they will be, the water
as warm as it was. Else from the number of plants, and the sheet says that nobody measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta

from tendtui.core.event import Event
from tendtui.core.forecast import DayAhead
from tendtui.core.learn_course import Course, course_of
from tendtui.core.measured_amount import rounded_up
from tendtui.core.middle import median
from tendtui.core.rack import Rack
from tendtui.core.thirst import groups_at, plants_drink_l_day
from tendtui.value import value_class

__all__ = ["SPARE", "Bottle", "Bottles", "bottles_for"]

SPARE = 1.3
"""Filled over what is expected. Source: common practice, no source; a hot day drinks about a third more."""

_LATELY = timedelta(days=14)


@value_class
class Bottle:
    """One day's water."""

    day: date
    litres: float
    """A multiple of the rack's own step, rounded up. [L]"""


@value_class
class Bottles:
    """All of them, and how they were found."""

    days: tuple[Bottle, ...]
    origin: str
    """`forecast`: the rack's own thirst; `spans`: its levels of two weeks; `plants`: only their number."""

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
    ahead: Iterable[DayAhead] = (),
    drinks_l_day: Mapping[str, float] | None = None,
) -> Bottles:
    """Give the water for each day.

    Args:
        rack: For its plants and its smallest step of water.
        events: Effective events, in time order.
        first: The first day away.
        days: How many.
        now: With offset; what is known now.
        ahead: The forecast for these days, where the rack's thirst was learned.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
    """
    known = tuple(events)
    foreseen = {day.day: day.litres for day in ahead}
    lately = _lately(course_of(rack, known, until=now), now)
    bottles, origins = [], set()
    for n in range(days):
        day = first + timedelta(days=n)
        noon = datetime.combine(day, time(12), tzinfo=now.tzinfo)
        if day in foreseen:
            litres, origin = foreseen[day], "forecast"
        elif lately is not None:
            litres, origin = lately, "spans"
        else:
            plants = groups_at(rack, known, noon)
            litres, origin = plants_drink_l_day(plants, drinks_l_day or {}, at=noon), "plants"
        origins.add(origin)
        bottles.append(Bottle(day=day, litres=rounded_up(litres * SPARE, mark=rack.measuring.water_l)))
    return Bottles(
        days=tuple(bottles), origin=next(o for o in ("plants", "spans", "forecast") if o in origins)
    )


def _lately(course: Course, now: datetime) -> float | None:
    rates = [
        span.drunk_l_day
        for span in course.spans
        if span.last.at >= now - _LATELY and span.drunk_l_day is not None
    ]
    return max(0.0, median(rates)) if rates else None
