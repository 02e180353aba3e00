"""When each task was last done, from its own walk or from what counts as it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta

from tendtui.core.dose_side import is_leaving
from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, TaskDone
from tendtui.core.task import Task

__all__ = ["believed", "last_done"]

_AHEAD = timedelta(days=1)
_DID_IT = ("good", "found")


def last_done(
    tasks: Iterable[Task], events: Sequence[Event], done: Mapping[str, datetime], now: datetime
) -> dict[str, datetime]:
    """Give task id -> when it was last done; a task never done is left out.

    `could not` is not done. A moment more than a day ahead of `now` was written by a clock that went
    wrong: the event is believed as old as the newest one written before it, and an entry of `done`
    that far ahead isn't believed at all. Up to a day ahead counts as now.

    Args:
        tasks: With what counts as done for each.
        events: Effective events, in time order.
        done: What the state file remembers.
        now: The moment asked about, with offset.
    """
    newest = _newest(believed(events, now))
    found: dict[str, datetime] = {}
    for task in tasks:
        moments = [newest[key] for key in (f"task:{task.id}", *task.done_by) if key in newest]
        remembered = done.get(task.id)
        if remembered is not None and remembered <= now + _AHEAD:
            moments.append(min(remembered, now))
        if moments:
            found[task.id] = max(moments)
    return found


def believed(events: Sequence[Event], now: datetime) -> tuple[tuple[datetime, Event], ...]:
    """Give each event with the moment at which it is believed to have happened, none after `now`."""
    if not events or events[-1].at <= now:
        return tuple((event.at, event) for event in events)
    settled = sorted((event.seq, event.at) for event in events if event.at <= now)
    pairs: list[tuple[datetime, Event]] = []
    for event in events:
        if event.at <= now:
            pairs.append((event.at, event))
        elif event.at <= now + _AHEAD:
            pairs.append((now, event))
        else:
            before = [at for seq, at in settled if seq < event.seq]
            if before:
                pairs.append((max(before), event))
    return tuple(pairs)


def _newest(pairs: Iterable[tuple[datetime, Event]]) -> dict[str, datetime]:
    newest: dict[str, datetime] = {}
    for at, event in pairs:
        for key in _counts_as(event):
            if key not in newest or at > newest[key]:
                newest[key] = at
    return newest


def _counts_as(event: Event) -> tuple[str, ...]:
    match event:
        case TaskDone(outcome=outcome) if outcome in _DID_IT:
            return (f"task:{event.task}",)
        case Reading():
            return _read(event)
        case Poured(what="water"):
            return ("poured:water",)
        case Poured(what=what) if what != "drained":
            return ("poured:feed", f"poured:{what}")
        case Change():
            return ("change",)
        case Plants():
            return (f"plants:{event.act}",)
        case Note(about=about) if about:
            return (f"happened:{about}",)
        case _:
            return ()


def _read(event: Reading) -> tuple[str, ...]:
    kinds = ["round"] if event.source == "round" and not is_leaving(event) else []
    if event.level_l is not None:
        kinds.append("reading:level")
    if event.conductivity_ms_cm is not None:
        kinds.append("reading:conductivity")
    if event.ph is not None:
        kinds.append("reading:ph")
    if event.temperature_c is not None:
        kinds.append("reading:temperature")
    if event.flow_l_min:
        kinds.append("reading:flow")
    return tuple(kinds)
