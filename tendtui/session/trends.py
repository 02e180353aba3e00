"""The courses of this rack's readings, over the whole log."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.learn_course import course_of
from tendtui.core.trend import trends_of
from tendtui.session.knowledge import rack_bands, wanted
from tendtui.store.log_file import read_log

if TYPE_CHECKING:
    from tendtui.core.trend import Trends
    from tendtui.session.knowing import Knowing

__all__ = ["trends_now"]


def trends_now(session: Knowing) -> Trends:
    """Read the whole log and give its courses up to now.

    Args:
        session: The rack and its log; what it holds in memory may be shorter, so the files are read.
    """
    rack, now = session.rack, session.now()
    events = read_log(session.folder, outbox=session.state.outbox).events
    bands = wanted(rack_bands(rack, events, now))
    return trends_of(course_of(rack, events, until=now), now, bands)
