"""The pH portion: what would bring the tank to its aim, and how much of it is safe to pour now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp, log

from tendtui.chemistry import Solution
from tendtui.core.adjuster_strength import UNKNOWN_SPREAD, Strength, reagent_of
from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess, guesses
from tendtui.core.dose_model import TankModel
from tendtui.core.event import Poured, Reading
from tendtui.core.measured_amount import rounded_down
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.tank import TankNow
from tendtui.core.uncertainty import quantile

__all__ = [
    "HIGHEST_PH",
    "LOWEST_PH",
    "MOST_MOVE_PH",
    "MOST_PORTIONS",
    "Portion",
    "Today",
    "adjuster_for",
    "ph_aim",
    "portion_of",
    "portions_today",
]

MOST_MOVE_PH = 1.0
"""One portion moves pH by no more than this. Source: common practice, no source."""

MOST_PORTIONS = 4
"""Portions of one correction, each after a wait and a reading. Source: common practice, no source."""

LOWEST_PH, HIGHEST_PH = 5.0, 7.0
"""Outside these a second correction in a day is right. Source: common practice, no source."""

SAME_CORRECTION = timedelta(hours=3)
"""Pourings of an adjuster nearer than this are portions of one correction. Source: chosen here."""

ONE_DAY = timedelta(hours=18)
"""A correction this long ago was another day's: rounds aren't walked to the minute. Source: chosen here."""

PAST_THE_BAND = 0.02
"""A portion may pass the far side of the band in fewer than this share of cases."""

SAFETY = 0.015
"""The share that portions are made to, a little inside PAST_THE_BAND since draws are few."""

FIRST_SHARE, FIRST_SHARE_WEAK, NEXT_SHARE = 0.70, 0.60, 0.90
"""Share of the whole that is poured first; first in a tank low in phosphate; and once the tank has answered.

Source: growers' guides (half to two thirds of a jar test's amount); the last chosen here.
"""

LOW_PHOSPHATE_MMOL = 0.5
"""Below this a tank holds its pH weakly. [mmol/L] Source: half of a usual leafy-crop feed, chosen here."""

_PRIOR = 0.30
"""Doubt of the tank's answer before it gave one, as the logarithm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What was poured to move pH lately."""

    portions: int = 0
    """Portions of the correction under way."""
    last: Poured | None = None
    before: Reading | None = None
    """The reading that the last portion answered."""
    corrected_at: datetime | None = None
    """A correction of today that is over."""


@dataclass(frozen=True, slots=True, kw_only=True)
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


def portions_today(tank: TankNow, rack: Rack) -> Today:
    """Find the correction under way, or the one already made today."""
    names = {adjuster.name for adjuster in rack.adjusters}
    pours = [p for p in tank.pourings if p.what in names and (p.ml or p.g)]
    if not pours or tank.at - pours[-1].at > ONE_DAY:
        return Today()
    if tank.at - pours[-1].at > SAME_CORRECTION:
        return Today(corrected_at=pours[-1].at)
    chain = [pours[-1]]
    for poured in reversed(pours[:-1]):
        if chain[-1].at - poured.at > SAME_CORRECTION:
            break
        chain.append(poured)
    earlier = [p.at for p in pours if p.at < chain[-1].at and tank.at - p.at <= ONE_DAY]
    return Today(
        portions=len(chain),
        last=pours[-1],
        before=_reading_before(tank, pours),
        corrected_at=max(earlier, default=None),
    )


def _reading_before(tank: TankNow, pours: list[Poured]) -> Reading | None:
    """Give the pH reading before the last portion, if nothing else went in since that reading."""
    last = pours[-1]
    readings = [r for r in tank.readings if r.ph is not None and (r.at, r.seq) < (last.at, last.seq)]
    if not readings:
        return None
    before = readings[-1]
    others = [p for p in tank.pourings if (p.at, p.seq) > (before.at, before.seq) and p.id != last.id]
    return None if others else before


