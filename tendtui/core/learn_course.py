"""The course of the tank: its readings in order, with the litres that stood there, and what went in between.

Learning, patterns and forecasts all read the log through these values. A doubtful value counts as not read.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from functools import cached_property
from itertools import pairwise

from tendtui.core.event import Change, Event, Plants, Poured, Reading, effective
from tendtui.core.rack import Rack
from tendtui.core.salt import at_full_ms_cm, salt_ms_cm_l
from tendtui.core.tank import litres_of
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.value import replace, value_class

__all__ = ["AGAIN", "Course", "Point", "Span", "course_of", "pipes_of"]

CARRIED = timedelta(hours=12)
"""How long a level, moved by what was poured, stands in for one not read (common practice, no source)."""

AGAIN = timedelta(hours=3)
"""A second reading within this time, with nothing poured between, settles a doubt (chosen here)."""

_FIELDS = {
    "level": "level_l",
    "conductivity": "conductivity_ms_cm",
    "ph": "ph",
    "temperature": "temperature_c",
}
"""What a reading's doubts name -> the field."""

USUAL_SOURCE_MS_CM = 0.3
"""Taken where the source water's conductivity isn't known (common practice, no source). [mS/cm]"""


@value_class
class Point:
    """One reading, as far as it can be believed."""

    reading: Reading
    at: datetime
    place: int
    """Its place among all events that count."""
    level_l: float | None = None
    """As read, or carried for some hours through what was poured. [L]"""
    level_was_read: bool = False
    conductivity_ms_cm: float | None = None
    ph: float | None = None
    temperature_c: float | None = None
    pipes_l: float = 0.0
    full_l: float = 0.0
    source_ms_cm: float = USUAL_SOURCE_MS_CM

    @property
    def litres_l(self) -> float | None:
        """Give reservoir and pipes. [L]."""
        return None if self.level_l is None else self.level_l + self.pipes_l

    @property
    def salt(self) -> float | None:
        """Give conductivity times litres. [mS/cm·L]."""
        if self.litres_l is None or self.conductivity_ms_cm is None:
            return None
        return salt_ms_cm_l(conductivity_ms_cm=self.conductivity_ms_cm, litres_l=self.litres_l)

    @property
    def at_full_ms_cm(self) -> float | None:
        """Give the conductivity that topping up with source water would leave. [mS/cm]."""
        if self.level_l is None or self.conductivity_ms_cm is None:
            return None
        return at_full_ms_cm(
            conductivity_ms_cm=self.conductivity_ms_cm,
            level_l=self.level_l,
            full_l=self.full_l,
            pipes_l=self.pipes_l,
            source_ms_cm=self.source_ms_cm,
        )


@value_class
class Span:
    """From one reading to a later one."""

    first: Point
    last: Point
    poured: tuple[Poured, ...] = ()
    """What went in, or was drained, between them, in order."""
    changed: bool = False
    """Whether the solution was changed between them."""

    @property
    def days(self) -> float:
        """Give its length. [days]."""
        return (self.last.at - self.first.at) / timedelta(days=1)

    @property
    def water_l(self) -> float:
        """Give the source water added. [L]."""
        return sum(p.litres or 0.0 for p in self.poured if p.what == "water")

    @property
    def drained_l(self) -> float:
        """Give what was drained. [L]."""
        return sum(p.litres or 0.0 for p in self.poured if p.what == "drained")

    @property
    def bottles(self) -> tuple[Poured, ...]:
        """Give the pourings from bottles."""
        return tuple(p for p in self.poured if p.what not in ("water", "drained"))

    @property
    def drunk_l(self) -> float | None:
        """Give what left by itself: drunk, evaporated or leaked. [L]."""
        if self.changed or not (self.first.level_was_read and self.last.level_was_read):
            return None
        if self.first.level_l is None or self.last.level_l is None:
            return None
        return self.first.level_l + sum(litres_of(p) for p in self.poured) - self.last.level_l

    @property
    def drunk_l_day(self) -> float | None:
        """Give the same for a day; spans under half a day tell too little. [L/day]."""
        drunk = self.drunk_l
        return None if drunk is None or self.days < 0.5 else drunk / self.days


