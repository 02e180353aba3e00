"""How much the rack drinks in a day, by its plants and the warmth of its water.

Litres a day = (what these plants would drink, grown as they are, at 20 °C) x (this rack's factor) x warmth.
The factor is learned from levels and top-ups; warmth starts from the saturation pressure of water vapour.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import islice
from math import exp, log, sqrt

from tendtui.core.event import Event, Plants
from tendtui.core.learn_course import Course, Span
from tendtui.core.learn_factor import TAILS, weighted_median, weights_of
from tendtui.core.rack import Rack
from tendtui.value import value_class

__all__ = ["Group", "Thirst", "groups_at", "grown_share", "plants_drink_l_day", "thirst_of"]

USUAL_L_DAY = 0.15
"""One leafy plant in full leaf, where its crop doesn't say. [L/day]

Source: 0.1 to 0.25 L a day for a lettuce in full leaf, growers' guides; the middle of it.
"""

PER_DEGREE = 0.06
"""Thirst per °C, as a logarithm. [1/°C]

Source: saturation vapour pressure of water rises by 6.2 % from 20 to 21 °C (Magnus formula, WMO Guide to
Instruments and Methods of Observation); air and water are taken to warm together.
"""

PER_DEGREE_SPREAD = 0.025
HALF_GROWN_DAYS = 16.0
GROWTH_DAYS = 5.0
"""A logistic rise, half grown 16 days after the move, leafy plants (common practice, no source). [days]"""

SEEDLING_SHARE = 0.1
"""10 to 50 mL against 100 to 250 mL in full leaf, growers' guides."""

HARVEST_LEAVES = 0.75
"""Of its leaves after a harvest: a third at most is cut, growers' guides; they grow back within 10 days."""

REGROWN_DAYS = 10.0
_NOISE_L = 0.4
"""Spread of a level read at marks. [L] (common practice, no source)"""

_LEAST_SPREAD = 0.10

_NEAR = 1e-6
"""A fit that moves less has arrived: a millionth of the litres."""

HALF_LIFE = 12.0
"""After so many later spans one counts half (common practice, no source)."""

MOST_SPANS = 120
"""Older spans count less than a thousandth of the newest."""


@value_class
class Group:
    """Plants of one crop that were moved up on one day."""

    crop: str
    tier: str
    count: int
    since: datetime | None
    """None: they stood there before the diary."""
    cut_at: datetime | None = None


@value_class
class Thirst:
    """What was learned of the rack's thirst."""

    factor: float
    """This rack's drinking, over what its plants would drink in common practice."""
    per_degree: float
    """[1/°C]"""
    spread: float
    """One standard deviation of a day's litres, as a logarithm."""
    count: int
    """From how many spans between two levels."""

    def litres_day(self, *, plants_l_day: float, temperature_c: float) -> float:
        """Give the expected litres of a day. [L/day].

        Args:
            plants_l_day: What the plants would drink in common practice, at 20 °C. [L/day]
            temperature_c: Of the water. [°C]
        """
        return self.factor * plants_l_day * exp(self.per_degree * (temperature_c - 20.0))


def grown_share(*, age_days: float | None) -> float:
    """Give how much of its full thirst a plant has, so many days after it was moved up.

    Args:
        age_days: Since the move; None: it stood there before. [days]
    """
    if age_days is None:
        return 1.0
    rise = 1.0 / (1.0 + exp(-(age_days - HALF_GROWN_DAYS) / GROWTH_DAYS))
    return SEEDLING_SHARE + (1.0 - SEEDLING_SHARE) * rise


def groups_at(rack: Rack, events: Iterable[Event], at: datetime) -> tuple[Group, ...]:
    """Give what stands on the rack: as the diary says, else as rack.toml says.

    Args:
        rack: The rack.
        events: Those that count, in time order.
        at: The moment.
    """
    groups: list[Group] = []
    told: set[str] = set()
    for event in events:
        if not isinstance(event, Plants) or event.at > at or not event.tier:
            continue
        told.add(event.tier)
        groups = _act(groups, event)
    for tier in rack.tiers:
        if tier.name not in told and tier.plants:
            groups.append(Group(crop=", ".join(tier.crops), tier=tier.name, count=tier.plants, since=None))
    return tuple(groups)


def plants_drink_l_day(groups: Iterable[Group], drinks_l_day: Mapping[str, float], *, at: datetime) -> float:
    """Give what plants would drink in common practice at 20 °C. [L/day].

    Args:
        groups: What stands there.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        at: The moment, for their age.
    """
    whole = 0.0
    for group in groups:
        age = None if group.since is None else (at - group.since) / timedelta(days=1)
        most = drinks_l_day.get(group.crop, USUAL_L_DAY)
        whole += group.count * most * grown_share(age_days=age) * _leaves(group, at)
    return max(whole, 0.05)


