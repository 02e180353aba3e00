"""The lines that stand over work that can hurt, the same words everywhere."""

from __future__ import annotations

from tendtui.core.task import Task
from tendtui.words import _

__all__ = ["CHEMICAL_WORDS", "chemical_lines", "hands_lines", "lines_for"]


def hands_lines() -> tuple[str, ...]:
    """Give what holds before hands go in the water.

    Source: dry hands, unplug before cleaning: a municipal utility's school page (seen); unplug all gear
    before hands go in the water: UL 1018 and IEC 60335-2-55 (memory).
    """
    return (
        _("Pump and lights off at the plug, hands dry. A switch or a timer is not enough."),
        _("A wet plug or socket is never pulled: breaker off first, with dry feet."),
    )


def chemical_lines() -> tuple[str, ...]:
    """Give what holds for acid, alkali, bleach and peroxide.

    Source: University of Iowa EHS, corrosives (seen); bleach: Louisiana Department of Health, 2006 (seen).
    """
    return (
        _("Goggles and gloves on, a window open, nobody else near, an adult doing it."),
        _("Acid or alkali into water, slowly; never water into acid."),
        _("Never bleach with or after acid: rinse with plain water between them."),
        _("A splash in the eye: running water at once, 15 minutes at least, then phone."),
    )


def lines_for(task: Task) -> tuple[str, ...]:
    """Give the lines that a task starts with."""
    return (*(hands_lines() if task.hands_in_water else ()), *(chemical_lines() if task.chemical else ()))


CHEMICAL_WORDS = ("acid", "alkali", "bleach", "peroxide", "hydroxide", "silicate", "vinegar", "lime")
"""Words in a grower's own task that ask for the chemical lines."""
