"""The tank as chemistry: its state under one guess of the truth, and what pouring does to it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from math import exp, log

from tendtui.chemistry import Solution
from tendtui.core.acid_left import left_of_acid
from tendtui.core.adjuster_strength import Strength, strength_of
from tendtui.core.blend import Blend, blended
from tendtui.core.dose_carbonate import Carbonate
from tendtui.core.dose_doubt import Guess, Spreads
from tendtui.core.dose_drop_test import drop_test_spread, misfit_of
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_steps import as_steps, poured_strengths
from tendtui.core.event import Poured
from tendtui.core.feed_mix import FeedMix
from tendtui.core.learned_values import Learned
from tendtui.core.plan import AddWater, Drain, Pour, Step
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.source_water import SourceWater
from tendtui.core.tank import SETTLED_AFTER, TankNow, litres_of
from tendtui.value import field, replace, value_class

__all__ = ["CURVE", "Answer", "State", "TankModel"]

CURVE = 0.93
"""Conductivity grows as strength to about this power.

Source: one feed from a quarter to four times its strength, ec.csv of the public tables (0.92 to 0.95).
"""

PHOSPHATE_KNOWN = 0.12
"""What is left of the doubt of phosphate once the tank's answer to a bottle is known. Source: chosen here."""


@value_class
class Answer:
    """What this water did when some of a bottle went in: in the tank, or in a jar."""

    start_ph: float
    end_ph: float
    ml: float
    """Of the bottle. [mL]"""
    litres: float | None = None
    """The jar; None: the tank. [L]"""
    poured: Poured | None = None
    """The pouring itself, where it was the tank."""


_PRIOR = 0.20
"""Doubt of the model before the water answered, as a logarithm: phosphate, carbonate, bottle."""


@value_class
class State:
    """The whole solution at one moment, under one guess."""

    blend: Blend
    litres: float
    """Reservoir and pipes. [L]"""
    strength: float
    """Conductivity to the power 1/CURVE: adds up by litres."""


