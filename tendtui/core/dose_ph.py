"""The pH portion: what would bring the tank to its aim, and how much of it is safe to pour now."""

from __future__ import annotations

from tendtui.core.adjuster_strength import reagent_of
from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess, guesses
from tendtui.core.dose_model import TankModel
from tendtui.core.measured_amount import rounded_down
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.uncertainty import quantile
from tendtui.value import value_class

__all__ = [
    "HIGHEST_PH",
    "LOWEST_PH",
    "MOST_MOVE_PH",
    "MOST_PORTIONS",
    "Portion",
    "adjuster_for",
    "ph_aim",
    "portion_of",
]

MOST_MOVE_PH = 1.0
"""One portion moves pH by no more than this. Source: common practice, no source."""

MOST_PORTIONS = 4
"""Portions of one correction, each after a wait and a reading. Source: common practice, no source."""

LOWEST_PH, HIGHEST_PH = 5.0, 7.0
"""Outside these a second correction in a day is right. Source: common practice, no source."""

PAST_THE_BAND = 0.02
"""A portion may pass the far side of the band in fewer than this share of cases."""

SAFETY = 0.015
"""The share that portions are made to, a little inside PAST_THE_BAND since draws are few."""

FIRST_SHARE, FIRST_SHARE_WEAK, NEXT_SHARE = 0.70, 0.60, 0.90
"""Share of the whole that is poured first; first in a tank low in phosphate; and once the tank has answered.

Source: growers' guides (half to two thirds of a jar test's amount); the last chosen here.
"""

KNOWN_SHARE = 0.92
"""Share that is poured first of a bottle that is known. Source: chosen here."""

LOW_PHOSPHATE_MMOL = 0.5
"""Below this a tank holds its pH weakly. [mmol/L] Source: half of a usual leafy-crop feed, chosen here."""


@value_class
class Portion:
    """What to pour now, and what led to it; amounts of the bottle."""

    ml: float
    """To pour: a multiple of the mark, 0 where less than one mark is safe or wanted. [mL]"""
    whole_ml: float
    """What the expected case needs to its aim. [mL]"""
    safe_ml: float
    """What passes the far side of the band in too few cases to matter. [mL]"""
    move_ml: float
    """What moves pH by the most allowed. [mL]"""
    share: float
    response: float = 1.0
    """Amount the tank really needs, over what the model says: learned, and from its last answer."""
    answered: bool = False
    """Whether the tank's answer to a portion before was used."""


def adjuster_for(rack: Rack, *, down: bool) -> Adjuster | None:
    """Give the first bottle that moves pH this way; one whose reagent can't is passed over."""
    wanted = "down" if down else "up"
    fit = [a for a in rack.adjusters if a.direction == wanted]
    named = [a for a in fit if a.reagent is None or reagent_of(a) is not None]
    return named[0] if named else None


def ph_aim(band: Band, *, drift_ph_day: float | None) -> float:
    """Give the pH to aim at: inside the band, on the side away from the drift; rising where nothing is known.

    Args:
        band: The wanted pH.
        drift_ph_day: By how much it rises a day; None: not known. [1/day]
    """
    third = 0.35 * (band.high - band.low)
    falls = drift_ph_day is not None and drift_ph_day < -0.03
    return band.high - third if falls else max(band.low + third, min(5.5, band.high))


def portion_of(model: TankModel, adjuster: Adjuster, *, ph: float, band: Band, aim: float) -> Portion:
    """Give the portion to pour now.

    Args:
        model: The tank, at the reading, with what it answered before.
        adjuster: The bottle.
        ph: As read.
        band: The wanted pH.
        aim: The pH aimed at.

    Raises:
        ValueError: If no amount of it reaches the aim in the expected case.
    """
    step = -1.0 if adjuster.direction == "down" else 1.0
    far = band.low if step < 0.0 else band.high
    usual = _Case(model, Guess(), adjuster, ph=ph)
    whole_ml = usual.ml_to(aim)
    move_ml = usual.ml_to(ph + step * MOST_MOVE_PH)
    cases = []
    for guess in guesses(model.spreads):
        try:
            cases.append(_Case(model, guess, adjuster, ph=ph).ml_to(far))
        except ValueError:  # in this corner no amount passes the far side
            continue
    safe_ml = quantile(cases, SAFETY) if cases else whole_ml
    answered = adjuster.name in model.answers
    share = _share(model, adjuster, answered=answered)
    amount = max(0.0, min(share * whole_ml, safe_ml, move_ml))
    return Portion(
        ml=rounded_down(amount, mark=model.rack.measuring.liquid_ml),
        whole_ml=whole_ml,
        safe_ml=safe_ml,
        move_ml=move_ml,
        share=share,
        response=usual.response,
        answered=answered,
    )


def _share(model: TankModel, adjuster: Adjuster, *, answered: bool) -> float:
    learned = model.learned.response.get(adjuster.name)
    if learned is not None and learned.is_known:
        return KNOWN_SHARE
    if answered:
        return NEXT_SHARE
    totals, _strength = model.totals(Guess())
    return FIRST_SHARE_WEAK if totals.get("P", 0.0) < LOW_PHOSPHATE_MMOL else FIRST_SHARE


class _Case:
    """One guess of the truth."""

    def __init__(self, model: TankModel, guess: Guess, adjuster: Adjuster, *, ph: float) -> None:
        strength = model.strength_of(adjuster)
        self._formula = strength.reagent.formula
        self._solution = model.solution_now(guess, ph_read=ph)
        self.response = model.response_under(adjuster, guess)
        self._ml_per_mmol_kg = model.litres_under(guess) * self.response / (strength.mol_l * guess.poured)

    def ml_to(self, ph: float) -> float:
        """Give the amount of the bottle that brings the true pH there. [mL]."""
        return self._solution.dose_to_ph(ph, self._formula) * self._ml_per_mmol_kg
