"""What a pattern's test looks at and gives back; the thirst and salt that were to be expected."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import cached_property
from math import hypot, sqrt

from tendtui.core.band import Band
from tendtui.core.learn_course import Course, Point, Span
from tendtui.core.learn_factor import robust_middle, weights_of
from tendtui.core.learn_feed import conductivity_spread, labels_poured
from tendtui.core.learned import Learning
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import date_words, show_amount, show_value
from tendtui.core.thirst import Thirst, groups_at, plants_drink_l_day, thirst_of
from tendtui.value import field, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

__all__ = ["Drink", "Found", "View", "poured_salt", "signed_words", "when_words"]

LEVEL_SPREAD_L = 0.5
"""Of a level read at marks, as one standard deviation at least. [L] (common practice, no source)"""

REAGENT_MS_CM = 0.03
"""What a mmol of acid or alkali does to the salt, about, and its spread. [mS/cm·L per mmol]

Source: molar conductivities of the ions at 25 °C (CRC Handbook): nitrate for bicarbonate adds 27, potassium
with bicarbonate adds 118 µS/cm per mmol/L.
"""

RECENT = timedelta(days=2.2)
"""What was read within this time is judged by what was learned before it."""


@value_class
class Found:
    """What a test saw."""

    evidence: tuple[str, ...]
    at: datetime
    about: str = ""
    sure: Literal["high", "medium", "low"] | None = None
    """None: as the data says."""
    severity: Literal["stop", "today", "week"] | None = None
    """None: as the data says."""


@value_class
class Drink:
    """One span's litres beside those to be expected."""

    span: Span
    drunk_l: float
    expected_l: float
    spread_l: float
    """One standard deviation of their difference. [L]"""
    salt_lost: float | None
    """Salt that went away beyond what was poured. [mS/cm·L]"""
    salt_expected: float
    """What plants eat in that time. [mS/cm·L]"""
    salt_spread: float

    @property
    def excess_l(self) -> float:
        """Give what left beyond thirst. [L]."""
        return self.drunk_l - self.expected_l


