"""What comes next once somebody leaves the rack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.following import following_of
from tendtui.core.role import role_of
from tendtui.core.slow_list import FILES, slow_list
from tendtui.core.tank import tank_now
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from tendtui.session.scripts import Needs

__all__ = ["following_lines"]


def following_lines(needs: Needs) -> tuple[str, ...]:
    """Give the sentences that the end of a leaving list closes with."""
    rack = needs.known_rack()
    slow = slow_list({name: read_data(name) for name in FILES}, rack, needs.events, needs.done, needs.now)
    return following_of(
        rack,
        needs.events,
        slow,
        tank_now(needs.events, rack, needs.now),
        role=role_of(rack, needs.walk.by),
        now=needs.now,
    )
