"""Stored values become words and digits here, once: the person's units, `0.5` not `.5`, `7` not `7.0`.

Readings keep the decimals that their meter shows (1.20 mS/cm); amounts to pour carry no trailing zero,
since 7.0 is misread as 70.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.band import Band
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.units import shown_unit
from tendtui.words import _, decimal_sign, n_

__all__ = [
    "clock",
    "date_words",
    "day_words",
    "how_long",
    "how_long_ago",
    "number_words",
    "quantity_name",
    "show_amount",
    "show_band",
    "show_number",
    "show_value",
    "unit_words",
    "weekday",
    "when",
]

_FIXED = {Quantity.PH: 1, Quantity.TEMPERATURE: 1, Quantity.ALKALINITY: 0}
_UP_TO = {Quantity.LEVEL: 1, Quantity.VOLUME: 1, Quantity.SECONDS: 1, Quantity.WATTS: 0, Quantity.VOLTS: 0}
_WORDS_UP_TO = 9999


def show_number(value: float, quantity: Quantity, show: Show) -> str:
    """Give the digits in the person's unit, without the unit."""
    unit = shown_unit(quantity, show)
    number = value if unit is None else unit.shown(value)
    if quantity is Quantity.CONDUCTIVITY:
        return _fixed(number, 2 if show.conductivity == "mS/cm" else 0)
    if quantity is Quantity.PH and abs(number * 10.0 - round(number * 10.0)) > 1e-6:
        return _fixed(number, 2)
    if quantity is Quantity.FLOW and abs(number) >= 1.0:
        return _fixed(number, 1)
    if quantity in _FIXED:
        return _fixed(number, _FIXED[quantity])
    return show_amount(number, decimals=_UP_TO.get(quantity, 2))


def show_amount(number: float, *, decimals: int = 2) -> str:
    """Give the digits of an amount: a nought before the point, none at the end."""
    text, point = _fixed(number, decimals), decimal_sign()
    return text.rstrip("0").rstrip(point) if point in text else text


def show_value(value: float, quantity: Quantity, show: Show) -> str:
    """Give digits and unit, `1.20 mS/cm`, `44 litres`, `pH 6.1`."""
    digits = show_number(value, quantity, show)
    if quantity is Quantity.PH:
        return _("pH {digits}").format(digits=digits)
    unit = unit_words(quantity, show, one=digits == "1")
    return f"{digits} {unit}" if unit else digits


def show_band(band: Band, quantity: Quantity, show: Show) -> str:
    """Give a band in words, `1.6 to 2.4`."""
    return _("{low} to {high}").format(
        low=show_number(band.low, quantity, show), high=show_number(band.high, quantity, show)
    )


def unit_words(quantity: Quantity, show: Show, *, one: bool = False) -> str:
    """Give the unit as it stands beside a field, spelled where it is an amount.

    Args:
        quantity: What is shown.
        show: The person's units.
        one: For the form after the figure 1.
    """
    match quantity:
        case Quantity.CONDUCTIVITY:
            scale = show.conductivity.removeprefix("ppm")
            if scale != show.conductivity:
                return _("ppm (scale {scale})").format(scale=scale)
            return show.conductivity
        case Quantity.TEMPERATURE:
            return f"°{show.temperature}"
        case Quantity.LEVEL | Quantity.VOLUME:
            if show.volume == "gal":
                return n_("US gallon", "US gallons", 1 if one else 2)
            return n_("litre", "litres", 1 if one else 2)
        case Quantity.LIQUID:
            return n_("millilitre", "millilitres", 1 if one else 2)
        case Quantity.POWDER:
            return n_("gram", "grams", 1 if one else 2)
        case Quantity.SECONDS:
            return n_("second", "seconds", 1 if one else 2)
        case Quantity.DAYS:
            return n_("day", "days", 1 if one else 2)
        case _:
            return _spelled().get(quantity, "")


def _spelled() -> dict[Quantity, str]:
    return {
        Quantity.ALKALINITY: _("milligrams a litre, counted as calcium carbonate"),
        Quantity.FLOW: _("litres a minute"),
        Quantity.LENGTH_MM: _("millimetres"),
        Quantity.LENGTH_M: _("metres"),
        Quantity.ALTITUDE: _("metres"),
        Quantity.PERCENT: _("percent"),
        Quantity.STRENGTH: _("moles a litre"),
        Quantity.LABEL_ML: _("millilitres for each litre of water"),
        Quantity.LABEL_G: _("grams for each litre of water"),
        Quantity.WATTS: _("watts"),
        Quantity.AMPS: _("amperes"),
        Quantity.VOLTS: _("volts"),
    }


def quantity_name(quantity: Quantity) -> str:
    """Give what people call it in a sentence."""
    names = {
        Quantity.LEVEL: _("level"),
        Quantity.CONDUCTIVITY: _("conductivity"),
        Quantity.PH: _("pH"),
        Quantity.TEMPERATURE: _("temperature"),
        Quantity.ALKALINITY: _("alkalinity"),
        Quantity.FLOW: _("flow"),
    }
    return names.get(quantity, quantity.value.replace("_", " "))


