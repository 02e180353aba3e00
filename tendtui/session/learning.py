"""What was learned, what the readings mean together, and what lies ahead, for the session's rack and now."""

from __future__ import annotations

from functools import lru_cache

from tendtui.core.event import Change, Plants, Poured, Reading, Renewed
from tendtui.core.figure import is_by_hand
from tendtui.core.learned import Learning, for_plan, learn, learn_feed, learn_lightly
from tendtui.core.learned_words import learned_table
from tendtui.store.data_file import read_data
from tendtui.value import field, replace, value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import datetime

    from tendtui.core.bands import Bands
    from tendtui.core.event import Event
    from tendtui.core.forecast import Outlook
    from tendtui.core.forecast_change import ChangeAhead
    from tendtui.core.learn_course import Course
    from tendtui.core.learned_values import Learned, MeterDoubt
    from tendtui.core.pattern import Sign
    from tendtui.core.pattern_view import View
    from tendtui.core.rack import Rack
    from tendtui.core.salts_left import Unused
    from tendtui.core.state import State
    from tendtui.core.status import Wrong
    from tendtui.session.knowing import Knowing

    _Learn = Callable[[Course, Learning, Mapping[str, float]], Learning]

__all__ = [
    "Ahead",
    "about_today",
    "ahead_of",
    "drinks_l_day",
    "keep_learned",
    "learned_for_plan",
    "learning_now",
    "learning_table",
    "lesson_table",
    "outlets_closing",
    "pressing_signs",
    "signs_now",
    "signs_to_pass_on",
    "status_ahead",
    "status_wrong",
    "taught",
    "to_read_twice",
    "view_now",
    "view_of",
    "view_of_signs",
]

TEACH = (Reading, Poured, Change, Plants, Renewed)
"""Kinds of event that anything is learned from."""


@value_class
class Ahead:
    """What lies ahead."""

    outlook: Outlook
    change: ChangeAhead | None
    unused: Unused


@value_class(kw_only=False)
class _Lesson:
    """What a lesson is learned from; two are the same if the same events taught them."""

    rack: str
    count: int
    last: str
    kept: str
    of: tuple[Rack, tuple[Event, ...], Learning] = field(compare=False)


def learning_now(
    rack: Rack, events: Iterable[Event], state: State, *, until: datetime | None = None
) -> Learning:
    """Give everything learned: as the state keeps it, or from the log where that has gone on since.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        state: What is kept, frozen and reset.
        until: Learn nothing from later events; None: from all.
    """
    from tendtui.session.by_hand import kept_of

    known = tuple(e for e in events if until is None or e.at <= until)
    kept = kept_of(rack, known, state)
    last = _last(known)
    if state.learned.get("upto") == last and state.learned.get("rack") == _rack_mark(rack):
        return kept
    return taught(rack, known, kept)


def taught(rack: Rack, events: Iterable[Event], kept: Learning) -> Learning:
    """Learn from the log; what was held and forgotten by hand stays so.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        kept: What is held and forgotten.
    """
    known = tuple(e for e in events if isinstance(e, TEACH) or is_by_hand(e))
    held = f"{kept.frozen}{sorted(kept.reset.items())}" + "".join(str(_held(kept, n)) for n in kept.frozen)
    return _learned(_Lesson(_rack_mark(rack), len(known), _last(known), held, (rack, known, kept)))


def learned_for_plan(
    rack: Rack, events: Iterable[Event], state: State, *, until: datetime | None = None
) -> Learned:
    """Give what the plan of a dose takes: what was learned, and which meters are out of trust."""
    from tendtui.core.meter_trust import meter_doubts

    known = tuple(event for event in events if until is None or event.at <= until)
    learning = learning_now(rack, known, state, until=until)
    doubts = (*meter_doubts(known, rack), *_jumped(rack, known, learning))
    return replace(for_plan(learning), doubts=doubts)


def _jumped(rack: Rack, events: tuple[Event, ...], learning: Learning) -> tuple[MeterDoubt, ...]:
    """Give the meters whose newest reading jumped though nobody had a hand in it."""
    if not _moved(events):
        return ()
    from tendtui.core.learn_course import course_of
    from tendtui.core.meter_jump import jump_doubts
    from tendtui.core.pattern import patterns_from
    from tendtui.core.pattern_view import View

    view = View(
        course=course_of(rack, events), learning=learning, now=events[-1].at, drinks_l_day=drinks_l_day()
    )
    return jump_doubts(view, patterns_from(read_data("patterns")))


