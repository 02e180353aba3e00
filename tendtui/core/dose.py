"""From the readings to a plan: what to pour, in which order, how much, and how sure that is."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import ceil

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.dose_assumed import assumed_of
from tendtui.core.dose_cautions import cautions_of
from tendtui.core.dose_doubtful import Again, to_read_again
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_foresee import Foreseen, foresee, level_after
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_ph_way import ph_way
from tendtui.core.dose_steps import as_steps
from tendtui.core.dose_strength import MIX_MINUTES, claims_said, room_for, strength_way
from tendtui.core.dose_stuck import Stuck, has_stuck
from tendtui.core.event import Poured
from tendtui.core.fresh_mix import OldSolution, change_steps, old_solution, ph_bottle_of
from tendtui.core.learned_values import Learned
from tendtui.core.mixing import mixing_since, still_mixing
from tendtui.core.plan import Amounts, Plan, Pour, Ranges, Read, Step, Verdict, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import how_long_ago, quantity_name, show_band, show_value, when
from tendtui.core.tank import Held, TankNow, litres_of
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["plan_dose"]

MIXED = (Wait(minutes=MIX_MINUTES), Read(what=("conductivity", "ph")))
"""What every plan that moves something ends with."""

ROOM_FOR_PH = 0.001
"""Share of the solution that acid or alkali may take up afterwards: a millilitre a litre."""

NOTHING_KNOWN = 0.6
"""Doubt of a conductivity whose reading can't be, as a share: the tank may be plain water. Chosen here."""

ROTTEN_PH = 4.0
"""Under this the solution is changed. Source: common practice, no source (roots burn below about 3.5)."""


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
    case = _Case(
        rack=rack, tank=tank, now=now, bands=bands, facts=facts, learned=learned or Learned(), put_off=put_off
    )
    again = to_read_again(rack, tank, bands)
    if again.what:
        return _read_again(case, again)
    if Quantity.CONDUCTIVITY in again.left_out:
        case = replace(case, tank=replace(tank, conductivity=None), left_out=again.reasons)
    if tank.unread:
        return _wait_and_read(case)
    try:
        return _planned(case)
    except ValueError:
        return _without_ph(case)


def _without_ph(case: _Case) -> Plan:
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


@value_class
class _Draft:
    """Steps and words before they are foreseen."""

    verdict: Verdict
    steps: tuple[Step, ...]
    reasons: tuple[str, ...]
    model: TankModel | None = None
    """The tank where the steps were reckoned with more than the readings."""
    cautions: tuple[str, ...] = ()
    old: OldSolution | None = None
    """At a change: what stays in the pipes, which may not have been read."""
    ph_comes_after: bool = False
    """Whether pH is mended after the reading that follows: what it will be till then is no promise."""


@value_class
class _Case:
    """One call, with what it was given."""

    rack: Rack
    tank: TankNow
    now: datetime
    bands: Bands
    facts: DoseFacts
    learned: Learned
    put_off: bool = False
    left_out: tuple[str, ...] = ()
    """Why a reading isn't reckoned with."""

    @property
    def strength_band(self) -> Band:
        return self.bands.conductivity.band

    @property
    def ph(self) -> float | None:
        return _value(self.tank.ph)

    @property
    def ms_cm(self) -> float | None:
        return _value(self.tank.conductivity)

    @property
    def readings(self) -> Amounts:
        tank = self.tank
        return Amounts(
            level_l=_value(tank.level),
            conductivity_ms_cm=self.ms_cm,
            ph=self.ph,
            temperature_c=_value(tank.temperature),
        )

    def model(self) -> TankModel:
        band = self.strength_band
        model = tank_model(
            self.rack, self.tank, self.facts, self.learned, usual_ms_cm=(band.low + band.high) / 2.0
        )
        if not self.left_out:
            return model
        spreads = replace(model.spreads, conductivity_before_ms_cm=NOTHING_KNOWN * model.ms_cm)
        return replace(model, spreads=spreads)

    def plan(
        self,
        verdict: Verdict,
        *,
        reasons: tuple[str, ...],
        steps: tuple[Step, ...] = (),
        foreseen: Foreseen | None = None,
        assumed: tuple[str, ...] = (),
        cautions: tuple[str, ...] = (),
    ) -> Plan:
        return Plan(
            at=self.now,
            readings=self.readings,
            verdict=verdict,
            reasons=reasons,
            steps=steps,
            expect=Amounts() if foreseen is None else foreseen.expect,
            range=Ranges() if foreseen is None else foreseen.range,
            assumed=assumed,
            cautions=(*self._named_too_early(), *cautions),
        )

    def _named_too_early(self) -> tuple[str, ...]:
        """Warn where a strength or a pH is named in the call while something that went in still mixes."""
        named = any(held is not None and held.given for held in (self.tank.conductivity, self.tank.ph))
        poured_at = mixing_since(self.tank.pourings, self.now) if named else None
        return () if poured_at is None else (still_mixing(poured_at, self.now),)


