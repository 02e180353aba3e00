"""Whether the solution is changed, and the draft of that plan."""

from __future__ import annotations

from datetime import timedelta

from tendtui.core.dose_call import MIXED, Call, Draft
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_strength import claims_said
from tendtui.core.fresh_mix import change_steps, old_solution, ph_bottle_of
from tendtui.core.plan import Pour, Verdict
from tendtui.core.quantity import Quantity
from tendtui.core.show import how_long_ago, show_value
from tendtui.words import _

__all__ = ["can_wait", "change_draft", "change_reasons"]

ROTTEN_PH = 4.0
"""Under this the solution is changed. Source: common practice, no source (roots burn below about 3.5)."""


def change_reasons(case: Call, ms_cm: float | None) -> tuple[str, ...]:
    """Give the reasons for a change; none where it isn't time."""
    target, tank, show = case.rack.target, case.tank, case.rack.show
    said = []
    if (
        tank.level is not None
        and not tank.level_is_stale
        and tank.level.value <= 0.02 * case.rack.reservoir.full_l
    ):
        said.append(_("The reservoir is empty: it is filled with a fresh mix."))
    limit = target.change_above_ms_cm
    if limit is not None and ms_cm is not None and ms_cm > limit:
        said.append(
            _("{read} is over {limit}, above which this rack's solution is changed.").format(
                read=show_value(ms_cm, Quantity.CONDUCTIVITY, show),
                limit=show_value(limit, Quantity.CONDUCTIVITY, show),
            )
        )
    days = target.change_every_days
    if (
        days is not None
        and tank.changed_at is not None
        and case.now - tank.changed_at >= timedelta(days=days)
    ):
        said.append(
            _("The solution was changed {ago}; every {days} days is this rack's rule.").format(
                ago=how_long_ago(tank.changed_at, case.now), days=days
            )
        )
    if case.ph is not None and case.ph < ROTTEN_PH:
        said.append(_("pH under {limit:g} burns roots: no bottle mends that safely.").format(limit=ROTTEN_PH))
    return tuple(said)


def can_wait(case: Call) -> bool:
    """Say whether anything is planned while a change that is due is put off."""
    level = case.tank.level
    empty = level is not None and level.value <= 0.02 * case.rack.reservoir.full_l
    return case.put_off and not empty and (case.ph is None or case.ph >= ROTTEN_PH)


def change_draft(case: Call, model: TankModel, reasons: tuple[str, ...]) -> Draft:
    """Give the draft of a change: what goes out, the water, every part of the feed.

    Args:
        case: The call.
        model: The tank as it is.
        reasons: Why it is changed.
    """
    tank = case.tank
    empty = (
        tank.level is not None
        and not tank.level_is_stale
        and tank.level.value <= 0.02 * case.rack.reservoir.full_l
    )
    steps = change_steps(model, band=case.strength_band, empty=empty)
    old = old_solution(model)
    said = [*reasons]
    how = [
        _("Pump off while it is emptied; refill at least to the least mark before it starts again."),
        _("The pH of the fresh mix comes last: it is corrected after a reading, once all is mixed."),
    ]
    bottle = ph_bottle_of(old.model, steps, ph=old.ph, band=case.bands.ph.band)
    if bottle:
        how.append(_("{bottle} will probably be wanted then: have it at hand.").format(bottle=bottle))
    if tank.level is None or tank.level_is_stale:
        how.append(_("The level was not read: empty it, whatever stands in it."))
    if model.feed is None:
        said.append(_("The rack file names no feed that can be dosed: only the water is planned."))
    elif not any(isinstance(step, Pour) for step in steps):
        water = show_value(model.water.conductivity_ms_cm, Quantity.CONDUCTIVITY, case.rack.show)
        said.append(
            _(
                "The source water itself reads {water}: it leaves no room for feed. Softer water (rain, or "
                "filtered) is needed."
            ).format(water=water)
        )
    else:
        said += claims_said(model)
    return Draft(
        verdict=Verdict.CHANGE,
        steps=(*steps, *MIXED),
        reasons=tuple(said),
        cautions=tuple(how),
        model=old.model,
        old=old,
        ph_comes_after=True,
    )
