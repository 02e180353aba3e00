"""Litres standing in the pipes, and what runs back to the reservoir when the pump stops.

A tier keeps its water up to the lip of its outlet; only what stands above the lip, and what is in
the hose, runs back. Where an outlet sits at the pipe's bottom, or a feed end under water siphons,
all of it does: that is the cautious case.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from math import acos, inf, isfinite, sqrt

from tendtui.core.rack import Rack, Tier
from tendtui.value import value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Holds = Literal["yes", "usually", "no", "unknown"]

__all__ = [
    "HEAD_OVER_LIP_MM",
    "HOSE_L",
    "SPARE_SHARE",
    "DrainBack",
    "brim_full_litres",
    "drain_back",
    "lip_for_share",
    "litres_in_pipes",
    "litres_in_tier",
    "pipes_spread",
    "rise_mm",
    "segment_mm2",
]

HEAD_OVER_LIP_MM = 5.0
"""How high the water stands over a lip while it flows. [mm]

Source: derived from Francis' formula for a sharp-crested weir (Q = 1.84 L h^1.5, SI units), the rim
of a 20 mm outlet as its crest: 2 L/min gives 4.4 mm, 3 L/min 5.7 mm. A narrower outlet stands higher.
"""

HOSE_L = 0.85
"""What the feed hose holds. [L]

Source: geometry; 3 m of 19 mm hose. The length is assumed, a home rack being 1.5 to 2 m high.
"""

SPARE_SHARE = 0.10
"""Share of the brim litres that should stay free after all has run back.

Source: the usual 50 mm of spare (common practice, no source), taken on a tank 500 mm deep.
"""


def pipes_spread(*, measured: bool) -> float:
    """Give the doubt of the litres in the pipes, as a share (common practice, no source).

    Args:
        measured: Whether the rack file gives them; else they are computed from bore, length and lip.
    """
    return 0.04 if measured else 0.08


@lru_cache(maxsize=64)  # a rack has few pipes, and one look asks hundreds of times
def segment_mm2(*, bore_mm: float, depth_mm: float) -> float:
    """Give the area of water standing in a level round pipe.

    Circular segment: A = r² acos((r-h)/r) - (r-h) sqrt(2rh-h²). Exact for a level pipe.

    Args:
        bore_mm: Inside diameter. [mm]
        depth_mm: Depth of the water, 0 to the bore. [mm]

    Returns:
        Area of the wetted section. [mm²]

    Raises:
        ValueError: If the bore isn't above zero or the depth isn't between 0 and the bore.

    Source:
        Circular segment, any engineering handbook (mensuration tables of plane figures).
    """
    if not 0.0 < bore_mm < inf:
        raise ValueError(_("a pipe's bore must be above zero"))
    if not 0.0 <= depth_mm <= bore_mm:
        raise ValueError(
            _("a depth of {depth:g} mm does not fit a pipe of {bore:g} mm").format(
                depth=depth_mm, bore=bore_mm
            )
        )
    radius = bore_mm / 2.0
    above = radius - depth_mm
    return radius**2 * acos(above / radius) - above * sqrt(max(0.0, radius**2 - above**2))


def litres_in_tier(tier: Tier) -> float:
    """Give the litres standing in a tier up to the lip of its outlet, all its pipes together [L].

    Raises:
        ValueError: If the lip stands above the pipe, or a measure can't be.
    """
    return _litres(tier, depth_mm=tier.outlet_height_mm)


def brim_full_litres(tier: Tier) -> float:
    """Give the litres of a tier filled to the brim, as when its outlet is blocked [L].

    Raises:
        ValueError: If a measure can't be.
    """
    return _litres(tier, depth_mm=tier.pipe_inside_mm)


def litres_in_pipes(rack: Rack) -> float:
    """Give the litres in all pipes: as measured, else computed from the tiers [L].

    Raises:
        ValueError: If nothing was measured and a tier's measures can't be.
    """
    if rack.reservoir.pipes_l is not None:
        return rack.reservoir.pipes_l
    return sum(litres_in_tier(tier) for tier in rack.tiers)


def lip_for_share(*, bore_mm: float, share: float) -> float:
    """Give the depth at which the water fills a share of the pipe's section.

    Args:
        bore_mm: Inside diameter. [mm]
        share: Wanted share of the section, 0 to 1.

    Returns:
        The depth. [mm]

    Raises:
        ValueError: If the share isn't between 0 and 1.
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError(_("a share lies between 0 and 1"))
    low, high = 0.0, bore_mm
    whole = segment_mm2(bore_mm=bore_mm, depth_mm=bore_mm)
    for _half in range(60):  # 60 halvings: below the last bit of a float
        middle = (low + high) / 2.0
        if segment_mm2(bore_mm=bore_mm, depth_mm=middle) < share * whole:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def rise_mm(*, back_l: float, length_m: float, width_m: float) -> float:
    """Give how far a straight-walled tank rises when this much runs back [mm].

    Args:
        back_l: What runs back. [L]
        length_m: Inside length of the tank. [m]
        width_m: Inside width of the tank. [m]

    Raises:
        ValueError: If the tank has no floor.
    """
    if length_m <= 0.0 or width_m <= 0.0:
        raise ValueError(_("a tank's length and width must be above zero"))
    return back_l / (length_m * width_m)


