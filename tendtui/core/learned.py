"""What this tank has taught: a pure function of the rack and its log.

Nothing here is added up over time: the log is read anew, so what is learned today is the same as what a
rebuild from the log gives. By hand one can freeze a figure, or reset it; both are kept in the state beside
the figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from math import hypot

from tendtui.core.event import Event, Renewed
from tendtui.core.figure import HELD, RESPONSE, acts_by_hand
from tendtui.core.learn_course import Course, course_of
from tendtui.core.learn_factor import factor_from, robust_middle, weights_of
from tendtui.core.learn_feed import At, feed_evidence, pipes_evidence
from tendtui.core.learned_values import Factor, Learned
from tendtui.core.rack import Rack
from tendtui.core.thirst import Thirst, thirst_of
from tendtui.core.tier_volume import pipes_spread
from tendtui.value import field, replace, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.dose_facts import DoseFacts

__all__ = ["Aside", "Learning", "Pace", "for_plan", "learn", "learn_feed", "learn_lightly", "lessons"]

FEED_SPREAD = 0.08
"""Doubt of a feed's label, as a logarithm (common practice, no source)."""

RESPONSE_SPREAD = 0.08
"""Doubt of the model's own answer to acid or alkali, beside the bottle's strength.

Source: spread of five databases in ph_dose.csv of the public tables, and air that isn't known.
"""

PIPES_SPREAD = 0.10
"""Doubt of litres computed from bore, length and lip (common practice, no source)."""

PACE_HALF_LIFE = 14.0
ENOUGH_STEPS = 4
MOST_STEPS = 60


@value_class
class Pace:
    """What a quantity does in a day by itself."""

    value: float
    """In the quantity's unit a day."""
    spread: float
    """One standard deviation of a single day."""
    count: int


@value_class
class Aside:
    """What was learned of a bottle or meter that was replaced."""

    what: str
    figure: str = ""
    """Which figure it was: `feed`, `response.<bottle>`."""
    until: datetime
    factor: Factor


@value_class
class Learning:
    """Everything learned; None where there is too little to go by."""

    feed: Factor | None = None
    """Conductivity that the feed really adds, over what its label says."""
    response: Mapping[str, Factor] = field(default_factory=dict)
    """Adjuster's name -> amount that is really needed, over what the chemistry says."""
    pipes: Factor | None = None
    """Litres in the pipes, over those believed."""
    ph_day: Pace | None = None
    """By how much pH rises a day, carbon dioxide's leaving taken off. [1/day]"""
    eaten_day: Pace | None = None
    """By how much the conductivity at the full mark falls a day. [mS/cm/day]"""
    thirst: Thirst | None = None
    aside: tuple[Aside, ...] = ()
    """Of bottles that were replaced."""
    frozen: tuple[str, ...] = ()
    """Names of figures that are held by hand, see `tendtui.core.figure`."""
    reset: Mapping[str, datetime] = field(default_factory=dict)
    """Name -> from when on it is learned anew, by hand."""


def learn(
    rack: Rack,
    events: Iterable[Event],
    facts: DoseFacts,
    *,
    drinks_l_day: Mapping[str, float] | None = None,
    kept: Learning | None = None,
) -> Learning:
    """Learn from the log.

    Args:
        rack: The rack.
        events: The log, in any order, replaced events among them or not.
        facts: What stands in for what a grower hasn't given.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        kept: What the state holds: its frozen figures stay, its resets count.
    """
    course = course_of(rack, events)
    teacher = _teacher(course, kept or Learning())
    light = _light(teacher, drinks_l_day)
    known = Learned(feed_strength=light.feed, pipes=light.pipes)
    response = {a.name: f for a in rack.adjusters if (f := teacher.response(a.name, facts, known))}
    held = teacher.holds("ph_day")
    pace = teacher.kept.ph_day if held else _ph_pace(course, teacher, facts, known)
    return replace(light, response=response, ph_day=pace, aside=tuple(teacher.aside))


