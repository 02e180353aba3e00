"""Small sums of safety: shock, eye rinse, bleach, old solution, damp, ladder, flood."""

from __future__ import annotations

from math import log

__all__ = [
    "bleach_ml",
    "bleach_ppm",
    "body_current_ma",
    "dew_point_c",
    "garden_m2",
    "ladder_foot_m",
    "minutes_to_empty",
    "nitrogen_g",
    "pump_speed_share",
    "rinse_litres",
    "to_drinking_limit_l",
]

WET_SKIN_OHM = 1000.0
"""[ohm] Source: NIOSH 98-131 (recalled)."""
NITRATE_LIMIT_MG_L = 10.0
"""[mg/L N] Source: EPA maximum contaminant level for nitrate (memory)."""
NITROGEN_G_M2 = 10.0
"""[g/m²] A usual yearly rate, 100 kg/ha; assumed."""
FOOT_M = 0.3048
"""[m] The foot, exact."""
INCH_CM = 2.54
"""[cm] The inch, exact."""


def body_current_ma(*, volts: float, skin_ohm: float = WET_SKIN_OHM) -> float:
    """Give the current through a body with wet hands [mA]; 100 and more stops a heart.

    Args:
        volts: Of the mains. [V]
        skin_ohm: Of the body with wet skin. [ohm]

    Source:
        Ohm's law; bands in NIOSH 98-131 (1998), as reproduced.
    """
    return volts / skin_ohm * 1000.0


def rinse_litres(*, minutes: float, l_min: float = 1.5) -> float:
    """Give the water that an eye rinse takes [L].

    Args:
        minutes: How long; 15 at least. [min]
        l_min: Flow; 1.5 as in ANSI Z358.1 (recalled). [L/min]
    """
    return l_min * minutes


def bleach_ppm(*, bleach_ml: float, bleach_percent: float, litres: float) -> float:
    """Give the strength of bleach water [mg/L].

    Args:
        bleach_ml: Household bleach. [mL]
        bleach_percent: Its strength as on the label. [%]
        litres: Water. [L]
    """
    return bleach_ml * bleach_percent * 10_000.0 / (litres * 1000.0)


def bleach_ml(*, ppm: float, bleach_percent: float, litres: float) -> float:
    """Give the bleach for a strength [mL].

    Args:
        ppm: Wanted, 150 to 200 for pipes. [mg/L]
        bleach_percent: Its strength as on the label. [%]
        litres: Water. [L]
    """
    return ppm * litres * 1000.0 / (bleach_percent * 10_000.0)


def nitrogen_g(*, litres: float, nitrogen_mg_l: float = 150.0) -> float:
    """Give the nitrogen in old solution [g].

    Args:
        litres: Drained. [L]
        nitrogen_mg_l: Its nitrogen; 150 is a usual feed. [mg/L]
    """
    return litres * nitrogen_mg_l / 1000.0


def garden_m2(*, nitrogen_g: float, rate_g_m2: float = NITROGEN_G_M2) -> float:
    """Give the bed over which old solution is spread at least [m²].

    Args:
        nitrogen_g: In the solution. [g]
        rate_g_m2: What a bed takes in a year. [g/m²]
    """
    return nitrogen_g / rate_g_m2


def to_drinking_limit_l(*, nitrogen_g: float) -> float:
    """Give the clean water that this nitrogen lifts to the drinking limit [L].

    Args:
        nitrogen_g: In the solution. [g]
    """
    return nitrogen_g * 1000.0 / NITRATE_LIMIT_MG_L


def dew_point_c(*, air_c: float, humidity_percent: float) -> float:
    """Give the temperature at which a wall or socket face gets wet [°C].

    Args:
        air_c: Of the room, 0 to 60. [°C]
        humidity_percent: Of the air. [%]

    Source:
        Magnus formula with the constants 17.62 and 243.12 °C (WMO, memory).
    """
    gamma = log(humidity_percent / 100.0) + 17.62 * air_c / (243.12 + air_c)
    return 243.12 * gamma / (17.62 - gamma)


def ladder_foot_m(*, height_m: float) -> float:
    """Give how far a leaning ladder's foot stands out [m].

    Args:
        height_m: Where it touches. [m]

    Source:
        HSE 1-in-4 rule (memory; guide's opening pages seen).
    """
    return height_m / 4.0


def minutes_to_empty(*, usable_l: float, flow_l_h: float) -> float:
    """Give the time that a burst hose takes to empty the reservoir down to the pump's mouth [min].

    Args:
        usable_l: Above the pump's mouth. [L]
        flow_l_h: Of the pump. [L/h]
    """
    return usable_l / flow_l_h * 60.0


def pump_speed_share(*, made_for_hz: float, plugged_at_hz: float) -> float:
    """Give how fast a magnet-drive pump turns at another frequency, as a share of its own speed.

    Args:
        made_for_hz: On its plate. [Hz]
        plugged_at_hz: Of the mains. [Hz]
    """
    return plugged_at_hz / made_for_hz
