"""Whether the rack can be left alone for some days: what happens day by day, and what has to be so before."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from tendtui.core.band import Band
from tendtui.core.forecast import DayAhead, days_ahead, ph_after
from tendtui.core.pattern_view import View
from tendtui.core.sheet_bottles import Bottles
from tendtui.value import value_class

__all__ = ["Absence", "Alone", "absence_of"]

Answer = Literal["yes", "perhaps", "no"]

START_SHARE = 0.25
"""Where pH is set before leaving, as a share of its band from the side that it leaves towards the other.

Source: common practice, no source; the whole rest of the band is there for its drift.
"""


MOST_PH, LEAST_PH = 8.5, 3.5
"""pH isn't foreseen beyond these.

Source: water with 2 meq/L of alkalinity comes to rest at about pH 8.4 in open air (carbonate equilibrium at
20 °C, pK1 6.38, 420 ppm of carbon dioxide); the lower one is chosen here.
"""


@value_class
class Alone:
    """One day on which nobody pours anything."""

    ahead: DayAhead
    ph: tuple[float, float, float] | None
    """At its end: expected, and the range of nine in ten."""


@value_class
class Absence:
    """Some days away, from a full mark on the first morning."""

    last: date
    """The last day away."""
    days: tuple[Alone, ...]
    """Up to the one on which the pump draws air."""
    answer: Answer
    dry_on: date | None
    """First day on which the level is expected under the least one; nothing is foreseen after it."""
    dry_early: date | None
    """First day on which it may be, once in ten times."""
    strong_on: date | None
    """First day on which the strength is expected above its band."""
    ph_out_on: date | None
    """First day on which pH is expected outside its band."""
    leave_ms_cm: float | None
    """Strength at the full mark that stays inside the band till the end; None: not known, or none would."""
    leave_ph: float | None
    """What pH is to be on the morning of leaving."""
    bottles: Bottles
    """What a stand-in would pour, day by day."""


def absence_of(view: View, bottles: Bottles, *, first: date, last: date) -> Absence:
    """Look at days on which nobody is there.

    Args:
        view: The course, what was learned, and the bands.
        bottles: What a stand-in would pour on these days.
        first: The first day away; the reservoir stands at the full mark that morning.
        last: The last day away.
    """
    ahead = days_ahead(view, first=first, last=last)
    least = view.course.rack.reservoir.least_l
    dry_on = next((day.day for day in ahead if day.level_l < least), None)
    ahead = tuple(day for day in ahead if dry_on is None or day.day <= dry_on)
    leave_ph = _leave_ph(view)
    alone = tuple(
        Alone(ahead=day, ph=None if leave_ph is None else _ph_after(view, leave_ph, n + 1.0))
        for n, day in enumerate(ahead)
    )
    dry_early = next((day.day for day in ahead if day.level_low_l < least), None)
    return Absence(
        days=alone,
        answer="no" if dry_on is not None or not ahead else "perhaps" if dry_early is not None else "yes",
        dry_on=dry_on,
        dry_early=dry_early,
        strong_on=_strong_on(ahead, view.conductivity),
        ph_out_on=_ph_out_on(alone, view.ph),
        leave_ms_cm=_leave_ms_cm(view, ahead),
        last=last,
        leave_ph=leave_ph,
        bottles=bottles,
    )


def _strong_on(ahead: Sequence[DayAhead], band: Band | None) -> date | None:
    if band is None:
        return None
    known = [day for day in ahead if day.conductivity_ms_cm is not None]
    return next((day.day for day in known if (day.conductivity_ms_cm or 0.0) > band.high), None)


def _ph_out_on(alone: Sequence[Alone], band: Band | None) -> date | None:
    if band is None:
        return None
    return next((day.ahead.day for day in alone if day.ph is not None and not band.holds(day.ph[0])), None)


def _ph_after(view: View, ph: float, days: float) -> tuple[float, float, float] | None:
    found = ph_after(view, ph=ph, days=days)
    if found is None:
        return None
    value, low, high = (max(LEAST_PH, min(MOST_PH, each)) for each in found)
    return value, low, high


def _leave_ph(view: View) -> float | None:
    band = view.ph
    drift = ph_after(view, ph=0.0, days=1.0)
    if band is None or drift is None:
        return None
    share = START_SHARE if drift[0] >= 0.0 else 1.0 - START_SHARE
    return band.low + share * (band.high - band.low)


def _leave_ms_cm(view: View, ahead: Sequence[DayAhead]) -> float | None:
    """Give the strength at the full mark with which the last evening is still inside the band.

    From the forecast's own course: what is eaten is taken as it stands there, and scales with the salt.
    """
    band, newest = view.conductivity, view.newest
    if band is None or newest is None or not ahead or ahead[-1].conductivity_ms_cm is None:
        return None
    whole = view.course.rack.reservoir.full_l + newest.pipes_l
    left = ahead[-1].level_l + newest.pipes_l
    eaten = view.eaten_day[0] * whole * len(ahead)
    most = (band.high * left + eaten) / whole
    return None if most < band.low else min(most, band.high)
