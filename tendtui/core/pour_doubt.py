"""An amount said to have gone in, judged by the rack's own figures: a slip of the point costs a crop."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.event import Event, Poured
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_value
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.words import _

__all__ = ["pour_doubt"]

_OVER_LABEL = 1.5
"""Times the label's full strength for all the water the rack holds. Source: chosen here; labels give the
most that a maker answers for."""

_OVER_PAST = 5.0
"""Times the most that ever went in of a bottle. Source: chosen here; a slip of the point makes ten."""

_ADJUSTER_ML_PER_L = 2.0
"""[mL/L] Of a bottle that moves pH, where nothing went in before. Common practice, no source: dilute ones
need a tenth to a half of it."""


def pour_doubt(poured: Poured, rack: Rack, events: Iterable[Event] = ()) -> str:
    """Say why an amount of a bottle is hard to believe; an empty text: it may be so.

    Args:
        poured: What is said to have gone in.
        rack: Its labels and its litres.
        events: What went in before.
    """
    amount, quantity = (poured.ml, Quantity.LIQUID) if poured.g is None else (poured.g, Quantity.POWDER)
    if not amount:
        return ""
    said = show_value(amount, quantity, rack.show)
    litres = (rack.reservoir.brim_l or rack.reservoir.full_l) + litres_in_pipes(rack)
    feed = next((feed for feed in rack.feeds if feed.name == poured.what), None)
    label = None if feed is None else feed.label_ml_per_l if poured.g is None else feed.label_g_per_l
    if label is not None and amount > _OVER_LABEL * label * litres:
        return _(
            "{amount} of {bottle} is more than the label's full strength for all the water this rack holds "
            "({label}). Is the point where you want it?"
        ).format(amount=said, bottle=poured.what, label=show_value(label * litres, quantity, rack.show))
    most = max((_in_unit(e, poured) for e in events if _is_of(e, poured.what)), default=0.0)
    if label is None and most > 0.0 and amount > _OVER_PAST * most:
        return _("{amount} of {bottle}: the most so far was {most}. Is the point where you want it?").format(
            amount=said, bottle=poured.what, most=show_value(most, quantity, rack.show)
        )
    if feed is None and most == 0.0 and poured.g is None and amount > _ADJUSTER_ML_PER_L * litres:
        return _(
            "{amount} of {bottle} is much for {litres} of water. Is the point where you want it?"
        ).format(amount=said, bottle=poured.what, litres=show_value(litres, Quantity.VOLUME, rack.show))
    return ""


def _in_unit(event: Event, like: Poured) -> float:
    if not isinstance(event, Poured):
        return 0.0
    return (event.ml if like.g is None else event.g) or 0.0


def _is_of(event: Event, bottle: str) -> bool:
    return isinstance(event, Poured) and event.what == bottle