def learn_lightly(
    rack: Rack,
    events: Iterable[Event],
    *,
    drinks_l_day: Mapping[str, float] | None = None,
    kept: Learning | None = None,
) -> Learning:
    """Learn what needs no chemistry: feed, pipes, appetite, thirst; the rest stays as it was kept.

    Args:
        rack: The rack.
        events: The log, in any order, replaced events among them or not.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        kept: What the state holds.
    """
    before = kept or Learning()
    light = _light(_teacher(course_of(rack, events), before), drinks_l_day)
    return replace(light, response=before.response, ph_day=before.ph_day)


def learn_feed(course: Course, *, kept: Learning) -> Learning:
    """Learn what patterns ask for, the feed's strength; the rest stays as it was kept.

    Args:
        course: The log, in order.
        kept: What the state holds.
    """
    return replace(kept, feed=_teacher(course, kept).feed())


def _teacher(course: Course, kept: Learning) -> _Teacher:
    renewed = tuple(e for e in course.events if isinstance(e, Renewed))
    held = {done.figure: done.at for done in acts_by_hand(course.events) if done.act == HELD}
    return _Teacher(course=course, renewed=renewed, kept=kept, held_at=held)


def _light(teacher: _Teacher, drinks_l_day: Mapping[str, float] | None) -> Learning:
    kept = teacher.kept
    held = teacher.holds("eaten_day")
    return Learning(
        feed=teacher.feed(),
        pipes=teacher.pipes(),
        eaten_day=kept.eaten_day if held else _eaten_pace(teacher.course, teacher),
        thirst=_thirst(teacher, drinks_l_day),
        aside=tuple(teacher.aside),
        frozen=tuple(name for name in kept.frozen if teacher.holds(name)),
        reset=teacher.kept.reset,
    )


def _thirst(teacher: _Teacher, drinks_l_day: Mapping[str, float] | None) -> Thirst | None:
    kept = teacher.kept
    if teacher.holds("thirst"):
        return kept.thirst
    start = kept.reset.get("thirst")
    course = teacher.course if start is None else teacher.course.since(start)
    return thirst_of(course, drinks_l_day)


def for_plan(learning: Learning) -> Learned:
    """Give what the plan of a dose takes."""
    pace = learning.ph_day
    return Learned(
        feed_strength=learning.feed,
        response=learning.response,
        drift_ph_day=None if pace is None else pace.value,
        pipes=learning.pipes,
    )


def lessons(rack: Rack, learning: Learning) -> tuple[str, ...]:
    """Say what was learned, in plain words with counts."""
    from tendtui.core.learned_words import lesson_lines

    return lesson_lines(rack, learning)


