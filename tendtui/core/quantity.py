"""What can be measured or typed: the kinds of number the program asks for."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["Quantity"]


class Quantity(StrEnum):
    """A kind of number; the stored unit stands behind each."""

    LEVEL = "level"  # L
    CONDUCTIVITY = "conductivity"  # mS/cm at 25 °C
    PH = "ph"
    TEMPERATURE = "temperature"  # °C
    ALKALINITY = "alkalinity"  # meq/L
    FLOW = "flow"  # L/min
    SECONDS = "seconds"  # s
    VOLUME = "volume"  # L, follows [show].volume
    LIQUID = "liquid"  # mL
    POWDER = "powder"  # g
    LENGTH_MM = "length_mm"  # mm
    LENGTH_M = "length_m"  # m
    PERCENT = "percent"
    STRENGTH = "strength"  # mol/L
    LABEL_ML = "label_ml"  # mL per L
    LABEL_G = "label_g"  # g per L
    WATTS = "watts"
    AMPS = "amps"
    VOLTS = "volts"
    COUNT = "count"
    DAYS = "days"
    ALTITUDE = "altitude"  # m