@value_class
class Course:
    """All of it, oldest first."""

    rack: Rack
    events: tuple[Event, ...]
    """Those that count."""
    points: tuple[Point, ...] = ()
    changes: tuple[Change, ...] = ()
    pourings: tuple[Poured, ...] = ()

    @cached_property
    def rounds(self) -> tuple[Point, ...]:
        """Give the readings with a level: those of rounds."""
        return tuple(p for p in self.points if p.level_was_read)

    @cached_property
    def spans(self) -> tuple[Span, ...]:
        """Give the spans between one round and the next."""
        return tuple(self.span(a, b) for a, b in pairwise(self.rounds))

    @cached_property
    def steps(self) -> tuple[Span, ...]:
        """Give the spans between one reading of any kind and the next."""
        return tuple(self.span(a, b) for a, b in pairwise(self.points))

    @cached_property
    def planted(self) -> tuple[Plants, ...]:
        """Give what was done with the plants."""
        return tuple(e for e in self.events if isinstance(e, Plants))

    @cached_property
    def ph_steps(self) -> tuple[Span, ...]:
        """Give the spans between one reading of pH and the next."""
        known = [p for p in self.points if p.ph is not None]
        return tuple(self.span(a, b) for a, b in pairwise(known))

    @cached_property
    def salt_steps(self) -> tuple[Span, ...]:
        """Give the spans between one reading of strength, its litres known, and the next."""
        known = [p for p in self.points if p.salt is not None]
        return tuple(self.span(a, b) for a, b in pairwise(known))

    def span(self, first: Point, last: Point) -> Span:
        """Give what lies between two readings."""
        ends = (first.place, last.place)
        if ends not in self._spans:
            self._spans[ends] = self._span(first, last)
        return self._spans[ends]

    @cached_property
    def _spans(self) -> dict[tuple[int, int], Span]:
        return {}

    def _span(self, first: Point, last: Point) -> Span:
        poured, changed = [], False
        for event in self.events[first.place + 1 : last.place]:
            if isinstance(event, Poured):
                poured.append(event)
            elif isinstance(event, Change):
                changed = True
        return Span(first=first, last=last, poured=tuple(poured), changed=changed)

    def since(self, at: datetime) -> Course:
        """Give the same without the readings before a moment."""
        return replace(self, points=tuple(p for p in self.points if p.at >= at))

    def water_since_change_l(self) -> float:
        """Give the source water added since the last change. [L]."""
        since = self.changes[-1].at if self.changes else None
        return sum(
            p.litres or 0.0 for p in self.pourings if p.what == "water" and (since is None or p.at > since)
        )


def pipes_of(rack: Rack) -> float:
    """Give the litres in the pipes; none where a tier's measures can't be. [L]."""
    try:
        return litres_in_pipes(rack)
    except ValueError:
        return 0.0


def course_of(rack: Rack, events: Iterable[Event], *, until: datetime | None = None) -> Course:
    """Put the log in order.

    Args:
        rack: The rack.
        events: The log, in any order, replaced events among them or not.
        until: Leave out what was later; None: all of it.
    """
    known = tuple(e for e in effective(events) if until is None or e.at <= until)
    return Course(
        rack=rack,
        events=known,
        points=tuple(_points(rack, known)),
        changes=tuple(e for e in known if isinstance(e, Change)),
        pourings=tuple(e for e in known if isinstance(e, Poured)),
    )


def _points(rack: Rack, events: tuple[Event, ...]) -> Iterable[Point]:
    level: float | None = None
    level_at: datetime | None = None
    pipes_l = pipes_of(rack)
    source = rack.source.conductivity_ms_cm
    confirmed, repeats = _measured_twice(events, rack)
    for place, event in enumerate(events):
        if isinstance(event, Reading) and event.id in confirmed:
            event = replace(event, doubt=tuple(n for n in event.doubt if n not in confirmed[event.id]))
        match event:
            case Poured() if level is not None:
                level += litres_of(event)
            case Change():
                level, level_at = _refilled(event, level), event.at
            case Reading():
                read = None if "level" in event.doubt else event.level_l
                if read is not None:
                    level, level_at = read, event.at
                fresh = level_at is not None and event.at - level_at <= CARRIED
                yield Point(
                    reading=event,
                    at=event.at,
                    place=place,
                    level_l=level if fresh else None,
                    level_was_read=read is not None and event.id not in repeats,
                    conductivity_ms_cm=_sure(event, event.conductivity_ms_cm, "conductivity"),
                    ph=_sure(event, event.ph, "ph"),
                    temperature_c=_sure(event, event.temperature_c, "temperature"),
                    pipes_l=pipes_l,
                    full_l=rack.reservoir.full_l,
                    source_ms_cm=USUAL_SOURCE_MS_CM if source is None else source,
                )
            case _:
                pass


def _measured_twice(events: tuple[Event, ...], rack: Rack) -> tuple[dict[str, set[str]], set[str]]:
    """Give reading's id -> what of it was confirmed by a second; and the ids of those that repeat a level."""
    confirmed: dict[str, set[str]] = {}
    repeats: set[str] = set()
    for place, event in enumerate(events):
        if not isinstance(event, Reading) or not event.doubt:
            continue
        for later in events[place + 1 :]:
            if isinstance(later, Poured | Change) or later.at - event.at > AGAIN:
                break
            if not isinstance(later, Reading):
                continue
            found = {name for name in event.doubt if _confirms(later, event, name, rack)}
            confirmed.setdefault(event.id, set()).update(found)
            if "level" in found:
                repeats.add(later.id)
    return confirmed, repeats


def _confirms(later: Reading, first: Reading, name: str, rack: Rack) -> bool:
    """Say whether a later reading lies near a doubtful one."""
    from tendtui.core.judge import near
    from tendtui.core.quantity import Quantity

    if name in later.unsure:
        return False
    if name.startswith("flow."):
        tier = name.removeprefix("flow.")
        one, two, quantity = first.flow_l_min.get(tier), later.flow_l_min.get(tier), Quantity.FLOW
    elif name in _FIELDS:
        one, two, quantity = getattr(first, _FIELDS[name]), getattr(later, _FIELDS[name]), Quantity(name)
    else:
        return False
    return one is not None and two is not None and near(one, two, quantity=quantity, meter=rack.meter)


def _refilled(change: Change, level_l: float | None) -> float | None:
    return level_l if change.litres is None else change.litres


def _sure(reading: Reading, value: float | None, name: str) -> float | None:
    return None if name in reading.unsure else value