def portion_of(
    model: TankModel, adjuster: Adjuster, *, ph: float, band: Band, aim: float, today: Today
) -> Portion:
    """Give the portion to pour now.

    Args:
        model: The tank, at the reading.
        adjuster: The bottle.
        ph: As read.
        band: The wanted pH.
        aim: The pH aimed at.
        today: The correction under way.

    Raises:
        ValueError: If no amount of it reaches the aim in the expected case.
    """
    strength = model.strength_of(adjuster)
    step = -1.0 if adjuster.direction == "down" else 1.0
    far = band.low if step < 0.0 else band.high
    spread = _spread(model, adjuster, strength)
    usual = _Case(model, Guess(), adjuster, strength, ph=ph, today=today, spread=spread)
    whole_ml = usual.ml_to(aim)
    move_ml = usual.ml_to(ph + step * MOST_MOVE_PH)
    narrowed = model.with_response_spread(spread)
    cases = []
    for guess in guesses(narrowed.spreads):
        try:
            case = _Case(narrowed, guess, adjuster, strength, ph=ph, today=today, spread=spread)
            cases.append(case.ml_to_shown(far))
        except ValueError:  # in this corner no amount passes the far side
            continue
    safe_ml = quantile(cases, SAFETY) if cases else whole_ml
    share = _share(model, answered=usual.answered)
    amount = max(0.0, min(share * whole_ml, safe_ml, move_ml))
    return Portion(
        ml=rounded_down(amount, mark=model.rack.measuring.liquid_ml),
        whole_ml=whole_ml,
        safe_ml=safe_ml,
        move_ml=move_ml,
        share=share,
        response=usual.response,
        answered=usual.answered,
    )


def _share(model: TankModel, *, answered: bool) -> float:
    if answered:
        return NEXT_SHARE
    totals, _strength = model.totals(Guess())
    return FIRST_SHARE_WEAK if totals.get("P", 0.0) < LOW_PHOSPHATE_MMOL else FIRST_SHARE


def _spread(model: TankModel, adjuster: Adjuster, strength: Strength) -> float:
    learned = model.learned.response.get(adjuster.name)
    return strength.spread if learned is None else min(strength.spread, learned.spread)


class _Case:
    """One guess of the truth, with the tank's answer to the last portion where there is one."""

    def __init__(
        self,
        model: TankModel,
        guess: Guess,
        adjuster: Adjuster,
        strength: Strength,
        *,
        ph: float,
        today: Today,
        spread: float,
    ) -> None:
        self._strength = strength
        self._formula = strength.reagent.formula
        self._litres = model.litres_under(guess)
        self._guess = guess
        self.response = model.response_of(adjuster) * guess.response
        self.answered = False
        if today.last is not None and today.before is not None and today.last.what == adjuster.name:
            self._solution = self._after_the_last(model, guess, ph=ph, today=today, spread=spread)
        else:
            self._solution = model.solution_now(guess, ph_read=ph)

    def _after_the_last(
        self, model: TankModel, guess: Guess, *, ph: float, today: Today, spread: float
    ) -> Solution:
        """Set what the last portion did beside what the model says of it: the rest follows the tank."""
        before_ph = (today.before.ph if today.before is not None else None) or ph
        moved = ph - before_ph
        sign = -1.0 if self._strength.reagent.protons else 1.0
        poured_ml = (today.last.ml if today.last is not None else None) or 0.0
        now = model.solution_now(guess, ph_read=ph)
        if moved * sign < 0.05 or poured_ml <= 0.0:
            return now
        try:
            before = model.solution_now(guess, ph_read=before_ph, without=today.last)
            by_model = before.dose_to_ph(now.ph, self._formula)
        except ValueError:
            return now
        poured = poured_ml * self._strength.mol_l * guess.poured / self._litres
        prior = max(_PRIOR, spread) if spread < UNKNOWN_SPREAD else 1.0
        noise = 1.4 * model.spreads.ph_before / abs(moved)
        weight = prior**2 / (prior**2 + noise**2)
        answer = min(max(poured / max(by_model, 1e-6), 0.1), 10.0)
        self.response = exp(weight * log(answer) + (1.0 - weight) * log(self.response))
        self.answered = True
        return now

    def ml_to(self, ph: float) -> float:
        """Give the amount of the bottle that brings the true pH there. [mL]."""
        mmol = self._solution.dose_to_ph(ph, self._formula) * self._litres
        return mmol * self.response / (self._strength.mol_l * self._guess.poured)

    def ml_to_shown(self, ph: float) -> float:
        """Give the amount that brings what the meter shows there. [mL]."""
        return self.ml_to(ph - self._guess.ph_offset)