@value_class
class View:
    """The course of the tank up to now, with what was learned and wished."""

    course: Course
    learning: Learning
    now: datetime
    conductivity: Band | None = None
    ph: Band | None = None
    temperature: Band | None = None
    drinks_l_day: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def newest(self) -> Point | None:
        """Give the newest round."""
        return self.course.rounds[-1] if self.course.rounds else None

    @cached_property
    def last_span(self) -> Span | None:
        """Give the span before the newest round, while that is recent."""
        if not self.course.spans or self.newest is None or self.now - self.newest.at > RECENT:
            return None
        return self.course.spans[-1]

    @cached_property
    def usual_thirst(self) -> Thirst | None:
        """Give the thirst as learned without the newest spans, so that what is odd can't explain itself."""
        if self.newest is None:
            return None
        thirst = thirst_of(self.course, self.drinks_l_day, before=self.newest.at - RECENT)
        return thirst if thirst is not None and thirst.count >= 4 else None

    @cached_property
    def drinks(self) -> tuple[Drink, ...]:
        """Give the newest four spans beside what was to be expected."""
        if self.usual_thirst is None:
            return ()
        found = (self._drink(span, self.usual_thirst) for span in self.course.spans[-4:])
        return tuple(drink for drink in found if drink is not None)

    @cached_property
    def eaten_day(self) -> tuple[float, float]:
        """Give how much the strength at the full mark falls a day, and its spread. [mS/cm/day]."""
        steps = []
        for span in self.course.spans[:-2]:
            first, last = span.first.at_full_ms_cm, span.last.at_full_ms_cm
            if span.bottles or span.changed or span.drained_l or first is None or last is None:
                continue
            if 0.5 <= span.days <= 4.0:
                steps.append((first - last) / span.days)
        if len(steps) < 4:
            return 0.01, 0.02
        return robust_middle(steps, weights_of(len(steps), half_life=14.0))

    def said(self, value: float | None, quantity: Quantity) -> str:
        """Give digits and unit, in the person's own units."""
        return show_value(value or 0.0, quantity, self.course.rack.show)

    @property
    def meter_ms_cm(self) -> float:
        """Give the spread of one conductivity reading. [mS/cm]."""
        return conductivity_spread(self.course.rack)

    def expected_l(self, span: Span) -> float | None:
        """Give the litres that thirst explains in a span. [L]."""
        thirst = self.usual_thirst
        return None if thirst is None else self._expected_l(span, thirst)

    def _expected_l(self, span: Span, thirst: Thirst) -> float:
        middle = span.first.at + (span.last.at - span.first.at) / 2
        groups = groups_at(self.course.rack, self.course.planted, middle)
        plants = plants_drink_l_day(groups, self.drinks_l_day, at=middle)
        warm = [t for t in (span.first.temperature_c, span.last.temperature_c) if t is not None]
        return span.days * thirst.litres_day(
            plants_l_day=plants, temperature_c=sum(warm) / len(warm) if warm else 20.0
        )

    def _drink(self, span: Span, thirst: Thirst) -> Drink | None:
        drunk = span.drunk_l
        if drunk is None or span.days < 0.3 or span.days > 7.0:
            return None
        expected = self._expected_l(span, thirst)
        eaten, eaten_spread = self.eaten_day
        full = span.last.full_l + span.last.pipes_l
        level = max(LEVEL_SPREAD_L, 0.005 * span.last.full_l)
        salt, poured = _salt_lost(self.course.rack, span, self.learning)
        noise = hypot(span.first.litres_l or 0.0, span.last.litres_l or 0.0) * self.meter_ms_cm
        return Drink(
            span=span,
            drunk_l=drunk,
            expected_l=expected,
            spread_l=hypot(level * sqrt(2.0), thirst.spread * expected),
            salt_lost=salt,
            salt_expected=eaten * span.days * full,
            salt_spread=hypot(
                noise,
                hypot(eaten_spread * span.days * full, poured),
                level * sqrt(2.0) * (span.last.conductivity_ms_cm or 0.0),
            ),
        )


def signed_words(number: float) -> str:
    """Give digits with their sign, at most two after the point."""
    return ("+" if number >= 0.0 else "-") + show_amount(abs(number))


def when_words(at: datetime) -> str:
    """Say when a reading was taken."""
    return date_words(at)


def poured_salt(rack: Rack, span: Span, learning: Learning) -> tuple[float, float]:
    """Give the salt that was poured in a span, net of what was drained, and its spread. [mS/cm·L].

    Args:
        rack: Its labels.
        span: What went in.
        learning: How strong the feed really is.
    """
    strength = 1.0 if learning.feed is None else learning.feed.value
    labels = {feed.name: feed.label_conductivity_ms_cm for feed in rack.feeds}
    fed = sum(
        labels_poured(rack.feeds, p) * labels[p.what] * strength for p in span.bottles if p.what in labels
    )
    adjusters = {a.name: a.strength_mol_l or 0.15 * (a.percent_w_w or 20.0) for a in rack.adjusters}
    reagent = sum((p.ml or 0.0) * adjusters[p.what] for p in span.bottles if p.what in adjusters)
    drained = span.drained_l * (span.first.conductivity_ms_cm or 0.0)
    added = fed + span.water_l * span.first.source_ms_cm + REAGENT_MS_CM * reagent - drained
    return added, hypot(0.06 * fed, REAGENT_MS_CM * reagent) + 0.05 * drained


def _salt_lost(rack: Rack, span: Span, learning: Learning) -> tuple[float | None, float]:
    """Give the salt that went away beyond what was poured, and the spread of the pouring. [mS/cm·L]."""
    first, last = span.first.salt, span.last.salt
    added, spread = poured_salt(rack, span, learning)
    return (None if first is None or last is None else first + added - last), spread
