"""The day's bottles with feed in them, mixed by the grower before leaving: ready to pour as they are.

Whoever stands in never measures feed. The strength is the low end of the wanted band, so that a bottle can't
make the tank stronger than it should be.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_model import CURVE
from tendtui.core.dose_strength import exact_pours
from tendtui.core.event import Poured
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import Pour
from tendtui.core.plan_words import pour_words
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.recipe import water_and_feed
from tendtui.core.show import show_value
from tendtui.words import _

__all__ = ["BATCH_L", "mix_for", "mix_words", "mixed_in"]

BATCH_L = 10.0
"""Mixed at once, in a bucket: a plain multiple for the syringe, and small enough to lift. [L]"""

_ROOM_C = 20.0
"""[°C]"""


def mix_for(
    rack: Rack, facts: DoseFacts, *, wish_ms_cm: float, feed_strength: float = 1.0
) -> Mapping[str, float]:
    """Give what goes into a litre of source water, in whole marks for a batch.

    Args:
        rack: Its water, its feed and the smallest steps it is measured in.
        facts: What stands in for what a grower hasn't given.
        wish_ms_cm: What the bottle is to show, at 25 °C. [mS/cm]
        feed_strength: What was learned: the feed's real strength over its label's.

    Returns:
        Bottle -> mL of it in a litre, for a dry feed g; empty: no feed is needed, or none is known.
    """
    try:
        water, feed = water_and_feed(rack, facts, temperature_c=_ROOM_C)
    except ValueError:  # the chemistry can't settle what rack.toml says; the dose tells it
        return {}
    if feed is None or wish_ms_cm <= water.conductivity_ms_cm:
        return {}
    plain = water.conductivity_ms_cm ** (1.0 / CURVE)
    label = (water.conductivity_ms_cm + feed.adds_ms_cm) ** (1.0 / CURVE) - plain
    labels = (wish_ms_cm ** (1.0 / CURVE) - plain) / (label * feed_strength)
    measuring = rack.measuring
    batch = {
        pour.what: rounded_down(pour.g, mark=measuring.powder_g)
        if pour.g is not None
        else rounded_down(pour.ml or 0.0, mark=measuring.liquid_ml)
        for pour in exact_pours(rack.feeds, labels * BATCH_L)
    }
    return {what: amount / BATCH_L for what, amount in batch.items()} if all(batch.values()) else {}


def mix_words(mix: Mapping[str, float], rack: Rack) -> str:
    """Say how the bottles are mixed; empty where they hold plain water."""
    parts = [
        _("{amount} of {what}").format(amount=pour_words(pour), what=pour.what)
        for pour in _pours(mix, rack, BATCH_L)
    ]
    if not parts:
        return ""
    return _(
        "Mix the feed for them, goggles and gloves on: into each {batch} of water stir {parts}. "
        "Read one: its strength is at the low end of the band. "
        "Write on each: plant feed, not for drinking."
    ).format(batch=show_value(BATCH_L, Quantity.VOLUME, rack.show), parts=_(", then ").join(parts))


def mixed_in(
    mix: Mapping[str, float], rack: Rack, litres: float, *, at: datetime, by: str
) -> tuple[Poured, ...]:
    """Give what the diary says went in with so much of a mixed bottle, beside its water."""
    return tuple(
        Poured(id="", seq=0, at=at, by=by, what=pour.what, ml=pour.ml, g=pour.g)
        for pour in _pours(mix, rack, litres)
    )


def _pours(mix: Mapping[str, float], rack: Rack, litres: float) -> tuple[Pour, ...]:
    return tuple(
        Pour(what=feed.name, g=round(mix[feed.name] * litres, 2))
        if feed.label_ml_per_l is None
        else Pour(what=feed.name, ml=round(mix[feed.name] * litres, 2))
        for feed in rack.feeds
        if mix.get(feed.name, 0.0) * litres > 0.0
    )
