"""Gathers what the one look is made from."""

from __future__ import annotations

from tendtui.core.status import Status, make_status
from tendtui.session.knowledge import rack_bands, slow_list_of, tank_of, wanted
from tendtui.session.learning import status_ahead, status_wrong, view_now, view_of_signs

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.session.knowing import Knowing

__all__ = ["status_now"]


def status_now(session: Knowing, *, ahead: bool = True) -> Status:
    """Make the one look for now.

    Args:
        session: The rack, its log and the time.
        ahead: Whether the forecast is wanted; the one line doesn't tell it.
    """
    rack = session.rack
    bands = rack_bands(rack, session.events, session.now())
    view = view_now(session) if ahead else view_of_signs(session, bands)
    forecast, ranges = status_ahead(view) if ahead else (None, None)
    return make_status(
        now=session.now(),
        rack=rack,
        tank=tank_of(session),
        bands=wanted(bands),
        slow=slow_list_of(session, bands),
        walks=tuple(session.state.walks.values()),
        events=session.events,
        seen=status_wrong(view),
        forecast=forecast,
        ranges=ranges,
    )
