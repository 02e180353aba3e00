"""What is due, since when and why: each task once a period, by what happened, or by the water added."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from tendtui.core.event import Event, Poured, TaskDone
from tendtui.core.happening import Happening, happening_words, happenings, hot_or_cold
from tendtui.core.last_done import last_done
from tendtui.core.rack import Rack
from tendtui.core.recurrence import Cadence, cadence_words, day_done, day_due, start_of_day
from tendtui.core.slow_rules import SlowRules
from tendtui.core.task import NOT_HERE, Task
from tendtui.value import field, replace, value_class
from tendtui.words import _, n_

__all__ = ["CHANGE", "Asked", "TaskDue", "due_tasks"]

CHANGE = "change-water"
"""The task that stands for change day."""


@value_class
class Asked:
    """A moment at which another part of the program wants a task done: a change rule, a batch of plants."""

    at: datetime
    because: str
    stands: bool = True
    """Whether it counts although the task was done since: what it is about is still so."""


@value_class
class TaskDue:
    """A task and when it is next due."""

    task: Task
    due: datetime | None
    """None: silenced, or only due once something happens."""
    last_done: datetime | None
    is_due: bool
    because: str
    """Why now or why then, a clause."""
    score: float
    """Risk grown by lateness; 0 while it isn't due."""


@value_class
class _Day:
    """What all tasks share."""

    now: datetime
    began: datetime
    weather: str
    happened: tuple[Happening, ...]
    events: Sequence[Event]
    tank_l: float
    rules: SlowRules
    not_here: frozenset[str] = frozenset()
    """Tasks of which somebody said last that there is none of it here."""
    asked: Mapping[str, tuple[Asked, ...]] = field(default_factory=dict)
    said_done: Mapping[str, datetime] = field(default_factory=dict)
    """When somebody last said of a task itself that it is done."""


def due_tasks(
    tasks: Sequence[Task],
    rack: Rack,
    events: Sequence[Event],
    done: Mapping[str, datetime],
    now: datetime,
    *,
    rules: SlowRules,
    asked: Mapping[str, tuple[Asked, ...]] | None = None,
) -> tuple[TaskDue, ...]:
    """Give every task with its next due moment, in the order of the tasks.

    Args:
        tasks: Those that fit the rack, silenced ones included.
        rack: For the size of a tank and the days between changes.
        events: Effective events, in time order.
        done: Task id -> last done, as the state file remembers it.
        now: The moment asked about, with offset; its zone is where days begin.
        rules: Thresholds and weights.
        asked: Task id -> moments at which other parts want it done.
    """
    day = _Day(
        now=now,
        began=min((event.at for event in events if event.at <= now), default=now),
        weather=hot_or_cold(events, rules, now),
        happened=happenings([event for event in events if event.at <= now], rules),
        events=events,
        tank_l=rack.reservoir.full_l,
        not_here=_not_here(events),
        rules=rules,
        asked=asked or {},
        said_done=_said_done(events, now) if asked else {},
    )
    when_done = last_done(tasks, events, done, now)
    change = next((task for task in tasks if task.id == CHANGE), None)
    change_due = None if change is None else _next(change, when_done.get(CHANGE), day)
    return tuple(_due(task, when_done.get(task.id), change_due, day) for task in tasks)


def _due(task: Task, done: datetime | None, change: Asked | None, day: _Day) -> TaskDue:
    wanted = None if task.silenced else _next(task, done, day)
    if not task.silenced and task.cadence.trigger == "change-day":
        wanted = _earlier(wanted, change)
    is_due = wanted is not None and wanted.at <= day.now
    return TaskDue(
        task=task,
        due=None if wanted is None else wanted.at,
        last_done=done,
        is_due=is_due,
        because=_("silenced: {reason}").format(reason=task.silenced)
        if task.silenced
        else ""
        if wanted is None
        else wanted.because,
        score=0.0 if wanted is None or not is_due else _score(task, wanted.at, day),
    )


def _next(task: Task, done: datetime | None, day: _Day) -> Asked | None:
    """Give the earliest of its period, what happened since, the water added, and what others ask."""
    wanted = _by_period(task, done, day)
    for candidate in (
        _by_happening(task, done, day),
        _by_water(task, done, day),
        _by_others(task, done, day),
    ):
        wanted = _earlier(wanted, candidate)
    return wanted