@value_class
class DrainBack:
    """What runs back when the pump stops, and whether the reservoir can take it."""

    estimate_l: float
    """What stands above the lips, and the hose: the usual case. [L]"""
    worst_l: float
    """All that stands in the pipes, and the hose: outlets at the bottom, or a siphon. [L]"""
    blocked_l: float
    """All pipes filled to the brim, and the hose: closed outlets that clear at once. [L]"""
    room_l: float | None
    """Room between the full mark and the brim; None: the brim isn't known. [L]"""
    spare_l: float
    """What should stay free of that room. [L]"""
    holds: Holds
    """`yes`: even the worst case; `usually`: the estimate only; `no`; `unknown`: no brim."""


def drain_back(rack: Rack, *, hose_l: float = HOSE_L) -> DrainBack:
    """Estimate what runs back when the pump stops, and compare with the room in the reservoir.

    Args:
        rack: The rack; its measured `pipes_l` scales the estimate where given.
        hose_l: What the feed hose and the riser hold. [L]

    Raises:
        ValueError: If a tier's measures can't be, or the hose holds less than nothing.
    """
    if not (isfinite(hose_l) and hose_l >= 0.0):
        raise ValueError(_("a hose can't hold less than nothing"))
    estimate_l = _over_lips(rack.tiers) + hose_l
    worst_l = _over_lips(rack.tiers) + litres_in_pipes(rack) + hose_l
    blocked_l = sum(brim_full_litres(tier) for tier in rack.tiers) + hose_l
    brim_l = rack.reservoir.brim_l
    room_l = None if brim_l is None else brim_l - rack.reservoir.full_l
    spare_l = 0.0 if brim_l is None else SPARE_SHARE * brim_l
    return DrainBack(
        estimate_l=estimate_l,
        worst_l=worst_l,
        blocked_l=max(blocked_l, worst_l),
        room_l=room_l,
        spare_l=spare_l,
        holds=_holds(room_l=room_l, estimate_l=estimate_l + spare_l, worst_l=worst_l + spare_l),
    )


def _holds(*, room_l: float | None, estimate_l: float, worst_l: float) -> Holds:
    if room_l is None:
        return "unknown"
    if room_l >= worst_l:
        return "yes"
    return "usually" if room_l >= estimate_l else "no"


def _over_lips(tiers: Iterable[Tier]) -> float:
    return sum(
        _litres(tier, depth_mm=min(tier.pipe_inside_mm, tier.outlet_height_mm + HEAD_OVER_LIP_MM))
        - litres_in_tier(tier)
        for tier in tiers
    )


def _litres(tier: Tier, *, depth_mm: float) -> float:
    if not 0.0 <= depth_mm <= tier.pipe_inside_mm:
        raise ValueError(
            _(
                "{tier}: the lip at {lip:g} mm lies outside the pipe of {bore:g} mm; measure both from the "
                "pipe's inside bottom"
            ).format(tier=tier.name, lip=depth_mm, bore=tier.pipe_inside_mm)
        )
    if not 0.0 < tier.length_m < inf or tier.pipes < 1:
        raise ValueError(_("{tier}: the pipe's length and number must be above zero").format(tier=tier.name))
    area_mm2 = segment_mm2(bore_mm=tier.pipe_inside_mm, depth_mm=depth_mm)
    return area_mm2 * tier.length_m * tier.pipes / 1000.0  # 1 mm² over 1 m is 1 mL
