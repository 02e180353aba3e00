"""What acid leaves in the tank since the change, beside its protons: phosphate and citrate hold pH."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from math import exp

from tendtui.core.adjuster_strength import strength_of
from tendtui.core.rack import Adjuster, Rack
from tendtui.core.tank import TankNow

__all__ = ["left_of_acid"]

STAYS = timedelta(days=30)
"""How far back acid is counted where no change was logged. Source: chosen here."""

MOST_MMOL = 4.0
"""More than this doesn't stay dissolved beside a feed's calcium. [mmol/L] Source: chosen here."""

EATEN_A_DAY: Mapping[str, float] = {"P": 0.0, "Cit": 0.5}
"""Rate at which it goes by itself. Plants take about the phosphate that the feed brings, so the acid's stays;
microbes eat citrate within days (growers' guides; the rate chosen here). [1/day]"""

_ANION = {"phosphoric acid": "P", "citric acid": "Cit"}


def left_of_acid(rack: Rack, tank: TankNow) -> Mapping[str, float]:
    """Give what is left of the acid poured since the change; what is drained takes its share. [mmol/L].

    A bottle with no strength on its label isn't counted: its amount would be a guess.

    Args:
        rack: Its bottles.
        tank: What was poured and drained.
    """
    litres = (rack.reservoir.full_l if tank.level is None else tank.level.value) + tank.pipes_l
    bottles = {a.name: a for a in rack.adjusters if _counts(a)}
    if not bottles or litres <= 0.0:
        return {}
    since = tank.changed_at or tank.at - STAYS
    left: dict[str, float] = {}
    kept = 1.0
    for poured in reversed(tank.pourings):
        if not since <= poured.at <= tank.at:
            continue
        if poured.what == "drained":
            kept *= max(0.0, 1.0 - (poured.litres or 0.0) / litres)
        elif poured.what in bottles:
            bottle = bottles[poured.what]
            anion = _ANION[bottle.reagent or ""]
            days = (tank.at - poured.at) / timedelta(days=1)
            mmol = (poured.ml or 0.0) * strength_of(bottle).mol_l * kept * exp(-EATEN_A_DAY[anion] * days)
            left[anion] = left.get(anion, 0.0) + mmol
    return {anion: min(mmol / litres, MOST_MMOL) for anion, mmol in left.items()}


def _counts(adjuster: Adjuster) -> bool:
    told = adjuster.percent_w_w is not None or adjuster.strength_mol_l is not None
    return told and adjuster.reagent in _ANION
