"""Who may be at the rack: the usual ones, then whoever the diary knows."""

from __future__ import annotations

from collections.abc import Sequence

from tendtui.core.event import Event
from tendtui.core.rack import Rack

__all__ = ["people_at"]

MOST = 9
"""Names in a list: a digit picks one."""


def people_at(rack: Rack, events: Sequence[Event], *, most: int = MOST) -> tuple[str, ...]:
    """Give the names to choose from: as rack.toml lists them, then those of the diary, the newest first.

    Args:
        rack: With its people and their roles.
        events: Effective events, in time order.
        most: How many names at most.
    """
    seen = (event.by for event in reversed(events) if event.by)
    return tuple(dict.fromkeys((*rack.people, *rack.roles, *seen)))[:most]
