"""Patterns of the meters: jumps nobody made, figures that stand still, drift since the last check."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import sqrt

from tendtui.core.event import TaskDone
from tendtui.core.learn_course import AGAIN, Point, Span
from tendtui.core.learn_feed import ph_spread
from tendtui.core.middle import median
from tendtui.core.pattern_view import RECENT, Found, View, poured_salt, signed_words, when_words
from tendtui.core.quantity import Quantity
from tendtui.words import _

__all__ = [
    "METER_DETECTORS",
    "frozen_conductivity",
    "frozen_ph",
    "ph_jump",
    "ph_meter_drift",
    "salt_down",
    "salt_up",
]


def ph_jump(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a step of pH with nothing added, far beyond this rack's own."""
    steps = [
        (s, s.last.ph - s.first.ph)
        for s in view.course.ph_steps
        if s.first.ph is not None
        and s.last.ph is not None
        and not s.poured
        and not s.changed
        and s.days <= when["longest_days"]
    ]
    if not steps or view.now - steps[-1][0].last.at > RECENT or steps[-1][0].last is not _last_ph(view):
        return None
    while len(steps) > 1 and steps[-1][0].days < AGAIN / timedelta(days=1):
        steps.pop()  # the same water measured twice
    span, step = steps[-1]
    if _was_good_since(view, "offset_ph", span.last.at):
        return None  # the buffers say that the meter is right: the water did it
    earlier = [abs(other) for _s, other in steps[:-1]]
    usual = 1.4826 * median(earlier) if len(earlier) >= 5 else 0.2
    usual = max(usual, ph_spread(view.course.rack) * sqrt(2.0))
    if abs(step) < max(when["least_ph"], when["spreads"] * usual):
        return None
    return Found(
        evidence=(
            _("{before} ({day}), then {after} ({later}), and nothing was added.").format(
                before=view.said(span.first.ph, Quantity.PH),
                day=when_words(span.first.at),
                after=view.said(span.last.ph, Quantity.PH),
                later=when_words(span.last.at),
            ),
        ),
        at=span.last.at,
        about="ph",
    )


def frozen_ph(view: View, when: Mapping[str, float]) -> Found | None:
    """Find one figure of pH through several readings, though acid or alkali went in."""
    points = [p for p in view.course.points if p.ph is not None]
    names = {a.name for a in view.course.rack.adjusters}
    run = _run(points, lambda a, b: a.ph == b.ph)
    if len(run) < when["readings"] or view.now - run[-1].at > RECENT:
        return None
    pours = [p for p in view.course.pourings if run[0].at <= p.at <= run[-1].at and p.what in names]
    if len(pours) < when["pours"]:
        return None
    return Found(
        evidence=(
            _("{value} on {count} readings since {day}, through {pours} pourings.").format(
                value=view.said(run[-1].ph, Quantity.PH),
                count=len(run),
                day=when_words(run[0].at),
                pours=len(pours),
            ),
        ),
        at=run[-1].at,
        about="ph",
    )


def frozen_conductivity(view: View, when: Mapping[str, float]) -> Found | None:
    """Find one figure of conductivity through several readings, though much water moved."""
    points = [p for p in view.course.points if p.conductivity_ms_cm is not None]
    run = _run(points, lambda a, b: a.conductivity_ms_cm == b.conductivity_ms_cm)
    if len(run) < when["readings"] or view.now - run[-1].at > RECENT:
        return None
    moved = sum(view.course.span(a, b).water_l for a, b in pairwise(run))
    litres = run[-1].litres_l or view.course.rack.reservoir.full_l
    if moved < when["litres_moved_share"] * litres or not _far_from_source(run[-1]):
        return None
    return Found(
        evidence=(
            _("{value} on {count} readings since {day}, with {litres} added.").format(
                value=view.said(run[-1].conductivity_ms_cm, Quantity.CONDUCTIVITY),
                count=len(run),
                day=when_words(run[0].at),
                litres=view.said(moved, Quantity.VOLUME),
            ),
        ),
        at=run[-1].at,
        about="conductivity",
    )


