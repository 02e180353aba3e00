"""Every conversion of the program, each factor with its source.

Stored units: L, mS/cm at 25 °C, °C, meq/L, L/min, mL, g, mm, m. People's units are converted here and
nowhere else. A unit is found by the spelling people use (`unit_named`), which is compared without case,
blanks or degree signs.
"""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.value import value_class

__all__ = [
    "CACO3_MG_PER_MEQ",
    "GPG_MG_L_CACO3",
    "LITRES_PER_US_GALLON",
    "PPM_PER_MS_CM",
    "UNITS",
    "Unit",
    "at_25_c",
    "meq_l_of_mg_l_caco3",
    "mg_l_caco3_of_meq_l",
    "shown_unit",
    "unit_named",
]

LITRES_PER_US_GALLON = 3.785411784
"""[L] 231 cubic inches of exactly 25.4 mm. Source: NIST Handbook 44, appendix C (exact by definition)."""

ML_PER_US_FLUID_OUNCE = 29.5735295625
"""[mL] 1/128 of a US gallon. Source: NIST Handbook 44, appendix C (exact by definition)."""

CACO3_MG_PER_MEQ = 50.0435
"""[mg] Half the molar mass of CaCO3 (Ca 40.078, C 12.011, O 15.999 g/mol).
Source: IUPAC standard atomic weights, abridged, 2021."""

DKH_MG_L_CACO3 = 17.848
"""[mg/L as CaCO3] One German degree is 10 mg/L CaO: 10 / 56.077 x 100.087.
Source: atomic weights as above."""

FH_MG_L_CACO3 = 10.0
"""[mg/L as CaCO3] One French degree, by definition."""

GPG_MG_L_CACO3 = 17.118
"""[mg/L as CaCO3] One grain (64.79891 mg) in one US gallon. Source: NIST Handbook 44, appendix C."""

PPM_PER_MS_CM: Mapping[int, float] = {500: 500.0, 640: 640.0, 700: 700.0}
"""[ppm per mS/cm] 500: sodium chloride scale; 640: agricultural convention for up to 5 dS/m;
700: scale of 40 % sodium sulfate, 40 % sodium bicarbonate, 20 % sodium chloride.
Sources: 640: USDA Salinity Laboratory, Handbook 60, 1954; 500 and 700: TDS tables in makers' manuals of
conductivity meters (1413 µS/cm = 702.1 ppm NaCl = 1000 ppm of the 700 scale)."""

ALPHA_PER_C = 0.02
"""[1/°C] Usual linear temperature coefficient of conductivity of dilute salt water near 25 °C.
Source: makers' manuals of conductivity meters; 0.0188 to 0.0214 for KCl and NaCl; within 1.5 % of the
CRC Handbook's KCl table from 15 to 35 °C."""


@value_class
class Unit:
    """One way to write a quantity: stored = typed x factor + shift."""

    name: str
    """As it is shown; a bare sign that a meter's face carries."""
    spellings: tuple[str, ...]
    factor: float = 1.0
    shift: float = 0.0

    def stored(self, typed: float) -> float:
        """Convert a number in this unit to the stored unit."""
        return typed * self.factor + self.shift

    def shown(self, stored: float) -> float:
        """Convert a stored number to this unit."""
        return (stored - self.shift) / self.factor


def _unit(name: str, *spellings: str, factor: float = 1.0, shift: float = 0.0) -> Unit:
    return Unit(name=name, spellings=(name, *spellings), factor=factor, shift=shift)


_MEQ_PER_MG = 1.0 / CACO3_MG_PER_MEQ
_GAL = LITRES_PER_US_GALLON

_VOLUME = (
    _unit("L", "l", "litre", "litres", "liter", "liters", "ltr"),
    _unit("gal", "usgal", "gallon", "gallons", "usgallon", "usgallons", factor=_GAL),
    _unit("mL", "ml", "millilitre", "millilitres", "milliliter", "milliliters", factor=0.001),
)