def _value(held: Held | None) -> float | None:
    return None if held is None else held.value


def _read_again(case: _Case, again: Again) -> Plan:
    return case.plan(
        Verdict.CORRECT,
        reasons=again.reasons,
        steps=(Read(what=tuple(quantity.value for quantity in again.what)),),
    )


def _wait_and_read(case: _Case) -> Plan:
    tank = case.tank
    last = tank.last_poured_at() or case.now
    gone = (case.now - last) / timedelta(minutes=1)
    minutes = float(max(1, ceil(MIX_MINUTES - gone)))
    what = tuple(quantity.value for quantity in tank.unread)
    reason = _("Something went in after the last reading, {when}: let it mix, then read.").format(
        when=when(last, case.now)
    )
    steps = (Wait(minutes=minutes), Read(what=what))
    try:
        foreseen = _foreseen_since(case)
    except ValueError:
        foreseen = None
    return case.plan(Verdict.CORRECT, reasons=(reason,), steps=steps, foreseen=foreseen)


def _foreseen_since(case: _Case) -> Foreseen | None:
    """Foresee from the readings as they were, through what was poured since."""
    tank = case.tank
    if tank.level is None or (tank.changed_at is not None and _changed_since_read(tank)):
        return None
    since = tank.poured_since
    gone = {id(p) for p in since}
    level = replace(tank.level, value=max(0.0, tank.level.value - _moved_l(tank, since)))
    as_read = replace(tank, level=level, pourings=tuple(p for p in tank.pourings if id(p) not in gone))
    model = replace(case, tank=as_read).model()
    found = foresee(model, as_steps(since), ph=case.ph, ms_cm=case.ms_cm)
    found = replace(found, expect=replace(found.expect, level_l=tank.level.value))
    if Quantity.PH not in tank.unread:  # read since: what went in is in it already
        found = _with_ph(found, foresee(case.model(), (), ph=case.ph, ms_cm=None))
    if Quantity.CONDUCTIVITY not in tank.unread:
        as_it_is = foresee(case.model(), (), ph=None, ms_cm=case.ms_cm)
        ms_cm, between = as_it_is.expect.conductivity_ms_cm, as_it_is.range.conductivity_ms_cm
        found = replace(
            found,
            expect=replace(found.expect, conductivity_ms_cm=ms_cm),
            range=replace(found.range, conductivity_ms_cm=between),
        )
    return found


def _with_ph(found: Foreseen, other: Foreseen) -> Foreseen:
    expect, between = other.expect, other.range
    return replace(
        found,
        expect=replace(found.expect, ph=expect.ph, ph_tomorrow=expect.ph_tomorrow),
        range=replace(found.range, ph=between.ph, ph_tomorrow=between.ph_tomorrow),
    )


def _changed_since_read(tank: TankNow) -> bool:
    times = [held.at for held in (tank.conductivity, tank.ph) if held is not None]
    return tank.changed_at is not None and any(at <= tank.changed_at for at in times)


def _moved_l(tank: TankNow, since: tuple[Poured, ...]) -> float:
    return 0.0 if tank.level is not None and tank.level.given else sum(litres_of(p) for p in since)


def _planned(case: _Case) -> Plan:
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