def ph_meter_drift(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a pH meter that its buffers showed to be off."""
    checks = [e for e in view.course.events if isinstance(e, TaskDone) and "offset_ph" in e.values]
    if not checks or view.now - checks[-1].at > timedelta(days=3):
        return None
    offset = checks[-1].values["offset_ph"]
    slope = checks[-1].values.get("slope_percent", 100.0)
    if abs(offset) < when["offset_ph"] and slope >= when["least_slope_percent"]:
        return None
    return Found(
        evidence=(
            _("{day}: off by {offset} in buffer 7, slope {slope:.0f} percent of the ideal.").format(
                day=when_words(checks[-1].at), offset=signed_words(offset), slope=slope
            ),
        ),
        at=checks[-1].at,
        about="ph",
    )


def salt_up(view: View, when: Mapping[str, float]) -> Found | None:
    """Find more salt than was poured, between two readings."""
    return _salt_jump(view, when, sign=1.0)


def salt_down(view: View, when: Mapping[str, float]) -> Found | None:
    """Find far less salt than plants can have eaten, where the level fell as usual."""
    return _salt_jump(view, when, sign=-1.0)


def _salt_jump(view: View, when: Mapping[str, float], *, sign: float) -> Found | None:
    feeds = {feed.name for feed in view.course.rack.feeds}
    for span in reversed(view.course.salt_steps[-6:]):
        if view.now - span.last.at > RECENT or _was_good_since(view, "error_percent", span.last.at):
            return None
        if span.changed or span.days > when["longest_days"] or {p.what for p in span.bottles} & feeds:
            continue
        jump = _jump(view, span)
        if jump is None or sign * jump[0] < max(when["least_ms_cm"], when["spreads"] * jump[1]):
            continue
        shown = span.last.conductivity_ms_cm or 0.0
        return Found(
            evidence=(
                _("{day}: {now}; {expected} would follow from the reading before.").format(
                    day=when_words(span.last.at),
                    now=view.said(shown, Quantity.CONDUCTIVITY),
                    expected=view.said(max(0.0, shown - jump[0]), Quantity.CONDUCTIVITY),
                ),
            ),
            at=span.last.at,
            about="conductivity",
        )
    return None


def _jump(view: View, span: Span) -> tuple[float, float] | None:
    """Give by how much the strength lies over what was to be expected, and its spread. [mS/cm]."""
    first, last, litres = span.first.salt, span.last.salt, span.last.litres_l
    ms_cm = span.last.conductivity_ms_cm
    if first is None or last is None or litres is None or ms_cm is None:
        return None
    added, unsure = poured_salt(view.course.rack, span, view.learning)
    eaten, eaten_spread = view.eaten_day
    full = span.last.full_l + span.last.pipes_l
    off = (last - first - added + eaten * span.days * full) / litres
    expected = view.expected_l(span)
    thirst = 0.0
    if expected is not None and span.drunk_l is not None:  # a level off by a slip moves the salt as well
        thirst = 0.5 * abs(span.drunk_l - expected) * ms_cm / litres
    noise = sqrt(
        2.0 * view.meter_ms_cm**2
        + (unsure / litres) ** 2
        + (eaten_spread * span.days * full / litres) ** 2
        + (0.7 * ms_cm / litres) ** 2
        + (0.008 * ms_cm) ** 2
        + thirst**2
    )
    return off, noise


def _run(points: Sequence[Point], same: Callable[[Point, Point], bool]) -> list[Point]:
    """Give the newest readings that are all alike."""
    run: list[Point] = []
    for point in reversed(points):
        if run and not same(point, run[-1]):
            break
        run.append(point)
    return list(reversed(run))


def _far_from_source(point: Point) -> bool:
    ms_cm = point.conductivity_ms_cm or 0.0
    return ms_cm - point.source_ms_cm > 0.5


def _was_good_since(view: View, key: str, at: datetime) -> bool:
    """Say whether a meter was checked and found good since a moment."""
    for event in reversed(view.course.events):
        if event.at < at:
            break
        if isinstance(event, TaskDone) and key in event.values:
            return abs(event.values[key]) < _GOOD[key]
    return False


def _last_ph(view: View) -> Point | None:
    read = [p for p in view.course.points if p.ph is not None]
    return read[-1] if read else None


_GOOD = {"offset_ph": 0.15, "error_percent": 5.0}
"""Within this a check calls a meter good. Source: meter makers' manuals; common practice."""

METER_DETECTORS = {
    "ph_jump": ph_jump,
    "frozen_ph": frozen_ph,
    "frozen_conductivity": frozen_conductivity,
    "ph_meter_drift": ph_meter_drift,
    "salt_up": salt_up,
    "salt_down": salt_down,
}
