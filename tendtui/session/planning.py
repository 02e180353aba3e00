"""The correction for what is known now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.dose import plan_dose
from tendtui.core.dose_facts import dose_facts
from tendtui.session.knowledge import learned_of, rack_bands, tank_of
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tendtui.core.plan import Plan
    from tendtui.core.quantity import Quantity
    from tendtui.session.knowing import Knowing

__all__ = ["plan_now"]


def plan_now(session: Knowing, *, given: Mapping[Quantity, float] | None = None) -> Plan:
    """Make the plan for the last readings.

    Args:
        session: The rack, its log and the time.
        given: Readings of the call, in stored units; they replace only those they name.
    """
    rack = session.rack
    return plan_dose(
        rack,
        tank_of(session, given=given),
        now=session.now(),
        bands=rack_bands(rack, session.events, session.now()),
        facts=dose_facts(read_data("feeds")),
        learned=learned_of(rack, session.state, session.events),
    )
