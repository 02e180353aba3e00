"""The lines of change day that are read before anything is touched."""

from __future__ import annotations

from math import ceil

from tendtui.core.change_rules import Spoken
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.plan import AddWater, Pour
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_amount, show_value
from tendtui.words import _

__all__ = ["ready_lines", "why_lines"]

BUCKET_L = 10.0
"""One load from the floor. [L] Source: NIOSH lifting equation for a low lift at arm's reach, about 10 kg."""


def why_lines(why: tuple[Spoken, ...]) -> tuple[str, ...]:
    """Give the rules that spoke, or say that none did."""
    if not why:
        return (_("No rule asks for it today; you do. That is reason enough after a crop or a mishap."),)
    return tuple(f"- {rule.words}" for rule in why)


def ready_lines(rack: Rack, mix: FreshMix | None, *, level_l: float | None) -> tuple[str, ...]:
    """Give what to have at hand: litres, each part, acid, buckets with weights, a place for the old water."""
    lines = [*_mix_lines(rack, mix), _buckets(rack, level_l)]
    lines.append(
        _(
            "Old water: thin on ornamental beds away from wells and streams, or into the foul sewer where "
            "your rules allow it. Never into a street or storm drain. Ask the water or council office once."
        )
    )
    lines.append(_("Brush, towels, dry tissue, clean jug, goggles, gloves; somebody in the house."))
    return tuple(lines)


def _mix_lines(rack: Rack, mix: FreshMix | None) -> list[str]:
    if mix is None:
        full = show_value(rack.reservoir.full_l, Quantity.VOLUME, rack.show)
        return [_("{litres} of source water; the bottles follow from the plan after it.").format(litres=full)]
    lines: list[str] = []
    for step in mix.steps:
        if isinstance(step, AddWater):
            litres = show_value(step.litres, Quantity.VOLUME, rack.show)
            lines.append(_("{litres} of source water, room-warm").format(litres=litres))
        elif isinstance(step, Pour):
            amount = _("{n} g") if step.ml is None else _("{n} mL")
            n = show_amount(step.g or 0.0 if step.ml is None else step.ml)
            lines.append(_("{amount} of {bottle}").format(amount=amount.format(n=n), bottle=step.what))
    if mix.acid:
        amount_ml = show_amount(mix.acid_ml)
        lines.append(
            _("about {n} mL of {bottle} in all, in portions, after the reading").format(
                n=amount_ml, bottle=mix.acid
            )
        )
    return lines


def _buckets(rack: Rack, level_l: float | None) -> str:
    litres = rack.reservoir.full_l if level_l is None else level_l
    count = max(1, ceil(litres / BUCKET_L))
    return _(
        "{n} loads of 10 litres (10 kg each; a teenager 5), or a hose: {litres} go out, as much comes in"
    ).format(n=count, litres=show_value(litres, Quantity.VOLUME, rack.show))
