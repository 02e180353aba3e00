"""What the packaged data say about this rack: its bands, its slow list, what was learned of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.bands import Bands, bands_of
from tendtui.core.crops import crops_from
from tendtui.core.quantity import Quantity
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tendtui.core.band import Band
    from tendtui.core.learned_values import Learned
    from tendtui.core.rack import Rack
    from tendtui.core.slow_list import SlowList
    from tendtui.core.state import State
    from tendtui.session.session import Session

__all__ = ["learned_of", "rack_bands", "slow_list_of", "wanted"]


def rack_bands(rack: Rack) -> Bands:
    """Give the bands that this rack is kept at."""
    return bands_of(rack, crops_from(read_data("crops")))


def wanted(bands: Bands) -> Mapping[Quantity, Band]:
    """Give the bands by what they are of."""
    return {
        Quantity.CONDUCTIVITY: bands.conductivity.band,
        Quantity.PH: bands.ph.band,
        Quantity.TEMPERATURE: bands.temperature.band,
    }


def learned_of(rack: Rack, state: State) -> Learned | None:
    """Give what was learned of this tank, as the plan takes it; None: nothing yet."""
    del rack, state
    return None


def slow_list_of(session: Session) -> SlowList:
    """Give the slow list: tasks, when they are due, and what was found and is not closed."""
    from tendtui.core.change_rules import change_asked
    from tendtui.core.slow_list import FILES, rules_of, slow_list

    data = {name: read_data(name) for name in FILES}
    rack, events, now = session.rack, session.events, session.now()
    bands = rack_bands(rack)
    change = change_asked(rack, events, now, rules=rules_of(data), top_ms_cm=bands.conductivity.band.high)
    return slow_list(
        data,
        rack,
        events,
        session.last_done(),
        now,
        asked={} if change is None else {"change-water": change},
    )
