"""The whole rack as it was described, to be read over before it is written down."""

from __future__ import annotations

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Adjuster, Feed, Rack, Show, Tier
from tendtui.core.show import show_amount, show_value
from tendtui.words import _, n_

__all__ = ["rack_said"]

_MOST_TIERS = 8
"""More tiers than this are told by their number only: a page holds no more."""


def rack_said(rack: Rack, show: Show) -> tuple[str, ...]:
    """Say marks, tiers with crops and plants, bottles and tools."""
    return (_marks(rack, show), *_tiers(rack), *_bottles(rack), _tools(rack, show))


def _marks(rack: Rack, show: Show) -> str:
    reservoir = rack.reservoir
    said = _("{rack}: reservoir {full} at the full mark, least {least}.").format(
        rack=rack.name,
        full=show_value(reservoir.full_l, Quantity.LEVEL, show),
        least=show_value(reservoir.least_l, Quantity.LEVEL, show),
    )
    if reservoir.brim_l is None:
        return said
    brim = show_value(reservoir.brim_l, Quantity.LEVEL, show)
    return said + " " + _("To the brim {brim}.").format(brim=brim)


def _tiers(rack: Rack) -> tuple[str, ...]:
    told = [_tier(tier) for tier in rack.tiers[:_MOST_TIERS]]
    more = len(rack.tiers) - _MOST_TIERS
    if more > 0:
        told.append(n_("{n} more", "{n} more", more).format(n=more))
    return tuple(told)


def _tier(tier: Tier) -> str:
    if not tier.crops and not tier.plants:
        return _("{tier}: nothing grows here yet").format(tier=tier.name)
    plants = n_("{n} plant", "{n} plants", tier.plants).format(n=tier.plants)
    crops = ", ".join(tier.crops) or _("crop not said")
    return _("{tier}: {crops}; {plants}").format(tier=tier.name, crops=crops, plants=plants)


def _bottles(rack: Rack) -> tuple[str, ...]:
    feeds = ", ".join(_feed(feed) for feed in rack.feeds)
    bottles = ", ".join(_adjuster(adjuster) for adjuster in rack.adjusters)
    return (
        _("Feed: {bottles}.").format(bottles=feeds) if feeds else _("Feed: none yet."),
        _("pH: {bottles}.").format(bottles=bottles) if bottles else _("pH: no bottle yet."),
    )


def _feed(feed: Feed) -> str:
    if feed.label_g_per_l is not None:
        return _("{bottle} ({n} g a litre)").format(bottle=feed.name, n=show_amount(feed.label_g_per_l))
    return _("{bottle} ({n} mL a litre)").format(bottle=feed.name, n=show_amount(feed.label_ml_per_l or 0.0))


def _adjuster(adjuster: Adjuster) -> str:
    way = _("down") if adjuster.direction == "down" else _("up")
    what = adjuster.reagent or _("contents not known")
    if adjuster.percent_w_w is not None:
        what += f" {show_amount(adjuster.percent_w_w)} %"
    return _("{bottle} ({way}, {what})").format(bottle=adjuster.name, way=way, what=what)


def _tools(rack: Rack, show: Show) -> str:
    measuring = rack.measuring
    steps = [
        show_value(measuring.liquid_ml, Quantity.LIQUID, show),
        show_value(measuring.water_l, Quantity.VOLUME, show),
    ]
    if any(feed.label_g_per_l is not None for feed in rack.feeds):
        steps.insert(1, show_value(measuring.powder_g, Quantity.POWDER, show))
    return _("Smallest steps that can be measured: {steps}.").format(steps=", ".join(steps))
