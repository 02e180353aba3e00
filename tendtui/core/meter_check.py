"""A meter in its standards: slope, offset, drift since last time, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from tendtui.chemistry.buffers import buffer_ph, conductivity_standard_us_cm, nernst_slope_mv
from tendtui.core.event import Event, TaskDone
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["ConductivityCheck", "PhCheck", "check_conductivity", "check_ph", "last_value"]

GOOD_SLOPE_PERCENT = (95.0, 105.0)
"""Source: a meter maker's manual (seen); USGS field limits 95 to 102 (memory)."""
CLEAN_SLOPE_PERCENT = 85.0
"""Replace below. Source: a meter maker's manual (seen); a stricter rule says 91."""
GOOD_OFFSET_MV = 15.0
"""Chosen here between the two published limits, as half of the looser one."""
MOST_OFFSET_MV = 30.0
"""Source: within ±30 mV in pH 7 buffer, a university's meter handout (seen); a stricter rule says 20."""
GOOD_ERROR_PERCENT = 2.0
"""Of a conductivity meter in its standard. Source: growers' guides."""
CLEAN_ERROR_PERCENT = 5.0
"""Past it the electrodes want cleaning. Source: growers' guides."""


@value_class
class PhCheck:
    """A pH meter in buffers 7 and 4."""

    slope_percent: float
    """Share of the ideal slope. [%]"""
    offset_ph: float
    """What it showed too much in buffer 7."""
    offset_mv: float
    """The same as the electrode's offset, by its ideal slope. [mV]"""
    drift_ph: float | None
    """Change of that offset since the last check; None: no earlier one."""
    verdict: str
    """`good`, `clean` or `replace`."""
    words: str


@value_class
class ConductivityCheck:
    """A conductivity meter in its standard."""

    error_percent: float
    """What it showed too much. [%]"""
    drift_percent: float | None
    """Change since the last check; None: no earlier one. [%]"""
    verdict: str
    """`good`, `adjust` or `clean`."""
    words: str


def check_ph(
    *, shown_7_ph: float, shown_4_ph: float, temperature_c: float = 25.0, last_offset_ph: float | None = None
) -> PhCheck:
    """Judge a pH meter from what it showed in technical buffer 7.00 and in buffer 4.00.

    A pen shows pH worked out with its stored calibration, so slope and offset are those of electrode
    and calibration together: what matters for the readings.

    Args:
        shown_7_ph: Shown in buffer 7.
        shown_4_ph: Shown in buffer 4.
        temperature_c: Of the buffers, 0 to 40. [°C]
        last_offset_ph: Offset of the check before; None: there was none.

    Raises:
        ValueError: If a figure is no pH, or the temperature is out of the buffers' table.

    Source:
        Nernst equation; limits as named above; buffer values by temperature from the buffers' table.
    """
    if not all(isfinite(value) and 0.0 <= value <= 14.0 for value in (shown_7_ph, shown_4_ph)):
        raise ValueError("a pH lies between 0 and 14")
    true_7 = buffer_ph("7.00", temperature_c=temperature_c)
    true_4 = buffer_ph("4.00", temperature_c=temperature_c)
    slope_percent = 100.0 * (shown_7_ph - shown_4_ph) / (true_7 - true_4)
    offset_ph = shown_7_ph - true_7
    offset_mv = abs(offset_ph) * nernst_slope_mv(temperature_c=temperature_c)
    verdict = _ph_verdict(slope_percent=slope_percent, offset_mv=offset_mv)
    return PhCheck(
        slope_percent=slope_percent,
        offset_ph=offset_ph,
        offset_mv=offset_mv if offset_ph >= 0.0 else -offset_mv,
        drift_ph=None if last_offset_ph is None else offset_ph - last_offset_ph,
        verdict=verdict,
        words=_ph_words(verdict),
    )


def check_conductivity(
    *,
    shown_ms_cm: float,
    standard: str = "1413",
    temperature_c: float = 25.0,
    compensated: bool = True,
    last_error_percent: float | None = None,
) -> ConductivityCheck:
    """Judge a conductivity meter from what it showed in its standard.

    Args:
        shown_ms_cm: Shown in the standard. [mS/cm]
        standard: The standard's name, its µS/cm at 25 °C.
        temperature_c: Of the standard; counts only for a meter without compensation. [°C]
        compensated: Whether the meter shows values at 25 °C.
        last_error_percent: Error of the check before; None: there was none. [%]

    Raises:
        ValueError: If there is no such standard, or the temperature is out of its table.
    """
    at_c = 25.0 if compensated else temperature_c
    true_ms_cm = conductivity_standard_us_cm(standard, temperature_c=at_c) / 1000.0
    error_percent = 100.0 * (shown_ms_cm / true_ms_cm - 1.0)
    size = abs(error_percent)
    verdict = "good" if size <= GOOD_ERROR_PERCENT else "adjust" if size <= CLEAN_ERROR_PERCENT else "clean"
    return ConductivityCheck(
        error_percent=error_percent,
        drift_percent=None if last_error_percent is None else error_percent - last_error_percent,
        verdict=verdict,
        words=_conductivity_words(verdict),
    )


def last_value(events: Iterable[Event], task: str, key: str) -> float | None:
    """Give the newest number of this name read inside the task, or None."""
    values = [
        event.values[key]
        for event in events
        if isinstance(event, TaskDone) and event.task == task and key in event.values
    ]
    return values[-1] if values else None


def _ph_verdict(*, slope_percent: float, offset_mv: float) -> str:
    low, high = GOOD_SLOPE_PERCENT
    if slope_percent < CLEAN_SLOPE_PERCENT or offset_mv > MOST_OFFSET_MV:
        return "replace"
    if low <= slope_percent <= high and offset_mv <= GOOD_OFFSET_MV:
        return "good"
    return "clean"


def _ph_words(verdict: str) -> str:
    words = {
        "good": _("Good. Set it in both buffers as its leaflet says."),
        "clean": _(
            "Tired. Soak it 30 minutes in storage solution, clean it, set it, and read both buffers again."
        ),
        "replace": _(
            "Not to be trusted. Fresh buffers, soak, clean, set; if it stays so, replace the electrode. "
            "Until then no pH correction by this meter."
        ),
    }
    return words[verdict]


def _conductivity_words(verdict: str) -> str:
    words = {
        "good": _("Good."),
        "adjust": _("Off by a little. Rinse, read again, and set it as its leaflet says."),
        "clean": _("Off by much. Clean the electrodes as its leaflet says, rinse, read again, then set it."),
    }
    return words[verdict]
