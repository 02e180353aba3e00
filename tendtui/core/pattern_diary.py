"""Patterns of the diary: slips of the key, what was not measured twice, feedings that did too much."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from itertools import pairwise

from tendtui.core.learn_course import Point
from tendtui.core.learn_feed import feed_evidence
from tendtui.core.middle import median
from tendtui.core.pattern_view import RECENT, Found, View, when_words
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_amount
from tendtui.words import _

__all__ = ["DIARY_DETECTORS", "feed_missing", "feed_twice", "in_doubt", "odd_one"]


def odd_one(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a reading that fits neither the one before nor the one after, which fit each other."""
    rounds = view.course.rounds
    for before, middle, after in reversed(list(zip(rounds[-4:], rounds[-3:], rounds[-2:], strict=False))):
        if view.now - after.at > RECENT:
            continue
        found = _odd_level(view, (before, middle, after), when["least_level_l"])
        if found is not None:
            return found
        for name, value, least in _LOOKED_AT:
            found = _odd(view, (before, middle, after), name, value, when[least], when["spreads"])
            if found is not None:
                return found
    return None


def in_doubt(view: View, when: Mapping[str, float]) -> Found | None:
    """Find an unusual value that no second reading has settled."""
    for n in range(len(view.course.points) - 1, -1, -1):
        point = view.course.points[n]
        if view.now - point.at > timedelta(days=when["days"]):
            return None
        open_ = [name for name in point.reading.doubt if not _settled(view.course.points[n + 1 :], name)]
        if open_:
            return Found(
                evidence=(
                    _("{day}: {what}.").format(
                        day=when_words(point.at), what=", ".join(_doubted(view, point, n) for n in open_)
                    ),
                ),
                at=point.at,
                about=open_[0],
            )
    return None


def feed_twice(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a feeding that did far more than its amount can."""
    return _feeding(
        view, lambda ratio, spread: ratio > when["least_ratio"] and ratio - 1.0 > when["spreads"] * spread
    )


def feed_missing(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a feeding that did far less than its amount must."""
    return _feeding(
        view, lambda ratio, spread: ratio < when["most_ratio"] and 1.0 - ratio > when["spreads"] * spread
    )


def _feeding(view: View, odd: Callable[[float, float], bool]) -> Found | None:
    feeds = view.course.rack.feeds
    if not feeds or not feeds[0].label_conductivity_ms_cm > 0.0:
        return None
    recent = view.course.since(view.now - RECENT)
    told = feed_evidence(recent, label_ms_cm=feeds[0].label_conductivity_ms_cm)
    usual = 1.0 if view.learning.feed is None else view.learning.feed.value
    for answer in reversed(told):
        ratio = answer.evidence.measured / usual
        if odd(ratio, answer.evidence.spread):
            return Found(
                evidence=(
                    _("{day}: the strength moved {ratio} times as far as the feed poured explains.").format(
                        day=when_words(answer.at), ratio=show_amount(ratio, decimals=1)
                    ),
                ),
                at=answer.at,
                about="conductivity",
            )
    return None


def _odd_level(view: View, points: tuple[Point, Point, Point], least_l: float) -> Found | None:
    """Find a level that lies off the way from the one before to the one after."""
    first, second = view.course.span(points[0], points[1]), view.course.span(points[1], points[2])
    if first.drunk_l is None or second.drunk_l is None or first.days <= 0.0 or second.days <= 0.0:
        return None
    whole = first.drunk_l + second.drunk_l
    usual = whole * first.days / (first.days + second.days)
    off = usual - first.drunk_l
    if abs(off) < max(least_l, 0.05 * points[0].full_l, 1.2 * abs(whole)):
        return None
    thirst = [view.expected_l(span) for span in (first, second)]
    if None not in thirst and abs(whole - sum(t or 0.0 for t in thirst)) > 0.5 * abs(off):
        return None  # the days before and after don't fit each other: water came in or left
    words = (
        _("{day}: level {litres}, {off} above what the days before and after give.")
        if off > 0.0
        else _("{day}: level {litres}, {off} below what the days before and after give.")
    )
    return Found(
        evidence=(
            words.format(
                day=when_words(points[1].at),
                litres=view.said(points[1].level_l, Quantity.LEVEL),
                off=view.said(abs(off), Quantity.VOLUME),
            ),
        ),
        at=points[2].at,
        about="level",
    )


def _odd(
    view: View,
    points: tuple[Point, Point, Point],
    name: str,
    value: Callable[[Point], float | None],
    least: float,
    spreads: float,
) -> Found | None:
    values = [value(point) for point in points]
    if any(v is None for v in values) or name in points[1].reading.doubt:
        return None
    before, middle, after = (float(v) for v in values if v is not None)
    if _was_disturbed(view, points, name):
        return None
    known = [v for v in map(value, view.course.rounds) if v is not None]
    steps = [abs(b - a) for a, b in pairwise(known)]
    usual = 1.4826 * median(steps) if len(steps) >= 5 else least / spreads
    off = middle - (before + after) / 2.0
    if abs(off) < max(least, spreads * usual) or abs(after - before) > abs(off) / 3.0:
        return None
    return Found(
        evidence=(
            _("{day}: {value}; the days before and after fit each other.").format(
                day=when_words(points[1].at), value=view.said(_SHOWN[name](points[1]), Quantity(name))
            ),
        ),
        at=points[2].at,
        about=name,
    )


def _doubted(view: View, point: Point, name: str) -> str:
    """Give what was read, as it is said: `pH 8.4`, `flow Creek`."""
    if name in _FIELDS:
        return view.said(getattr(point.reading, _FIELDS[name]), Quantity(name))
    return _("flow {tier}").format(tier=name.removeprefix("flow."))


def _was_disturbed(view: View, points: tuple[Point, Point, Point], name: str) -> bool:
    """Say whether what went in could have moved the middle one by itself."""
    spans = (view.course.span(points[0], points[1]), view.course.span(points[1], points[2]))
    if any(span.changed or span.drained_l for span in spans):
        return True
    return name in ("ph", "conductivity") and any(span.bottles for span in spans)


def _settled(later: Sequence[Point], name: str) -> bool:
    field = _FIELDS.get(name)
    if field is None:
        tier = name.removeprefix("flow.")
        return any(tier in p.reading.flow_l_min for p in later)
    return any(getattr(p.reading, field) is not None for p in later)


_FIELDS = {
    "level": "level_l",
    "conductivity": "conductivity_ms_cm",
    "ph": "ph",
    "temperature": "temperature_c",
    "alkalinity": "alkalinity_meq_l",
}

_LOOKED_AT: tuple[tuple[str, Callable[[Point], float | None], str], ...] = (
    ("conductivity", lambda p: p.at_full_ms_cm, "least_conductivity_ms_cm"),
    ("temperature", lambda p: p.temperature_c, "least_temperature_c"),
    ("ph", lambda p: p.ph, "least_ph"),
)

_SHOWN: Mapping[str, Callable[[Point], float]] = {
    "conductivity": lambda p: p.conductivity_ms_cm or 0.0,
    "temperature": lambda p: p.temperature_c or 0.0,
    "ph": lambda p: p.ph or 0.0,
}

DIARY_DETECTORS = {
    "odd_one": odd_one,
    "in_doubt": in_doubt,
    "feed_twice": feed_twice,
    "feed_missing": feed_missing,
}