@value_class(frozen=False, kw_only=False)
class _Teacher:
    """Learns one figure after the other, and keeps aside what new bottles end."""

    course: Course
    renewed: tuple[Renewed, ...]
    kept: Learning
    held_at: Mapping[str, datetime]
    """Figure -> when it was last held, as the diary says."""
    aside: list[Aside] = field(default_factory=list)

    def feed(self) -> Factor | None:
        if not self.course.rack.feeds:
            return None
        label = self.course.rack.feeds[0].label_conductivity_ms_cm
        if not label > 0.0:
            return None
        pipes = self.pipes()
        measured = self.course.rack.reservoir.pipes_l is not None
        surer = pipes is not None and pipes.spread < pipes_spread(measured=measured)
        factor = pipes.value if pipes is not None and surer else 1.0
        evidence = feed_evidence(self.course, label_ms_cm=label, pipes=factor)
        return self._factor("feed", evidence, spread=FEED_SPREAD, held=self.kept.feed)

    def pipes(self) -> Factor | None:
        evidence = pipes_evidence(self.course)
        return self._factor("pipes", evidence, spread=PIPES_SPREAD, held=self.kept.pipes)

    def response(self, bottle: str, facts: DoseFacts, known: Learned) -> Factor | None:
        from tendtui.core.adjuster_strength import strength_of
        from tendtui.core.learn_response import response_evidence

        adjuster = next(a for a in self.course.rack.adjusters if a.name == bottle)
        spread = hypot(strength_of(adjuster).spread, RESPONSE_SPREAD)
        evidence = response_evidence(self.course, bottle, facts, known)
        held = self.kept.response.get(bottle)
        return self._factor(f"{RESPONSE}{bottle}", evidence, spread=spread, held=held)

    def holds(self, name: str) -> bool:
        """Say whether a figure is held by hand; a new bottle or meter ends what was held of the old."""
        if name not in self.kept.frozen:
            return False
        held_at = self.held_at.get(name)
        return held_at is None or not any(
            event.at > held_at for event in self.renewed if event.what in self.ends(name)
        )

    def ends(self, name: str) -> frozenset[str]:
        """Give the bottles and meters with which a figure starts afresh."""
        if name.startswith(RESPONSE):
            return frozenset({name.removeprefix(RESPONSE), "meter.ph"})
        feeds = {feed.name for feed in self.course.rack.feeds}
        return {
            "feed": frozenset({*feeds, "meter.conductivity"}),
            "ph_day": frozenset({"meter.ph"}),
            "eaten_day": frozenset({"meter.conductivity"}),
        }.get(name, frozenset())

    def start_of(self, name: str) -> datetime | None:
        """Give from when on a figure counts: the newest new bottle, new meter or reset by hand."""
        times = [event.at for event in self.renewed if event.what in self.ends(name)]
        if name in self.kept.reset:
            times.append(self.kept.reset[name])
        return max(times, default=None)

    def _factor(
        self, name: str, evidence: Sequence[At], *, spread: float, held: Factor | None
    ) -> Factor | None:
        self._keep_aside(name, evidence, spread)
        if self.holds(name):
            return held
        start = self.start_of(name)
        fresh = [a.evidence for a in evidence if start is None or a.at > start]
        return factor_from(fresh, prior_spread=spread) if fresh else None

    def _keep_aside(self, name: str, evidence: Sequence[At], spread: float) -> None:
        since: datetime | None = None
        for event in self.renewed:
            if event.what not in self.ends(name):
                continue
            old = [a.evidence for a in evidence if a.at <= event.at and (since is None or a.at > since)]
            if old:
                factor = factor_from(old, prior_spread=spread)
                self.aside.append(Aside(what=event.what, figure=name, until=event.at, factor=factor))
            since = event.at


def _ph_pace(course: Course, teacher: _Teacher, facts: DoseFacts, known: Learned) -> Pace | None:
    from tendtui.core.learn_response import drift_steps

    start = teacher.start_of("ph_day")
    steps = drift_steps(course, facts, known)
    return _pace([s.ph_day for s in steps if start is None or s.span.first.at > start])


def _eaten_pace(course: Course, teacher: _Teacher) -> Pace | None:
    """Give what plants eat, from rounds between which no bottle was poured."""
    start = teacher.start_of("eaten_day")
    steps = []
    for span in course.spans:
        first, last = span.first.at_full_ms_cm, span.last.at_full_ms_cm
        quiet = not span.bottles and not span.changed and not span.drained_l and 0.5 <= span.days <= 4.0
        if quiet and first is not None and last is not None and (start is None or span.first.at > start):
            steps.append((first - last) / span.days)
    return _pace(steps)


def _pace(steps: Sequence[float]) -> Pace | None:
    steps = steps[-MOST_STEPS:]
    if len(steps) < ENOUGH_STEPS:
        return None
    weights = weights_of(len(steps), half_life=PACE_HALF_LIFE)
    middle, spread = robust_middle(steps, weights)
    return Pace(value=middle, spread=spread, count=len(steps))