@value_class
class TankModel:
    """Everything a plan computes with, made once."""

    rack: Rack
    tank: TankNow
    facts: DoseFacts
    learned: Learned
    temperature_c: float
    """[°C]"""
    level_l: float
    """[L]"""
    ms_cm: float
    """Of the tank, at 25 °C; a usual value where it wasn't read. [mS/cm]"""
    water: SourceWater
    feed: FeedMix | None
    source_share: float
    """How concentrated the source water's own salts stand in the tank, against fresh source water."""
    feed_share: float
    """Label strengths of feed in the tank."""
    spreads: Spreads
    acid_left_mmol: Mapping[str, float] = field(default_factory=dict)
    """Phosphate and citrate that came with acid since the change, beside the feed's. [mmol/L]"""
    most_dic_mmol: float = 100.0
    """Dissolved carbonate that source water, plants and alkali can have brought. [mmol/kg]"""
    left_before_mmol: Mapping[str, float] | None = None
    """The same as acid_left_mmol, before the portion that was answered; None: no other. [mmol/L]"""
    cautions: tuple[str, ...] = ()
    """What was left out because it can't be."""
    answers: Mapping[str, Answer] = field(default_factory=dict)
    """Bottle -> what this water answered to it, where the plan is to follow it."""

    @property
    def litres(self) -> float:
        """Give what is dosed: reservoir and pipes. [L]."""
        return self.level_l + self.tank.pipes_l

    def strength_of(self, adjuster: Adjuster) -> Strength:
        """Give what a bottle of acid or alkali brings."""
        return strength_of(adjuster)

    def response_of(self, adjuster: Adjuster) -> float:
        """Give what was learned: the amount really needed, over what the model says."""
        factor = self.learned.response.get(adjuster.name)
        return 1.0 if factor is None else factor.value

    def response_under(self, adjuster: Adjuster, guess: Guess) -> float:
        """Give the same under a guess: what the water answered says the more, the farther pH moved then."""
        believed = self.response_of(adjuster) * guess.response
        answer = self.answers.get(adjuster.name)
        if answer is None:
            return believed
        strength = self.strength_of(adjuster)
        litres = answer.litres if answer.litres is not None else self.litres_under(guess)
        poured = guess.poured if answer.litres is None else 1.0
        try:
            # what it believed before it was answered, of a tank without what that portion left in it
            plain = replace(self, answers={}, acid_left_mmol=self._left_before())
            first = replace(guess, ph_before=guess.ph_first)
            before = plain.solution_now(first, ph_read=answer.start_ph, without=answer.poured)
            by_model = before.dose_to_ph(_meter_ph(answer.end_ph, guess), strength.reagent.formula)
        except ValueError:
            return believed
        told = answer.ml * poured * strength.mol_l / litres / max(by_model, 1e-6)
        noise = 1.4 * self.spreads.ph_before / abs(answer.end_ph - answer.start_ph)
        prior = max(_PRIOR, self.spreads.response)
        weight = prior**2 / (prior**2 + noise**2)
        return exp(weight * log(min(max(told, 0.1), 10.0)) + (1.0 - weight) * log(believed))

    def _left_before(self) -> Mapping[str, float]:
        return self.acid_left_mmol if self.left_before_mmol is None else self.left_before_mmol

    def for_bottle(self, adjuster: Adjuster, answer: Answer | None) -> TankModel:
        """Give the model that pours one bottle: its doubt, and what the water answered to it."""
        learned = self.learned.response.get(adjuster.name)
        spread = self.strength_of(adjuster).spread
        if learned is not None:
            spread = min(spread, learned.spread)
        answers = {} if answer is None else {adjuster.name: answer}
        phosphate = self.spreads.phosphate
        if learned is not None and learned.is_known:  # what phosphate does to the answer was learned with it
            phosphate = min(phosphate, PHOSPHATE_KNOWN)
        spreads = replace(self.spreads, response=spread, phosphate=phosphate)
        before = None
        if answer is not None and answer.poured is not None:
            poured = tuple(p for p in self.tank.pourings if p is not answer.poured)
            before = left_of_acid(self.rack, replace(self.tank, pourings=poured))
        return replace(self, spreads=spreads, answers=answers, left_before_mmol=before)

    def totals(self, guess: Guess) -> tuple[Mapping[str, float], float]:
        """Give what is dissolved now, and its strength, under a guess. [mmol/kg]."""
        now = (self.ms_cm / guess.gain - guess.conductivity_before_ms_cm) or 1e-3
        strength = max(now, 1e-3) ** (1.0 / CURVE)
        water = self.source_share * (self.water.conductivity_ms_cm * guess.source) ** (1.0 / CURVE)
        usual = self.ms_cm ** (1.0 / CURVE) - self.source_share * self.water.conductivity_ms_cm ** (
            1.0 / CURVE
        )
        feed = self.feed_share * max(0.0, strength - water) / usual if usual > 1e-6 else 0.0
        totals = {
            name: self.source_share * guess.source * amount
            for name, amount in self.water.blend.totals_mmol.items()
        }
        if self.feed is not None:
            for name, amount in self.feed.blend.totals_mmol.items():
                more = guess.phosphate if name == "P" else 1.0
                totals[name] = totals.get(name, 0.0) + feed * more * amount
        for name, amount in self.acid_left_mmol.items():
            totals[name] = totals.get(name, 0.0) + amount
        return totals, strength

    def litres_under(self, guess: Guess) -> float:
        """Give the whole solution under a guess. [L]."""
        return max(0.5, self.level_l + guess.level_l + self.tank.pipes_l * guess.pipes)

    def air_atm(self, guess: Guess) -> float:
        """Give the carbon dioxide the water settles with. [atm]."""
        air = self.facts.air
        return guess.pco2 * (air.pco2_atm if self.rack.reservoir.aerated else air.pco2_still_atm)

    def carbonate(self, guess: Guess) -> Carbonate:
        """Give what bounds its carbonate."""
        return Carbonate(
            temperature_c=self.temperature_c,
            pco2_atm=self.air_atm(guess),
            most_in_air_mmol=self.most_dic_mmol * guess.pco2,
            fresh_mmol=self.water.blend.dic_mmol,
        )

    def solution_now(self, guess: Guess, *, ph_read: float, without: Poured | None = None) -> Solution:
        """Give the solution in the tank now: what is dissolved, at the pH read.

        Its carbonate follows from a drop test, else from the alkalinity carried through what was poured since
        the water last stood in balance with the air, else from the air.

        Args:
            guess: The truth.
            ph_read: As the meter shows it.
            without: A pouring that had not gone in yet when it was read.

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        totals, _strength = self.totals(guess)
        ph = _meter_ph(ph_read, guess)
        tested = self.tank.alkalinity
        if tested is not None:
            return self._tested(totals, ph, tested.value, guess)
        carried = self._carried(guess, totals, without=without)
        if carried is not None:
            return self.carbonate(guess).with_alkalinity(
                totals, ph=ph, alkalinity_meq=carried.alkalinity_meq, most_dic_mmol=carried.dic_mmol
            )
        return self.carbonate(guess).in_air(totals, ph=ph)

    def state_now(self, guess: Guess, *, ph_read: float) -> State:
        """Give the same as what mixing conserves."""
        solution = self.solution_now(guess, ph_read=ph_read)
        _totals, strength = self.totals(guess)
        return State(
            blend=Blend(
                totals_mmol=solution.totals_mmol,
                alkalinity_meq=solution.alkalinity_meq,
                dic_mmol=solution.dic_mmol,
            ),
            litres=self.litres_under(guess),
            strength=strength,
        )

    def after(self, state: State, step: Step, guess: Guess) -> State:
        """Give the state after one step, closed to the air."""
        match step:
            case AddWater(litres=litres):
                return self._watered(state, litres, guess)
            case Drain(litres=litres):
                return replace(state, litres=max(0.5, state.litres - litres))
            case Pour():
                return self._poured(state, step, guess)
            case _:
                return state

    def _tested(self, totals: Mapping[str, float], ph: float, tested_meq: float, guess: Guess) -> Solution:
        doubt = drop_test_spread(alkalinity_meq=tested_meq, tested=self.facts.water.alkalinity_spread_tested)
        # one deviate stands for both tests, each with its own reach
        alkalinity_meq = tested_meq * guess.alkalinity ** (doubt / self.spreads.alkalinity)
        return self.carbonate(guess).with_drop_test(totals, ph=ph, alkalinity_meq=alkalinity_meq)

    def without_wrong_test(self) -> TankModel:
        """Give the model without a drop test that can't be right, and with the sentence about it."""
        tested, read = self.tank.alkalinity, self.tank.ph
        if tested is None or read is None:
            return self
        try:
            said = self._misfit(tested.value, ph_read=read.value)
        except ValueError:
            return self
        return replace(self, tank=replace(self.tank, alkalinity=None), cautions=(said,)) if said else self

    def _misfit(self, tested_meq: float, *, ph_read: float) -> str:
        guess = Guess()
        totals, ph = self.totals(guess)[0], _meter_ph(ph_read, guess)
        carbonate = self.carbonate(guess)
        in_air = carbonate.in_air(totals, ph=ph)
        held = self._tested(totals, ph, tested_meq, guess)
        return misfit_of(
            alkalinity_meq=tested_meq,
            ph=ph_read,
            least_meq=carbonate.in_air({**totals, "P": 0.0}, ph=ph).alkalinity_meq,
            most_meq=max(in_air.alkalinity_meq, held.alkalinity_meq),
            show=self.rack.show,
        )

    def _carried(self, guess: Guess, totals: Mapping[str, float], *, without: Poured | None) -> Blend | None:
        """Give alkalinity and carbonate, carried through what was poured since the water stood in balance."""
        settled = _settled(self.tank)
        if settled is None or not self.rack.reservoir.aerated:
            return None
        at, ph_then = settled
        poured = tuple(p for p in self.tank.pourings if p.at >= at and p is not without)
        if not poured:
            return None
        before_l = self.litres_under(guess) - sum(litres_of(p) for p in poured)
        if before_l < 0.2 * self.litres_under(guess):
            return None
        then = self.carbonate(guess).in_air(totals, ph=_meter_ph(ph_then, guess))
        state = State(
            blend=Blend(totals_mmol={}, alkalinity_meq=then.alkalinity_meq, dic_mmol=then.dic_mmol),
            litres=before_l,
            strength=0.0,
        )
        plain = replace(self, answers={})  # the answer itself is reckoned from here
        for step in as_steps(poured):
            state = plain.after(state, step, guess)
        return state.blend

    def _watered(self, state: State, litres: float, guess: Guess) -> State:
        water = self.water.blend
        true_l = litres * (1.0 + (guess.poured - 1.0) / 2.0)
        fresh = Blend(
            totals_mmol={name: guess.source * amount for name, amount in water.totals_mmol.items()},
            alkalinity_meq=water.alkalinity_meq * guess.alkalinity,
            dic_mmol=water.dic_mmol * guess.alkalinity,
        )
        strength = (self.water.conductivity_ms_cm * guess.source) ** (1.0 / CURVE)
        whole_l = state.litres + true_l
        return State(
            blend=blended(((state.blend, state.litres), (fresh, true_l))),
            litres=whole_l,
            strength=(state.strength * state.litres + strength * true_l) / whole_l,
        )

    def _poured(self, state: State, pour: Pour, guess: Guess) -> State:
        adjuster = next((a for a in self.rack.adjusters if a.name == pour.what), None)
        if adjuster is not None:
            mmol = (pour.ml or 0.0) * self.strength_of(adjuster).mol_l * guess.poured
            return self.with_reagent(state, adjuster, mmol / self.response_under(adjuster, guess))
        if self.feed is None:
            return state
        labels = poured_strengths(self.rack.feeds, pour) * guess.label * guess.poured * self.label_learned()
        feed = self.feed.blend
        phosphate = {
            name: (guess.phosphate if name == "P" else 1.0) * v for name, v in feed.totals_mmol.items()
        }
        whole_l = state.litres + (pour.ml or 0.0) / 1000.0
        blend = blended(
            ((state.blend, state.litres), (replace(feed, totals_mmol=phosphate), labels)), over_l=whole_l
        )
        return State(
            blend=blend,
            litres=whole_l,
            strength=(state.strength * state.litres + labels * self.feed_strength()) / whole_l,
        )

    def with_reagent(self, state: State, adjuster: Adjuster, mmol: float) -> State:
        """Give the state after an amount of pure reagent that really acts. [mmol]."""
        reagent = self.strength_of(adjuster).reagent
        per_kg = mmol / state.litres
        totals = dict(state.blend.totals_mmol)
        dic, strong = state.blend.dic_mmol, 0.0
        for name, share in reagent.brings:
            if name == "DIC":
                dic += share * per_kg
                continue
            totals[name] = totals.get(name, 0.0) + share * per_kg
            strong += _SIGNS[name] * share * per_kg
        return replace(
            state,
            blend=Blend(totals_mmol=totals, alkalinity_meq=state.blend.alkalinity_meq + strong, dic_mmol=dic),
        )

    def strongest_claim(self) -> float:
        """Give the strongest of the claims about the feed over the one used; 1 once the tank has told."""
        return (
            1.0 if self.feed is None or self.learned.feed_strength is not None else self.feed.strongest_claim
        )

    def label_learned(self) -> float:
        """Give what the feed really adds, over its label."""
        return 1.0 if self.learned.feed_strength is None else self.learned.feed_strength.value

    def feed_strength(self) -> float:
        """Give the strength that one label strength adds."""
        if self.feed is None:
            return 0.0
        water = self.water.conductivity_ms_cm
        return float((water + self.feed.adds_ms_cm) ** (1.0 / CURVE) - water ** (1.0 / CURVE))


_SIGNS = {"NO3": -1.0, "P": -1.0, "SO4": -2.0, "Cl": -1.0, "Cit": -1.0, "K": 1.0}
"""Alkalinity that each total of a reagent brings, counted from the forms that stand at pH 4.5."""


def _meter_ph(ph_read: float, guess: Guess) -> float:
    return min(max(ph_read - guess.ph_offset - guess.ph_before, 2.5), 10.5)


def _settled(tank: TankNow) -> tuple[datetime, float] | None:
    """Give the last pH reading that stood in balance with the air, if something went in since."""
    last = tank.last_poured_at()
    if last is None or tank.at - last > SETTLED_AFTER:
        return None
    for reading in reversed(tank.readings):
        if reading.ph is None or reading.at > last:
            continue
        quiet = reading.at - SETTLED_AFTER
        if not any(quiet < p.at < reading.at and p.what != "drained" for p in tank.pourings):
            return reading.at, reading.ph
        if tank.at - reading.at > timedelta(days=3):
            return None
    return None