def _by_period(task: Task, done: datetime | None, day: _Day) -> Asked | None:
    cadence = _cadence_now(task, day)
    if done is None:
        return _first_time(task, cadence, day)
    due = day_due(day_done(done, day.now), cadence)
    if due is None or task.id in day.not_here:
        return None
    days = (day.now.date() - day_done(done, day.now)).days
    often = cadence_words(cadence)
    if days == 0:
        because = _("{often}, done today").format(often=often)
    else:
        because = n_("{often}, now {n} day", "{often}, now {n} days", days).format(often=often, n=days)
    return Asked(at=start_of_day(due, day.now), because=because)


def _said_done(events: Sequence[Event], now: datetime) -> dict[str, datetime]:
    return {
        event.task: event.at
        for event in events
        if isinstance(event, TaskDone) and event.outcome in ("good", "found") and event.at <= now
    }


def _not_here(events: Sequence[Event]) -> frozenset[str]:
    last = {event.task: event for event in events if isinstance(event, TaskDone)}
    return frozenset(task for task, event in last.items() if NOT_HERE in event.values)


def _first_time(task: Task, cadence: Cadence, day: _Day) -> Asked | None:
    if task.first == "now" or cadence.trigger == "first-time":
        return Asked(at=day.began, because=_("never done so far"))
    began = day_done(day.began, day.now)
    longest = day_due(began, Cadence(text="", months=day.rules.longest_wait_months))
    due = day_due(began, cadence)
    if due is None:
        return None
    soon = due if longest is None else min(due, longest)
    return Asked(at=start_of_day(soon, day.now), because=_("never done so far"))


def _cadence_now(task: Task, day: _Day) -> Cadence:
    """Give the shortest cadence that heat, cold or a young rack asks for now."""
    cadences = [task.cadence]
    if task.hot is not None and day.weather == "hot":
        cadences.append(task.hot)
    if task.cold is not None and day.weather == "cold":
        cadences.append(task.cold)
    if task.young is not None and day.now - day.began < timedelta(days=30):
        cadences.append(task.young)
    return min(cadences, key=lambda cadence: cadence.about_days)


def _by_happening(task: Task, done: datetime | None, day: _Day) -> Asked | None:
    watched = (*task.on, "crop-change") if task.cadence.trigger == "crop-change" else task.on
    for happening in day.happened:
        if happening.about not in watched:
            continue
        at = happening.at
        if task.after_days:
            at = start_of_day(day_done(at, day.now) + timedelta(days=task.after_days), day.now)
        if done is None or done < happening.at:
            because = _("after {what}").format(what=happening_words(happening.about))
            return Asked(at=at, because=because)
    return None


def _by_water(task: Task, done: datetime | None, day: _Day) -> Asked | None:
    if task.after_tanks is None:
        return None
    limit_l = task.after_tanks * day.tank_l
    added_l = 0.0
    for event in day.events:
        counts = isinstance(event, Poured) and event.what == "water" and event.at <= day.now
        if not counts or (done is not None and event.at <= done):
            continue
        added_l += event.litres or 0.0 if isinstance(event, Poured) else 0.0
        if added_l >= limit_l:
            because = _("{litres:.0f} litres of water added since").format(litres=added_l)
            return Asked(at=event.at, because=because)
    return None


def _by_others(task: Task, done: datetime | None, day: _Day) -> Asked | None:
    asks = [asked for asked in day.asked.get(task.id, ()) if asked.stands or done is None or done < asked.at]
    earliest = min(asks, key=lambda asked: asked.at, default=None)
    said = day.said_done.get(task.id)
    if earliest is None or said is None or said < earliest.at:
        return earliest
    # somebody says it is done and what made it due stands: it is asked again, but not on the same day
    return replace(earliest, at=start_of_day(day_done(said, day.now) + timedelta(days=1), day.now))


def _earlier(one: Asked | None, other: Asked | None) -> Asked | None:
    if one is None or other is None:
        return one or other
    return min(one, other, key=lambda asked: asked.at)


def _score(task: Task, due: datetime, day: _Day) -> float:
    """Give risk × (1 + lateness in periods, capped): an old trifle never passes a fresh danger."""
    risk = day.rules.risk[task.severity] if task.risk is None else task.risk
    late: float = max(0.0, _days(due.date(), day.now.date()) / _cadence_now(task, day).about_days)
    return risk * (1 + min(late, day.rules.late_cap))


def _days(since: date, until: date) -> int:
    return (until - since).days
