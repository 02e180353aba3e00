"""What pourings say about an adjuster's bottle and this tank's answer to it, and how pH drifts by itself.

The chemistry of the dose is asked what the reading after should have been, for several strengths of the
bottle; what was read picks the strength. So carbonate, phosphate, water and feed on the way are counted.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from datetime import timedelta
from math import exp, hypot, log, sqrt

from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_model import State, TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_steps import as_steps
from tendtui.core.event import Change, Poured
from tendtui.core.learn_course import Course, Point, Span
from tendtui.core.learn_factor import Evidence
from tendtui.core.learn_feed import At, ph_spread
from tendtui.core.learned_values import Learned
from tendtui.core.rack import Rack
from tendtui.core.tank import SETTLED_AFTER, tank_now
from tendtui.value import value_class

__all__ = ["DriftStep", "drift_steps", "response_evidence"]

SOON = timedelta(hours=4)
"""Within this time air and plants move pH little against a portion (common practice, no source)."""

MOST = 24
"""Pourings looked at, the newest: older ones would count less than a third."""

MISFIT = 0.03
"""pH that the model leaves unexplained after a portion, beside the meter (closed doses: ph_dose.csv)."""

_REACH = tuple(exp(x / 2.0) for x in range(-4, 5))
"""Strengths of the bottle asked about, over the one believed: e^-2 to e^2."""


@value_class
class DriftStep:
    """How far pH went by itself, against the same water left to the air."""

    span: Span
    ph_day: float
    """[1/day]"""


def response_evidence(course: Course, adjuster: str, facts: DoseFacts, learned: Learned) -> tuple[At, ...]:
    """Give what each portion of one bottle did, as evidence for the amount needed over the model's.

    Args:
        course: The log.
        adjuster: The bottle's name.
        facts: What stands in for what a grower hasn't given.
        learned: What is known of the feed; it must hold no response.
    """
    spans = [s for s in course.steps if _tells(s, course.rack, adjuster)][-MOST:]
    return tuple(_answers(course, spans, facts, learned))


def drift_steps(course: Course, facts: DoseFacts, learned: Learned) -> tuple[DriftStep, ...]:
    """Give how pH went from each reading to the next where nothing went in between.

    What carbon dioxide does on its way out is taken off, so what is left is the plants' doing.

    Args:
        course: The log.
        facts: What stands in for what a grower hasn't given.
        learned: What is known of the feed.
    """
    found = []
    for span in course.steps[-2 * MOST :]:
        first, last = span.first.ph, span.last.ph
        if first is None or last is None or span.poured or span.changed or not 0.4 <= span.days <= 3.0:
            continue
        settled = _left_to_air(course, span.first, facts, learned)
        if settled is not None:
            found.append(DriftStep(span=span, ph_day=(last - settled) / span.days))
    return tuple(found)


def _tells(span: Span, rack: Rack, adjuster: str) -> bool:
    names = {p.what for p in span.bottles}
    others = {a.name for a in rack.adjusters} - {adjuster}
    return (
        adjuster in names
        and not names & others
        and not span.changed
        and span.first.ph is not None
        and span.last.ph is not None
        and span.first.level_l is not None
        and span.last.at - span.first.at <= SOON
    )


def _answers(course: Course, spans: list[Span], facts: DoseFacts, learned: Learned) -> Iterator[At]:
    for span in spans:
        model = _model_at(course, span.first, facts, learned)
        if model is None or span.first.ph is None or span.last.ph is None:
            continue
        predict = _predictor(model, span, span.first.ph)
        if predict is None:
            continue
        spread = hypot(ph_spread(course.rack) * sqrt(2.0), MISFIT)
        yield At(at=span.last.at, evidence=Evidence(measured=span.last.ph, spread=spread, predict=predict))


def _model_at(course: Course, point: Point, facts: DoseFacts, learned: Learned) -> TankModel | None:
    tank = tank_now(course.events[: point.place + 1], course.rack, point.at)
    try:
        return tank_model(course.rack, tank, facts, learned, usual_ms_cm=1.5)
    except ValueError:
        return None


def _predictor(model: TankModel, span: Span, ph: float) -> Callable[[float], float] | None:
    """Give the pH after the pourings, as a curve over the bottle's strength."""
    try:
        start = model.state_now(Guess(), ph_read=ph)
        ends = [_ph_after(model, start, span, Guess(response=factor)) for factor in _REACH]
    except ValueError:
        return None
    places = [log(factor) for factor in _REACH]

    def predict(factor: float) -> float:
        x = min(max(log(factor), places[0]), places[-1])
        n = min(bisect_right(places, x), len(places) - 1)
        share = (x - places[n - 1]) / (places[n] - places[n - 1])
        return ends[n - 1] + share * (ends[n] - ends[n - 1])

    return predict


def _ph_after(model: TankModel, state: State, span: Span, guess: Guess) -> float:
    for step in as_steps(span.poured):
        state = model.after(state, step, guess)
    return state.blend.solved(temperature_c=model.temperature_c).ph


def _left_to_air(course: Course, point: Point, facts: DoseFacts, learned: Learned) -> float | None:
    if point.ph is None:
        return None
    if not course.rack.reservoir.aerated or _is_settled(course, point):
        return point.ph
    model = _model_at(course, point, facts, learned)
    if model is None:
        return None
    try:
        solution = model.solution_now(Guess(), ph_read=point.ph)
        return solution.open_to_air(model.air_atm(Guess())).ph
    except ValueError:
        return None


def _is_settled(course: Course, point: Point) -> bool:
    """Say whether nothing had gone in for so long that the air has had its way."""
    before = course.events[: point.place]
    return not any(
        isinstance(event, Poured | Change) and point.at - event.at < SETTLED_AFTER for event in before[-40:]
    )
