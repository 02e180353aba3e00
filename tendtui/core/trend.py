"""How level, strength, pH, warmth and flow went, with their bands and what was done: what charts draw.

Values stay in their stored units; nothing is drawn here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Literal

from tendtui.core.band import Band
from tendtui.core.event import Change, Poured, Renewed
from tendtui.core.habit import habit_of
from tendtui.core.learn_course import Course, Point
from tendtui.core.middle import median
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import quantity_name
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "Act",
    "Mark",
    "Reach",
    "Sample",
    "Trend",
    "Trends",
    "act_name",
    "reach_name",
    "trends_of",
    "within",
]

Act = Literal["change", "feed", "adjuster", "drained", "water", "renewed"]
"""What was done; the order is that of their weight where several meet."""

GAP_DAYS = 4.0
"""Readings farther apart than this, and than two and a half times this quantity's own habit, aren't joined
by a line: nobody knows what lay between. (chosen here) [days]"""

FLOW_STEP_L_MIN = 0.1
"""Closer than this a cup and a watch can't tell flows apart. [L/min] (common practice, no source)"""

_LEAST_REACH: Mapping[Quantity, float] = {
    Quantity.LEVEL: 5.0,
    Quantity.CONDUCTIVITY: 0.2,
    Quantity.PH: 0.5,
    Quantity.TEMPERATURE: 3.0,
    Quantity.FLOW: 0.5,
}
"""A chart's height is never less than this, so that a meter's last digit doesn't fill it. (chosen here)"""


class Reach(StrEnum):
    """How far back a chart goes."""

    WEEK = "week"
    MONTH = "month"
    SEASON = "season"

    @property
    def days(self) -> float | None:
        """Give its days; None: as far as the log goes."""
        return {Reach.WEEK: 7.0, Reach.MONTH: 30.0}.get(self)


@value_class
class Sample:
    """One value of one quantity."""

    at: datetime
    value: float
    doubt: bool = False
    """Whether it was unusual and not measured twice."""
    event: str = ""
    """Id of the reading it comes from."""


@value_class
class Trend:
    """One quantity's course."""

    id: str
    """`level`, `at_full`, `ph`, `temperature`, `flow.<tier>`."""
    name: str
    quantity: Quantity
    samples: tuple[Sample, ...] = ()
    """Oldest first."""
    band: Band | None = None
    low: float = 0.0
    """Lower edge of its chart."""
    high: float = 1.0
    """Upper edge of its chart."""

    @property
    def last(self) -> Sample | None:
        """Give the newest value without a doubt."""
        return next((s for s in reversed(self.samples) if not s.doubt), None)

    @property
    def outside(self) -> int:
        """Give how many values lie outside the band."""
        return sum(1 for s in self.samples if not s.doubt and self.is_outside(s.value))

    def is_outside(self, value: float) -> bool:
        """Say whether a value lies outside the band; where there is none, nothing does."""
        return self.band is not None and not self.band.holds(value)

    def joined(self) -> tuple[tuple[Sample, Sample], ...]:
        """Give the pairs of neighbours that a line may join."""
        sure = [s for s in self.samples if not s.doubt]
        pairs = tuple(pairwise(sure))
        usual = median((b.at - a.at).total_seconds() for a, b in pairs) if pairs else 0.0
        near = max(timedelta(days=GAP_DAYS), timedelta(seconds=2.5 * usual))
        return tuple((a, b) for a, b in pairs if b.at - a.at <= near)


@value_class
class Mark:
    """Something that was done."""

    at: datetime
    act: Act
    what: str = ""
    """The bottle's own name, or empty."""


@value_class
class Trends:
    """All courses over the same time."""

    first: datetime
    now: datetime
    show: Show
    trends: tuple[Trend, ...] = ()
    marks: tuple[Mark, ...] = ()
    reach: Reach = Reach.SEASON

    def share(self, at: datetime) -> float:
        """Give where a moment lies: 0 at the left edge, 1 now."""
        whole = (self.now - self.first) / timedelta(days=1)
        return (at - self.first) / timedelta(days=1) / whole if whole > 0.0 else 1.0


def act_name(act: Act) -> str:
    """Say what was done, in a word or two."""
    names: Mapping[Act, str] = {
        "change": _("change"),
        "feed": _("feed"),
        "adjuster": _("acid or alkali"),
        "drained": _("drained"),
        "water": _("water"),
        "renewed": _("new bottle or meter"),
    }
    return names[act]


def reach_name(reach: Reach) -> str:
    """Say how far back a chart goes."""
    return {Reach.WEEK: _("week"), Reach.MONTH: _("month"), Reach.SEASON: _("season")}[reach]


