"""From the readings to a plan: what to pour, in which order, how much, and how sure that is."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.bands import Bands
from tendtui.core.dose_assumed import assumed_of
from tendtui.core.dose_call import MIXED, Call, Draft
from tendtui.core.dose_cautions import cautions_of
from tendtui.core.dose_change import can_wait, change_draft, change_reasons
from tendtui.core.dose_doubtful import Again, to_read_again
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_foresee import Foreseen, foresee, level_after
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_ph_way import ph_way
from tendtui.core.dose_strength import room_for, strength_way
from tendtui.core.dose_stuck import Stuck, has_stuck
from tendtui.core.dose_waiting import wait_and_read
from tendtui.core.learned_values import Learned
from tendtui.core.plan import Plan, Read, Step, Verdict, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import how_long_ago, quantity_name, show_band, show_value
from tendtui.core.tank import TankNow
from tendtui.value import replace
from tendtui.words import _

__all__ = ["plan_dose"]

ROOM_FOR_PH = 0.001
"""Share of the solution that acid or alkali may take up afterwards: a millilitre a litre."""


def plan_dose(
    rack: Rack,
    tank: TankNow,
    *,
    now: datetime,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
    put_off: bool = False,
) -> Plan:
    """Plan the correction up to the next reading.

    Water first, then feed, then wait and read; pH only from readings taken after all was mixed.

    Args:
        rack: The rack.
        tank: What is known of the solution.
        now: The moment.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
        put_off: Whether a change that is due is put off: what makes sense meanwhile is planned.

    Returns:
        The plan; where nothing can be stood behind it says so instead of giving numbers.
    """
    case = Call(
        rack=rack, tank=tank, now=now, bands=bands, facts=facts, learned=learned or Learned(), put_off=put_off
    )
    again = to_read_again(rack, tank, bands)
    if again.what:
        return _read_again(case, again)
    if Quantity.CONDUCTIVITY in again.left_out:
        without = replace(case, tank=replace(tank, conductivity=None), left_out=again.reasons)
        return replace(_from_readings(without), readings=case.readings)
    return _from_readings(case)


def _from_readings(case: Call) -> Plan:
    if case.tank.unread:
        return wait_and_read(case)
    try:
        return _planned(case)
    except ValueError:
        return _without_ph(case)


def _without_ph(case: Call) -> Plan:
    """Plan what can be planned where the pH read can't be, with what else is known."""
    if case.ph is not None:
        said = _("{read} can't be with what else was read: it is left out. Check the meter in buffer 7.")
        read = show_value(case.ph, Quantity.PH, case.rack.show)
        try:
            made = _planned(replace(case, tank=replace(case.tank, ph=None)))
        except ValueError:
            pass
        else:
            not_read = _("pH was not read: it is left out.")
            others = tuple(reason for reason in made.reasons if reason != not_read)
            return replace(made, readings=case.readings, reasons=(said.format(read=read), *others))
    return case.plan(
        Verdict.LEAVE,
        reasons=(
            _("These numbers together can't be a solution: nothing is planned. Read everything again."),
        ),
    )


def _read_again(case: Call, again: Again) -> Plan:
    return case.plan(
        Verdict.CORRECT,
        reasons=again.reasons,
        steps=(Read(what=tuple(quantity.value for quantity in again.what)),),
    )


def _planned(case: Call) -> Plan:
    model = case.model()
    draft = _draft(case, model)
    model = draft.model or model
    ended = _up_to_read(draft.steps)
    ph, ms_cm = case.ph, case.ms_cm
    taken: tuple[tuple[str, str], ...] = ()
    if draft.old is not None:
        ph, ms_cm, taken = draft.old.ph, model.ms_cm, draft.old.assumed
    foreseen = foresee(model, ended, ph=ph, ms_cm=ms_cm)
    if case.tank.level is None:
        foreseen = replace(foreseen, expect=replace(foreseen.expect, level_l=None))
    return case.plan(
        draft.verdict,
        reasons=(
            *case.left_out,
            *draft.reasons,
            *(() if draft.ph_comes_after else _tomorrow(case, foreseen)),
            *_who_pays(case.bands),
        ),
        steps=draft.steps,
        foreseen=foreseen,
        assumed=assumed_of(model, ended, ph=ph, ms_cm=ms_cm, taken=taken),
        cautions=(*draft.cautions, *cautions_of(model, ended, ph=ph)),
    )


def _who_pays(bands: Bands) -> tuple[str, ...]:
    """Name the crops that the common bands don't suit."""
    said = []
    for quantity, common in ((Quantity.CONDUCTIVITY, bands.conductivity), (Quantity.PH, bands.ph)):
        for less, text in (
            (True, _("The wanted {what} is a compromise: {crops} would like it lower.")),
            (False, _("The wanted {what} is a compromise: {crops} would like it higher.")),
        ):
            crops = [payer.crop for payer in common.payers if (payer.off > 0.0) is less]
            if crops:
                said.append(text.format(what=quantity_name(quantity), crops=", ".join(crops)))
    return tuple(said)


