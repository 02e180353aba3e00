"""A fresh mix for change day: litres, parts in order, and what to expect once it is mixed."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_foresee import Foreseen, foresee, foresee_cheaply, level_after
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_ph import adjuster_for
from tendtui.core.dose_strength import MIX_MINUTES, exact_pours, feed_pours, wish_over
from tendtui.core.learned_values import Learned
from tendtui.core.measured_amount import rounded_down, rounded_up
from tendtui.core.plan import AddWater, Drain, Pour, Step, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.root import root_of
from tendtui.core.show import show_value
from tendtui.core.tank import TankNow
from tendtui.value import replace, value_class
from tendtui.words import _

MOST_LEFT = 0.5
"""Share of the wanted strength that may come from old solution in the pipes; above it they are rinsed."""

OLD_PH = 6.0
"""pH taken for old solution that was not read: the middle of what most crops are kept at. Chosen here."""

OLD_PH_SPREAD = 0.5
"""Doubt of the pH of old solution that was not read. Chosen here."""

__all__ = ["FreshMix", "OldSolution", "change_steps", "fresh_mix", "old_solution", "ph_bottle_of"]


@value_class
class OldSolution:
    """What stays in the pipes at a change, as read or as taken."""

    model: TankModel
    """With the doubt of what was taken."""
    ph: float
    assumed: tuple[tuple[str, str], ...] = ()
    """What was taken, each beside the doubt it makes."""


def old_solution(model: TankModel) -> OldSolution:
    """Give the solution that stays in the pipes; what was not read of it is taken, in wide doubt.

    Args:
        model: The tank as it is before the change.
    """
    tank, spreads, show = model.tank, model.spreads, model.rack.show
    assumed = []
    if tank.conductivity is None:
        said = _("The old solution in the pipes was not read: taken as {value}.")
        value = show_value(model.ms_cm, Quantity.CONDUCTIVITY, show)
        assumed.append(("conductivity_before_ms_cm", said.format(value=value)))
    if tank.ph is None:
        spreads = replace(spreads, ph_before=OLD_PH_SPREAD)
        said = _("The pH of the old solution in the pipes was not read: taken as {value}.")
        value = show_value(OLD_PH, Quantity.PH, show)
        assumed.append(("ph_before", said.format(value=value)))
    return OldSolution(
        model=replace(model, spreads=spreads),
        ph=OLD_PH if tank.ph is None else tank.ph.value,
        assumed=tuple(assumed),
    )


@value_class
class FreshMix:
    """The whole mix of a change: what goes out, the water, every part of the feed."""

    model: TankModel
    """The tank as it is before the change; what stands in the pipes stays there."""
    steps: tuple[Step, ...]
    ph: float
    """As read before the change, else as taken."""
    ph_bottle: str = ""
    """The bottle that will probably be wanted after the reading; empty: none."""

    def foreseen(self, steps: tuple[Step, ...]) -> Foreseen:
        """Give what the meters should show once these steps are done and mixed, and between which values.

        Raises:
            ValueError: If the chemistry can't settle the expected case.
        """
        return foresee(self.model, steps, ph=self.ph, ms_cm=self.model.ms_cm)


def change_steps(model: TankModel, *, band: Band, empty: bool) -> tuple[Step, ...]:
    """Give the steps of a change in full: drained with the pump off, water, every part of the feed.

    Args:
        model: The tank as it is; what stands in the pipes stays there.
        band: The wanted conductivity. [mS/cm]
        empty: Whether nothing has to be drained.
    """
    rack = model.rack
    mark = rack.measuring.water_l
    old_l = rounded_up(max(model.level_l, 0.0), mark=mark)
    start: tuple[Step, ...] = () if empty or old_l <= 0.0 else (Drain(litres=old_l),)
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
    wish = min(wish_over(band, water_ms_cm=model.water.conductivity_ms_cm), band.high)
    litres = model.tank.pipes_l + level_after(model.level_l, before)
    most = 3.0 * wish / model.feed.adds_ms_cm * litres

    def miss(labels: float) -> float:
        steps = (*before, *exact_pours(model.rack.feeds, labels))
        return (foresee_cheaply(model, steps, ph=None, ms_cm=model.ms_cm).conductivity_ms_cm or 0.0) - wish

    return feed_pours(model, root_of(miss, low=0.0, high=most, near=0.001))


def fresh_mix(
    rack: Rack, *, tank: TankNow, bands: Bands, facts: DoseFacts, learned: Learned | None = None
) -> FreshMix:
    """Give the mix of a change; its steps are those that `plan_dose` gives for one.

    Args:
        rack: The rack.
        tank: What is known of the solution that goes out; what stands in the pipes stays.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.

    Raises:
        ValueError: If the chemistry can't settle the water or the feed.
    """
    band = bands.conductivity.band
    model = tank_model(rack, tank, facts, learned or Learned(), usual_ms_cm=(band.low + band.high) / 2.0)
    steps = change_steps(model, band=band, empty=False)
    old = old_solution(model)
    bottle = ph_bottle_of(old.model, steps, ph=old.ph, band=bands.ph.band)
    return FreshMix(model=old.model, steps=steps, ph=old.ph, ph_bottle=bottle)


def ph_bottle_of(model: TankModel, steps: tuple[Step, ...], *, ph: float, band: Band) -> str:
    """Give the bottle that the mix will probably want after its reading; empty: none.

    Args:
        model: The tank as it is before the change.
        steps: The mix.
        ph: Of the old solution.
        band: The wanted pH.
    """
    mixed = foresee_cheaply(model, steps, ph=ph, ms_cm=model.ms_cm).ph
    if mixed is None or band.holds(mixed):
        return ""
    adjuster = adjuster_for(model.rack, down=mixed > band.high)
    return "" if adjuster is None else adjuster.name
