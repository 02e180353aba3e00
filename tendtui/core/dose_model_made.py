"""The model of a tank, made from what is known of it."""

from __future__ import annotations

from math import hypot

from tendtui.core.acid_left import left_of_acid
from tendtui.core.adjuster_strength import strength_of
from tendtui.core.blend import blended
from tendtui.core.dose_doubt import Spreads, pipes_spread, spreads_of
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_model import TankModel
from tendtui.core.feed_mix import FeedMix
from tendtui.core.learned_values import Factor, Learned
from tendtui.core.rack import Rack
from tendtui.core.recipe import water_and_feed
from tendtui.core.root import root_of
from tendtui.core.source_water import SourceWater
from tendtui.core.tank import TankNow
from tendtui.value import replace

__all__ = ["tank_model"]

USUAL_C = 20.0
"""[°C] taken where the temperature wasn't read."""

UNREAD_SHARE = 0.25
"""Doubt of a conductivity that was not read, as a share of the usual one taken for it. Chosen here."""

LABEL_SPREAD = 0.05
"""Doubt of a feed's label, as a logarithm (common practice, no source)."""

_DIC_OF_PLANTS_MMOL = 2.0
"""Carbonate that roots may have left for the nitrate they took. [mmol/kg] Source: chosen here; a usual feed
holds about ten of nitrate."""

_MOST_CONCENTRATED = 3.0
"""How far plants may have left the source water's salts behind, as a factor."""


def tank_model(
    rack: Rack, tank: TankNow, facts: DoseFacts, learned: Learned, *, usual_ms_cm: float
) -> TankModel:
    """Make the model of a tank from what is known.

    Args:
        rack: The rack.
        tank: What was read.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
        usual_ms_cm: Conductivity where it wasn't read. [mS/cm]

    Raises:
        ValueError: If the chemistry can't settle the water or the feed.
    """
    tank = _with_learned_pipes(tank, learned)
    temperature_c = tank.temperature.value if tank.temperature is not None else USUAL_C
    temperature_c = min(max(temperature_c, 1.0), 45.0)
    water, feed = water_and_feed(rack, facts, temperature_c=temperature_c)
    read = usual_ms_cm if tank.conductivity is None else tank.conductivity.value
    ms_cm = min(max(read, 1e-3), 12.0)
    share = _source_share(tank, water, ms_cm=ms_cm, level_l=0.0 if tank.level is None else tank.level.value)
    model = TankModel(
        rack=rack,
        tank=tank,
        facts=facts,
        learned=learned,
        temperature_c=temperature_c,
        level_l=rack.reservoir.full_l if tank.level is None else tank.level.value,
        ms_cm=ms_cm,
        water=water,
        feed=feed,
        source_share=share,
        feed_share=_feed_share(water, feed, share, ms_cm=ms_cm),
        acid_left_mmol=left_of_acid(rack, tank),
        most_dic_mmol=1.2 * share * water.blend.dic_mmol + _DIC_OF_PLANTS_MMOL + _dic_of_alkali(rack, tank),
        spreads=_doubted(
            spreads_of(
                rack,
                tank,
                facts,
                label=_label_spread(feed, learned),
                phosphate=0.1 if feed is None else feed.phosphate_spread,
                alkalinity=water.alkalinity_spread,
                source=water.conductivity_spread,
                response=0.06,
            ),
            tank,
            learned,
            ms_cm=ms_cm,
        ),
    )
    return model.without_wrong_test()


def _label_spread(feed: FeedMix | None, learned: Learned) -> float:
    if learned.feed_strength is not None:
        return learned.feed_strength.spread
    return hypot(LABEL_SPREAD, 0.0 if feed is None else feed.claims_spread)


def _with_learned_pipes(tank: TankNow, learned: Learned) -> TankNow:
    """Give the tank with the litres in the pipes that its log taught, once they are surer than believed."""
    if not _pipes_are_surer(tank, learned.pipes):
        return tank
    factor = 1.0 if learned.pipes is None else learned.pipes.value
    return replace(tank, pipes_l=tank.pipes_l * factor)


def _pipes_are_surer(tank: TankNow, pipes: Factor | None) -> bool:
    return pipes is not None and pipes.spread < pipes_spread(measured=tank.pipes_known)


def _doubted(spreads: Spreads, tank: TankNow, learned: Learned, *, ms_cm: float) -> Spreads:
    """Give the spreads with what is known of the pipes, of meters out of trust, and of what wasn't read."""
    pipes = learned.pipes
    if tank.conductivity is None:
        spreads = replace(spreads, conductivity_before_ms_cm=UNREAD_SHARE * ms_cm)
    if pipes is not None and _pipes_are_surer(tank, pipes):
        spreads = replace(spreads, pipes=pipes.spread)
    ms_cm = 0.0 if tank.conductivity is None else tank.conductivity.value
    for doubt in learned.doubts:
        if doubt.once and doubt.meter == "ph":
            spreads = replace(spreads, ph_before=hypot(spreads.ph_before, doubt.spread))
        elif doubt.once:
            before = hypot(spreads.conductivity_before_ms_cm, doubt.spread * ms_cm)
            spreads = replace(spreads, conductivity_before_ms_cm=before)
        elif doubt.meter == "ph":
            spreads = replace(spreads, ph_offset=hypot(spreads.ph_offset, doubt.spread))
        else:
            spreads = replace(spreads, gain=hypot(spreads.gain, doubt.spread))
    return spreads


def _source_share(tank: TankNow, water: SourceWater, *, ms_cm: float, level_l: float) -> float:
    """Give the litres that went in since the change over those there are: plants leave the salts."""
    litres = level_l + tank.pipes_l
    share = tank.water_since_change_l() / litres if litres > 0.0 else 1.0
    share = min(max(share, 1.0), _MOST_CONCENTRATED)
    if water.conductivity_ms_cm > 0.0:
        share = min(share, ms_cm / water.conductivity_ms_cm)
    return share


def _dic_of_alkali(rack: Rack, tank: TankNow) -> float:
    """Give the carbonate that alkali poured since the change brought, or drew from the air. [mmol/kg]."""
    litres = tank.litres
    if not litres:
        return 0.0
    bottles = {a.name: strength_of(a).mol_l for a in rack.adjusters if a.direction == "up"}
    since = tank.changed_at
    poured = [p for p in tank.pourings if p.what in bottles and (since is None or p.at > since)]
    # of a mole of potassium carbonate come two, the second out of the air
    return sum(2.0 * bottles[p.what] * (p.ml or 0.0) for p in poured) / litres


def _feed_share(water: SourceWater, feed: FeedMix | None, share: float, *, ms_cm: float) -> float:
    if feed is None:
        return 0.0
    low = replace(water.blend, alkalinity_meq=0.05)  # in a fed tank acid and plants have used it up
    most = 2.0 * ms_cm / feed.adds_ms_cm + 0.5  # the curve needs a tenth more than proportion

    def miss(labels: float) -> float:
        return blended(((low, share), (feed.blend, labels)), over_l=1.0).warm_ms_cm() - ms_cm

    guess = (ms_cm - share * water.conductivity_ms_cm) / feed.adds_ms_cm
    near, far = 0.9 * guess, 1.3 * guess  # found in a few steps where proportion is nearly right
    if guess > 0.2 and miss(near) < 0.0 < miss(far):
        return root_of(miss, low=near, high=far, near=1e-3)
    return root_of(miss, low=0.0, high=most, near=1e-3)
