"""Whether pH is corrected now, by how much, and why not where it isn't."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_drift import drift_of
from tendtui.core.dose_foresee import shown_after
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_ph import (
    HIGHEST_PH,
    LOWEST_PH,
    MOST_PORTIONS,
    Portion,
    adjuster_for,
    ph_aim,
    portion_of,
)
from tendtui.core.dose_today import Today, answer_of, portions_today
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Drain, Pour, Step
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Adjuster
from tendtui.core.show import clock, show_amount, show_band, show_number, show_value
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["COARSE_STEP", "PhWay", "ph_way"]

COARSE_STEP = 0.3
"""A pH meter that shows steps above this is drops or strips."""


@value_class
class PhWay:
    """What to do about pH, and why."""

    model: TankModel
    """The tank as the portion was reckoned, with what it answered before."""
    steps: tuple[Step, ...] = ()
    reasons: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def ph_way(model: TankModel, *, band: Band, ph: float) -> PhWay:
    """Give the portion that is poured now, or the reason why none is.

    Args:
        model: The tank, at a reading taken after everything was mixed.
        band: The wanted pH.
        ph: As read.
    """
    show = model.rack.show
    words = {"read": show_value(ph, Quantity.PH, show), "band": show_band(band, Quantity.PH, show)}
    if band.holds(ph):
        return PhWay(
            model=model,
            reasons=(_("{read} is inside the wanted {band}.").format(**words), *_creep(model, band, ph=ph)),
        )
    said = (
        _("{read} is over the wanted {band}.") if ph > band.high else _("{read} is under the wanted {band}.")
    ).format(**words)
    today = portions_today(model.tank, model.rack)
    held = _held_back(model, today, band=band, ph=ph)
    if held:
        return PhWay(model=model, reasons=(said, held))
    adjuster = adjuster_for(model.rack, down=ph > band.high)
    if adjuster is None:
        return _without_bottle(model, band, ph=ph, said=said)
    model = model.for_bottle(adjuster, answer_of(model.tank, today, adjuster, ph=ph))
    aim = ph_aim(band, drift_ph_day=_drift(model))
    try:
        portion = portion_of(model, adjuster, ph=ph, band=band, aim=aim)
    except ValueError:
        return PhWay(
            model=model,
            reasons=(said,),
            left_out=(
                _("No amount of {bottle} brings this water to pH {aim}: it is left out.").format(
                    bottle=adjuster.name, aim=show_number(round(aim, 1), Quantity.PH, show)
                ),
            ),
        )
    return _poured(model, adjuster, portion, aim=aim, said=said)


def _drift(model: TankModel) -> float | None:
    learned = model.learned.drift_ph_day
    return learned if learned is not None else drift_of(model.tank)


def _creep(model: TankModel, band: Band, *, ph: float) -> tuple[str, ...]:
    try:
        tomorrow = shown_after(model, (), Guess(), ph=ph, ms_cm=None).ph_tomorrow
    except ValueError:
        return ()
    if tomorrow is None or tomorrow <= band.high or tomorrow - ph < 0.1:
        return ()
    return (
        _(
            "It will have crept to about {tomorrow} by tomorrow, over the band, as carbon dioxide leaves "
            "the water: "
            "look again then, before pouring anything."
        ).format(tomorrow=show_number(round(tomorrow, 1), Quantity.PH, model.rack.show)),
    )


def _held_back(model: TankModel, today: Today, *, band: Band, ph: float) -> str:
    """Give the sentence that says why nothing is poured now, or an empty text."""
    urgent = not LOWEST_PH <= ph <= HIGHEST_PH
    if today.portions >= MOST_PORTIONS:
        return _(
            "{many} portions are in already: that is enough for one correction. Leave it, check the meter "
            "in buffer, "
            "and read again tomorrow."
        ).format(many=today.portions)
    if _went_wrong_way(model, today, ph=ph):
        return _(
            "pH did not go the way the last portion should have moved it: check the meter in buffer 7, the "
            "label of "
            "the bottle, and the mixing, before any more."
        )
    if today.corrected_at is not None and not urgent:
        return _("pH was corrected today at {clock}: once a day is enough, the tank still settles.").format(
            clock=clock(today.corrected_at.astimezone(model.tank.at.tzinfo))
        )
    if model.rack.meter.ph_step > COARSE_STEP and today.portions >= 1:
        return _("Drops or strips are too coarse for a second portion: leave it until tomorrow.")
    if ph < band.low and ph >= LOWEST_PH and _rises_by_itself(model, band, ph=ph):
        return _("It rises into the band by itself as carbon dioxide leaves: leave it until tomorrow.")
    return ""


def _went_wrong_way(model: TankModel, today: Today, *, ph: float) -> bool:
    last, before = today.last, today.before
    if last is None or before is None or before.ph is None:
        return False
    down = any(a.name == last.what and a.direction == "down" for a in model.rack.adjusters)
    return (ph - before.ph if down else before.ph - ph) > max(0.1, model.rack.meter.ph_step) + 1e-9


def _rises_by_itself(model: TankModel, band: Band, *, ph: float) -> bool:
    try:
        tomorrow = shown_after(model, (), Guess(), ph=ph, ms_cm=None).ph_tomorrow
    except ValueError:
        return False
    return tomorrow is not None and tomorrow >= band.low


def _without_bottle(model: TankModel, band: Band, *, ph: float, said: str) -> PhWay:
    if ph > band.high:
        return PhWay(
            model=model,
            reasons=(said,),
            left_out=(_("There is no acid in the rack file that could bring it down."),),
        )
    none = _("There is no bottle in the rack file that brings pH up.")
    swap = _third_swapped(model) if ph < LOWEST_PH else ()
    if not swap:
        return PhWay(
            model=model,
            reasons=(said,),
            left_out=(
                none + " " + _("Topping up with source water brings it up a little; look again tomorrow."),
            ),
        )
    return PhWay(
        model=model,
        steps=swap,
        reasons=(
            said,
            none
            + " "
            + _("So low, a third of the solution is swapped for source water, which brings it up."),
        ),
    )


def _third_swapped(model: TankModel) -> tuple[Step, ...]:
    reservoir, mark = model.rack.reservoir, model.rack.measuring.water_l
    if model.water.blend.alkalinity_meq < 0.2:
        return ()
    drain_l = rounded_down(min(model.litres / 3.0, model.level_l - reservoir.least_l), mark=mark)
    fill_l = rounded_down(reservoir.full_l - model.level_l + drain_l, mark=mark)
    if drain_l <= 0.0:
        return (AddWater(litres=fill_l),) if fill_l > 0.0 else ()
    return (Drain(litres=drain_l), AddWater(litres=fill_l))


def _poured(model: TankModel, adjuster: Adjuster, portion: Portion, *, aim: float, said: str) -> PhWay:
    show, mark = model.rack.show, model.rack.measuring.liquid_ml
    if portion.ml < mark:
        if portion.whole_ml < mark:
            why = _("What it needs is less than one mark of the tool ({mark} mL): leave it.")
        else:
            why = _(
                "What is safe to pour now is less than one mark of the tool ({mark} mL): leave it, or use "
                "a finer "
                "syringe and say so in the rack file."
            )
        return PhWay(model=model, reasons=(said,), left_out=(why.format(mark=show_amount(mark)),))
    reasons = [
        said,
        _("To pH {aim} it takes about {whole} mL of {bottle} in all.").format(
            aim=show_number(round(aim, 1), Quantity.PH, show),
            whole=show_amount(portion.whole_ml, decimals=1),
            bottle=adjuster.name,
        ),
    ]
    if portion.ml < portion.whole_ml - mark:
        reasons.append(_why_less(portion))
    if portion.answered:
        reasons.append(_answered(portion))
    return PhWay(
        model=model, steps=(Pour(what=adjuster.name, ml=portion.ml, portion=True),), reasons=tuple(reasons)
    )


def _why_less(portion: Portion) -> str:
    least = min(portion.share * portion.whole_ml, portion.safe_ml, portion.move_ml)
    if least == portion.move_ml:
        return _("One portion moves pH by no more than 1.0; the rest follows the next reading.")
    if least == portion.safe_ml:
        return _(
            "More could overshoot, for all that isn't known of this tank; the rest follows the next reading."
        )
    return _("First a part of it; the rest follows the next reading.")


def _answered(portion: Portion) -> str:
    if portion.response > 1.15:
        return _("The last portion did less than expected: this one is reckoned from what it did.")
    if portion.response < 0.87:
        return _("The last portion did more than expected: this one is reckoned from what it did.")
    return _("The last portion did what was expected.")
