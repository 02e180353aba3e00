"""Where pH goes from the reading until tomorrow, and the pH that puts that whole way into the band."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_drift import drift_of, fall_lately
from tendtui.core.dose_model import TankModel
from tendtui.core.rack import Adjuster
from tendtui.core.root import root_of
from tendtui.value import value_class

__all__ = ["FROM_EDGE", "Travel", "aim_of", "drift_a_day", "travel_of"]

FROM_EDGE = 0.10
"""No portion aims nearer than this to the edge of the band: a meter's step. Source: chosen here."""

USUAL_DRIFT = 0.10
"""Rise a day that is aimed for where nothing is known yet: plants on nitrate. Source: chosen here."""

MOST_DRIFT = 0.5
"""A drift beyond this is not believed. [1/day]"""


@value_class
class Travel:
    """pH at three moments, as the meter would show it."""

    mixed: float
    """Now, or once mixed."""
    settled: float
    """When the air has had its way with the carbon dioxide."""
    drift: float = 0.0
    """What the plants add to it in a day. [1/day]"""

    @property
    def tomorrow(self) -> float:
        """Give the pH of the next morning."""
        return self.settled + self.drift

    @property
    def lowest(self) -> float:
        """Give the lowest pH on the way."""
        return min(self.mixed, self.settled, self.tomorrow)

    @property
    def highest(self) -> float:
        """Give the highest pH on the way."""
        return max(self.mixed, self.settled, self.tomorrow)

    def over_middle(self, band: Band) -> float:
        """Give how far the middle of the way lies over the middle of the band."""
        return (self.lowest + self.highest - band.low - band.high) / 2.0


def drift_a_day(model: TankModel) -> float | None:
    """Give how far the plants move pH in a day, as learned of this rack; None: not known. [1/day]."""
    drift = model.learned.drift_ph_day
    drift = drift if drift is not None else drift_of(model.tank)
    fall = fall_lately(model.tank)
    if fall is not None:  # what was learned over weeks is slow to see roots that sicken
        drift = fall if drift is None else min(drift, fall)
    return None if drift is None else min(max(drift, -MOST_DRIFT), MOST_DRIFT)


def travel_of(model: TankModel, *, ph: float, drift: float) -> Travel:
    """Give where pH goes if nothing is poured.

    Args:
        model: The tank.
        ph: As read.
        drift: Of a day. [1/day]

    Raises:
        ValueError: If the chemistry can't settle it.
    """
    aired = model.solution_now(Guess(), ph_read=ph).open_to_air(model.air_atm(Guess()))
    return Travel(mixed=ph, settled=aired.ph, drift=drift)


def aim_of(model: TankModel, adjuster: Adjuster, *, band: Band, ph: float, drift: float | None) -> float:
    """Give the pH to bring the water to, so that from there until tomorrow it keeps about the band's middle.

    Args:
        model: The tank.
        adjuster: The bottle.
        band: The wanted pH.
        ph: As read.
        drift: Of a day; None: not known. [1/day]

    Returns:
        The pH once mixed, never nearer to the far edge than FROM_EDGE.

    Raises:
        ValueError: If no amount of the bottle reaches it.
    """
    solution = model.solution_now(Guess(), ph_read=ph)
    formula = model.strength_of(adjuster).reagent.formula
    air, day = model.air_atm(Guess()), USUAL_DRIFT if drift is None else drift

    def over(mixed: float) -> float:
        poured = solution.with_added(formula, solution.dose_to_ph(mixed, formula))
        settled = poured.open_to_air(air).ph
        return Travel(mixed=mixed, settled=settled, drift=day).over_middle(band)

    edge = min(FROM_EDGE, (band.high - band.low) / 2.0)
    now = solution.ph
    if adjuster.direction == "down":
        return root_of(over, low=min(band.low + edge, now), high=now, near=0.01)
    return root_of(over, low=now, high=max(band.high - edge, now), near=0.01)