def _up_to_read(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    return tuple(step for step in steps if not isinstance(step, Read | Wait))


def _draft(case: Call, model: TankModel) -> Draft:
    ms_cm = case.ms_cm
    changed = change_reasons(case, ms_cm)
    if changed and not can_wait(case):
        return change_draft(case, model, changed)
    if case.tank.level is None or case.tank.level_is_stale:
        return _without_level(case, ms_cm)
    ph_is_off = case.ph is not None and not case.bands.ph.band.holds(case.ph)
    kept_l = ROOM_FOR_PH * model.litres if case.rack.adjusters else 0.0
    way = strength_way(model, band=case.strength_band, ms_cm=ms_cm, ph=case.ph, kept_l=kept_l)
    if case.left_out:
        way = replace(way, left_out=(_("No feed is planned until then."),))
    if way.change and case.put_off:
        return Draft(
            verdict=Verdict.LEAVE,
            steps=(),
            reasons=(*way.reasons, _("Nothing else mends this: it waits for the change.")),
        )
    if way.change:
        return change_draft(case, model, way.reasons)
    if way.steps:
        left = way.left_out
        if ph_is_off:
            left += (_("pH comes after it: from a reading taken once this is mixed."),)
        return Draft(
            verdict=Verdict.CORRECT,
            steps=(*way.steps, *MIXED),
            reasons=(*way.reasons, *left),
            ph_comes_after=ph_is_off,
        )
    return _ph_draft(case, model, (*way.reasons, *way.left_out))


def _ph_draft(case: Call, model: TankModel, reasons: tuple[str, ...]) -> Draft:
    if case.ph is None:
        left = _("pH was not read: it is left out.")
        return Draft(verdict=Verdict.LEAVE, steps=(), reasons=(*reasons, left))
    if has_stuck(model, ph=case.ph) == Stuck.ONCE:
        said = _(
            "pH reads the same to the last digit as before the last portion went in: is the meter stuck, or "
            "was it not stirred? Read again."
        )
        return Draft(verdict=Verdict.CORRECT, steps=(Read(what=("ph",)),), reasons=(*reasons, said))
    way = ph_way(model, band=case.bands.ph.band, ph=case.ph)
    verdict = Verdict.CORRECT if way.steps else Verdict.LEAVE
    steps = (*_with_room(model, way.steps), *MIXED) if way.steps else ()
    return Draft(
        verdict=verdict,
        steps=steps,
        reasons=(*reasons, *way.reasons, *way.left_out),
        model=way.model,
        cautions=way.cautions,
    )


def _with_room(model: TankModel, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Drain first what a pouring would push over the full mark, where the eye could see it there."""
    full_l = max(model.rack.reservoir.full_l, model.level_l)
    over_l = level_after(model.level_l, steps) - full_l
    if over_l <= 0.5 * model.rack.measuring.water_l:
        return steps
    return room_for(model, steps, over_l=over_l) or steps


def _without_level(case: Call, ms_cm: float | None) -> Draft:
    level = case.tank.level
    if level is None:
        said = _("The level was not read: without it no amount can be given.")
    else:
        said = _("The level was read {ago}: too long to reckon with. Read it first.").format(
            ago=how_long_ago(level.at, case.now)
        )
    off = _off_band(case, ms_cm)
    if level is None and not off:
        return Draft(verdict=Verdict.LEAVE, steps=(), reasons=(said, _("What was read is inside its bands.")))
    missing = [Quantity.LEVEL]
    missing += [q for q, value in ((Quantity.CONDUCTIVITY, ms_cm), (Quantity.PH, case.ph)) if value is None]
    what = tuple(quantity.value for quantity in missing)
    return Draft(verdict=Verdict.CORRECT, steps=(Read(what=what),), reasons=(said, *off))


def _off_band(case: Call, ms_cm: float | None) -> tuple[str, ...]:
    rows = ((Quantity.CONDUCTIVITY, ms_cm, case.strength_band), (Quantity.PH, case.ph, case.bands.ph.band))
    said = []
    for quantity, value, band in rows:
        if value is None:
            said.append(_("There is no reading of {what}.").format(what=quantity_name(quantity)))
        elif not band.holds(value):
            said.append(
                _("{read} is outside the wanted {band}.").format(
                    read=show_value(value, quantity, case.rack.show),
                    band=show_band(band, quantity, case.rack.show),
                )
            )
    return tuple(said)


def _tomorrow(case: Call, foreseen: Foreseen) -> tuple[str, ...]:
    """Say why pH will stand elsewhere tomorrow, where it will."""
    mixed, tomorrow = foreseen.expect.ph, foreseen.expect.ph_tomorrow
    if mixed is None or tomorrow is None or abs(tomorrow - mixed) < 0.15:
        return ()
    show = case.rack.show
    words = {
        "mixed": show_value(round(mixed, 1), Quantity.PH, show),
        "tomorrow": show_value(round(tomorrow, 1), Quantity.PH, show),
    }
    if tomorrow < mixed:
        return (
            _(
                "{mixed} once mixed, {tomorrow} by tomorrow: the water takes up carbon dioxide from the air."
            ).format(**words),
        )
    return (
        _(
            "{mixed} once mixed, {tomorrow} by tomorrow: carbon dioxide leaves the water, and pH creeps up."
        ).format(**words),
    )
