"""Which script a walk follows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from tendtui.core.event import Event
    from tendtui.core.rack import Rack
    from tendtui.core.state import Person, State
    from tendtui.core.walk import Script, Walk

__all__ = ["Needs", "script_for"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What scripts are made from."""

    walk: Walk
    rack: Rack | None
    old_rack: Rack | None
    events: tuple[Event, ...]
    state: State
    now: datetime
    person: Person
    done: Mapping[str, datetime]


def script_for(needs: Needs) -> Script:
    """Make the script of a walk."""
    raise LookupError(needs.walk.kind)
