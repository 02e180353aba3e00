"""When the solution should be changed, and why then: days, water added, and the salts that nobody eats."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tendtui.core.change_rules import change_days, why_change
from tendtui.core.forecast import HORIZON_DAYS, Days
from tendtui.core.learn_course import Course
from tendtui.core.rack import Feed
from tendtui.core.slow_rules import SlowRules
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["ChangeAhead", "Unused", "change_ahead", "unused_salts"]

MOST_SODIUM_MG_L = 115.0
"""Sodium above which leafy crops begin to suffer. [mg/L]

Source: 5 mmol/L for lettuce in closed systems, Dutch nutrient-solution tables (from memory).
"""

MOST_CHLORIDE_MG_L = 210.0
"""The same for chloride: 6 mmol/L (from memory). [mg/L]"""

EATEN_BESIDE_N: Mapping[str, float] = {"P": 0.12, "K": 1.35, "Ca": 0.25, "Mg": 0.07, "S": 0.06}
"""What leafy plants take up, by weight, for each gram of nitrogen.

Source: leaf analysis of lettuce, 4.5 % N, 0.55 % P, 6 % K, 1.2 % Ca, 0.3 % Mg, 0.25 % S of dry matter, middle
of the sufficiency ranges in plant-analysis handbooks (from memory).
"""

_OXIDES = {"P2O5": ("P", 0.4364), "K2O": ("K", 0.8301), "CaO": ("Ca", 0.7147), "MgO": ("Mg", 0.6030)}
_SIMPLE = {"P": "P", "K": "K", "Ca": "Ca", "Mg": "Mg", "S": "S"}


@value_class
class Unused:
    """Salts that nobody eats, summed since the last change."""

    water_l: float
    """Source water that went in since. [L]"""
    sodium_mg_l: float | None
    """In the tank; None: the source water's isn't known. [mg/L]"""
    chloride_mg_l: float | None
    ballast_ms_cm: float
    """What the source water's salts would give by themselves. [mS/cm]"""
    surplus_mg_l: Mapping[str, float]
    """Nutrient -> poured beyond what leafy plants take beside their nitrogen, in the tank. [mg/L]"""


@value_class
class ChangeAhead:
    """When a change is due, and the rule that says so."""

    days: Days
    on: datetime
    because: str


def unused_salts(course: Course) -> Unused:
    """Sum what plants leave behind since the last change."""
    rack = course.rack
    newest = course.rounds[-1] if course.rounds else None
    tank_l = (newest.full_l + newest.pipes_l) if newest is not None else rack.reservoir.full_l
    since = course.changes[-1].at if course.changes else None
    added = course.water_since_change_l()
    water = tank_l + added
    share = water / tank_l
    source = rack.source
    return Unused(
        water_l=added,
        sodium_mg_l=None if source.sodium_mg_l is None else source.sodium_mg_l * share,
        chloride_mg_l=None if source.chloride_mg_l is None else source.chloride_mg_l * share,
        ballast_ms_cm=(source.conductivity_ms_cm or 0.0) * share,
        surplus_mg_l=_surplus(course, since, tank_l),
    )


def change_ahead(
    course: Course,
    now: datetime,
    rules: SlowRules,
    *,
    litres_day: float | None,
    top_ms_cm: float | None = None,
) -> ChangeAhead | None:
    """Give when the first rule asks for a change; None before anything is known.

    Args:
        course: The log.
        now: The moment.
        rules: Thresholds of the slow list.
        litres_day: Expected thirst. [L/day]
        top_ms_cm: Top of the wanted band. [mS/cm]
    """
    if not course.changes and not course.points:
        return None
    spoken = why_change(course.rack, course.events, now, rules=rules, top_ms_cm=top_ms_cm)
    if spoken:
        return ChangeAhead(days=Days(value=0.0, low=0.0, high=0.0), on=now, because=spoken[0].words)
    ahead = [_by_days(course, now, rules), *_by_water(course, now, rules, litres_day)]
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
    added = course.water_since_change_l()
    limits = [(rules.tanks_added * tank_l / weight, _("water added since the change"))]
    for has, most, name in (
        (source.sodium_mg_l, MOST_SODIUM_MG_L, _("sodium")),
        (source.chloride_mg_l, MOST_CHLORIDE_MG_L, _("chloride")),
    ):
        if has:
            limits.append((tank_l * (most / has - 1.0), _("{salt} nobody eats").format(salt=name)))
    found = []
    for litres, because in limits:
        left = max(0.0, (litres - added) / litres_day)
        if left <= HORIZON_DAYS:
            days = Days(value=left, low=left / 1.4, high=left * 1.4)
            found.append(ChangeAhead(days=days, on=now + timedelta(days=left), because=because))
    return tuple(found)


def _surplus(course: Course, since: datetime | None, tank_l: float) -> Mapping[str, float]:
    """Give what was poured of each nutrient beyond its usual place beside nitrogen, over the tank. [mg/L]."""
    feeds = {feed.name: feed for feed in course.rack.feeds}
    if not feeds or any(not feed.analysis for feed in feeds.values()):
        return {}
    poured: dict[str, float] = {}
    for event in course.pourings:
        if event.what not in feeds or (since is not None and event.at < since):
            continue
        amount = event.ml if event.ml is not None else event.g
        for name, percent in _elements(feeds[event.what]).items():
            poured[name] = poured.get(name, 0.0) + (amount or 0.0) * percent * 10.0
    nitrogen = poured.get("N", 0.0)
    return {
        name: (poured[name] - nitrogen * beside) / tank_l
        for name, beside in EATEN_BESIDE_N.items()
        if name in poured and poured[name] > nitrogen * beside
    }


def _elements(feed: Feed) -> dict[str, float]:
    """Give percent of the elements from what the label prints."""
    found: dict[str, float] = {}
    analysis = feed.analysis or {}
    for key, percent in analysis.items():
        if key == "N" and any(other.startswith("N_") for other in analysis):
            continue
        if key == "N" or key.startswith("N_"):
            found["N"] = found.get("N", 0.0) + percent
        elif key in _OXIDES:
            name, share = _OXIDES[key]
            found[name] = found.get(name, 0.0) + share * percent
        elif key in _SIMPLE:
            found[key] = found.get(key, 0.0) + percent
    return found
