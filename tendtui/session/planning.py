"""The plan for what is known now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.dose import plan_dose
from tendtui.core.dose_facts import dose_facts
from tendtui.core.tank import tank_now
from tendtui.session.knowledge import rack_bands
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tendtui.core.plan import Plan
    from tendtui.core.quantity import Quantity
    from tendtui.session.session import Session

__all__ = ["plan_now"]


def plan_now(session: Session, *, given: Mapping[Quantity, float] | None = None) -> Plan:
    """Make the correction for the last readings.

    Args:
        session: The rack and its log.
        given: Values of a call, in stored units; they replace only those they name.
    """
    now = session.now()
    return plan_dose(
        session.rack,
        tank_now(session.events, session.rack, now, given=given),
        now=now,
        bands=rack_bands(session.rack),
        facts=dose_facts(read_data("feeds")),
    )
