"""Whom to ring: the grower's name and number where the rack's file has them."""

from __future__ import annotations

from tendtui.core.rack import Rack
from tendtui.words import _

__all__ = ["grower_numbers", "ring_grower"]

_HELP_LINES = ("emergency", "poison")
"""Words in a name of `[people.phones]` that make it a help line's and not a person's."""


def grower_numbers(rack: Rack) -> tuple[str, ...]:
    """Give `name number` of each person to ring, as rack.toml lists them; help lines are no growers."""
    return tuple(
        f"{who} {number}"
        for who, number in rack.phones.items()
        if not any(word in who.casefold() for word in _HELP_LINES)
    )


def ring_grower(rack: Rack) -> str:
    """Say whom to ring, with the number where there is one."""
    numbers = ", ".join(grower_numbers(rack))
    return _("Ring the grower: {numbers}.").format(numbers=numbers) if numbers else _("Ring the grower.")
