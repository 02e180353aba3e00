"""A plan: what to do to the solution, step by step, and how sure it is.

The values only; `tendtui.core.dose` makes them.
"""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum

from tendtui.value import value_class

__all__ = ["AddWater", "Amounts", "Drain", "Plan", "Pour", "Ranges", "Read", "Step", "Verdict", "Wait"]


class Verdict(StrEnum):
    """What the readings ask for."""

    LEAVE = "leave"
    CORRECT = "correct"
    CHANGE = "change"


@value_class
class AddWater:
    """Source water into the reservoir."""

    litres: float


@value_class
class Drain:
    """Solution out of the reservoir."""

    litres: float


@value_class
class Pour:
    """One bottle; exactly one of the amounts is given."""

    what: str
    ml: float | None = None
    g: float | None = None
    portion: bool = False
    """Whether more of it may follow after the next reading (a first safe portion)."""


@value_class
class Wait:
    """Let it circulate."""

    minutes: float


@value_class
class Read:
    """Read again: `conductivity`, `ph`, `level`, `temperature`."""

    what: tuple[str, ...]


Step = AddWater | Drain | Pour | Wait | Read


@value_class
class Amounts:
    """Readings, expected or taken; None where unknown."""

    level_l: float | None = None
    conductivity_ms_cm: float | None = None
    ph: float | None = None
    temperature_c: float | None = None
    ph_tomorrow: float | None = None


@value_class
class Ranges:
    """Low and high, nine times in ten; None where unknown."""

    conductivity_ms_cm: tuple[float, float] | None = None
    ph: tuple[float, float] | None = None
    ph_tomorrow: tuple[float, float] | None = None


@value_class
class Plan:
    """The steps in the order they are done, up to the first `Read`."""

    at: datetime
    readings: Amounts
    verdict: Verdict
    reasons: tuple[str, ...]
    steps: tuple[Step, ...]
    expect: Amounts
    range: Ranges
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    level_worked_out: bool = False
    """Whether the level of the readings is what was read, carried through what went in or out since."""