UNITS: Mapping[Quantity, tuple[Unit, ...]] = {
    Quantity.LEVEL: _VOLUME,
    Quantity.VOLUME: _VOLUME,
    Quantity.CONDUCTIVITY: (
        _unit("mS/cm", "ms", "ds/m", "mscm"),
        _unit("uS/cm", "us", "μs", "μs/cm", "uscm", factor=0.001),
        _unit("mS/m", factor=0.01),
        *(_unit(f"ppm{scale}", factor=1.0 / ppm) for scale, ppm in PPM_PER_MS_CM.items()),
    ),
    Quantity.PH: (_unit("pH", "ph"),),
    Quantity.TEMPERATURE: (
        _unit("C", "celsius", "degc"),
        _unit("F", "fahrenheit", "degf", factor=5.0 / 9.0, shift=-160.0 / 9.0),
    ),
    Quantity.ALKALINITY: (
        _unit("mg/L CaCO3", "mg", "mg/l", "mgcaco3", "mg/lcaco3", "ppm", "ppmcaco3", factor=_MEQ_PER_MG),
        _unit("meq/L", "meq", "mmol", "mmol/l"),
        _unit("dKH", "kh", "dh", factor=DKH_MG_L_CACO3 * _MEQ_PER_MG),
        _unit("fH", factor=FH_MG_L_CACO3 * _MEQ_PER_MG),
        _unit("gpg", "grains", "gr/gal", factor=GPG_MG_L_CACO3 * _MEQ_PER_MG),
    ),
    Quantity.FLOW: (
        _unit("L/min", "lpm", "l/m"),
        _unit("L/h", "lph", "l/hr", factor=1.0 / 60.0),
        _unit("gal/min", "gpm", factor=_GAL),
        _unit("gal/h", "gph", "gal/hr", factor=_GAL / 60.0),
        _unit("mL/min", factor=0.001),
    ),
    Quantity.SECONDS: (_unit("s", "sec", "secs", "second", "seconds"), _unit("min", "minutes", factor=60.0)),
    Quantity.LIQUID: (
        _unit("mL", "ml", "cc", "millilitre", "millilitres", "milliliter", "milliliters"),
        _unit("L", "litre", "litres", "liter", "liters", factor=1000.0),
        _unit("fl oz", "floz", factor=ML_PER_US_FLUID_OUNCE),
    ),
    Quantity.POWDER: (_unit("g", "gram", "grams"), _unit("mg", factor=0.001), _unit("kg", factor=1000.0)),
    Quantity.LENGTH_MM: (
        _unit("mm"),
        _unit("cm", factor=10.0),
        _unit("m", factor=1000.0),
        _unit("in", '"', "inch", "inches", factor=25.4),
    ),
    Quantity.LENGTH_M: (
        _unit("m", "metre", "metres", "meter", "meters"),
        _unit("cm", factor=0.01),
        _unit("mm", factor=0.001),
        _unit("ft", "'", "foot", "feet", factor=0.3048),
        _unit("in", '"', "inch", "inches", factor=0.0254),
    ),
    Quantity.PERCENT: (_unit("%", "percent", "%w/w"),),
    Quantity.STRENGTH: (_unit("mol/L", "mol", "m"), _unit("mmol/L", "mmol", factor=0.001)),
    Quantity.LABEL_ML: (_unit("mL/L", "ml"), _unit("mL/gal", "ml/usgal", factor=1.0 / _GAL)),
    Quantity.LABEL_G: (_unit("g/L", "g"), _unit("g/gal", "g/usgal", factor=1.0 / _GAL)),
    Quantity.WATTS: (_unit("W", "watt", "watts"), _unit("kW", factor=1000.0)),
    Quantity.AMPS: (_unit("A", "amp", "amps"), _unit("mA", factor=0.001)),
    Quantity.VOLTS: (_unit("V", "volt", "volts"),),
    Quantity.COUNT: (),
    Quantity.DAYS: (_unit("d", "day", "days"), _unit("weeks", "week", "wk", factor=7.0)),
    Quantity.ALTITUDE: (_unit("m", "metre", "metres", "meter", "meters"), _unit("ft", "feet", factor=0.3048)),
}
"""Quantity -> its units; the first is the one meant where `[show]` has no say.
Inch and foot are exactly 25.4 mm and 0.3048 m (international yard and pound agreement, 1959)."""


def unit_named(spelling: str, quantity: Quantity, *, ppm_scale: int = 500) -> Unit | None:
    """Find the unit that somebody wrote, or None where this quantity has no such unit.

    Args:
        spelling: As typed: `mS`, `µS/cm`, `°F`, `ppm`.
        quantity: What is measured.
        ppm_scale: What a bare `ppm` of this meter means. [ppm per mS/cm]
    """
    plain = _plain(spelling)
    if quantity is Quantity.CONDUCTIVITY and plain == "ppm":
        plain = f"ppm{ppm_scale}"
    return next((u for u in UNITS[quantity] if plain in map(_plain, u.spellings)), None)


def shown_unit(quantity: Quantity, show: Show) -> Unit | None:
    """Give the unit in which this person sees a quantity; None where it has none (a count)."""
    match quantity:
        case Quantity.CONDUCTIVITY:
            name: str = show.conductivity
        case Quantity.TEMPERATURE:
            name = show.temperature
        case Quantity.LEVEL | Quantity.VOLUME:
            name = show.volume
        case _:
            return UNITS[quantity][0] if UNITS[quantity] else None
    return next(u for u in UNITS[quantity] if u.name == name)


def at_25_c(*, conductivity_ms_cm: float, temperature_c: float, alpha_per_c: float = ALPHA_PER_C) -> float:
    """Give what a meter without compensation would show at 25 °C, by the linear rule.

    Within 1.5 % for potassium chloride from 15 to 35 °C, within 3 % from 10 °C.

    Args:
        conductivity_ms_cm: As read at `temperature_c`. [mS/cm]
        temperature_c: Of the solution. [°C]
        alpha_per_c: Change per degree as share of the value at 25 °C. [1/°C]

    Returns:
        Conductivity at 25 °C. [mS/cm]

    Raises:
        ValueError: If it is so cold that the linear rule has no answer.

    Source:
        kappa_25 = kappa_t / (1 + alpha (t - 25)); ISO 7888:1985, clause on linear compensation
        (number of the clause from memory); alpha as for `ALPHA_PER_C`.
    """
    share = 1.0 + alpha_per_c * (temperature_c - 25.0)
    if share <= 0.0:
        raise ValueError(f"no linear compensation at {temperature_c:g} °C")
    return conductivity_ms_cm / share


def meq_l_of_mg_l_caco3(mg_l_caco3: float) -> float:
    """Convert alkalinity or hardness from mg/L as CaCO3 to meq/L."""
    return mg_l_caco3 / CACO3_MG_PER_MEQ


def mg_l_caco3_of_meq_l(meq_l: float) -> float:
    """Convert alkalinity or hardness from meq/L to mg/L as CaCO3."""
    return meq_l * CACO3_MG_PER_MEQ


def _plain(spelling: str) -> str:
    # casefold turns the micro sign into the Greek mu, so both spellings meet
    return "".join(spelling.casefold().split()).replace("°", "").replace("º", "")
