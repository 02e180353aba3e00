"""What a walk was begun from: the log as it stood then, without what the walk itself added."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.event import Event
from tendtui.core.walk_value import Walk

__all__ = ["past_of"]


def past_of(events: Iterable[Event], walk: Walk) -> tuple[Event, ...]:
    """Give the events up to the walk's beginning that aren't its own.

    A walk's events carry its id in front of theirs; by time alone they could not be told apart where
    the clock stands still.

    Args:
        events: Effective events, in time order.
        walk: The walk.
    """
    own = f"{walk.id}-"
    return tuple(event for event in events if event.at <= walk.began and not event.id.startswith(own))
