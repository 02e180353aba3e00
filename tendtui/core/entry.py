"""What people type becomes a value here, once, at the edge."""

from __future__ import annotations

from tendtui.core.prompt import Choice
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show

__all__ = ["read_choice", "read_number", "read_text"]


def read_number(typed: str, *, quantity: Quantity, show: Show, meter: Meter) -> float:
    """Read a number with or without its unit, in the stored unit of the quantity."""
    del quantity, show, meter
    return float(typed.strip().replace(",", "."))


def read_choice(typed: str, choices: tuple[Choice, ...]) -> tuple[Choice, str]:
    """Read a digit, and the words after it where the choice asks for them."""
    digit, _space, words = typed.strip().partition(" ")
    return next(choice for choice in choices if choice.digit == digit), words.strip()


def read_text(typed: str, *, expects: tuple[str, ...] = ()) -> str:
    """Read free words, or one of the expected names."""
    cleaned = " ".join(typed.split())
    return next((name for name in expects if name.casefold() == cleaned.casefold()), cleaned)
