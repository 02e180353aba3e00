"""A pH that stays the same to the last digit though acid or alkali went in."""

from __future__ import annotations

from enum import Enum

from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_today import Today, portions_today
from tendtui.core.rack import Adjuster

__all__ = ["Stuck", "has_stuck"]

LEAST_EXPECTED_PH = 0.3
"""A portion that should have moved pH by less proves nothing. Source: chosen here."""

KNOWN_WITHIN = 0.3
"""Doubt of a bottle's effect, as a share, above which no move can be expected of it."""


class Stuck(Enum):
    """How often pH stood where it was."""

    NO = 0
    ONCE = 1
    TWICE = 2


def has_stuck(model: TankModel, *, ph: float) -> Stuck:
    """Say whether pH reads as before the last portion, which should have moved it.

    Args:
        model: The tank, as the log tells of it.
        ph: As read since.
    """
    today = portions_today(model.tank, model.rack)
    last, before = today.last, today.before
    if last is None or before is None or before.ph is None or abs(ph - before.ph) > 1e-9:
        return Stuck.NO
    adjuster = next((a for a in model.rack.adjusters if a.name == last.what), None)
    if adjuster is None or _expected_move(model, today, adjuster) < _least(model):
        return Stuck.NO
    since = [r for r in model.tank.readings if r.ph is not None and (r.at, r.seq) > (last.at, last.seq)]
    read = model.tank.ph
    return Stuck.TWICE if len(since) + (read is not None and read.given) > 1 else Stuck.ONCE


def _least(model: TankModel) -> float:
    return max(LEAST_EXPECTED_PH, 3.0 * model.rack.meter.ph_step)


def _expected_move(model: TankModel, today: Today, adjuster: Adjuster) -> float:
    """Give by how much the last portion should have moved pH; 0 where that isn't known."""
    last, before = today.last, today.before
    strength = model.strength_of(adjuster)
    if last is None or before is None or before.ph is None or strength.spread > KNOWN_WITHIN:
        return 0.0
    mmol = (last.ml or 0.0) * strength.mol_l / model.litres / model.response_of(adjuster)
    try:
        start = model.solution_now(Guess(), ph_read=before.ph, without=last)
        return abs(start.with_added(strength.reagent.formula, mmol).ph - start.ph)
    except ValueError:
        return 0.0