def number_words(number: float) -> str:
    """Spell a number, `thirty-two and a half`; digits where it is too long to spell.

    A second form beside the figure catches a point that was overlooked.
    """
    whole, part = divmod(round(number * 100.0), 100)
    if number < 0.0 or whole > _WORDS_UP_TO:
        return show_amount(number)
    if part == 0:
        return _whole_words(whole)
    halves = {25: _("a quarter"), 50: _("a half"), 75: _("three quarters")}
    if part in halves:
        if whole == 0:
            return halves[part]
        return _("{whole} and {part}").format(whole=_whole_words(whole), part=halves[part])
    digits = f"{part:02d}".rstrip("0")
    return _("{whole} point {digits}").format(
        whole=_whole_words(whole), digits=" ".join(_small_words()[int(digit)] for digit in digits)
    )


def clock(at: datetime) -> str:
    """Give the time of day, `08:10`."""
    return f"{at:%H:%M}"


def weekday(at: datetime) -> str:
    """Give the short name of the day."""
    names = (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))
    return names[at.weekday()]


def day_words(at: datetime, now: datetime) -> str:
    """Give the day as people say it: `today`, `yesterday`, `Mon`, `Mon 3 Nov`, `3 Nov 2025`."""
    here = at.astimezone(now.tzinfo)
    days = (now.date() - here.date()).days
    if days == 0:
        return _("today")
    if days == 1:
        return _("yesterday")
    if days == -1:
        return _("tomorrow")
    if 1 < days < 7:
        return weekday(here)
    if here.year == now.year:
        return _("{weekday} {day} {month}").format(weekday=weekday(here), day=here.day, month=_month(here))
    return _("{day} {month} {year}").format(day=here.day, month=_month(here), year=here.year)


def when(at: datetime, now: datetime) -> str:
    """Give day and clock: `today 08:10`, `Mon 07:40`."""
    return f"{day_words(at, now)} {clock(at.astimezone(now.tzinfo))}"


def date_words(at: datetime) -> str:
    """Give the date as a head says it: `Tue 25 Nov`."""
    return _("{weekday} {day} {month}").format(weekday=weekday(at), day=at.day, month=_month(at))


def how_long(span: timedelta) -> str:
    """Give a span in its largest whole unit: `20 minutes`, `3 hours`, `12 days`."""
    minutes = max(0, int(span.total_seconds() // 60))
    if minutes < 1:
        return _("less than a minute")
    if minutes < 60:
        return n_("{n} minute", "{n} minutes", minutes).format(n=minutes)
    hours = minutes // 60
    if hours < 48:
        return n_("{n} hour", "{n} hours", hours).format(n=hours)
    return n_("{n} day", "{n} days", hours // 24).format(n=hours // 24)


def how_long_ago(at: datetime, now: datetime) -> str:
    """Give how long ago, or that the clock stands before it."""
    if at > now:
        return _("after this clock's time")
    return _("{span} ago").format(span=how_long(now - at))


def _fixed(number: float, decimals: int) -> str:
    text = f"{number:.{decimals}f}"
    text = text.removeprefix("-") if float(text) == 0.0 else text
    return text.replace(".", decimal_sign())


def _month(at: datetime) -> str:
    names = (
        *(_("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun")),
        *(_("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec")),
    )
    return names[at.month - 1]


def _whole_words(whole: int) -> str:
    small, tens = _small_words(), _ten_words()
    if whole < 20:
        return small[whole]
    if whole < 100:
        ten, one = divmod(whole, 10)
        return tens[ten] if one == 0 else _("{tens}-{ones}").format(tens=tens[ten], ones=small[one])
    size, name = (100, _("{n} hundred")) if whole < 1000 else (1000, _("{n} thousand"))
    many, rest = divmod(whole, size)
    head = name.format(n=_whole_words(many))
    if rest == 0:
        return head
    if rest < 100:
        return _("{head} and {rest}").format(head=head, rest=_whole_words(rest))
    return f"{head} {_whole_words(rest)}"


def _small_words() -> tuple[str, ...]:
    return (
        *(_("nought"), _("one"), _("two"), _("three"), _("four"), _("five"), _("six"), _("seven")),
        *(_("eight"), _("nine"), _("ten"), _("eleven"), _("twelve"), _("thirteen"), _("fourteen")),
        *(_("fifteen"), _("sixteen"), _("seventeen"), _("eighteen"), _("nineteen")),
    )


def _ten_words() -> tuple[str, ...]:
    return (
        *("", "", _("twenty"), _("thirty"), _("forty"), _("fifty")),
        *(_("sixty"), _("seventy"), _("eighty"), _("ninety")),
    )
