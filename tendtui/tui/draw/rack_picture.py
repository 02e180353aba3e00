"""The rack drawn as it stands: each tier with plants, fill and flow, the reservoir with its marks.

A picture for the eye; every number and word in it is also text, and each stands without the picture.
"""

from __future__ import annotations

from rich.cells import cell_len

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import show_number, unit_words
from tendtui.core.today import TierNow, Today
from tendtui.tui.line import Line, Look, cut, fit, pad
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["rack_lines", "rack_picture"]

_WATER = " ▁▂▃▄▅▆▇█"
"""A cell filled by eighths."""


_ALONG = (" ", "▏", "▎", "▍", "▌", "▋", "▊", "▉")
"""A cell filled from the left by eighths."""
_LEAST_SEEN = 0.12
_BRIM = 0.9
"""Where the full mark is drawn, as a share of the vessel's height."""


@value_class
class _Signs:
    sprout: str
    gap: str
    left: str
    right: str
    across: str
    down: str
    fall: str
    turn_right: str
    turn_left: str
    wall: str
    corners: str
    floor: str
    mark: str


_FULL = _Signs(
    sprout="ψ", gap=" ", left="┣", right="┫", across="━", down="╎", fall="╎", turn_right="╮", turn_left="╭",
    wall="┃", corners="┗┛", floor="━", mark="╶",
)  # fmt: skip
_LINES = _Signs(
    sprout="Y", gap="  ", left="├", right="┤", across="─", down="│", fall="│", turn_right="┐", turn_left="┌",
    wall="│", corners="└┘", floor="─", mark="-",
)  # fmt: skip
_ASCII = _Signs(
    sprout="Y", gap="  ", left="[", right="]", across="-", down="|", fall="|", turn_right=".", turn_left=".",
    wall="|", corners="++", floor="-", mark="-",
)  # fmt: skip


def _signs(signs: str) -> _Signs:
    return {"ascii": _ASCII, "lines": _LINES}.get(signs, _FULL)


def rack_picture(
    today: Today,
    *,
    show: Show,
    width: int,
    height: int,
    signs: str,
    here: str = "",
    at_reservoir: bool = False,
) -> tuple[Line, ...]:
    """Draw the rack in at most `height` rows; a small place gets one line a tier.

    Args:
        today: The page's values.
        show: The person's units.
        width: Cells there are.
        height: Rows there are.
        signs: `ascii`, `lines` or `full`.
        here: The tier at which one stands; empty: none.
        at_reservoir: Whether one stands at the reservoir.
    """
    least_vessel = 4
    tiers = len(today.tiers)
    for rows_each in (5, 4, 3, 2):
        if width >= 26 and tiers * rows_each + least_vessel + 1 <= height:
            break
    else:
        lines = rack_lines(today, show=show, width=width, signs=signs, here=here, at_reservoir=at_reservoir)
        return lines[:height]
    drawn: list[Line] = []
    for number, tier in enumerate(today.tiers):
        drawn += _tier(tier, width, rows_each, to_right=number % 2 == 0, signs=signs, here=here == tier.name)
    room = min(8, height - len(drawn))
    return (*drawn, *_vessel(today, show, width, room, signs, here=at_reservoir))


def _tier(tier: TierNow, width: int, rows: int, *, to_right: bool, signs: str, here: bool) -> list[Line]:
    """Draw one tier: plants, pipe with its water, and its words beside the fall to the next."""
    s = _signs(signs)
    long = width - 6
    plants = _plants(tier, long, s)
    words = _tier_words(tier, width - (8 if here else 4))
    if here:
        words = (("[>] ", Look.HERE), *words)
    fall = s.fall if tier.flow_l_min is None or tier.flow_l_min > 0 else " "
    end = (" ", s.turn_right) if to_right else (s.turn_left, " ")
    drop = (" ", fall) if to_right else (fall, " ")
    water = _water(tier.fill, signs) * (long - 2)
    left, right = f" {end[0]}{s.left}", s.right + end[1]
    pipe: Line = ((left, Look.PIPE), (water, Look.WATER), (right, Look.PIPE))
    below: Line = ((f" {drop[0]} ", Look.WATER), *words, (drop[1], Look.WATER))
    below = _spread(below, 3 + long)
    drawn: list[Line] = []
    if rows >= 3:
        drawn.append((("   ", Look.PLAIN), (plants, Look.LEAF)))
    if rows >= 5:
        rim = ("╭", "╮") if _has_blocks(signs) else ("┌", "┐") if signs == "lines" else (".", ".")
        drawn.append((("  ", Look.PLAIN), (rim[0] + s.across * (long - 2) + rim[1], Look.PIPE)))
    drawn += [pipe, below]
    if rows >= 4:
        drawn.append(_spread(((f" {drop[0]} ", Look.WATER), (drop[1], Look.WATER)), 3 + long))
    return drawn


def _spread(line: Line, at: int) -> Line:
    """Push the last span to column `at`."""
    taken = sum(cell_len(text) for text, _look in line[:-1])
    return (*line[:-1], (" " * max(0, at - taken), Look.PLAIN), line[-1])