def _moved(events: tuple[Event, ...]) -> bool:
    """Say whether the newest readings lie so far apart that a jump is worth looking for."""
    shown = [e for e in events[-40:] if isinstance(e, Reading)]
    for values, least in (
        ([e.ph for e in shown if e.ph is not None][-3:], 0.5),
        ([e.conductivity_ms_cm for e in shown if e.conductivity_ms_cm is not None][-3:], 0.05),
    ):
        if len(values) > 1 and max(values) - min(values) >= least:
            return True
    return False


def learning_table(rack: Rack, events: Iterable[Event], state: State) -> dict[str, object]:
    """Give the figures as the state keeps them, with the event they reach up to."""
    known = tuple(events)
    return lesson_table(rack, known, learning_now(rack, known, state))


def lesson_table(rack: Rack, events: Iterable[Event], learning: Learning) -> dict[str, object]:
    """Give figures as the state keeps them, with the event they reach up to."""
    mark: dict[str, object] = {"rack": _rack_mark(rack), "upto": _last(events)}
    return {**mark, **learned_table(learning)}


def keep_learned(session: Knowing) -> None:
    """Learn everything anew from the log and keep the figures; what is held by hand stays.

    Args:
        session: The rack and its log.

    Raises:
        HeldError: If another writer doesn't let go in time.
        StateError: If the state can't be read or written; nothing is changed.
    """
    from tendtui.session.by_hand import kept_of
    from tendtui.store.lock import write_lock
    from tendtui.store.state_file import open_state, write_state

    with write_lock(session.folder, who=session.by):
        state, was = open_state(session.folder)
        anew = taught(session.rack, session.events, kept_of(session.rack, session.events, state))
        learned = lesson_table(session.rack, session.events, anew)
        write_state(session.folder, replace(state, learned=learned), was=was)


def view_now(session: Knowing) -> View:
    """Give what patterns and forecasts look at."""
    return view_of(session.rack, session.events, session.state, session.now())


def view_of_signs(session: Knowing, bands: Bands) -> View:
    """Give what patterns look at; forecasts need more of what was learned.

    Args:
        session: The rack, its log and the time.
        bands: Those of now.
    """
    now = session.now()
    events = tuple(e for e in session.events if e.at <= now)
    return _view(session.rack, events, session.state, now, bands, _feed_alone)


def view_of(rack: Rack, known: Iterable[Event], state: State, now: datetime) -> View:
    """Give what patterns and forecasts look at, of any rack and log.

    Args:
        rack: The rack.
        known: Effective events, in time order.
        state: What is kept of what was learned.
        now: The moment; later events don't count.
    """
    from tendtui.session.knowledge import rack_bands

    events = tuple(e for e in known if e.at <= now)
    return _view(rack, events, state, now, rack_bands(rack, events, now), _lightly)


def _lightly(course: Course, kept: Learning, drinks: Mapping[str, float]) -> Learning:
    return learn_lightly(course.rack, course.events, drinks_l_day=drinks, kept=kept)


def _feed_alone(course: Course, kept: Learning, _drinks: Mapping[str, float]) -> Learning:
    return learn_feed(course, kept=kept)


def _view(
    rack: Rack, events: tuple[Event, ...], state: State, now: datetime, bands: Bands, lesson: _Learn
) -> View:
    from tendtui.core.learn_course import course_of
    from tendtui.core.pattern_view import View
    from tendtui.session.by_hand import kept_of

    drinks = drinks_l_day()
    course = course_of(rack, events)
    return View(
        course=course,
        learning=lesson(course, kept_of(rack, events, state), drinks),
        now=now,
        conductivity=bands.conductivity.band,
        ph=bands.ph.band,
        temperature=bands.temperature.band,
        drinks_l_day=drinks,
    )


def signs_now(view: View) -> tuple[Sign, ...]:
    """Give the patterns that speak now."""
    from tendtui.core.pattern import patterns_from, signs

    return signs(view, patterns_from(read_data("patterns")))


def pressing_signs(view: View) -> tuple[tuple[str, str], ...]:
    """Give the patterns that something must be done about: what, and what to do."""
    return tuple((sign.what, sign.do) for sign in signs_now(view) if sign.pattern.alarm)


def signs_to_pass_on(view: View) -> tuple[tuple[str, str], ...]:
    """Give the same for somebody who may not act on them: what, what to look at, and whom to tell."""
    said = _("First: {check} Then tell the grower.")
    rows = (sign for sign in signs_now(view) if sign.pattern.alarm)
    return tuple((sign.what, said.format(check=_(sign.pattern.check))) for sign in rows)


def outlets_closing(view: View) -> dict[str, str]:
    """Give the tiers whose outlets give less and less, and what is said of each."""
    return {s.about: _(s.pattern.what) for s in signs_now(view) if s.pattern.detect == "outlet_closing"}


