"""What the packaged data say about this rack: its bands, its slow list, what was learned of it."""

from __future__ import annotations

from functools import cache

from tendtui.core.bands import Bands, bands_of
from tendtui.core.crops import CropTable, crops_from
from tendtui.core.event import Plants
from tendtui.core.plants import as_planted, standing, young_by_tier
from tendtui.core.quantity import Quantity
from tendtui.store.data_file import read_data

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from tendtui.core.band import Band
    from tendtui.core.event import Event
    from tendtui.core.learned_values import Learned
    from tendtui.core.rack import Rack
    from tendtui.core.slow_list import SlowList
    from tendtui.core.state import State
    from tendtui.core.tank import TankNow
    from tendtui.session.knowing import Knowing

__all__ = ["crop_table", "learned_of", "rack_bands", "slow_list_of", "tank_of", "wanted"]


@cache
def crop_table() -> CropTable:
    """Give the packaged table of crops."""
    return crops_from(read_data("crops"))


def rack_bands(rack: Rack, events: Iterable[Event], now: datetime) -> Bands:
    """Give the bands that this rack is kept at, by what the diary says stands on it.

    Args:
        rack: The rack; what the diary doesn't know of its plants, its own file says.
        events: Effective events, in time order; later ones than `now` don't count.
        now: The moment: plants under three weeks ask for the low half of the strength.
    """
    batches = standing(event for event in events if isinstance(event, Plants) and event.at <= now)
    return bands_of(as_planted(rack, batches), crop_table(), young=young_by_tier(batches, now))


def wanted(bands: Bands) -> Mapping[Quantity, Band]:
    """Give the bands by what they are of."""
    return {
        Quantity.CONDUCTIVITY: bands.conductivity.band,
        Quantity.PH: bands.ph.band,
        Quantity.TEMPERATURE: bands.temperature.band,
    }


def learned_of(
    rack: Rack, state: State, events: Iterable[Event], *, until: datetime | None = None
) -> Learned | None:
    """Give what was learned of this tank, as the plan takes it.

    Args:
        rack: The rack.
        state: What is kept, frozen and reset.
        events: Effective events, in time order.
        until: Learn nothing from later events, so that a walk's plan rests on one lesson; None: from all.
    """
    from tendtui.session.learning import learned_for_plan

    return learned_for_plan(rack, events, state, until=until)


def slow_list_of(session: Knowing, bands: Bands | None = None) -> SlowList:
    """Give the slow list: tasks, when they are due, and what was found and is not closed.

    Args:
        session: The rack, its log and the time.
        bands: Those of now, where they are known already.
    """
    from tendtui.core.slow_list import FILES, slow_list

    rack = session.rack
    wished = rack_bands(rack, session.events, session.now()) if bands is None else bands
    return slow_list(
        {name: read_data(name) for name in FILES},
        rack,
        session.events,
        session.last_done(),
        session.now(),
        top_ms_cm=wished.conductivity.band.high,
    )


def tank_of(session: Knowing, *, given: Mapping[Quantity, float] | None = None) -> TankNow:
    """Tell what is known of the solution.

    Args:
        session: The rack, its log and the time.
        given: Readings of the call, in stored units; they replace only those they name.
    """
    from tendtui.core.tank import tank_now

    return tank_now(session.events, session.rack, session.now(), given=given)
