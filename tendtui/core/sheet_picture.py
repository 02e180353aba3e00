"""A picture of the rack for the printed sheet: its shelves, the way of the water, the two lines."""

from __future__ import annotations

from html import escape

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_value
from tendtui.words import _

__all__ = ["rack_svg"]

_MOST_TIERS = 8
"""More would not be told apart at this size."""

_WIDE = 240
_PIPE = 16
_STEP = 30
_TANK = 84
_INK = 'fill="none" stroke="#000"'
"""On each shape: a picture inside a page doesn't always see the page's styles."""

_WAY = f'{_INK} stroke-dasharray="3 2"'


def rack_svg(rack: Rack) -> str:
    """Give the picture, drawn for black ink."""
    tiers = rack.tiers[:_MOST_TIERS]
    top = 14
    tank_top = top + _STEP * len(tiers) + 6
    label = escape(_("the rack and its two lines"))
    # the riser from the tank to the first shelf
    riser = f'<path d="M14 {tank_top + 70} V{top + _PIPE // 2} H24" {_WAY}/>'
    parts = (_tier(tier.name, top + n * _STEP, right=n % 2 == 0) for n, tier in enumerate(tiers))
    return (
        f'<svg viewBox="0 0 {_WIDE} {tank_top + _TANK + 6}" role="img" aria-label="{label}" '
        f'font-family="sans-serif" font-size="11">{"".join(parts)}{_tank(rack, tank_top)}{riser}</svg>'
    )


def _tier(name: str, y: int, *, right: bool) -> str:
    fall = 214 if right else 30
    plain = "".join(c if c.isprintable() else " " for c in name)
    text = escape(plain if len(plain) <= 26 else plain[:25] + "…")
    return (
        f'<rect x="24" y="{y}" width="196" height="{_PIPE}" rx="7" {_INK}/>'
        f'<text x="122" y="{y + 12}" text-anchor="middle">{text}</text>'
        f'<path d="M{fall} {y + _PIPE} v{_STEP - _PIPE - 2}" {_WAY}/>'
    )


def _tank(rack: Rack, y: int) -> str:
    tank = rack.reservoir
    lines = (
        (y + 18, _("upper line: {litres}"), tank.full_l),
        (y + 54, _("lower line: {litres}"), tank.least_l),
    )
    drawn = "".join(
        f'<path d="M24 {at} h196" stroke="#000" stroke-width="2.4"/><text x="122" y="{at + 14}" '
        f'text-anchor="middle">'
        f"{escape(words.format(litres=show_value(litres, Quantity.VOLUME, rack.show)))}</text>"
        for at, words, litres in lines
    )
    return f'<rect x="24" y="{y}" width="196" height="{_TANK}" {_INK}/>{drawn}'