def to_read_twice(view: View) -> tuple[str, ...]:
    """Give the quantities whose newest reading moved further than anything poured or eaten explains."""
    jumps = ("salt_up", "salt_down")
    return tuple(sign.about for sign in signs_now(view) if sign.pattern.detect in jumps)


def ahead_of(view: View) -> Ahead:
    """Look ahead."""
    from tendtui.core.forecast import outlook
    from tendtui.core.forecast_change import change_ahead
    from tendtui.core.salts_left import unused_salts
    from tendtui.core.slow_rules import read_rules

    seen = outlook(view)
    rules = read_rules(read_data("task_rules"))  # type: ignore[arg-type]  # the packaged file has its tables
    band = view.conductivity
    unused = unused_salts(view.course, view.learning)
    change = change_ahead(
        view.course,
        view.now,
        rules,
        litres_day=seen.litres_day,
        top_ms_cm=None if band is None else band.high,
        wanted_ms_cm=None if band is None else (band.low + band.high) / 2.0,
        unused=unused,
    )
    return Ahead(outlook=seen, change=change, unused=unused)


def status_wrong(view: View) -> tuple[Wrong, ...]:
    """Give the patterns that something must be done about, as `status` lists them."""
    from tendtui.core.status import Wrong

    return tuple(
        Wrong(what=sign.what, why=sign.why, do=sign.do, severity=sign.severity)
        for sign in signs_now(view)
        if sign.pattern.alarm and sign.pattern.detect != "in_doubt"  # the look says that one by itself
    )


def status_ahead(
    view: View,
) -> tuple[dict[str, float | None], dict[str, tuple[float, float] | None]]:
    """Give the forecast's days and ranges by the contract's names; None where unknown or too far ahead."""
    from tendtui.core.forecast import HORIZON_DAYS

    ahead = ahead_of(view)
    days = {
        "days_to_least_level": ahead.outlook.least_level,
        "days_to_conductivity_limit": ahead.outlook.conductivity,
        "days_to_ph_limit": ahead.outlook.ph,
        "days_to_change": None if ahead.change is None else ahead.change.days,
    }
    values = {name: None if d is None else d.value for name, d in days.items()}
    ranges = {
        name: None if d is None else (d.low, HORIZON_DAYS if d.high is None else d.high)
        for name, d in days.items()
    }
    return values, ranges


def about_today(view: View) -> tuple[str, ...]:
    """Give the lines about patterns and what lies ahead for today's page, the most pressing first."""
    from tendtui.core.ahead_words import soon_lines
    from tendtui.core.forecast_stock import bottles_left, past_date

    lines = [f"[!] {sign.what}" for sign in signs_now(view) if sign.pattern.alarm]
    if lines:
        lines[-1] += ". " + _("Press m: what speaks for it, and what to do.")
    left, past = bottles_left(view.course, view.now), past_date(view.course, view.now.date())
    lines += soon_lines(left, past, view.course.rack)
    outlook = ahead_of(view).outlook
    if outlook.least_level is not None and outlook.least_level.value < 15.0:
        level = outlook.least_level
        lines.append(
            _("Untouched, the pump draws air in about {days:.0f} days ({low:.0f} to {high:.0f}).").format(
                days=level.value, low=level.low, high=level.value if level.high is None else level.high
            )
        )
    return tuple(lines)


def drinks_l_day() -> Mapping[str, float]:
    """Give crop -> litres a day of one plant in full leaf, where the crop table says. [L/day]."""
    from tendtui.session.knowledge import crop_table

    crops = crop_table().crops
    return {
        name: (crop.drinks_l_day.low + crop.drinks_l_day.high) / 2.0
        for crop in crops
        if crop.drinks_l_day is not None
        for name in (crop.name, *crop.aliases)
    }


@lru_cache(maxsize=4)
def _learned(lesson: _Lesson) -> Learning:
    from tendtui.core.dose_facts import dose_facts

    rack, events, kept = lesson.of
    return learn(rack, events, dose_facts(read_data("feeds")), drinks_l_day=drinks_l_day(), kept=kept)


def _last(events: Iterable[Event]) -> str:
    """Give the id of the last event that teaches anything."""
    last = ""
    for event in events:
        if isinstance(event, TEACH):
            last = event.id
    return last


def _rack_mark(rack: Rack) -> str:
    """Give a short mark of what learning takes from the rack: another rack, other lessons."""
    from zlib import crc32

    told = repr((rack.reservoir, rack.source, rack.meter, rack.tiers, rack.feeds, rack.adjusters))
    return f"{crc32(told.encode()):08x}"


def _held(kept: Learning, name: str) -> object:
    if name.startswith("response."):
        return kept.response.get(name.removeprefix("response."))
    return getattr(kept, name, None)
