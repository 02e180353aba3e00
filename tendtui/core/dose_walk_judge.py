"""Numbers typed in a dose walk that are neither what was asked nor what was expected."""

from __future__ import annotations

from tendtui.core.dose_slot import Slot
from tendtui.core.dose_walk_cycle import Cycle
from tendtui.core.plan import Drain
from tendtui.core.prompt import Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show
from tendtui.core.show import show_amount, show_value
from tendtui.core.walk_value import Judgement
from tendtui.words import _

__all__ = ["doubted_amount", "doubted_reading"]


def doubted_amount(slot: Slot, value: float) -> Judgement:
    """Have an amount typed twice that isn't what was asked."""
    planned = slot.planned or 0.0
    if isinstance(slot.step, Drain):
        return Judgement(
            again=_(
                "The plan says {planned}, you typed {value}. Type once more what really came out."
            ).format(planned=show_amount(planned), value=show_amount(value))
        )
    return Judgement(
        again=_(
            "The plan says {planned}, you typed {value}: {factor} times as much. "
            "Type once more what really went in."
        ).format(
            planned=show_amount(planned),
            value=show_amount(value),
            factor=show_amount(value / planned if planned else 0.0),
        )
    )


def doubted_reading(
    question: Question, value: float, cycle: Cycle, *, at_25_c: float, meter: Meter, show: Show
) -> Judgement:
    """Have a reading taken twice that lies far from what the portion should have done.

    Args:
        question: What was asked.
        value: As the meter showed it.
        cycle: The plan it answers.
        at_25_c: The same, brought to 25 °C where it is a conductivity.
        meter: What the meters can show.
        show: The person's units.
    """
    ranges = (cycle.plan if cycle.foreseen is None else cycle.foreseen).range
    pair = {Quantity.CONDUCTIVITY: ranges.conductivity_ms_cm, Quantity.PH: ranges.ph}.get(
        question.quantity or Quantity.LEVEL
    )
    if pair is None or question.quantity is None:
        return Judgement()
    # twice the nine-in-ten range on either side: about one true reading in a thousand lies outside
    width = max(pair[1] - pair[0], 4.0 * _step(question.quantity, meter))
    if pair[0] - width <= at_25_c <= pair[1] + width:
        return Judgement()
    return Judgement(
        again=_("{value} is far from what was expected. Stir, rinse the probe, and read again.").format(
            value=show_value(value, question.quantity, show)
        ),
        look=True,
    )


def _step(quantity: Quantity, meter: Meter) -> float:
    return {Quantity.CONDUCTIVITY: meter.conductivity_step_ms_cm, Quantity.PH: meter.ph_step}.get(
        quantity, 0.0
    )
