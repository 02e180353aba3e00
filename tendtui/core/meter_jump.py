"""Meters out of trust because what they show jumped and nobody made it; a check or a pouring ends that."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.learned_values import MeterDoubt
from tendtui.core.pattern import DETECTORS, Pattern
from tendtui.core.pattern_view import View
from tendtui.words import _

__all__ = ["jump_doubts"]

JUMP_PH, JUMP_SHARE = 0.3, 0.06
"""Doubt of a reading after a jump that nobody made: half of the least jump that is one. Source: chosen here.

Strength as a share of it.
"""

_JUMPS = {"ph_jump": "ph", "salt_up": "conductivity", "salt_down": "conductivity"}


def jump_doubts(view: View, patterns: Iterable[Pattern]) -> tuple[MeterDoubt, ...]:
    """Give the meters whose newest reading jumped.

    Args:
        view: The course; its bands aren't needed.
        patterns: The data.
    """
    found: dict[str, MeterDoubt] = {}
    for pattern in patterns:
        meter = _JUMPS.get(pattern.detect)
        if meter is not None and meter not in found and DETECTORS[pattern.detect](view, pattern.when):
            found[meter] = _doubt(meter)
    return tuple(found.values())


def _doubt(meter: str) -> MeterDoubt:
    if meter == "ph":
        said = _("pH moved far and nothing was added: check the meter in buffer 7 first. It is trusted less.")
        return MeterDoubt(meter=meter, spread=JUMP_PH, said=said, once=True)
    said = _(
        "The strength moved and nobody wrote why: ask who poured, check the meter in the standard. "
        "It is trusted less."
    )
    return MeterDoubt(meter=meter, spread=JUMP_SHARE, said=said, once=True)
