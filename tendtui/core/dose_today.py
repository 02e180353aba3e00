"""What was poured to move pH lately, and what the tank answered."""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.dose_model import Answer
from tendtui.core.event import Poured, Reading
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.tank import TankNow
from tendtui.value import value_class

__all__ = ["Today", "answer_of", "portions_today"]

SAME_CORRECTION = timedelta(hours=3)
"""Pourings of an adjuster nearer than this are portions of one correction. Source: chosen here."""

STILL_SETTLES = timedelta(hours=12)
"""For so long a tank settles after a correction, also past midnight. Source: chosen here, as for the air."""


LEAST_MOVE_PH = 0.05
"""A smaller move says nothing: no meter shows it for certain."""


@value_class
class Today:
    """What was poured to move pH lately."""

    portions: int = 0
    """Portions of the correction under way."""
    last: Poured | None = None
    before: Reading | None = None
    """The reading that the last portion answered."""
    corrected_at: datetime | None = None
    """A correction of today that is over."""


def portions_today(tank: TankNow, rack: Rack) -> Today:
    """Find the correction under way, or the one already made today."""
    names = {adjuster.name for adjuster in rack.adjusters}
    pours = [p for p in tank.pourings if p.what in names and (p.ml or p.g)]
    if not pours:
        return Today()
    if tank.at - pours[-1].at > SAME_CORRECTION:
        return Today(corrected_at=pours[-1].at if _is_of_today(pours[-1], tank) else None)
    chain = [pours[-1]]
    for poured in reversed(pours[:-1]):
        if chain[-1].at - poured.at > SAME_CORRECTION:
            break
        chain.append(poured)
    earlier = [p.at for p in pours if p.at < chain[-1].at and _is_of_today(p, tank)]
    return Today(
        portions=len(chain),
        last=pours[-1],
        before=_reading_before(tank, pours),
        corrected_at=max(earlier, default=None),
    )


def _is_of_today(poured: Poured, tank: TankNow) -> bool:
    """Say whether a pouring is of the same day by the clock on the wall, or of the night before."""
    same_day = poured.at.astimezone(tank.at.tzinfo).date() == tank.at.date()
    return same_day or tank.at - poured.at < STILL_SETTLES


def _reading_before(tank: TankNow, pours: list[Poured]) -> Reading | None:
    """Give the pH reading before the last portion, if nothing else went in since that reading."""
    last = pours[-1]
    readings = [r for r in tank.readings if r.ph is not None and (r.at, r.seq) < (last.at, last.seq)]
    if not readings:
        return None
    before = readings[-1]
    others = [p for p in tank.pourings if (p.at, p.seq) > (before.at, before.seq) and p.id != last.id]
    return None if others else before


def answer_of(tank: TankNow, today: Today, adjuster: Adjuster, *, ph: float) -> Answer | None:
    """Give what this water did with a bottle: to the last portion, else in a jar; None: nobody knows.

    Args:
        tank: The tank, with its jars.
        today: The correction under way.
        adjuster: The bottle.
        ph: As read now.
    """
    sign = -1.0 if adjuster.direction == "down" else 1.0
    last, before = today.last, today.before
    if last is not None and before is not None and before.ph is not None and last.what == adjuster.name:
        if last.ml and (ph - before.ph) * sign >= LEAST_MOVE_PH:
            return Answer(start_ph=before.ph, end_ph=ph, ml=last.ml, poured=last)
        return None
    jar = tank.jars.get(adjuster.name)
    if jar is None or (jar.end_ph - jar.start_ph) * sign < LEAST_MOVE_PH:
        return None
    return Answer(start_ph=jar.start_ph, end_ph=jar.end_ph, ml=jar.ml_per_l, litres=1.0)
