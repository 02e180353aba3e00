"""The plan after something went in that no reading knows of yet: wait, and read."""

from __future__ import annotations

from datetime import timedelta
from math import ceil

from tendtui.core.dose_call import Call
from tendtui.core.dose_foresee import Foreseen, foresee
from tendtui.core.dose_steps import as_steps
from tendtui.core.dose_strength import MIX_MINUTES
from tendtui.core.event import Poured
from tendtui.core.plan import Plan, Read, Verdict, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.show import when
from tendtui.core.tank import TankNow, litres_of
from tendtui.value import replace
from tendtui.words import _

__all__ = ["wait_and_read"]


def wait_and_read(case: Call) -> Plan:
    """Give the plan that waits until it is mixed, then reads what was read before the last pouring."""
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


def _foreseen_since(case: Call) -> Foreseen | None:
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
