"""Gathers what today's page is made from."""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

from tendtui.core import walk as engine
from tendtui.core.cover import covers_of, next_cover
from tendtui.core.role import Role
from tendtui.core.setup_due import setup_items
from tendtui.core.today_made import OpenWalk, make_today
from tendtui.errors import TendError
from tendtui.session.handover import away_lines, handed_to, waiting_lines
from tendtui.session.knowledge import rack_bands, slow_list_of, tank_of, wanted
from tendtui.session.learning import about_today, view_now
from tendtui.value import replace
from tendtui.words import _

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tendtui.core.slow_list import SlowList
    from tendtui.core.today import Item, Today
    from tendtui.core.walk_value import Script, Walk
    from tendtui.session.knowing import Knowing

__all__ = ["today_page"]

_BY_STOPS = ("change", "season-end", "season-start")
"""Walks that stand at one place for many stops: there the stop says more."""


def today_page(session: Knowing, by: str) -> Today:
    """Make today's page for somebody."""
    rack = session.rack
    slow = slow_list_of(session)
    page = make_today(
        now=session.now(),
        by=by,
        role=session.role(by),
        rack=rack,
        events=session.events,
        tank=tank_of(session),
        bands=wanted(rack_bands(rack, session.events, session.now())),
        slow=slow,
        walks=tuple(_open_walks(session)),
        words=(
            *waiting_lines(session, by),
            *away_lines(session, by),
            *_wrongly_described(session, slow),
            *(() if slow.laid_up else about_today(view_now(session))),
        ),
        handed=handed_to(session, by),
    )
    return replace(page, due=(*page.due, *_left_for_later(session, by, slow)))


def _wrongly_described(session: Knowing, slow: SlowList) -> tuple[str, ...]:
    """Say that something in the rack's description can't be right; the page of problems says more."""
    from tendtui.core.region import read_regions, region_named
    from tendtui.core.slow_finding import described_findings
    from tendtui.store.data_file import read_data

    region = region_named(session.rack.place.region, read_regions(read_data("regions")))
    findings = (*described_findings(session.rack, region), *slow.findings)
    wrong = [finding.what for finding in findings if finding.severity != "advice"]
    if not wrong:
        return ()
    first = _("[!] rack.toml: {what}.").format(what=wrong[0])
    more = _("Press p: where it stands, and what to do.")
    if len(wrong) > 1:
        more = _("{n} more like it. Press p: where each stands, and what to do.").format(n=len(wrong) - 1)
    return (f"{first} {more}",)


def _left_for_later(session: Knowing, by: str, slow: SlowList) -> tuple[Item, ...]:
    """Give the parts of the set-up that matter now and were never said."""
    now = session.now()
    cover = next_cover(covers_of(session.state.away), now.date())
    return setup_items(
        session.rack,
        slow.dues,
        role=Role(session.role(by)),
        under_way=set(session.state.walks),
        now=now,
        away_from=None if cover is None else datetime.combine(cover.first, time.min, now.tzinfo),
    )


def _open_walks(session: Knowing) -> Iterator[OpenWalk]:
    for walk in session.state.walks.values():
        try:
            script = session.script(walk)
            place = engine.here(walk, script)
        except TendError:
            # A walk that this version can't take up is still there to be seen and given up.
            yield OpenWalk(walk=walk)
            continue
        if place is None:
            yield OpenWalk(walk=walk)
        else:
            station, question = place
            yield OpenWalk(
                walk=walk,
                place=station.name if walk.kind in _BY_STOPS else question.place or station.name,
                until=question.until,
                facts=_pressing(walk, script),
            )


def _pressing(walk: Walk, script: Script) -> tuple[tuple[str, str], ...]:
    """Say how long the plants stand without flow while a change day is left."""
    if walk.kind != "change":
        return ()
    from tendtui.core.change_walk import ChangeScript

    return script.without_flow(engine.fold(walk.entries)) if isinstance(script, ChangeScript) else ()
