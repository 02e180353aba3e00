"""Source water and feed of a rack, composed once for each temperature: only the rack file changes them."""

from __future__ import annotations

from functools import lru_cache

from tendtui.core.dose_facts import DoseFacts
from tendtui.core.feed_mix import FeedMix, feed_mix
from tendtui.core.rack import Rack
from tendtui.core.source_water import SourceWater, source_water
from tendtui.value import field, value_class
from tendtui.words import _

__all__ = ["water_and_feed"]


@value_class(kw_only=False)
class _Recipe:
    """What both are made from; two are the same if they say the same, in the same language."""

    key: str
    facts_id: int
    of: tuple[Rack, DoseFacts, float] = field(compare=False)


def water_and_feed(
    rack: Rack, facts: DoseFacts, *, temperature_c: float
) -> tuple[SourceWater, FeedMix | None]:
    """Give the source water, and the feed as it mixes with it; None where no feed can be dosed.

    Args:
        rack: Its source and its feeds.
        facts: What stands in for what the rack file doesn't say.
        temperature_c: Of the water; taken to the whole degree. [°C]

    Raises:
        ValueError: If the chemistry can't settle one of them.
    """
    whole_c = float(round(temperature_c))
    language = _("The source water is not known: taken as {name}, {ms_cm:g} mS/cm. Measure it once.")
    key = f"{rack.source!r}{rack.feeds!r}{whole_c}{language}"
    return _composed(_Recipe(key, id(facts), (rack, facts, whole_c)))


@lru_cache(maxsize=32)
def _composed(recipe: _Recipe) -> tuple[SourceWater, FeedMix | None]:
    rack, facts, temperature_c = recipe.of  # held, so that no other facts can have the same id
    water = source_water(rack.source, facts, temperature_c=temperature_c)
    return water, feed_mix(rack.feeds, facts, water=water.blend)