def thirst_of(
    course: Course, drinks_l_day: Mapping[str, float] | None = None, *, before: datetime | None = None
) -> Thirst | None:
    """Learn the rack's thirst from the levels of its rounds; None before there are three spans.

    Args:
        course: The log.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        before: Only spans that ended before this moment; None: all of them.
    """
    drinks = drinks_l_day or {}
    ended = course.spans if before is None else [s for s in course.spans if s.last.at < before]
    stood: dict[int, tuple[Group, ...]] = {}
    newest = (row for span in reversed(ended) if (row := _row(course, span, drinks, stood)) is not None)
    rows = list(islice(newest, MOST_SPANS))[::-1]
    if len(rows) < 3:
        return None
    weights = weights_of(len(rows), half_life=HALF_LIFE)
    factor, slope = _fit(rows, weights)
    misses = [y - factor - slope * x for x, y, _s in rows]
    spread = max(_LEAST_SPREAD, _robust_spread(misses, weights))
    return Thirst(factor=exp(factor), per_degree=slope, spread=spread, count=len(rows))


def _act(groups: list[Group], event: Plants) -> list[Group]:
    match event.act:
        case "move":
            new = Group(crop=event.crop, tier=event.tier, count=event.count, since=event.at)
            return [*groups, new]
        case "harvest":
            return [_cut(g, event.at) if g.crop == event.crop and g.tier == event.tier else g for g in groups]
        case "pull":
            return _pulled(groups, event)
        case _:
            return groups


def _cut(group: Group, at: datetime) -> Group:
    return Group(crop=group.crop, tier=group.tier, count=group.count, since=group.since, cut_at=at)


def _pulled(groups: list[Group], event: Plants) -> list[Group]:
    left, kept = event.count, []
    for group in groups:  # the oldest go first
        if group.crop != event.crop or group.tier != event.tier or left <= 0:
            kept.append(group)
            continue
        gone = min(left, group.count)
        left -= gone
        if group.count > gone:
            kept.append(Group(crop=group.crop, tier=group.tier, count=group.count - gone, since=group.since))
    return kept


def _leaves(group: Group, at: datetime) -> float:
    if group.cut_at is None or at < group.cut_at:
        return 1.0
    back = min(1.0, ((at - group.cut_at) / timedelta(days=1)) / REGROWN_DAYS)
    return HARVEST_LEAVES + (1.0 - HARVEST_LEAVES) * back


def _row(
    course: Course, span: Span, drinks_l_day: Mapping[str, float], stood: dict[int, tuple[Group, ...]]
) -> tuple[float, float, float] | None:
    """Give warmth, logarithm of the litres over those expected, and its spread.

    Args:
        course: The log.
        span: From it.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        stood: Filled as it goes: how much was done with the plants before -> what stood there then.
    """
    rate = span.drunk_l_day
    if rate is None or span.days > 7.0:
        return None
    middle = span.first.at + (span.last.at - span.first.at) / 2
    done = sum(event.at <= middle for event in course.planted)
    if done not in stood:
        stood[done] = groups_at(course.rack, course.planted, middle)
    size = plants_drink_l_day(stood[done], drinks_l_day, at=middle)
    warm = [t for t in (span.first.temperature_c, span.last.temperature_c) if t is not None]
    warmth = sum(warm) / len(warm) - 20.0 if warm else 0.0
    rate = max(rate, 0.05 * size)
    noise = _NOISE_L / span.days / rate
    return warmth, log(rate / size), sqrt(0.15**2 + min(noise, 2.0) ** 2)


def _fit(rows: Sequence[tuple[float, float, float]], weights: Sequence[float]) -> tuple[float, float]:
    """Fit height and slope with the weights of Student's t, the slope held near its start."""
    height, slope = 0.0, PER_DEGREE
    firm = 1.0 / PER_DEGREE_SPREAD**2
    weighed = [
        (x, y, 1.0 / s**2, w * (TAILS + 1.0) / s**2) for (x, y, s), w in zip(rows, weights, strict=True)
    ]
    for _turn in range(20):
        before = height, slope
        whole = sum_x = sum_y = sum_xx = sum_xy = 0.0
        for x, y, sharp, weight in weighed:
            miss = y - height - slope * x
            pull = weight / (TAILS + sharp * miss * miss)
            whole += pull
            sum_x += pull * x
            sum_y += pull * y
            sum_xx += pull * x * x
            sum_xy += pull * x * y
        held = whole + 1.0 / 1.0**2  # a first guess of the height: within a factor of e, either way
        mean_x, mean_y = sum_x / held, sum_y / held
        xx = sum_xx - 2.0 * mean_x * sum_x + mean_x**2 * whole + firm
        xy = sum_xy - mean_x * sum_y - mean_y * sum_x + mean_x * mean_y * whole
        slope = (xy + firm * PER_DEGREE) / xx
        height = mean_y - slope * mean_x
        if abs(height - before[0]) < _NEAR and abs(slope - before[1]) < _NEAR:
            break
    return height, slope


def _robust_spread(misses: Sequence[float], weights: Sequence[float]) -> float:
    return 1.4826 * weighted_median([abs(miss) for miss in misses], list(weights))
