"""How much of the next part goes in, after what really went in of the one before."""

from __future__ import annotations

from tendtui.core.dose_slot import Slot, deviates, is_feed
from tendtui.core.plan import AddWater, Drain, Plan
from tendtui.core.rack import Rack
from tendtui.core.tier_volume import litres_in_pipes

__all__ = ["next_share"]


def next_share(
    rack: Rack, plan: Plan, slot: Slot, amount: float, factor: float, *, most_ms_cm: float | None
) -> float:
    """Plan the rest anew by what really went in: feed for the litres there are, and its parts in step.

    A part of which too much went in takes the others along only as far as the band reaches.
    """
    if not deviates(rack, slot, amount) or not slot.planned:
        return factor
    if isinstance(slot.step, AddWater):
        of_ms_cm = rack.source.conductivity_ms_cm or 0.0
        return factor * _for_litres(rack, plan, more_l=amount - slot.planned, of_ms_cm=of_ms_cm)
    if isinstance(slot.step, Drain):
        of_ms_cm = plan.readings.conductivity_ms_cm or 0.0
        return factor * _for_litres(rack, plan, more_l=slot.planned - amount, of_ms_cm=of_ms_cm)
    if is_feed(rack, slot.step):
        return min(_most_feed(rack, plan, most_ms_cm), factor * amount / slot.planned)
    return factor


def _for_litres(rack: Rack, plan: Plan, *, more_l: float, of_ms_cm: float) -> float:
    """Give the share of the feed that is right for other litres than planned, by proportion.

    Args:
        rack: Its source and pipes.
        plan: What was planned.
        more_l: Litres there are over the planned; negative where there are fewer.
        of_ms_cm: What those litres bring along: the source's where they were added, the tank's where they
            were left in or drained.
    """
    missing, _litres = _missing(rack, plan)
    expected = plan.expect.conductivity_ms_cm
    if missing <= 0.0 or expected is None:
        return 1.0
    return max(0.0, 1.0 + more_l * (expected - of_ms_cm) / missing)


def _most_feed(rack: Rack, plan: Plan, most_ms_cm: float | None) -> float:
    """Give the share of the planned feed that just keeps the wanted band."""
    missing, litres = _missing(rack, plan)
    expected = plan.expect.conductivity_ms_cm
    if missing <= 0.0 or expected is None or most_ms_cm is None:
        return 1.0
    return max(1.0, 1.0 + (most_ms_cm - expected) * litres / missing)


def _missing(rack: Rack, plan: Plan) -> tuple[float, float]:
    """Give the salt that the plan's feed brings, by proportion, and the litres it goes into. [mS/cm·L, L]."""
    read, expect = plan.readings, plan.expect
    if read.level_l is None or read.conductivity_ms_cm is None or expect.conductivity_ms_cm is None:
        return 0.0, 0.0
    water_l = sum(step.litres for step in plan.steps if isinstance(step, AddWater))
    drained_l = sum(step.litres for step in plan.steps if isinstance(step, Drain))
    tank_l = read.level_l + _pipes_l(rack) - drained_l
    source_ms_cm = rack.source.conductivity_ms_cm or 0.0
    had = tank_l * read.conductivity_ms_cm + water_l * source_ms_cm
    return expect.conductivity_ms_cm * (tank_l + water_l) - had, tank_l + water_l


def _pipes_l(rack: Rack) -> float:
    try:
        return litres_in_pipes(rack)
    except ValueError:
        return 0.0
