"""Parts of the set-up that were left for later, asked for when they first matter."""

from __future__ import annotations

from collections.abc import Iterable, Set
from datetime import datetime, timedelta

from tendtui.core.due import TaskDue
from tendtui.core.rack import Rack
from tendtui.core.role import Act, Role, may
from tendtui.core.show import date_words
from tendtui.core.today import Item
from tendtui.words import _

__all__ = ["setup_items"]

PUMP_OFF, LOAD, TIMING = "pump-off-test", "add-up-the-load", "time-the-outlets"
"""Ids of the tasks that can't be done well without a part of the description."""

COVER_AHEAD = timedelta(days=7)
"""How long before an absence the numbers to ring are asked for. Common practice, no source."""

_MOST = 2
"""Lines at once: today's page is for today. Common practice, no source."""


def setup_items(
    rack: Rack,
    dues: Iterable[TaskDue],
    *,
    role: Role,
    under_way: Set[str],
    now: datetime,
    away_from: datetime | None,
) -> tuple[Item, ...]:
    """Give a line for each part that is missing and matters now; only for who may describe the rack.

    Args:
        rack: The rack as it is described.
        dues: Every task with its due moment.
        role: Of the person who is here.
        under_way: Kinds of walks that were left open: their lines stand already.
        now: The moment.
        away_from: Beginning of the next absence, or of the one under way; None: none is planned.
    """
    if not may(role, Act.DESCRIBE):
        return ()
    due = {one.task.id for one in dues if one.is_due}
    items = []
    if rack.reservoir.brim_l is None and PUMP_OFF in due:
        items.append(
            _item("brim", _("Say what the reservoir holds to the brim"), _("the pump-off test rests on it"))
        )
    if LOAD in due and rack.mains is None:
        items.append(_item("mains", _("Say voltage and fuse of its socket"), _("the load is to be added up")))
    elif LOAD in due and not rack.devices:
        items.append(_item("device", _("Say which devices it has"), _("the load is to be added up")))
    if not rack.phones and away_from is not None and away_from - now <= COVER_AHEAD:
        away = _("somebody stands in from {day}").format(day=date_words(away_from))
        items.append(_item("phones", _("Say whom to ring"), away))
    if rack.measuring.jug_l is None and TIMING in due:
        items.append(_item("jug", _("Say how large the jug is"), _("the outlets are to be timed")))
    return tuple(item for item in items if item.opens.removeprefix("walk:") not in under_way)[:_MOST]


def _item(part: str, what: str, because: str) -> Item:
    return Item(what=what, because=because, opens=f"walk:setup:{part}")
