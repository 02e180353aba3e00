"""What comes next, and when: said once everything is put away."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tendtui.core.event import Event
from tendtui.core.held_words import for_grower
from tendtui.core.priority import few_that_matter
from tendtui.core.rack import Rack
from tendtui.core.role import Act, Role, held_dose, may, put_off
from tendtui.core.show import day_words, quantity_name, when
from tendtui.core.slow_list import SlowList
from tendtui.core.tank import TankNow
from tendtui.words import _

__all__ = ["following_of"]

_ROUND = "daily-round"

_MOST = 2
"""Tasks named besides; today's page has the rest."""


def following_of(
    rack: Rack, events: Sequence[Event], slow: SlowList, tank: TankNow, *, role: Role, now: datetime
) -> tuple[str, ...]:
    """Give what is still to be read, what waits for whom, what was found, and when the next round is.

    Args:
        rack: Who is who.
        events: Effective events, in time order.
        slow: Tasks and open findings.
        tank: What is known of the solution.
        role: Of whoever leaves.
        now: The moment.
    """
    said = []
    if tank.unread:
        named = ", ".join(quantity_name(quantity) for quantity in tank.unread)
        said.append(_("Next, today: read again {what}; today's page asks for it.").format(what=named))
    held, off = held_dose(events, rack), put_off(events)
    if held is not None:
        own = may(role, Act.CHANGE if held.change else Act.FEED)
        said.append(
            _("The grower reads first: {what}.").format(what=held.what)
            if own
            else for_grower(held.what, rack, change=held.change)
        )
    if off is not None:
        said.append(_("Change day waits: put off by {who}.").format(who=off.by or _("somebody")))
    for finding in slow.open:
        what = finding.said
        if finding.due <= now:
            said.append(_("Still open, on today's page: {what}.").format(what=what))
        else:
            said.append(
                _("Still open, look again {when}: {what}.").format(what=what, when=when(finding.due, now))
            )
    shown = {finding.task for finding in slow.open} | {_ROUND}
    pressing = few_that_matter(slow.dues, role=role.value, most=_MOST, without=shown)
    if pressing:
        said.append(_("Due as well: {what}.").format(what="; ".join(line.what for line in pressing)))
    due = next((due.due for due in slow.dues if due.task.id == _ROUND and not due.task.silenced), None)
    if due is not None:
        said.append(_("Next round: {day}.").format(day=day_words(max(due, now), now)))
    return tuple(said)
