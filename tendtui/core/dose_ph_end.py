"""When a pH correction that was begun is over, and what is said while it goes on."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_foresee import shown_after
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_today import LEAST_MOVE_PH, Today
from tendtui.core.dose_travel import FROM_EDGE
from tendtui.core.plan import Pour
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_number
from tendtui.words import _

__all__ = ["goes_on", "over_because"]

ONE_STEP = 0.10
"""A reading this near to the lowest or highest pH that is ever aimed at stands there: a meter's step."""

UNMOVED_PORTIONS = 2
"""After so many portions one that moved nothing a meter shows is the last. Source: chosen here."""


def over_because(model: TankModel, today: Today, *, band: Band, ph: float, aim: float) -> str:
    """Give the sentence that ends a correction inside the band; an empty text where it goes on.

    A fresh mix that creeps a long way has its aim at the near edge, and tomorrow past the far one whatever is
    poured: without an end portion would follow portion.

    Args:
        model: The tank.
        today: The correction under way.
        band: The wanted pH.
        ph: As read, inside the band.
        aim: What the correction is for.
    """
    edge = min(FROM_EDGE, (band.high - band.low) / 2.0)
    at_edge = aim <= band.low + edge + 0.01 or aim >= band.high - edge - 0.01
    if at_edge and abs(ph - aim) <= max(ONE_STEP, model.rack.meter.ph_step) + 0.005:
        return _("That is near enough to pH {aim}, its aim: leave it, and look again tomorrow.").format(
            aim=show_number(round(aim, 1), Quantity.PH, model.rack.show)
        )
    before = None if today.before is None else today.before.ph
    if today.portions >= UNMOVED_PORTIONS and before is not None and abs(ph - before) < LEAST_MOVE_PH:
        return _("The last portion moved nothing that the meter shows: leave it, and look again tomorrow.")
    return ""


def goes_on(model: TankModel, pour: Pour, *, band: Band, ph: float) -> str:
    """Say that a correction goes on, and what that does for tomorrow."""
    tomorrow = shown_after(model, (pour,), Guess(), ph=ph, ms_cm=None).ph_tomorrow
    if tomorrow is None or band.holds(round(tomorrow, 1)):
        return _(
            "The correction that was begun goes on to its aim, so that tomorrow finds it in the band too."
        )
    return _(
        "The correction that was begun goes on to its aim. After that it creeps on: look again tomorrow."
    )
