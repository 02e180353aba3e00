"""On which side of a dose a reading stands: the same day's figures differ, and people ask which is which."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from tendtui.core.event import Event, Poured, Reading
from tendtui.words import _

__all__ = ["dose_side", "is_leaving", "reads_water"]

SAME_DOSE = timedelta(hours=3)
"""What is poured this soon after a reading was poured because of it. Source: chosen here; with its waits a
dose in portions takes an hour or two."""

_WATER = ("level_l", "conductivity_ms_cm", "ph", "temperature_c")


def dose_side(reading: Reading, events: Sequence[Event]) -> str:
    """Say `before the dose` or `after the dose`, or nothing where none goes with the reading.

    Args:
        reading: With figures of the water.
        events: Effective events, in time order.
    """
    if reading.source == "dose":
        went_in = (e for e in events if isinstance(e, Poured) and (e.ml or e.g or e.litres))
        own = any(reading.at - SAME_DOSE <= e.at <= reading.at for e in went_in)
        return _("after the dose") if own else ""  # it was only read again
    end = reading.at + SAME_DOSE
    for event in events:
        if (event.at, event.seq) <= (reading.at, reading.seq) or event.at > end:
            continue
        if isinstance(event, Poured) and (event.ml or event.g or event.litres):
            return _("before the dose")
        if isinstance(event, Reading) and event.source != "dose" and reads_water(event):
            return ""
    return ""


def reads_water(reading: Reading) -> bool:
    """Say whether a reading holds a figure of the water."""
    return any(getattr(reading, name) is not None for name in _WATER)


def is_leaving(reading: Reading) -> bool:
    """Say whether a reading is what a leaving list left, and no round."""
    asked = (*reading.looks, *reading.not_done, *reading.notes)
    return bool(asked) and all(key.startswith("leaving.") for key in asked) and not reads_water(reading)
