"""When the solution should be changed, and why then: days, water added, and the salts that nobody eats."""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.change_rules import change_days, why_change
from tendtui.core.forecast import HORIZON_DAYS, Days
from tendtui.core.learn_course import Course
from tendtui.core.salts_left import Unused, litres_gathered_l, unused_salts
from tendtui.core.slow_rules import SlowRules
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["ChangeAhead", "change_ahead"]

MOST_SODIUM_MG_L = 115.0
"""Sodium above which leafy crops begin to suffer. [mg/L]

Source: 5 mmol/L for lettuce in closed systems, Dutch nutrient-solution tables (from memory).
"""

MOST_CHLORIDE_MG_L = 210.0
"""The same for chloride: 6 mmol/L (from memory). [mg/L]"""

LEFT_OVER_SHARE = 1.0 / 3.0
"""Share of the wanted strength that may be salts nobody eats, gathered since the change: past it the feed
left beside them is a third short (common practice, no source)."""


@value_class
class ChangeAhead:
    """When a change is due, and the rule that says so."""

    days: Days
    on: datetime
    because: str


def change_ahead(
    course: Course,
    now: datetime,
    rules: SlowRules,
    *,
    litres_day: float | None,
    top_ms_cm: float | None = None,
    wanted_ms_cm: float | None = None,
    unused: Unused | None = None,
) -> ChangeAhead | None:
    """Give when the first rule asks for a change; None before anything is known.

    Args:
        course: The log.
        now: The moment.
        rules: Thresholds of the slow list.
        litres_day: Expected thirst. [L/day]
        top_ms_cm: Top of the wanted band. [mS/cm]
        wanted_ms_cm: Its middle. [mS/cm]
        unused: Salts that nobody eats; None: summed here.
    """
    if not course.changes and not course.points:
        return None
    spoken = why_change(course.rack, course.events, now, rules=rules, top_ms_cm=top_ms_cm)
    if spoken:
        return ChangeAhead(days=Days(value=0.0, low=0.0, high=0.0), on=now, because=spoken[0].words)
    salts = unused_salts(course) if unused is None else unused
    ahead = [
        _by_days(course, now, rules),
        *_by_water(course, now, rules, litres_day),
        *_by_salts_left(course, now, salts, litres_day, wanted_ms_cm),
    ]
    return min(ahead, key=lambda change: change.days.value)


def _by_days(course: Course, now: datetime, rules: SlowRules) -> ChangeAhead:
    every = change_days(course.rack, rules)
    began = course.changes[-1].at if course.changes else course.points[0].at
    left = max(0.0, every - (now - began) / timedelta(days=1))
    return ChangeAhead(
        days=Days(value=left, low=left, high=left),
        on=now + timedelta(days=left),
        because=_("every {days} days").format(days=every),
    )


def _by_water(
    course: Course, now: datetime, rules: SlowRules, litres_day: float | None
) -> tuple[ChangeAhead, ...]:
    """Give when the water added, and its salts, will ask for it."""
    if litres_day is None or litres_day <= 0.0 or not course.rounds:
        return ()
    newest = course.rounds[-1]
    tank_l = newest.full_l + newest.pipes_l
    source = course.rack.source
    weight = 1.0
    if source.conductivity_ms_cm is not None:
        share = source.conductivity_ms_cm / rules.usual_ms_cm
        weight = min(rules.most_weight, max(rules.least_weight, share))
    added, gathered = course.water_since_change_l(), litres_gathered_l(course)
    limits = [(rules.tanks_added * tank_l / weight - added, _("water added since the change"))]
    for has, most, name in (
        (source.sodium_mg_l, MOST_SODIUM_MG_L, _("sodium")),
        (source.chloride_mg_l, MOST_CHLORIDE_MG_L, _("chloride")),
    ):
        if has:
            limits.append((tank_l * most / has - gathered, _("{salt} nobody eats").format(salt=name)))
    return tuple(
        found
        for litres, because in limits
        if (found := _in(max(0.0, litres / litres_day), now, because)) is not None
    )


def _by_salts_left(
    course: Course, now: datetime, unused: Unused, litres_day: float | None, wanted_ms_cm: float | None
) -> tuple[ChangeAhead, ...]:
    """Give when the salts that nobody eats, gathered since the change, will be too much of the strength."""
    if wanted_ms_cm is None or not litres_day or not course.rounds or not course.changes:
        return ()
    newest = course.rounds[-1]
    since = max(1.0, (now - course.changes[-1].at) / timedelta(days=1))
    by_water = unused.source_ms_cm * litres_day / (newest.full_l + newest.pipes_l)
    by_feed = unused.surplus_ms_cm / since
    rate = by_water + by_feed
    if not rate > 0.0:
        return ()
    left = (LEFT_OVER_SHARE * wanted_ms_cm - unused.gathered_ms_cm) / rate
    found = _in(max(0.0, left), now, _("salts left over make a third of the strength"))
    return () if found is None else (found,)


def _in(days: float, now: datetime, because: str) -> ChangeAhead | None:
    """Give a change that is so many days ahead; None where that is farther than can be promised."""
    if days > HORIZON_DAYS:
        return None
    left = Days(value=days, low=days / 1.4, high=days * 1.4)
    return ChangeAhead(days=left, on=now + timedelta(days=days), because=because)
