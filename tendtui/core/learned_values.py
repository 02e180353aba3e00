"""What was learned of this tank, as numbers that correct the model."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.value import field, value_class

__all__ = ["Factor", "Learned", "MeterDoubt"]


KNOWN_COUNT, KNOWN_SPREAD = 6, 0.15
"""A figure is relied on after so many pourings that agree so well. Source: chosen here."""


@value_class
class Factor:
    """A number that multiplies the model's own, and how sure it is."""

    value: float = 1.0
    """By how much; 1 leaves the model as it is."""
    spread: float
    """One standard deviation of its natural logarithm: 0.05 is 5 per cent."""
    count: int = 0
    """From how many pourings it was learned."""

    @property
    def is_known(self) -> bool:
        """Say whether enough pourings agree well enough to rely on it."""
        return self.count >= KNOWN_COUNT and self.spread < KNOWN_SPREAD


@value_class
class MeterDoubt:
    """A meter out of trust."""

    meter: str
    """`ph` or `conductivity`."""
    spread: float
    """What it adds to the doubt of that meter: pH, or a share of conductivity."""
    said: str
    once: bool = False
    """Whether only its newest reading is doubted, and not every one alike."""


@value_class
class Learned:
    """Corrections from this tank's own past; what isn't there was not learned yet."""

    feed_strength: Factor | None = None
    """Conductivity that the feed really adds, over what its label says."""
    response: Mapping[str, Factor] = field(default_factory=dict)
    """Adjuster's name -> amount that really was needed, over what the model says."""
    drift_ph_day: float | None = None
    """By how much pH rises a day by itself; negative where it falls. [1/day]"""
    pipes: Factor | None = None
    """Litres in the pipes, over those believed."""
    doubts: tuple[MeterDoubt, ...] = ()
    """Meters out of trust."""