def trends_of(course: Course, now: datetime, bands: Mapping[Quantity, Band]) -> Trends:
    """Give the whole log's courses.

    Args:
        course: The log.
        now: The moment at the right edge; later readings are left out.
        bands: What conductivity, pH and temperature are kept in.
    """
    points = [p for p in course.points if p.at <= now]
    rack = course.rack
    marks_at_tank = Band(low=rack.reservoir.least_l, high=rack.reservoir.full_l)
    level = _trend("level", Quantity.LEVEL, _levels(points), marks_at_tank)
    strength = Trend(
        id="at_full",
        name=_("strength, full"),
        quantity=Quantity.CONDUCTIVITY,
        samples=_samples((p, p.at_full_ms_cm, False) for p in points),
        band=bands.get(Quantity.CONDUCTIVITY),
    )
    sour = _trend("ph", Quantity.PH, _read(points, "ph"), bands.get(Quantity.PH))
    warm = _trend(
        "temperature", Quantity.TEMPERATURE, _read(points, "temperature"), bands.get(Quantity.TEMPERATURE)
    )
    flows = tuple(_flow(course, tier.name, points, now) for tier in rack.tiers)
    found = tuple(_edged(t) for t in (level, strength, sour, warm)) + _edged_alike(flows)
    seen = [t.samples[0].at for t in found if t.samples]
    return Trends(
        first=min(seen, default=now - timedelta(days=7)),
        now=now,
        show=rack.show,
        trends=found,
        marks=_marks(course, now),
    )


def within(trends: Trends, reach: Reach) -> Trends:
    """Cut the courses to the last days; their edges follow what is left."""
    if reach.days is None:
        return replace(trends, reach=reach)
    first = trends.now - timedelta(days=reach.days)
    kept = [replace(t, samples=tuple(s for s in t.samples if s.at >= first)) for t in trends.trends]
    flows = tuple(t for t in kept if t.quantity is Quantity.FLOW)
    return replace(
        trends,
        first=first,
        reach=reach,
        trends=(*(_edged(t) for t in kept if t.quantity is not Quantity.FLOW), *_edged_alike(flows)),
        marks=tuple(m for m in trends.marks if m.at >= first),
    )


def _trend(name: str, quantity: Quantity, samples: tuple[Sample, ...], band: Band | None) -> Trend:
    return Trend(id=name, name=quantity_name(quantity), quantity=quantity, samples=samples, band=band)


def _flow(course: Course, tier: str, points: Sequence[Point], now: datetime) -> Trend:
    usual = habit_of(course.events, Quantity.FLOW, tier=tier, now=now).usual
    if usual is not None and usual.high - usual.low < 2.0 * FLOW_STEP_L_MIN:
        middle = (usual.low + usual.high) / 2.0
        usual = Band(low=max(0.0, middle - FLOW_STEP_L_MIN), high=middle + FLOW_STEP_L_MIN, source="log")
    rows = ((p, p.reading.flow_l_min.get(tier), f"flow.{tier}" in p.reading.doubt) for p in points)
    return Trend(
        id=f"flow.{tier}",
        name=_("flow {tier}").format(tier=tier),
        quantity=Quantity.FLOW,
        samples=_samples(rows),
        band=usual,
    )


def _levels(points: Iterable[Point]) -> tuple[Sample, ...]:
    return _samples((p, p.reading.level_l, "level" in p.reading.doubt) for p in points)


def _read(points: Iterable[Point], name: str) -> tuple[Sample, ...]:
    field = {"ph": "ph", "temperature": "temperature_c"}[name]
    return _samples((p, getattr(p.reading, field), name in p.reading.unsure) for p in points)


def _samples(rows: Iterable[tuple[Point, float | None, bool]]) -> tuple[Sample, ...]:
    return tuple(
        Sample(at=point.at, value=value, doubt=doubt, event=point.reading.id)
        for point, value, doubt in rows
        if value is not None
    )


def _edged(trend: Trend) -> Trend:
    low, high = _edges((trend,))
    return replace(trend, low=low, high=high)


def _edged_alike(trends: tuple[Trend, ...]) -> tuple[Trend, ...]:
    """Give charts that are compared the same edges: outlets in series should agree."""
    if not trends:
        return ()
    low, high = _edges(trends)
    return tuple(replace(trend, low=low, high=high) for trend in trends)


def _edges(trends: tuple[Trend, ...]) -> tuple[float, float]:
    """Give the edges of charts: what was read and the bands lie inside; doubtful values don't count."""
    known = [s.value for t in trends for s in t.samples if not s.doubt]
    limits = [edge for t in trends if t.band is not None for edge in (t.band.low, t.band.high)]
    every = [*known, *limits] or [0.0, 1.0]
    low, high = min(every), max(every)
    short = _LEAST_REACH.get(trends[0].quantity, 1.0) - (high - low)
    margin = max(0.06 * (high - low), short / 2.0)
    return max(min(low, 0.0), low - margin), high + margin


def _marks(course: Course, now: datetime) -> tuple[Mark, ...]:
    feeds = {feed.name for feed in course.rack.feeds}
    marks = []
    for event in course.events:
        match event:
            case Change():
                marks.append(Mark(at=event.at, act="change"))
            case Renewed():
                marks.append(Mark(at=event.at, act="renewed", what=event.what))
            case Poured(what="water" | "drained" as act):
                marks.append(Mark(at=event.at, act=act))
            case Poured():
                bottle: Act = "feed" if event.what in feeds else "adjuster"
                marks.append(Mark(at=event.at, act=bottle, what=event.what))
            case _:
                pass
    return tuple(mark for mark in marks if mark.at <= now)
