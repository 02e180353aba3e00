"""All parts of the feed together, sized by what the label says they add to the conductivity."""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log

from tendtui.core.blend import Blend, blended, cations_meq
from tendtui.core.claims import WIDEST, doubt_of
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.feed_label import label_amount, label_cautions, recipe_of_labels, typical_recipe
from tendtui.core.rack import Feed
from tendtui.core.root import root_of
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["FeedMix", "feed_mix"]

_OFF_STRENGTH = 0.35
"""Share by which a label's analysis and its conductivity may differ before it is said."""


@value_class
class FeedMix:
    """All parts of the feed together, at label strength."""

    blend: Blend
    """What one litre at label strength gains; alkalinity and carbonate 0. [mmol/L]"""
    adds_ms_cm: float
    """What it adds to the source water. [mS/cm]"""
    phosphate_spread: float
    claims_spread: float = 0.0
    """Doubt of its strength from claims that contradict each other, as a logarithm."""
    strongest_claim: float = 1.0
    """The strongest of these claims over the one that is used."""
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def feed_mix(feeds: tuple[Feed, ...], facts: DoseFacts, *, water: Blend) -> FeedMix | None:
    """Compose the feed at label strength; its size is what the label says it adds to the conductivity.

    Args:
        feeds: All parts.
        facts: The typical feed, where a part has no analysis.
        water: The source water it goes into.

    Returns:
        The feed, or None where no part can be dosed.
    """
    usable = tuple(feed for feed in feeds if label_amount(feed) > 0.0 and feed.label_conductivity_ms_cm > 0.0)
    if not usable:
        return None
    cautions = list(label_cautions(feeds))
    adds_ms_cm = usable[0].label_conductivity_ms_cm
    claims = [feed.label_conductivity_ms_cm / adds_ms_cm for feed in usable]
    made = recipe_of_labels(usable, facts) if all(feed.analysis for feed in usable) else typical_recipe(facts)
    if not made.is_typical:
        whole = _rise(made.totals_mmol, 1.0, water)
        if abs(whole - adds_ms_cm) > _OFF_STRENGTH * adds_ms_cm:
            claims.append(max(whole, 0.0) / adds_ms_cm)
            cautions.append(
                _(
                    "The feed's analysis would add {found:.2f} mS/cm at label strength, its label says "
                    "{label:.2f}. "
                    "The label's conductivity is used; check the amounts per litre."
                ).format(found=whole, label=adds_ms_cm)
            )
    totals = made.totals_mmol
    size = root_of(
        lambda factor: _rise(totals, factor, water) - adds_ms_cm,
        low=0.0,
        high=_most(totals, adds_ms_cm),
        near=1e-4,
    )
    scaled = {ion: size * amount for ion, amount in totals.items()}
    return FeedMix(
        blend=Blend(totals_mmol=scaled, alkalinity_meq=0.0, dic_mmol=0.0),
        adds_ms_cm=adds_ms_cm,
        phosphate_spread=made.phosphate_spread if len(claims) == len(usable) else facts.feed.phosphate_spread,
        claims_spread=doubt_of(claims),
        strongest_claim=exp(min(log(max(claims)), WIDEST)),
        assumed=made.assumed,
        cautions=(*cautions, *made.cautions),
    )


def _most(totals: Mapping[str, float], adds_ms_cm: float) -> float:
    return 20.0 * adds_ms_cm / max(cations_meq(totals), 1e-6)


def _rise(totals: Mapping[str, float], factor: float, water: Blend) -> float:
    feed = Blend(totals_mmol=totals, alkalinity_meq=0.0, dic_mmol=0.0)
    with_feed = blended(((water, 1.0), (feed, factor)), over_l=1.0)
    return with_feed.warm_ms_cm() - water.warm_ms_cm()
