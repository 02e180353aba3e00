"""A fresh mix for change day: litres, parts in order, acid, and what to expect after each."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.compose import root_of
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_foresee import foresee_cheaply, level_after
from tendtui.core.dose_model import TankModel, tank_model
from tendtui.core.dose_ph import FIRST_SHARE, adjuster_for, ph_aim
from tendtui.core.dose_strength import MIX_MINUTES, exact_pours, feed_pours
from tendtui.core.learned_values import Learned
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Amounts, Drain, Pour, Step, Wait
from tendtui.core.rack import Rack
from tendtui.core.tank import Held, TankNow
from tendtui.value import replace, value_class

MOST_LEFT = 0.5
"""Share of the wanted strength that may come from old solution in the pipes; above it they are rinsed."""

__all__ = ["FreshMix", "MixStage", "change_steps", "fresh_mix"]


@value_class
class MixStage:
    """One step of the mix and what the meters should show after it, stirred."""

    step: Step
    expect: Amounts


@value_class
class FreshMix:
    """The whole mix, from an empty reservoir to the first reading."""

    stages: tuple[MixStage, ...]
    acid: str = ""
    """The bottle that will probably be wanted after the reading; empty: none."""
    acid_ml: float = 0.0
    """About how much of it in all. [mL]"""
    acid_first_ml: float = 0.0
    """About how much of it first; the plan after the reading says exactly. [mL]"""

    @property
    def steps(self) -> tuple[Step, ...]:
        """Give the steps alone."""
        return tuple(stage.step for stage in self.stages)


def change_steps(model: TankModel, *, band: Band, empty: bool) -> tuple[Step, ...]:
    """Give the steps of a change in full: drained with the pump off, water, every part of the feed.

    Args:
        model: The tank as it is; what stands in the pipes stays there.
        band: The wanted conductivity. [mS/cm]
        empty: Whether nothing has to be drained.
    """
    rack = model.rack
    start: tuple[Step, ...] = (
        () if empty or model.level_l <= 0.0 else (Drain(litres=round(model.level_l, 9)),)
    )
    mark = rack.measuring.water_l
    water_l = rounded_down(rack.reservoir.full_l, mark=mark)
    if _left_in_pipes(model, start, water_l=water_l) > MOST_LEFT * (band.low + band.high) / 2.0:
        start = (*start, AddWater(litres=water_l), Wait(minutes=MIX_MINUTES), Drain(litres=water_l))
    pours: tuple[Pour, ...] = ()
    for _turn in range(2):  # the second time with room for the bottles
        pours = _feed(model, (*start, AddWater(litres=water_l)), band=band)
        pours_l = sum((pour.ml or 0.0) / 1000.0 for pour in pours)
        water_l = rounded_down(rack.reservoir.full_l - pours_l, mark=mark)
    return (*start, AddWater(litres=water_l), *pours)


def _left_in_pipes(model: TankModel, start: tuple[Step, ...], *, water_l: float) -> float:
    """Give the conductivity that the old solution in the pipes makes in the refilled tank. [mS/cm]."""
    steps = (*start, AddWater(litres=water_l))
    shown = foresee_cheaply(model, steps, ph=None, ms_cm=model.ms_cm).conductivity_ms_cm or 0.0
    return shown - model.water.conductivity_ms_cm


def _feed(model: TankModel, before: tuple[Step, ...], *, band: Band) -> tuple[Pour, ...]:
    if model.feed is None:
        return ()
    wish = (band.low + band.high) / 2.0
    litres = model.tank.pipes_l + level_after(model.level_l, before)
    most = 3.0 * wish / model.feed.adds_ms_cm * litres

    def miss(labels: float) -> float:
        steps = (*before, *exact_pours(model.rack.feeds, labels))
        return (foresee_cheaply(model, steps, ph=None, ms_cm=model.ms_cm).conductivity_ms_cm or 0.0) - wish

    return feed_pours(model, root_of(miss, low=0.0, high=most, near=0.001))


def fresh_mix(
    rack: Rack,
    *,
    now: datetime,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
    tank: TankNow | None = None,
) -> FreshMix:
    """Give the mix for a reservoir that stands empty.

    Args:
        rack: The rack.
        now: The moment.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
        tank: What was last read, for what still stands in the pipes; None: the pipes are empty.

    Raises:
        ValueError: If the chemistry can't settle the water or the feed.
    """
    empty_pipes = tank is None
    start = tank if tank is not None else TankNow(at=now)
    start = replace(start, level=Held(value=0.0, at=now), pipes_l=0.0 if empty_pipes else start.pipes_l)
    source_ms_cm = rack.source.conductivity_ms_cm or facts.water.conductivity_ms_cm
    model = tank_model(rack, start, facts, learned or Learned(), usual_ms_cm=source_ms_cm)
    steps = change_steps(model, band=bands.conductivity.band, empty=True)
    ph = None if start.ph is None else start.ph.value
    ph = ph if ph is not None else model.water.blend.solved(temperature_c=model.temperature_c).ph
    stages = []
    for place in range(len(steps)):
        done = steps[: place + 1]
        shown = foresee_cheaply(model, done, ph=ph, ms_cm=model.ms_cm)
        stages.append(
            MixStage(
                step=steps[place],
                expect=Amounts(
                    level_l=level_after(0.0, done),
                    conductivity_ms_cm=shown.conductivity_ms_cm,
                    ph=shown.ph,
                    ph_tomorrow=shown.ph_tomorrow,
                ),
            )
        )
    return _with_acid(model, steps, tuple(stages), bands=bands, ph=ph)


def _with_acid(
    model: TankModel, steps: tuple[Step, ...], stages: tuple[MixStage, ...], *, bands: Bands, ph: float
) -> FreshMix:
    mixed = stages[-1].expect.ph if stages else None
    aired = stages[-1].expect.ph_tomorrow if stages else None
    band = bands.ph.band
    if mixed is None or aired is None or band.holds(mixed):
        return FreshMix(stages=stages)
    down = mixed > band.high
    adjuster = adjuster_for(model.rack, down=down)
    if adjuster is None:
        return FreshMix(stages=stages)
    state = model.state_now(Guess(), ph_read=ph)
    for step in steps:
        state = model.after(state, step, Guess())
    strength = model.strength_of(adjuster)
    solution = state.blend.solved(temperature_c=model.temperature_c)
    try:
        mmol = solution.dose_to_ph(ph_aim(band, drift_ph_day=None), strength.reagent.formula)
    except ValueError:
        return FreshMix(stages=stages)
    whole_ml = mmol * state.litres * model.response_of(adjuster) / strength.mol_l
    mark = model.rack.measuring.liquid_ml
    return FreshMix(
        stages=stages,
        acid=adjuster.name,
        acid_ml=rounded_down(whole_ml, mark=mark),
        acid_first_ml=rounded_down(FIRST_SHARE * whole_ml, mark=mark),
    )
