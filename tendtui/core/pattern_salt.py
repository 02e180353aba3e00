"""Patterns of strength: drinking beside eating, salts nobody eats, warmth."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from tendtui.core.learn_course import Span
from tendtui.core.middle import median
from tendtui.core.pattern_view import RECENT, Found, View, when_words
from tendtui.core.quantity import Quantity
from tendtui.words import _

__all__ = ["SALT_DETECTORS", "creeps_up", "drinks_not_eats", "eats_well", "heat", "in_step"]


def drinks_not_eats(view: View, when: Mapping[str, float]) -> Found | None:
    """Find the level falling and the strength rising on each of the newest quiet spans."""
    spans = _quiet(view, when)
    if not spans or any(_rise(s) < when["least_ms_cm"] for s in spans):
        return None
    return _told(view, spans)


def eats_well(view: View, when: Mapping[str, float]) -> Found | None:
    """Find level and strength falling together on each of the newest quiet spans."""
    spans = _quiet(view, when)
    if not spans or any(_rise(s) > -when["least_ms_cm"] for s in spans):
        return None
    return _told(view, spans)


def in_step(view: View, when: Mapping[str, float]) -> Found | None:
    """Find the level falling while the strength stays on each of the newest quiet spans."""
    spans = _quiet(view, when)
    if not spans or any(abs(_rise(s)) >= when["most_ms_cm"] for s in spans):
        return None
    return _told(view, spans)


def creeps_up(view: View, when: Mapping[str, float]) -> Found | None:
    """Find the strength at the full mark rising over days on which only water went in."""
    spans: list[Span] = []
    for span in reversed(view.course.spans):
        if span.bottles or span.changed or span.drained_l or span.drunk_l is None:
            break
        spans.append(span)
    if not spans or view.now - spans[0].last.at > RECENT:
        return None
    days = sum(span.days for span in spans)
    first, last = spans[-1].first.at_full_ms_cm, spans[0].last.at_full_ms_cm
    if first is None or last is None or days < when["days"] or len(spans) < when["spans"]:
        return None
    if last - first < max(when["least_ms_cm"], when["spreads"] * 1.5 * view.meter_ms_cm):
        return None
    water = sum(span.water_l for span in spans)
    return Found(
        evidence=(
            _("{before} at the full mark on {day}, {after} now, after {litres} of water.").format(
                before=view.said(first, Quantity.CONDUCTIVITY),
                day=when_words(spans[-1].first.at),
                after=view.said(last, Quantity.CONDUCTIVITY),
                litres=view.said(water, Quantity.VOLUME),
            ),
        ),
        at=spans[0].last.at,
        about="conductivity",
    )


def heat(view: View, when: Mapping[str, float]) -> Found | None:
    """Find water much warmer than a week ago, and warm."""
    points = [p for p in view.course.points if p.temperature_c is not None]
    if not points or view.now - points[-1].at > RECENT:
        return None
    newest = points[-1]
    warm = newest.temperature_c or 0.0
    week = [
        p.temperature_c or 0.0 for p in points if timedelta(days=4) <= newest.at - p.at <= timedelta(days=11)
    ]
    if len(week) < 3 or warm < when["hot_c"] or warm - median(week) < when["rise_c"]:
        return None
    return Found(
        evidence=(
            _("{warm}; {usual} last week.").format(
                warm=view.said(warm, Quantity.TEMPERATURE),
                usual=view.said(median(week), Quantity.TEMPERATURE),
            ),
        ),
        at=newest.at,
        about="temperature",
        severity="today" if warm >= when["hot_c"] else None,
    )


def _quiet(view: View, when: Mapping[str, float]) -> tuple[Span, ...]:
    """Give the newest spans in which nothing went in; none while there are too few of them."""
    if view.last_span is None:
        return ()
    count = int(when["spans"])
    known = [
        s
        for s in view.course.spans[-8:]
        if not s.poured
        and not s.changed
        and (s.drunk_l or 0.0) > 0.5
        and s.first.conductivity_ms_cm is not None
        and s.last.conductivity_ms_cm is not None
    ]
    return tuple(known[-count:]) if len(known) >= count else ()


def _rise(span: Span) -> float:
    return (span.last.conductivity_ms_cm or 0.0) - (span.first.conductivity_ms_cm or 0.0)


def _told(view: View, spans: tuple[Span, ...]) -> Found:
    lines = tuple(
        _("{day}: {litres} less, {before} then {after}.").format(
            day=when_words(s.last.at),
            litres=view.said(s.drunk_l, Quantity.VOLUME),
            before=view.said(s.first.conductivity_ms_cm, Quantity.CONDUCTIVITY),
            after=view.said(s.last.conductivity_ms_cm, Quantity.CONDUCTIVITY),
        )
        for s in spans
    )
    return Found(evidence=lines, at=spans[-1].last.at)


SALT_DETECTORS = {
    "drinks_not_eats": drinks_not_eats,
    "eats_well": eats_well,
    "in_step": in_step,
    "creeps_up": creeps_up,
    "heat": heat,
}
