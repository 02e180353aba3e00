"""One step of a plan as it stands in a dose walk: its keys, and what was planned of it."""

from __future__ import annotations

from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Drain, Pour, Step
from tendtui.core.rack import Rack
from tendtui.value import replace, value_class

__all__ = ["Slot", "deviates", "is_feed", "mark_of", "read_key", "slot_of"]


@value_class
class Slot:
    """One step of a plan in the walk."""

    id: str
    """Station id."""
    step: Step
    planned: float | None = None
    """The amount asked for now: litres, millilitres or grams."""

    @property
    def amount_key(self) -> str:
        """The question that takes what really was done."""
        return f"{self.id}.poured"

    @property
    def label_key(self) -> str:
        """The question that takes the bottle's name."""
        return f"{self.id}.label"

    @property
    def any_key(self) -> str:
        """The question whether any went in, after an interruption."""
        return f"{self.id}.any"


def slot_of(rack: Rack, slot_id: str, step: Step, *, factor: float) -> Slot:
    """Give the slot of a step, a part of the feed times a factor and on a mark of the tool."""
    match step:
        case AddWater(litres=litres) | Drain(litres=litres):
            return Slot(id=slot_id, step=step, planned=litres)
        case Pour(ml=ml, g=g):
            amount = ml if ml is not None else g or 0.0
            if is_feed(rack, step):
                amount = rounded_down(amount * factor, mark=mark_of(rack, step))
            pour = replace(step, ml=amount) if ml is not None else replace(step, g=amount)
            return Slot(id=slot_id, step=pour, planned=amount)
        case _:
            return Slot(id=slot_id, step=step)


def mark_of(rack: Rack, step: Step) -> float:
    """Give the smallest step of the tool for a pouring: litres, millilitres or grams."""
    match step:
        case Pour(ml=ml):
            return rack.measuring.liquid_ml if ml is not None else rack.measuring.powder_g
        case _:
            return rack.measuring.water_l


def deviates(rack: Rack, slot: Slot, amount: float) -> bool:
    """Say whether what went in differs from what was asked by more than a tenth and more than a mark."""
    planned = slot.planned or 0.0
    off = abs(amount - planned)
    return off > 0.1 * planned + 1e-9 and off > mark_of(rack, slot.step) + 1e-9


def is_feed(rack: Rack, step: Step) -> bool:
    """Say whether a step pours a part of the feed."""
    return isinstance(step, Pour) and any(feed.name == step.what for feed in rack.feeds)


def read_key(slot: Slot, name: str) -> str:
    """Give the question that takes one reading."""
    return f"{slot.id}.{name}"
