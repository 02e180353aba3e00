"""What a first fill found: real litres against the computed ones, leaks, what runs back."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.event import Change, Event, Poured
from tendtui.core.not_filled import FIRST_FILL
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import show_value
from tendtui.core.tier_volume import HOSE_L, brim_full_litres, drain_back, litres_in_tier
from tendtui.core.walk_value import Answers
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["ABOVE_GURGLE_L", "FIRST_FILL", "FillFound", "filled_before", "found_in", "weight_said"]

_FAR = 0.15
"""Share by which counted and computed litres may differ before it is worth a word. Source: chosen here;
the bore to 2 mm, the lip to 3 mm and the length to 1 cm of a usual tier make about a tenth."""

ABOVE_GURGLE_L = 2.0
"""Litres kept between where the pump gurgles and the least mark. [L] Source: common practice, no source."""


@value_class
class FillFound:
    """What was counted and seen; None where it wasn't."""

    full_l: float | None
    """Counted up to the full mark. [L]"""
    pipes_l: float | None
    """Counted into pipes and hose. [L]"""
    computed_l: float
    """What bore, length and lip say of the pipes, with the hose. [L]"""
    back_l: float | None
    """Rise of the reservoir with the pump stopped. [L]"""
    least_l: float | None
    """New least mark, where the pump was heard. [L]"""
    brim_l: float | None
    tight: bool
    """Whether it ended dry."""
    lips_hold: bool | None
    """Whether every tier kept its water."""
    room: str
    """`room`, `close`, `over`, or empty."""

    def changes(self, rack: Rack) -> dict[str, object]:
        """Give what rack.toml should say, by dotted place; only what differs from what it says."""
        said = rack.reservoir
        wanted: dict[str, tuple[float | None, float | None]] = {
            "reservoir.full_L": (self.full_l, said.full_l),
            "reservoir.pipes_L": (self.pipes_l, said.pipes_l),
            "reservoir.least_L": (self.least_l, said.least_l),
            "reservoir.brim_L": (self.brim_l, said.brim_l),
        }
        changes: dict[str, object] = {
            place: round(new, 2)
            for place, (new, old) in wanted.items()
            if new is not None and (old is None or abs(new - old) > 0.005)
        }
        if self.brim_l is None and said.brim_l is not None and (self.full_l or 0.0) >= said.brim_l:
            changes["reservoir.brim_L"] = None  # the counted full mark shows that it was wrong
        return changes

    def sentences(self, rack: Rack, show: Show) -> tuple[str, ...]:
        """Say what was found and what to do about it."""
        said = [self._litres_said(rack, show), self._pipes_said(show), self._back_said(rack, show)]
        if self.lips_hold is False:
            said.append(
                _(
                    "[!] A tier emptied when the pump stood. Give the outlet an air hole, or end the hose "
                    "above the water; then try it again."
                )
            )
        if self.room == "close":
            said.append(_("[!] Little room is left. Set the full mark lower before you leave it alone."))
        if self.room == "over":
            said.append(
                _("[!] It runs over when the pump stops. Set the full mark lower and try it again first.")
            )
        if not self.tight:
            said.append(_("[!] It isn't tight yet. Pump out of the plug until it is; no feed before that."))
        return tuple(line for line in said if line)

    @property
    def is_good(self) -> bool:
        """Say whether feed may go in."""
        return self.tight and self.room != "over" and self.lips_hold is not False

    def _litres_said(self, rack: Rack, show: Show) -> str:
        if self.full_l is None:
            return ""
        return _("The full mark: {real} counted, {said} said before. The counted litres hold.").format(
            real=show_value(self.full_l, Quantity.VOLUME, show),
            said=show_value(rack.reservoir.full_l, Quantity.VOLUME, show),
        )

    def _pipes_said(self, show: Show) -> str:
        if self.pipes_l is None:
            return ""
        said = _("Pipes and hose: {real} counted, {computed} computed.").format(
            real=show_value(self.pipes_l, Quantity.VOLUME, show),
            computed=show_value(self.computed_l, Quantity.VOLUME, show),
        )
        if self.computed_l > 0.0 and abs(self.pipes_l - self.computed_l) > _FAR * self.computed_l:
            said += " " + _(
                "That is far apart: measure bore and lip again some day. The counted litres hold."
            )
        return said

    def _back_said(self, rack: Rack, show: Show) -> str:
        if self.back_l is None:
            return ""
        back = drain_back(rack)
        return _(
            "{real} ran back with the pump stopped; about {estimate} were expected, {worst} at worst."
        ).format(
            real=show_value(self.back_l, Quantity.VOLUME, show),
            estimate=show_value(back.estimate_l, Quantity.VOLUME, show),
            worst=show_value(back.worst_l, Quantity.VOLUME, show),
        )


def filled_before(past: Iterable[Event]) -> float | None:
    """Give the litres that an earlier first fill left in the rack: it is walked again, after a leak perhaps.

    None where there was none, where it was emptied since, or where anything but water went in.
    """
    left_l: float | None = None
    for event in past:
        if isinstance(event, Change):
            left_l = 0.0 if event.reason == FIRST_FILL else None
        elif isinstance(event, Poured) and left_l is not None:
            if event.what not in ("water", "drained"):
                left_l = None
            else:
                left_l += (event.litres or 0.0) * (1.0 if event.what == "water" else -1.0)
    return left_l if left_l is not None and left_l > 0.0 else None


def found_in(rack: Rack, answers: Answers) -> FillFound:
    """Give what was found so far."""
    full, stopped = answers.value("fill.full"), answers.value("fill.stopped")
    gurgle = answers.value("fill.gurgle")
    leak = answers.word("fill.leak2") or answers.word("fill.leak")
    stands = answers.word("fill.stands")
    return FillFound(
        full_l=full,
        pipes_l=answers.value("fill.pipes"),
        computed_l=sum(litres_in_tier(tier) for tier in rack.tiers) + HOSE_L,
        back_l=None if stopped is None or full is None else max(0.0, stopped - full),
        least_l=None if gurgle is None else max(gurgle + ABOVE_GURGLE_L, rack.reservoir.least_l),
        brim_l=answers.value("fill.brim"),
        tight=leak in ("dry", ""),
        lips_hold=None if not stands else stands == "all",
        room=answers.word("fill.room"),
    )


def weight_said(rack: Rack) -> tuple[str, ...]:
    """Say what the rack weighs with every pipe filled to the brim: a litre is a kilogram."""
    pipes_kg = sum(brim_full_litres(tier) for tier in rack.tiers)
    heaviest = max(rack.tiers, key=brim_full_litres, default=None)
    brim_l, full_l = rack.reservoir.brim_l, rack.reservoir.full_l
    if brim_l is None:
        weighs = _(
            "Pipes filled to the brim: {pipes:.0f} kg of water. The reservoir: {tank:.0f} kg at the full "
            "mark, more to its brim, which isn't known."
        )
    else:
        weighs = _(
            "Filled to the brim: {pipes:.0f} kg of water in the pipes, {tank:.0f} kg in the reservoir."
        )
    said = [weighs.format(pipes=pipes_kg, tank=full_l if brim_l is None else brim_l)]
    if heaviest is not None:
        said.append(
            _("The heaviest tier is {tier}: {kg:.0f} kg of water, pipe, pots and lamps not counted.").format(
                tier=heaviest.name, kg=brim_full_litres(heaviest)
            )
        )
    return tuple(said)