def _draft(case: _Case, model: TankModel) -> _Draft:
    ms_cm = case.ms_cm
    changed = _change(case, ms_cm)
    if changed and not _can_wait(case):
        return _changed(case, model, changed)
    if case.tank.level is None or case.tank.level_is_stale:
        return _without_level(case, ms_cm)
    ph_is_off = case.ph is not None and not case.bands.ph.band.holds(case.ph)
    kept_l = ROOM_FOR_PH * model.litres if case.rack.adjusters else 0.0
    way = strength_way(model, band=case.strength_band, ms_cm=ms_cm, ph=case.ph, kept_l=kept_l)
    if case.left_out:
        way = replace(way, left_out=(_("No feed is planned until then."),))
    if way.change and case.put_off:
        return _Draft(
            verdict=Verdict.LEAVE,
            steps=(),
            reasons=(*way.reasons, _("Nothing else mends this: it waits for the change.")),
        )
    if way.change:
        return _changed(case, model, way.reasons)
    if way.steps:
        left = way.left_out
        if ph_is_off:
            left += (_("pH comes after it: from a reading taken once this is mixed."),)
        return _Draft(
            verdict=Verdict.CORRECT,
            steps=(*way.steps, *_mixed(case)),
            reasons=(*way.reasons, *left),
            ph_comes_after=ph_is_off,
        )
    return _ph_draft(case, model, (*way.reasons, *way.left_out))


def _mixed(case: _Case) -> tuple[Step, ...]:
    del case
    return MIXED


def _ph_draft(case: _Case, model: TankModel, reasons: tuple[str, ...]) -> _Draft:
    if case.ph is None:
        left = _("pH was not read: it is left out.")
        return _Draft(verdict=Verdict.LEAVE, steps=(), reasons=(*reasons, left))
    if has_stuck(model, ph=case.ph) == Stuck.ONCE:
        said = _(
            "pH reads the same to the last digit as before the last portion went in: is the meter stuck, or "
            "was it not stirred? Read again."
        )
        return _Draft(verdict=Verdict.CORRECT, steps=(Read(what=("ph",)),), reasons=(*reasons, said))
    way = ph_way(model, band=case.bands.ph.band, ph=case.ph)
    verdict = Verdict.CORRECT if way.steps else Verdict.LEAVE
    steps = (*_with_room(model, way.steps), *_mixed(case)) if way.steps else ()
    return _Draft(
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


def _without_level(case: _Case, ms_cm: float | None) -> _Draft:
    level = case.tank.level
    if level is None:
        said = _("The level was not read: without it no amount can be given.")
    else:
        said = _("The level was read {ago}: too long to reckon with. Read it first.").format(
            ago=how_long_ago(level.at, case.now)
        )
    off = _off_band(case, ms_cm)
    if level is None and not off:
        return _Draft(
            verdict=Verdict.LEAVE, steps=(), reasons=(said, _("What was read is inside its bands."))
        )
    missing = [Quantity.LEVEL]
    missing += [q for q, value in ((Quantity.CONDUCTIVITY, ms_cm), (Quantity.PH, case.ph)) if value is None]
    what = tuple(quantity.value for quantity in missing)
    return _Draft(verdict=Verdict.CORRECT, steps=(Read(what=what),), reasons=(said, *off))


def _off_band(case: _Case, ms_cm: float | None) -> tuple[str, ...]:
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


def _change(case: _Case, ms_cm: float | None) -> tuple[str, ...]:
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


def _can_wait(case: _Case) -> bool:
    """Say whether anything is planned while a change that is due is put off."""
    level = case.tank.level
    empty = level is not None and level.value <= 0.02 * case.rack.reservoir.full_l
    return case.put_off and not empty and (case.ph is None or case.ph >= ROTTEN_PH)


def _changed(case: _Case, model: TankModel, reasons: tuple[str, ...]) -> _Draft:
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
    return _Draft(
        verdict=Verdict.CHANGE,
        steps=(*steps, *_mixed(case)),
        reasons=tuple(said),
        cautions=tuple(how),
        model=old.model,
        old=old,
        ph_comes_after=True,
    )


def _tomorrow(case: _Case, foreseen: Foreseen) -> tuple[str, ...]:
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
