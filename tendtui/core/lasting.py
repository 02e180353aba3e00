"""What of the past still matters, however long ago it was: plants that stand, tasks done, what is open."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.event import Change, Event, Note, Plants, Renewed, TaskDone
from tendtui.core.finding_follow import finding_events
from tendtui.core.plants import standing

__all__ = ["LASTING", "lasting"]

LASTING = (Change, Note, Plants, Renewed, TaskDone)
"""Kinds of event that can matter for ever."""


def lasting(events: Iterable[Event]) -> tuple[Event, ...]:
    """Give those past events without which today would be seen wrongly, in time order.

    The last change; the last end or start of a season; the last new bottle or meter of each name; of each
    task the last time, the last time it was done and the last of each number read in it; what was found and
    isn't closed; what was done with the crops that stand. Picking twice gives the same:
    `lasting(lasting(a) + b) == lasting(a + b)`.

    Args:
        events: Effective events, in time order.
    """
    known = tuple(event for event in events if isinstance(event, LASTING))
    kept: dict[tuple[str, ...], Event] = {}
    for event in known:
        for key in _last_of(event):
            kept[key] = event
    chosen = {event.id: event for event in (*kept.values(), *finding_events(known), *_of_crops(known))}
    return tuple(event for event in known if event.id in chosen)


def _last_of(event: Event) -> Iterable[tuple[str, ...]]:
    """Give what an event is the last of, until the next."""
    match event:
        case Change():
            yield ("change",)
        case Renewed():
            yield "renewed", event.what
        case TaskDone():
            yield "task", event.task
            if event.outcome in ("good", "found"):
                yield "done", event.task
            if event.outcome == "closed":  # else what it settled would seem open, being the last of its task
                yield "closed", event.task
            for name in event.values:
                yield "value", event.task, name
        case Note(about="season-end" | "season-start"):
            yield ("season",)
        case Plants(act="pull") if event.tier:  # that the diary knows the tier, though nothing stands there
            yield "tier", event.tier
        case _:
            pass


def _of_crops(known: Iterable[Event]) -> list[Plants]:
    """Give what was done with the crops that stand, since none of them stood; of harvests the last."""
    since: dict[str, list[Plants]] = {}
    for event in known:
        if not isinstance(event, Plants):
            continue
        crop = " ".join(event.crop.split()).casefold()
        done = since.get(crop, [])
        if event.act == "harvest":
            done = [e for e in done if (e.act, e.tier, e.crop) != ("harvest", event.tier, event.crop)]
        done = [*done, event]
        since[crop] = done if event.act != "pull" or standing(done) else []
    return [event for done in since.values() for event in done]
