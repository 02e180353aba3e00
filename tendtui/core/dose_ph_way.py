"""Whether pH is corrected now, by how much, and why not where it isn't."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
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
from tendtui.core.dose_ph_end import goes_on, over_because
from tendtui.core.dose_stuck import Stuck, has_stuck
from tendtui.core.dose_today import Today, answer_of, portions_today
from tendtui.core.dose_travel import Travel, aim_of, drift_a_day, travel_of
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Drain, Pour, Step
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Adjuster
from tendtui.core.root import root_of
from tendtui.core.show import show_amount, show_band, show_number, show_value, when
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["COARSE_STEP", "PhWay", "ph_way"]

NEAR_EDGE = 0.20
"""Share of the band: pH that will stand this near to an edge tomorrow is corrected today. Chosen here:
a meter in daily use may be off by a tenth without anybody knowing."""

LEAST_CREEP = 0.005
"""A smaller move by tomorrow is none: where no drift is known, a reading in the band is left alone."""

LEAST_SEEN = 0.05
"""A smaller move of the plants changes no digit that a meter shows."""

NEAR_AIM = 0.20
"""A correction that missed its aim by no more than this is over. Source: chosen here."""

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
    today = portions_today(model.tank, model.rack)
    drift = drift_a_day(model)
    need = _need(model, today, band=band, ph=ph, drift=drift)
    if need.down is None:
        return PhWay(model=model, reasons=need.said)
    held = _held_back(model, today, band=band, ph=ph)
    if held:
        return PhWay(model=model, reasons=(*need.said, held))
    adjuster = adjuster_for(model.rack, down=need.down)
    if adjuster is None:
        return _without_bottle(model, band=band, ph=ph, need=need, drift=drift)
    model = model.for_bottle(adjuster, answer_of(model.tank, today, adjuster, ph=ph))
    try:
        aim = aim_of(model, adjuster, band=band, ph=ph, drift=drift)
        portion = portion_of(model, adjuster, ph=ph, band=band, aim=aim)
    except ValueError:
        return PhWay(
            model=model,
            reasons=need.said,
            left_out=(
                _("No amount of {bottle} brings this water to pH {aim}: it is left out.").format(
                    bottle=adjuster.name,
                    aim=show_number(round(ph_aim(band, drift_ph_day=drift), 1), Quantity.PH, model.rack.show),
                ),
            ),
        )
    said = need.said
    if need.goes_on:
        ended = over_because(model, today, band=band, ph=ph, aim=aim)
        if ended:
            return PhWay(model=model, reasons=said, left_out=(ended,))
        if portion.ml > 0.0:
            said = (*said, goes_on(model, Pour(what=adjuster.name, ml=portion.ml), band=band, ph=ph))
    return _poured(model, adjuster, portion, ph=ph, aim=aim, said=said)


@value_class
class _Need:
    """Which way pH has to go, if any."""

    said: tuple[str, ...]
    down: bool | None = None
    goes_on: bool = False
    """Whether it is inside the band already, in a correction that was begun."""


def _need(model: TankModel, today: Today, *, band: Band, ph: float, drift: float | None) -> _Need:
    show = model.rack.show
    words = {"read": show_value(ph, Quantity.PH, show), "band": show_band(band, Quantity.PH, show)}
    if ph > band.high:
        return _Need(said=(_("{read} is over the wanted {band}.").format(**words),), down=True)
    if ph < band.low:
        return _Need(said=(_("{read} is under the wanted {band}.").format(**words),), down=False)
    inside = _("{read} is inside the wanted {band}.").format(**words)
    try:
        way = travel_of(model, ph=ph, drift=drift or 0.0)
    except ValueError:
        return _Need(said=(inside,))
    if today.portions:
        return _need_to_go_on(model, today, way, band=band, inside=inside)
    near = NEAR_EDGE * (band.high - band.low)
    if way.tomorrow > band.high - near and way.tomorrow - ph > LEAST_CREEP:
        return _Need(said=(inside, _creeps(model, way, band.high)), down=True)
    if way.tomorrow < band.low + near and ph - way.tomorrow > LEAST_CREEP:
        return _Need(said=(inside, _sinks(model, way, band.low)), down=False)
    return _Need(said=(inside,))


def _need_to_go_on(model: TankModel, today: Today, way: Travel, *, band: Band, inside: str) -> _Need:
    """Say whether a correction that was begun goes on, though the reading is inside the band."""
    down = any(
        a.direction == "down" for a in model.rack.adjusters if today.last and a.name == today.last.what
    )
    short = way.over_middle(band) if down else -way.over_middle(band)
    near = NEAR_EDGE * (band.high - band.low) / 2.0
    leaves = way.tomorrow > band.high - near if down else way.tomorrow < band.low + near
    if short <= (NEAR_AIM / 2.0 if leaves else NEAR_AIM):
        return _Need(said=(inside,))
    return _Need(said=(inside,), down=down, goes_on=True)


def _creeps(model: TankModel, way: Travel, edge: float) -> str:
    shown = round(way.tomorrow, 1)  # as it is read: what is past the edge by a hundredth stands at it
    if shown > edge:
        said = _("It would creep past {edge} by tomorrow, to about {tomorrow}.")
    elif shown == edge:
        said = _("It would creep up to about {edge} by tomorrow, the edge of what is wanted.")
    else:
        said = _("It would creep up to about {tomorrow} by tomorrow, close under {edge}.")
    return said.format(**_edge_words(model, way, edge)) + _plants_counted(model, way)


def _sinks(model: TankModel, way: Travel, edge: float) -> str:
    shown = round(way.tomorrow, 1)
    if shown < edge:
        said = _("It would sink past {edge} by tomorrow, to about {tomorrow}.")
    elif shown == edge:
        said = _("It would sink to about {edge} by tomorrow, the edge of what is wanted.")
    else:
        said = _("It would sink to about {tomorrow} by tomorrow, close over {edge}.")
    return said.format(**_edge_words(model, way, edge)) + _plants_counted(model, way)


def _plants_counted(model: TankModel, way: Travel) -> str:
    """Say what the plants do to it, which the pH of the same water without them doesn't show."""
    if abs(way.drift) < LEAST_SEEN:
        return ""
    drift = show_number(way.drift, Quantity.PH, model.rack.show)
    return " " + _("The plants are counted in: {drift} a day lately.").format(
        drift=drift if way.drift < 0.0 else f"+{drift}"
    )


