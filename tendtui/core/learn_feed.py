"""What pourings say about the feed's strength and the tank's litres, from conductivity before and after."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import hypot, sqrt

from tendtui.core.event import Poured
from tendtui.core.learn_course import Course, Span
from tendtui.core.learn_factor import Evidence
from tendtui.core.rack import Feed, Rack
from tendtui.value import value_class

__all__ = ["At", "conductivity_spread", "feed_evidence", "labels_poured", "ph_spread", "pipes_evidence"]

CURVE = 0.93
"""Conductivity grows as strength to about this power.

Source: one feed from a quarter to four times its strength, ec.csv of the public tables (0.92 to 0.95).
"""

SOON = timedelta(hours=8)
"""Within this time plants move the strength by less than the meter's step (common practice, no source)."""

HANDS = 0.03
"""Spread of one pouring as a share: the eye at the mark, twice (common practice, no source)."""

PARTS_ALIKE = 0.15
"""How far the parts of a feed may differ in their label share and still tell of the feed as a whole."""

GAIN_MISFIT = 0.02
"""What the model of conductivity leaves unexplained, as a share (ec.csv, public tables: within 1.5 %)."""


@value_class
class At:
    """Evidence and when it was had."""

    at: datetime
    evidence: Evidence


def conductivity_spread(rack: Rack) -> float:
    """Give the spread of one conductivity reading: noise and the step's own rounding. [mS/cm].

    Args:
        rack: Its meter.
    """
    return sqrt(0.006**2 + rack.meter.conductivity_step_ms_cm**2 / 12.0)


def ph_spread(rack: Rack) -> float:
    """Give the spread of one pH reading: noise and the step's own rounding.

    Args:
        rack: Its meter; colour drops and strips (a step over 0.2) are read by eye.
    """
    coarse = rack.meter.ph_step > 0.2
    return sqrt((0.15 if coarse else 0.03) ** 2 + rack.meter.ph_step**2 / 12.0)


def feed_evidence(course: Course, *, label_ms_cm: float, pipes: float = 1.0) -> tuple[At, ...]:
    """Give what each feeding adds, over what the label says it adds.

    Args:
        course: The log.
        label_ms_cm: What all parts at label strength add to the source water. [mS/cm]
        pipes: Litres in the pipes, over those believed.
    """
    return tuple(_feedings(course, label_ms_cm, pipes))


def labels_poured(feeds: tuple[Feed, ...], poured: Poured) -> float:
    """Give how many litres at label strength a pouring of one part makes, its share of all parts. [L]."""
    for feed in feeds:
        label = feed.label_ml_per_l if feed.label_ml_per_l is not None else feed.label_g_per_l
        if feed.name == poured.what and label:
            amount = poured.ml if feed.label_ml_per_l is not None else poured.g
            return (amount or 0.0) / label / len(feeds)
    return 0.0


def pipes_evidence(course: Course) -> tuple[At, ...]:
    """Give what each topping up with water alone says of the litres in the pipes, over those believed."""
    return tuple(_dilutions(course))


def _strength(ms_cm: float) -> float:
    """Give what adds up by litres: conductivity to the power 1/CURVE."""
    return float(max(ms_cm, 1e-6) ** (1.0 / CURVE))


def _feedings(course: Course, label_ms_cm: float, pipes: float) -> Iterator[At]:
    for span in _mixed(course):
        labels = _labels(course.rack, span)
        if labels is None or not labels > 0.0:
            continue
        before, after, litres, then = _ends(span)
        litres += (pipes - 1.0) * span.first.pipes_l
        source = span.first.source_ms_cm
        unit = _strength(source + label_ms_cm) - _strength(source)
        whole = litres + span.water_l + sum((p.ml or 0.0) / 1000.0 for p in span.bottles)
        rise = _strength(after) * whole - _strength(before) * litres - _strength(source) * span.water_l
        expected = labels * unit
        per_ms = whole * _strength(after) / (CURVE * after)
        noise = hypot(1.0, litres / whole) * conductivity_spread(course.rack) * per_ms
        misfit = hypot(HANDS, 0.3 * GAIN_MISFIT)
        yield At(
            at=then,
            evidence=Evidence(
                measured=rise / expected, spread=hypot(noise / expected, misfit), predict=lambda f: f
            ),
        )


def _dilutions(course: Course) -> Iterator[At]:
    for span in _mixed(course):
        if span.bottles or span.drained_l or span.water_l <= 0.0:
            continue
        before, after, litres, then = _ends(span)
        level, pipes = span.first.level_l or 0.0, span.first.pipes_l
        if pipes <= 0.0 or span.water_l < 0.04 * litres:
            continue
        source, water = _strength(span.first.source_ms_cm), span.water_l
        start = _strength(before)

        def predict(
            factor: float,
            start: float = start,
            level: float = level,
            pipes: float = pipes,
            source: float = source,
            water: float = water,
        ) -> float:
            there = level + pipes * factor
            return float(((start * there + source * water) / (there + water)) ** CURVE)

        noise = hypot(1.0, 1.0) * conductivity_spread(course.rack)
        yield At(at=then, evidence=Evidence(measured=after, spread=noise, predict=predict))


def _mixed(course: Course) -> Iterator[Span]:
    """Give the spans of a few hours in which something went in and both ends are known."""
    for span in course.steps:
        if not span.poured or span.changed or span.last.at - span.first.at > SOON:
            continue
        if span.first.salt is not None and span.last.conductivity_ms_cm is not None:
            yield span


def _ends(span: Span) -> tuple[float, float, float, datetime]:
    return (
        _known(span.first.conductivity_ms_cm),
        _known(span.last.conductivity_ms_cm),
        _known(span.first.litres_l),
        span.last.at,
    )


def _known(value: float | None) -> float:
    if value is None:
        raise ValueError("the span's ends are known")
    return value


def _labels(rack: Rack, span: Span) -> float | None:
    """Give litres at label strength poured; None where parts don't match or something else went in."""
    if span.drained_l:
        return None
    share = {feed.name: 0.0 for feed in rack.feeds}
    for poured in span.bottles:
        if poured.what not in share:
            return None
        share[poured.what] += labels_poured(rack.feeds, poured)
    mean = sum(share.values()) / len(share) if share else 0.0
    if mean <= 0.0 or any(abs(part / mean - 1.0) > PARTS_ALIKE for part in share.values()):
        return None
    return sum(share.values())
