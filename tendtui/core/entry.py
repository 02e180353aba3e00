"""What people type becomes a value here, once, at the edge.

Nothing is repaired: what can't be read with certainty is refused, with a sentence that says what to do.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from tendtui.core.prompt import Choice
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show
from tendtui.core.show import show_value
from tendtui.core.units import UNITS, Unit, shown_unit, unit_named
from tendtui.errors import RefusedError
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["LIMITS", "TEXT_LONGEST", "read_choice", "read_number", "read_text", "scale_said"]

NUMBER_LONGEST = 40
"""Characters; no number with its unit is longer."""

TEXT_LONGEST = 500
"""Characters of a note or a name."""

LIMITS: Mapping[Quantity, tuple[float, float]] = {
    Quantity.LEVEL: (0.0, 100_000.0),
    Quantity.VOLUME: (0.0, 100_000.0),
    Quantity.CONDUCTIVITY: (0.0, 20_000.0),
    Quantity.PH: (0.0, 14.0),
    Quantity.TEMPERATURE: (-5.0, 100.0),
    Quantity.ALKALINITY: (0.0, 200.0),
    Quantity.FLOW: (0.0, 1_000.0),
    Quantity.SECONDS: (0.0, 3_600.0),
    Quantity.LIQUID: (0.0, 100_000.0),
    Quantity.POWDER: (0.0, 100_000.0),
    Quantity.LENGTH_MM: (0.0, 100_000.0),
    Quantity.LENGTH_M: (0.0, 1_000.0),
    Quantity.PERCENT: (0.0, 100.0),
    Quantity.STRENGTH: (0.0, 40.0),
    Quantity.LABEL_ML: (0.0, 1_000.0),
    Quantity.LABEL_G: (0.0, 1_000.0),
    Quantity.WATTS: (0.0, 100_000.0),
    Quantity.AMPS: (0.0, 1_000.0),
    Quantity.VOLTS: (0.0, 1_000.0),
    Quantity.COUNT: (0.0, 100_000.0),
    Quantity.DAYS: (0.0, 3_660.0),
    Quantity.ALTITUDE: (-450.0, 6_000.0),
}
"""Lowest and highest that any meter, mark or label of the trade can show, in stored units.

