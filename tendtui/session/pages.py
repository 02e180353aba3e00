"""Pages to read and to print, for this rack and this moment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.session.knowledge import slow_list_of
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from tendtui.core.drill import Drill
    from tendtui.core.printed_page import PrintedPage
    from tendtui.session.knowing import Knowing

__all__ = ["drills_of", "pages_of"]


def pages_of(session: Knowing) -> tuple[PrintedPage, ...]:
    """Make drills, cards, checklists, load, plants and light."""
    from tendtui.core.printed_page import FILES, printed_pages
    from tendtui.session.handover import handed_pages

    data = {name: read_data(name) for name in FILES}
    printed = printed_pages(data, session.rack, session.events, slow_list_of(session), session.now())
    return (*printed, *handed_pages(session))


def drills_of(session: Knowing) -> tuple[Drill, ...]:
    """Make the drills alone, with this rack's figures: whoever needs one waits for nothing else."""
    from tendtui.core.drill import drills
    from tendtui.core.region import read_regions, region_named

    rack = session.rack
    region = region_named(rack.place.region, read_regions(read_data("regions")))
    return drills(read_data("drills"), rack, region)
