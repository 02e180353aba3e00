"""The sum that is shown before the pump is stopped: what runs back, and the room for it."""

from __future__ import annotations

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_value
from tendtui.core.tier_volume import drain_back, litres_in_tier
from tendtui.words import _

__all__ = ["drain_sum", "safe_words"]


def drain_sum(rack: Rack, *, level_l: float | None) -> tuple[str, ...]:
    """Give the lines of the sum; the level counts where it is known, else the full mark.

    Args:
        rack: The rack.
        level_l: Litres in the reservoir now; None: taken as full. [L]
    """

    def litres(value_l: float) -> str:
        return show_value(value_l, Quantity.VOLUME, rack.show)

    back = drain_back(rack)
    tiers = ", ".join(
        _("{tier} holds {litres}").format(tier=tier.name, litres=litres(litres_in_tier(tier)))
        for tier in rack.tiers
    )
    stands = rack.reservoir.full_l if level_l is None else level_l
    lines = [
        _("{tiers}; they keep it up to the lip.").format(tiers=tiers) if tiers else _("No tiers are listed."),
        _("When the pump stops about {usual} run back, {worst} at most (if a pipe siphons empty).").format(
            usual=litres(back.estimate_l), worst=litres(back.worst_l)
        ),
    ]
    brim_l = rack.reservoir.brim_l
    if brim_l is None:
        lines.append(_("The brim is not in the settings: look how much room is left, and stay beside it."))
        return tuple(lines)
    room_l = brim_l - stands
    lines.append(_("The reservoir has room for {room} up to the brim.").format(room=litres(room_l)))
    if back.estimate_l > room_l:
        lines.append(
            _("[!] Not enough: drain {litres} before the pump stops.").format(
                litres=litres(back.estimate_l - room_l)
            )
        )
    elif back.worst_l > room_l:
        lines.append(_("[!] Not enough for the worst case: stay beside it with towels."))
    return tuple(lines)


def safe_words(*, minutes: float, hot_minutes: float) -> str:
    """Say how long plants stand without flow; no authority gives a figure, so it is said as judgement."""
    return _(
        "{hours:g} hours with water up to the lip, {hot:g} minutes where roots hang short of it or it is hot"
    ).format(hours=minutes / 60.0, hot=hot_minutes)