Conductivity reaches far up on purpose: 1420 in the place of 1.42 is a slip of the unit, and is asked about
(`tendtui.core.judge`), not refused. Common practice, no source."""

_CAN_BE_NEGATIVE = frozenset(q for q, (low, _high) in LIMITS.items() if low < 0.0)
_NUMBER = re.compile(r"(?P<minus>[-−]?)(?P<digits>[0-9.,]*)\s*(?P<unit>.*)", re.DOTALL)
_BARE_PPM = re.compile(r"[0-9.,]\s*ppm\s*$", re.IGNORECASE)
_EXPONENT = re.compile(r"[0-9.,][eE][+-]?[0-9]")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_SECOND_NUMBER = re.compile(r"(?:^|[\s/:–-])[0-9.,]*[0-9]")
_STOPWATCH = re.compile(r"(?P<minutes>[0-9]{1,2}):(?P<seconds>[0-5][0-9](?:[.,][0-9]{1,2})?)")
_KEPT_FORMAT = "\u200c\u200d"
"""Joiners that some scripts need inside words."""


@value_class
class _Parts:
    """A typed number taken apart, each part checked."""

    minus: bool
    digits: str
    unit: str

    @property
    def number(self) -> float:
        number = float(self.digits.replace(",", "."))
        return -number if self.minus else number

    @property
    def decimals(self) -> int:
        return len(self.digits.replace(",", ".").partition(".")[2])


def read_number(
    typed: str, *, quantity: Quantity, show: Show, meter: Meter, jug_l: float | None = None
) -> float:
    """Read a number with or without its unit, in the stored unit of the quantity.

    Args:
        typed: What stood in the field.
        quantity: What was asked.
        show: The person's units, meant where none is typed.
        meter: What the meters can show, and what a bare `ppm` means.
        jug_l: For FLOW: a bare number (or one in seconds) is the time to fill this vessel. [L]

    Raises:
        RefusedError: If it can't be read with certainty, or no meter can show it.
    """
    if quantity is Quantity.SECONDS or (quantity is Quantity.FLOW and jug_l is not None):
        typed = _stopwatch(typed)
    parts = _parts(typed)
    if parts.minus and quantity not in _CAN_BE_NEGATIVE:
        raise RefusedError(
            _("{typed} is below nothing").format(typed=_quoted(typed)), _("Type it without the minus.")
        )
    if quantity is Quantity.FLOW and jug_l is not None and _is_time(parts.unit):
        return _flow(parts, jug_l=jug_l, show=show, meter=meter)
    unit = _unit(parts, quantity, show, meter)
    _refuse_decimals(parts, quantity, unit, meter)
    stored = parts.number if unit is None else unit.stored(parts.number)
    _refuse_outside(stored, parts, quantity, unit)
    if quantity is Quantity.COUNT and stored != int(stored):
        raise RefusedError(_("{typed} is not a whole number").format(typed=_quoted(typed)), _("Count them."))
    return stored


def scale_said(typed: str, value: float, *, quantity: Quantity, show: Show, meter: Meter) -> str:
    """Say on which scale a bare `ppm` was read; an empty text: none was typed.

    Args:
        typed: What stood in the field.
        value: What it was read as, in the stored unit.
        quantity: What was asked.
        show: The person's units.
        meter: Its scale.
    """
    if quantity is not Quantity.CONDUCTIVITY or not _BARE_PPM.search(typed):
        return ""
    return _(
        "{typed} on the scale of {scale} is {value}; if the meter has another, type ppm640 or ppm700."
    ).format(typed=_quoted(typed), scale=meter.ppm_scale, value=show_value(value, quantity, show))


def read_choice(typed: str, choices: tuple[Choice, ...]) -> tuple[Choice, str]:
    """Read a digit, and the words after it where the choice asks for them.

    Raises:
        RefusedError: If it is none of the choices, or the words are missing.
    """
    cleaned = _cleaned(typed)
    digit, _blank, words = cleaned.partition(" ")
    choice = next((c for c in choices if c.digit == digit), None)
    if choice is None:
        choice, words = next((c for c in choices if c.word.casefold() == cleaned.casefold()), None), ""
    if choice is None:
        raise RefusedError(
            _("{typed} is none of the answers").format(typed=_quoted(typed))
            if cleaned
            else _("Nothing was typed"),
            _("Type one of {digits}.").format(digits=", ".join(c.digit for c in choices)),
        )
    if choice.ask_text and not words.strip():
        raise RefusedError(
            _("Say in a few words what it is"),
            _("Type them after the {digit}, with a blank between.").format(digit=choice.digit),
        )
    return choice, words.strip() and read_text(words)


def read_text(typed: str, *, expects: tuple[str, ...] = ()) -> str:
    """Read free words, or one of the expected names.

    Control characters are left out: they steer terminals and mean nothing to a reader.

    Raises:
        RefusedError: If nothing is left, it is too long, or it is none of the expected names.
    """
    cleaned = _cleaned(typed)
    if not cleaned:
        raise RefusedError(_("Nothing was typed"), _("Type a few words."))
    if len(cleaned) > TEXT_LONGEST:
        raise RefusedError(
            _("That is {n} letters, more than the {most} that fit").format(n=len(cleaned), most=TEXT_LONGEST),
            _("Say it shorter, or in two notes."),
        )
    if not expects:
        return cleaned
    name = next((n for n in expects if _folded(n) == _folded(cleaned)), None)
    if name is None:
        raise RefusedError(
            _("{typed} is not {names}").format(typed=_quoted(typed), names=_(" or ").join(expects)),
            _("Look at the label again and type the name that stands on it."),
        )
    return name


def _parts(typed: str) -> _Parts:
    text = typed.strip()
    _refuse_signs(text, typed)
    if _EXPONENT.search(text):
        raise RefusedError(
            _("{typed} is written with an exponent").format(typed=_quoted(typed)),
            _("Write the number out, with digits and one point."),
        )
    found = _NUMBER.fullmatch(text)
    digits = "" if found is None else found["digits"]
    if found is None or not any(c.isdigit() for c in digits):
        raise RefusedError(
            _("{typed} is not a number").format(typed=_quoted(typed)),
            _("Type the number alone, like 1.42 or 21."),
        )
    _refuse_points(digits, typed)
    if _SECOND_NUMBER.search(found["unit"]) and not _known(found["unit"]):
        raise RefusedError(
            _("{typed} holds more than one number").format(typed=_quoted(typed)), _("Type one number.")
        )
    return _Parts(minus=bool(found["minus"]), digits=digits, unit=found["unit"].strip())


def _stopwatch(typed: str) -> str:
    """Give the seconds of a time as stopwatches show it, `1:20`; anything else as it is."""
    found = _STOPWATCH.fullmatch(typed.strip())
    if found is None:
        return typed
    seconds = 60.0 * int(found["minutes"]) + float(found["seconds"].replace(",", "."))
    return f"{seconds:.1f}"


def _refuse_signs(text: str, typed: str) -> None:
    if not text:
        raise RefusedError(_("Nothing was typed"), _("Type a number, or mark it as not done."))
    if any(unicodedata.category(c).startswith("C") for c in text):
        raise RefusedError(
            _("Something came with it that is not a letter or a digit"), _("Type the number by hand.")
        )
    if len(text) > NUMBER_LONGEST:
        raise RefusedError(
            _("That is {n} letters, too long for a number").format(n=len(text)),
            _("Type one number and, if you like, its unit."),
        )
    if any(c.isdigit() and not c.isascii() and c not in "²³" for c in text):
        raise RefusedError(
            _("{typed} holds digits that can be misread here").format(typed=_quoted(typed)),
            _("Type it with 0 1 2 3 4 5 6 7 8 9."),
        )


def _refuse_points(digits: str, typed: str) -> None:
    if digits.count(".") + digits.count(",") > 1:
        raise RefusedError(
            _("{typed} has more than one point or comma").format(typed=_quoted(typed)),
            _("Type one point or one comma, and no mark for thousands."),
        )
    if _THOUSANDS.fullmatch(digits):
        whole, _comma, rest = digits.partition(",")
        raise RefusedError(
            _("{typed} can be read as {small} or as {large}").format(
                typed=_quoted(typed), small=f"{whole}.{rest}", large=f"{whole}{rest}"
            ),
            _("Type {small} or {large}.").format(small=f"{whole}.{rest}", large=f"{whole}{rest}"),
        )


def _unit(parts: _Parts, quantity: Quantity, show: Show, meter: Meter) -> Unit | None:
    if not parts.unit:
        return shown_unit(quantity, show)
    unit = unit_named(parts.unit, quantity, ppm_scale=meter.ppm_scale)
    if unit is not None:
        return unit
    names = ", ".join(u.name for u in UNITS[quantity])
    if not names:
        raise RefusedError(
            _("{unit} does not belong here").format(unit=_quoted(parts.unit)), _("Type the number alone.")
        )
    if _known(parts.unit):
        what = _("{unit} is a unit of something else").format(unit=_quoted(parts.unit))
    else:
        what = _("{unit} is no unit known here").format(unit=_quoted(parts.unit))
    raise RefusedError(what, _("Type the number alone, or with one of: {names}.").format(names=names))


def _flow(parts: _Parts, *, jug_l: float, show: Show, meter: Meter) -> float:
    unit = _unit(parts, Quantity.SECONDS, show, meter)
    seconds = parts.number if unit is None else unit.stored(parts.number)
    if seconds <= 0.0:
        raise RefusedError(
            _("A jug can't fill in no time"),
            _("Type the seconds, or 0 L/min if nothing came out."),
        )
    _refuse_outside(seconds, parts, Quantity.SECONDS, unit)
    flow_l_min = 60.0 * jug_l / seconds
    _refuse_outside(flow_l_min, parts, Quantity.FLOW, None)
    return flow_l_min


def _is_time(unit: str) -> bool:
    return not unit or unit_named(unit, Quantity.SECONDS) is not None


def _known(unit: str) -> bool:
    return any(unit_named(unit, quantity) is not None for quantity in Quantity)


def _refuse_decimals(parts: _Parts, quantity: Quantity, unit: Unit | None, meter: Meter) -> None:
    most = _decimals(quantity, unit, meter) + 1
    if parts.decimals <= most:
        return
    raise RefusedError(
        _("{number} has more decimals than can be read off").format(number=_quoted(parts.digits)),
        _("Type what the meter shows, with {most} at most after the point.").format(most=most),
    )


def _decimals(quantity: Quantity, unit: Unit | None, meter: Meter) -> int:
    """Give the decimals that the meter shows, in the unit typed."""
    factor = 1.0 if unit is None else unit.factor
    match quantity:
        case Quantity.CONDUCTIVITY:
            return _places(meter.conductivity_step_ms_cm / factor)
        case Quantity.PH:
            return _places(meter.ph_step)
        case Quantity.TEMPERATURE | Quantity.SECONDS:
            return 1
        case Quantity.COUNT:
            return 3  # a part of a plant gets its own sentence
        case _:
            return 2 + _places(1.0 / factor)


def _places(step: float) -> int:
    return next((n for n in range(7) if round(step * 10**n, 6) >= 1.0), 7)


def _refuse_outside(stored: float, parts: _Parts, quantity: Quantity, unit: Unit | None) -> None:
    low, high = LIMITS[quantity]
    if low <= stored <= high:
        return
    shown_low, shown_high = (low, high) if unit is None else (unit.shown(low), unit.shown(high))
    written = f"{'-' if parts.minus else ''}{parts.digits}{' ' if parts.unit else ''}{parts.unit}"
    raise RefusedError(
        _("{number} can't be: it goes from {low} to {high}").format(
            number=written, low=f"{round(shown_low, 2):g}", high=f"{round(shown_high, 2):.7g}"
        ),
        _("Look again and type what you see."),
    )


def _cleaned(typed: str) -> str:
    kept = (c if c in _KEPT_FORMAT or not unicodedata.category(c).startswith("C") else " " for c in typed)
    return " ".join("".join(kept).split())


def _folded(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _quoted(typed: str) -> str:
    """Give back what was typed, fit to stand in a sentence."""
    cleaned = _cleaned(typed)
    return cleaned if len(cleaned) <= 24 else cleaned[:21] + "..."
