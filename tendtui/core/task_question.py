"""Questions that readings inside a task share."""

from __future__ import annotations

from tendtui.core.prompt import Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import unit_words
from tendtui.words import _, n_

__all__ = ["number_question", "verdict_question"]


def number_question(
    rack: Rack,
    key: str,
    place: str,
    ask: str,
    quantity: Quantity,
    *,
    facts: tuple[tuple[str, str], ...] = (),
    optional: bool = False,
    jug_l: float | None = None,
) -> Question:
    """Ask for a number in the person's unit.

    Args:
        rack: For the units shown.
        key: `station.question`.
        place: Where one stands.
        ask: The question.
        quantity: What is asked for.
        facts: Beside the field.
        optional: Whether an empty field is an answer.
        jug_l: For a flow: a bare number is the seconds in which this vessel fills. [L]
    """
    unit = n_("second", "seconds", 2) if jug_l is not None else unit_words(quantity, rack.show)
    return Question(
        key=key,
        place=place,
        ask=ask,
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit,
        facts=facts,
        optional=optional,
        jug_l=jug_l,
    )


def verdict_question(kind: str, place: str, says: tuple[str, ...]) -> Question:
    """Stop for reading what the numbers mean."""
    return Question(
        key=f"{kind}.verdict",
        place=place,
        ask=_("What it means"),
        kind=Kind.PAUSE,
        before=says or (_("Nothing was read."),),
        quiet=True,
    )