def _plants(tier: TierNow, width: int, s: _Signs) -> str:
    """Draw a sprout for each plant, as many as fit, spread along the pipe."""
    most = max(1, width // (cell_len(s.sprout) + 1))
    count = min(tier.plants, most)
    if count <= 0:
        return ""
    step = width / count
    row = ""
    for number in range(count):
        row = row.ljust(int(step * (number + 0.5)) - len(s.sprout) // 2) + s.sprout
    return row[:width]


def _tier_words(tier: TierNow, width: int) -> Line:
    """Say the tier's name, its flow and what grows there."""
    flow = (
        _("flow not read") if tier.flow_l_min is None else _("{flow:.1f} L/min").format(flow=tier.flow_l_min)
    )
    mark = f"{tier.mark} " if tier.mark else ""
    name = fit(tier.name, max(6, width // 3))
    flow = fit(flow, max(1, width - cell_len(name) - cell_len(mark) - 3))
    room = width - cell_len(name) - cell_len(flow) - cell_len(mark) - 4
    crops = fit(", ".join(tier.crops), room) if room > 6 else ""
    rest = f"  {flow}  {crops}" if crops else f"  {flow}"
    return ((mark, Look.LOOK), (name, Look.BOLD), (rest, Look.PLAIN))


def _water(fill: float, signs: str) -> str:
    """Give the sign of a cell filled to a share."""
    if fill <= 0:
        return " "
    return _WATER[max(1, min(8, round(fill * 8)))] if _has_blocks(signs) else "~"


def _has_blocks(signs: str) -> bool:
    return signs in ("shades", "blocks")


def _deep(fill: float, signs: str) -> str:
    """Give the sign of a cell of the reservoir; where water has no hue of its own it is drawn lightly."""
    if signs == "shades":
        return "░" if fill > _LEAST_SEEN else " "
    return _water(fill, signs) if fill > _LEAST_SEEN else " "


def _vessel(today: Today, show: Show, width: int, rows: int, signs: str, *, here: bool) -> list[Line]:
    """Draw the reservoir: water up to the level, the marks beside the wall."""
    s = _signs(signs)
    inner = rows - 1
    marks = _marks(today, show, inner)
    beside = max((cell_len(text) for text, _look in marks.values()), default=0) + 1
    across = max(8, width - beside - 5)
    share = 0.0 if today.level_l is None or today.full_l <= 0 else today.level_l / today.full_l * _BRIM
    drawn: list[Line] = []
    for row in range(inner):
        fill = min(1.0, max(0.0, share * inner - (inner - 1 - row)))
        water = _deep(fill, signs) * across
        text, look = marks.get(row, ("", Look.PLAIN))
        wall = s.wall + (s.mark if text else " ")
        stands = here and row == inner // 2
        mark = ((" [>] ", Look.HERE),) if stands else ()
        water = water[5:] if stands else water
        drawn.append(
            (("  " + s.wall, Look.PIPE), *mark, (water, Look.WATER), (wall, Look.PIPE), (text, look))
        )
    drawn.append((("  " + s.corners[0] + s.floor * across + s.corners[1], Look.PIPE),))
    return drawn


def _marks(today: Today, show: Show, inner: int) -> dict[int, tuple[str, Look]]:
    """Give row -> what stands beside the wall there; marks that meet share a row or move by one."""
    full = _("full {level}").format(level=show_number(today.full_l, Quantity.LEVEL, show))
    least = _("least {level}").format(level=show_number(today.least_l, Quantity.LEVEL, show))
    wanted = [(today.full_l, full, Look.PLAIN), (today.least_l, least, Look.PLAIN)]
    if today.level_l is not None:
        wanted.append((today.level_l, _level_words(today, show), Look.BOLD))
    marks: dict[int, tuple[str, Look]] = {}
    row = -1
    ordered = sorted(wanted, key=lambda mark: -mark[0])
    for place, (level, text, look) in enumerate(ordered):
        row = max(row + 1, inner - 1 - int(level / max(today.full_l, 0.1) * _BRIM * inner))
        row = min(row, inner - (len(ordered) - place))
        marks[row] = (text, look)
    return marks


def _level_words(today: Today, show: Show) -> str:
    if today.level_l is None:
        return _("level not read")
    return f"{show_number(today.level_l, Quantity.LEVEL, show)} {unit_words(Quantity.LEVEL, show)}"


def rack_lines(
    today: Today, *, show: Show, width: int, signs: str, here: str = "", at_reservoir: bool = False
) -> tuple[Line, ...]:
    """Say the rack in one line a tier and one for the reservoir, each with a small bar."""
    names = min(max((cell_len(tier.name) for tier in today.tiers), default=0), width // 3)
    names = max(names, cell_len(_("reservoir")))
    room = width - names - 15
    drawn = [_tier_line(tier, names, room, signs, here=here == tier.name) for tier in today.tiers]
    share = 0.0 if today.level_l is None or today.full_l <= 0 else today.level_l / today.full_l
    told = _("{level}  (full {full}, least {least})").format(
        level=_level_words(today, show),
        full=show_number(today.full_l, Quantity.LEVEL, show),
        least=show_number(today.least_l, Quantity.LEVEL, show),
    )
    named = ("  " + pad(_("reservoir"), names) + " ", Look.PLAIN)
    mark = (" [>] " if at_reservoir else "     ", Look.HERE)
    drawn.append((named, *_bar(share, 8, signs), mark, (fit(told, room), Look.PLAIN)))
    return tuple(cut(line, width) for line in drawn)


def _tier_line(tier: TierNow, names: int, room: int, signs: str, *, here: bool) -> Line:
    _mark, _name, (rest, look) = _tier_words(tier, room)
    named = ("  " + pad(tier.name, names) + " ", Look.PLAIN)
    mark = (" [>] ", Look.HERE) if here else (f" {tier.mark or '   '} ", Look.LOOK)
    return (named, *_bar(tier.fill, 8, signs), mark, (rest.lstrip(), look))


def _bar(share: float, cells: int, signs: str) -> Line:
    filled = max(0.0, min(1.0, share)) * cells
    whole = int(filled)
    if _has_blocks(signs):
        text = "█" * whole + (_ALONG[int((filled - whole) * 8)] if whole < cells else "")
    else:
        text = "=" * round(filled)
    return (("[", Look.PIPE), (pad(text, cells), Look.WATER), ("]", Look.PIPE))
