"""The lines of change day that are read before anything is touched."""

from __future__ import annotations

from math import ceil

from tendtui.core.change_rules import Spoken
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.plan import AddWater, Pour
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_amount, show_value
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.words import _

__all__ = ["ready_lines", "why_lines"]

BUCKET_L = 10.0
"""One load from the floor. [L] Source: NIOSH lifting equation for a low lift at arm's reach, about 10 kg."""


def why_lines(why: tuple[Spoken, ...], stand: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Give the rules that spoke; where none did, say so, and how far they are from it."""
    if not why:
        none = _("No rule asks for it today; you do. That is reason enough after a crop or a mishap.")
        return (none, *(f"- {line}" for line in stand))
    return tuple(f"- {rule.words}" for rule in why)


def ready_lines(rack: Rack, mix: FreshMix | None, *, level_l: float | None) -> tuple[str, ...]:
    """Give what to have at hand: water, each part, the pH bottle, buckets, a place for the old water."""
    return (
        *_water_lines(rack, mix, level_l),
        *_bottle_lines(mix),
        _(
            "Old water: thin on ornamental beds away from wells and streams, or into the foul sewer where "
            "your rules allow it. Never into a street or storm drain. Ask the water or council office once."
        ),
        _("Brush, towels, dry tissue, clean jug, goggles, gloves; somebody in the house."),
    )


def _water_lines(rack: Rack, mix: FreshMix | None, level_l: float | None) -> list[str]:
    """Say once what goes out, what comes in and what stays: nobody should count it twice."""

    def litres(value_l: float) -> str:
        return show_value(value_l, Quantity.VOLUME, rack.show)

    full_l = rack.reservoir.full_l
    water_l = [step.litres for step in (() if mix is None else mix.steps) if isinstance(step, AddWater)]
    in_l = water_l[-1] if water_l else full_l
    out_l = full_l if level_l is None else level_l
    lines = [
        _(
            "Out: {out} from the reservoir. In: {water} of source water, room-warm, up to the full mark."
        ).format(out=litres(out_l), water=litres(in_l))
    ]
    if len(water_l) > 1:
        lines.append(
            _("Before that {water} more, to rinse the pipes: what stands in them is too strong.").format(
                water=litres(water_l[0])
            )
        )
    pipes_l = litres_in_pipes(rack)
    if pipes_l > 0.0:
        lines.append(
            _("The pipes keep about {pipes} of the old water; the amounts reckon with that.").format(
                pipes=litres(pipes_l)
            )
        )
    count = max(1, ceil(max(out_l, in_l) / BUCKET_L))
    lines.append(
        _(
            "By bucket that is {n} loads of 10 litres each way (10 kg each; a teenager 5); a hose is easier."
        ).format(n=count)
    )
    return lines


def _bottle_lines(mix: FreshMix | None) -> list[str]:
    if mix is None:
        return [_("The bottles follow from the plan after the refill.")]
    lines: list[str] = []
    for step in mix.steps:
        if isinstance(step, Pour):
            amount = _("{n} g") if step.ml is None else _("{n} mL")
            n = show_amount(step.g or 0.0 if step.ml is None else step.ml)
            lines.append(_("{amount} of {bottle}").format(amount=amount.format(n=n), bottle=step.what))
    if mix.ph_bottle:
        lines.append(
            _("the pH bottle ({bottle}): how much comes from the reading at the end").format(
                bottle=mix.ph_bottle
            )
        )
    return lines
