"""Gathers what today's page is made from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core import walk as engine
from tendtui.core.today_made import OpenWalk, make_today
from tendtui.errors import TendError
from tendtui.session.handover import away_lines, handed_to, waiting_lines
from tendtui.session.knowledge import rack_bands, slow_list_of, tank_of, wanted
from tendtui.session.learning import about_today, view_now

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tendtui.core.today import Today
    from tendtui.session.session import Session

__all__ = ["today_page"]


def today_page(session: Session, by: str) -> Today:
    """Make today's page for somebody."""
    rack = session.rack
    return make_today(
        now=session.now(),
        by=by,
        role=session.role(by),
        rack=rack,
        events=session.events,
        tank=tank_of(session),
        bands=wanted(rack_bands(rack, session.events, session.now())),
        slow=slow_list_of(session),
        walks=tuple(_open_walks(session)),
        words=(*waiting_lines(session, by), *away_lines(session, by), *about_today(view_now(session))),
        handed=handed_to(session, by),
    )


def _open_walks(session: Session) -> Iterator[OpenWalk]:
    for walk in session.state.walks.values():
        try:
            place = engine.here(walk, session.script(walk))
        except TendError:
            # A walk that this version can't take up is still there to be seen and given up.
            yield OpenWalk(walk=walk)
            continue
        if place is None:
            yield OpenWalk(walk=walk)
        else:
            station, question = place
            yield OpenWalk(walk=walk, place=question.place or station.name, until=question.until)