def _edge_words(model: TankModel, way: Travel, edge: float) -> dict[str, str]:
    show = model.rack.show
    return {
        "edge": show_number(edge, Quantity.PH, show),
        "tomorrow": show_number(round(way.tomorrow, 1), Quantity.PH, show),
    }


def _held_back(model: TankModel, today: Today, *, band: Band, ph: float) -> str:
    """Give the sentence that says why nothing is poured now, or an empty text."""
    urgent = not LOWEST_PH <= ph <= HIGHEST_PH
    if today.portions >= MOST_PORTIONS:
        return _(
            "{many} portions are in already: that is enough for one correction. Leave it, check the meter "
            "in buffer, "
            "and read again tomorrow."
        ).format(many=today.portions)
    if _went_wrong_way(model, today, ph=ph) or has_stuck(model, ph=ph) == Stuck.TWICE:
        return _(
            "pH did not go the way the last portion should have moved it: check the meter in buffer 7, the "
            "label of "
            "the bottle, and the mixing, before any more."
        )
    if today.corrected_at is not None and not urgent:
        return _("pH was corrected {when}: once a day is enough, the tank still settles.").format(
            when=when(today.corrected_at, model.tank.at)
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
        way = travel_of(model, ph=ph, drift=min(0.0, drift_a_day(model) or 0.0))
    except ValueError:
        return False
    return way.tomorrow >= band.low


def _without_bottle(model: TankModel, *, band: Band, ph: float, need: _Need, drift: float | None) -> PhWay:
    if need.down:
        return PhWay(
            model=model,
            reasons=need.said,
            left_out=(_("There is no acid in the rack file that could bring it down."),),
        )
    none = _("There is no bottle in the rack file that brings pH up.")
    water = _water_for_ph(model, band=band, ph=ph, drift=drift)
    if not water:
        rises = _("Topping up with source water brings it up a little; look again tomorrow.")
        return PhWay(model=model, reasons=need.said, left_out=(none + " " + rises,))
    if isinstance(water[0], Drain):
        how = _("So low, a part of the solution is replaced by source water, which brings it up.")
    else:
        how = _("Source water brings it up: top up with that.")
    return PhWay(model=model, steps=water, reasons=(*need.said, none + " " + how))


def _water_for_ph(model: TankModel, *, band: Band, ph: float, drift: float | None) -> tuple[Step, ...]:
    """Give the source water that brings pH into the band; far below, up to a third is swapped for it."""
    reservoir, mark = model.rack.reservoir, model.rack.measuring.water_l
    if model.water.blend.alkalinity_meq < 0.2:
        return ()
    room_l = rounded_down(max(0.0, reservoir.full_l - model.level_l), mark=mark)
    most_l = room_l
    if ph < LOWEST_PH:
        most_l += max(0.0, min(model.litres / 3.0, model.level_l - reservoir.least_l))

    def over(water_l: float) -> float:
        shown = shown_after(model, _water_in(water_l, room_l=room_l), Guess(), ph=ph, ms_cm=None)
        mixed = ph if shown.ph is None else shown.ph
        settled = mixed if shown.ph_tomorrow is None else shown.ph_tomorrow
        return Travel(mixed=mixed, settled=settled, drift=drift or 0.0).over_middle(band)

    water_l = rounded_down(root_of(over, low=0.0, high=most_l, near=0.05), mark=mark)
    return _water_in(water_l, room_l=room_l)


def _water_in(water_l: float, *, room_l: float) -> tuple[Step, ...]:
    drain_l = round(water_l - room_l, 9)
    drained = (Drain(litres=drain_l),) if drain_l > 0.0 else ()
    return (*drained, AddWater(litres=water_l)) if water_l > 0.0 else ()


def _poured(
    model: TankModel, adjuster: Adjuster, portion: Portion, *, ph: float, aim: float, said: tuple[str, ...]
) -> PhWay:
    show, mark = model.rack.show, model.rack.measuring.liquid_ml
    if portion.ml < mark:
        if abs(aim - ph) < LEAST_CREEP:
            why = _(
                "But any now would take it past the other side of the band first: leave it, and look again "
                "tomorrow."
            )
        elif portion.whole_ml < mark:
            why = _("What it needs is less than one mark of the tool ({mark} mL): leave it.")
        else:
            why = _(
                "What is safe to pour now is less than one mark of the tool ({mark} mL): leave it, or use "
                "a finer "
                "syringe and say so in the rack file."
            )
        return PhWay(model=model, reasons=said, left_out=(why.format(mark=show_amount(mark)),))
    reasons = [
        *said,
        _("To pH {aim} it takes about {whole} mL of {bottle} in all.").format(
            aim=show_number(round(aim, 1), Quantity.PH, show),
            whole=show_amount(portion.whole_ml, decimals=1),
            bottle=adjuster.name,
        ),
    ]
    if portion.ml < portion.whole_ml - mark:
        reasons.append(_why_less(portion))
    if portion.answered:
        jar = model.answers[adjuster.name].litres is not None
        reasons.append(_("It is reckoned from the jar test of this water.") if jar else _answered(portion))
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
