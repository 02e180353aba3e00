"""A jar test: drops of the bottle into a measured jar of the tank's own solution, scaled to the tank.

It asks neither what is in the water nor how strong the bottle is: the jar answers for both.
"""

from __future__ import annotations

from itertools import pairwise

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_model import Answer, TankModel
from tendtui.core.dose_ph import portion_of
from tendtui.core.rack import Adjuster
from tendtui.value import value_class

__all__ = ["JarPoint", "JarResult", "jar_result", "needed_ml"]


@value_class
class JarPoint:
    """What the jar showed after so much of the bottle in all."""

    added_ml: float
    """Of the bottle, unthinned, since the start. [mL]"""
    ph: float


@value_class
class JarResult:
    """What a jar says of the tank."""

    ml_per_l: float
    """Of the bottle to the aim. [mL/L]"""
    tank_ml: float
    """For the whole tank. [mL]"""
    first_ml: float
    """The first portion that the dose will plan, in whole marks. [mL]"""
    response: float
    """Amount really needed, over what the chemistry says."""
    start_ph: float
    end_ph: float
    told_ml_per_l: float
    """Of the bottle, from start to end, as seen in the jar. [mL/L]"""
    reached: bool
    """Whether the jar itself came to the aim; else the rest is reckoned by the chemistry."""


def needed_ml(points: tuple[JarPoint, ...], *, ph: float) -> float | None:
    """Give the amount at which the jar passed a pH, between two readings in proportion; None: it never did.

    Args:
        points: From the first (nothing added) on, amounts rising.
        ph: The pH asked for.
    """
    for before, after in pairwise(points):
        low, high = sorted((before.ph, after.ph))
        if low <= ph <= high and high > low:
            share = (ph - before.ph) / (after.ph - before.ph)
            return before.added_ml + share * (after.added_ml - before.added_ml)
    return None


def jar_result(
    model: TankModel,
    adjuster: Adjuster,
    points: tuple[JarPoint, ...],
    *,
    jar_l: float,
    aim: float,
    band: Band,
) -> JarResult:
    """Scale a jar to the tank.

    Args:
        model: The tank.
        adjuster: The bottle.
        points: At least the start and one more.
        jar_l: Solution in the jar. [L]
        aim: The pH wanted.
        band: The wanted pH, past whose far side no portion should go.

    Raises:
        ValueError: If the jar never moved the way the bottle should, or holds nothing.
    """
    if jar_l <= 0.0 or len(points) < 2:
        raise ValueError("a jar test needs a jar of something and at least two readings")
    first, last = points[0], points[-1]
    moved = last.ph - first.ph
    if abs(moved) < 0.1 or (moved < 0.0) != (adjuster.direction == "down"):
        raise ValueError("the jar did not move the way the bottle should")
    at_aim = needed_ml(points, ph=aim)
    by_model_ml_l = _by_model(model, adjuster, start=first.ph, end=aim if at_aim is not None else last.ph)
    told_ml_l = (at_aim if at_aim is not None else last.added_ml) / jar_l
    response = told_ml_l / max(by_model_ml_l, 1e-9)
    whole_ml_l = told_ml_l
    if at_aim is None:
        whole_ml_l = response * _by_model(model, adjuster, start=first.ph, end=aim)
    end_ph = aim if at_aim is not None else last.ph
    answer = Answer(start_ph=first.ph, end_ph=end_ph, ml=told_ml_l, litres=1.0)
    portion = portion_of(model.for_bottle(adjuster, answer), adjuster, ph=first.ph, band=band, aim=aim)
    return JarResult(
        ml_per_l=whole_ml_l,
        tank_ml=whole_ml_l * model.litres,
        first_ml=portion.ml,
        response=response,
        start_ph=first.ph,
        end_ph=end_ph,
        told_ml_per_l=told_ml_l,
        reached=at_aim is not None,
    )


def _by_model(model: TankModel, adjuster: Adjuster, *, start: float, end: float) -> float:
    strength = model.strength_of(adjuster)
    solution = model.solution_now(Guess(), ph_read=start)
    return solution.dose_to_ph(end, strength.reagent.formula) / strength.mol_l
