"""A day as people type it: `3 Jul`, `3.7.`, `2026-07-03`, `tomorrow`, `fri`; two readings are asked about."""

from __future__ import annotations

import re
from datetime import date, timedelta

from tendtui.errors import RefusedError
from tendtui.words import _

__all__ = ["read_day"]

_IN_DAYS = re.compile(r"in (\d{1,3}) (?:days?|tagen?)")
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DOTTED = re.compile(r"(\d{1,2})\.\s*(\d{1,2})\.?\s*(\d{4})?")
_SLASHED = re.compile(r"(\d{1,2})/(\d{1,2})(?:/(\d{4}))?")
_DAY_MONTH = re.compile(r"(\d{1,2})\.?\s+([^\W\d_]{3,})\.?\s*(\d{4})?")
_MONTH_DAY = re.compile(r"([^\W\d_]{3,})\.?\s+(\d{1,2}),?\s*(\d{4})?")


def read_day(typed: str, *, today: date) -> date:
    """Read a day; without a year it is the next one to come, today included.

    Args:
        typed: As typed.
        today: Where the person is.

    Raises:
        RefusedError: If it is no day, or could be two.
    """
    text = " ".join(typed.casefold().split())
    near = {
        _("today").casefold(): 0, _("tomorrow").casefold(): 1, "today": 0, "tomorrow": 1,
        _("day after tomorrow").casefold(): 2, "day after tomorrow": 2, "the day after tomorrow": 2,
    }  # fmt: skip
    if text in near:
        return today + timedelta(days=near[text])
    if match := _IN_DAYS.fullmatch(text):
        return today + timedelta(days=int(match[1]))
    weekday = _weekday(text)
    if weekday is not None:
        return today + timedelta(days=(weekday - today.weekday()) % 7)
    if match := _ISO.fullmatch(text):
        return _day(int(match[3]), int(match[2]), int(match[1]), today=today, typed=typed)
    if match := _DOTTED.fullmatch(text):  # with dots the day stands first everywhere
        return _day(int(match[1]), int(match[2]), _year(match[3]), today=today, typed=typed)
    if match := _SLASHED.fullmatch(text):
        return _slashed(int(match[1]), int(match[2]), _year(match[3]), today=today, typed=typed)
    if (match := _DAY_MONTH.fullmatch(text)) and (month := _month(match[2])):
        return _day(int(match[1]), month, _year(match[3]), today=today, typed=typed)
    if (match := _MONTH_DAY.fullmatch(text)) and (month := _month(match[1])):
        return _day(int(match[2]), month, _year(match[3]), today=today, typed=typed)
    raise _no_day(typed)


def _slashed(one: int, other: int, year: int | None, *, today: date, typed: str) -> date:
    if one > 12:
        return _day(one, other, year, today=today, typed=typed)
    if other > 12 or one == other:
        return _day(other, one, year, today=today, typed=typed)
    raise RefusedError(
        _("{typed} can be read as two days").format(typed=typed.strip()),
        _("Type it like 3 Jul or 2026-07-03."),
    )


def _day(day: int, month: int, year: int | None, *, today: date, typed: str) -> date:
    years = (year,) if year is not None else tuple(range(today.year, today.year + 5))
    for each in years:
        try:
            found = date(each, month, day)
        except ValueError:
            continue
        if year is not None or found >= today:
            return found
    raise _no_day(typed)


def _no_day(typed: str) -> RefusedError:
    return RefusedError(
        _("{typed} is not a day").format(typed=typed.strip()[:24] or _("Nothing")),
        _("Type it like 3 Jul, 2026-07-03, tomorrow, or in 6 days."),
    )


def _year(text: str | None) -> int | None:
    return int(text) if text else None


def _month(word: str) -> int | None:
    """Find a month by its first three letters or more, in English or the person's own words."""
    english = (
        "january", "february", "march", "april", "may", "june",
        "july", "august", "september", "october", "november", "december",
    )  # fmt: skip
    own = (
        *(_("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun")),
        *(_("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec")),
    )
    for number, (name, short) in enumerate(zip(english, own, strict=True), start=1):
        if name.startswith(word) or word.startswith(short.casefold().rstrip(".")):
            return number
    return None


def _weekday(word: str) -> int | None:
    english = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    own = (_("Mon"), _("Tue"), _("Wed"), _("Thu"), _("Fri"), _("Sat"), _("Sun"))
    for number, (name, short) in enumerate(zip(english, own, strict=True)):
        if word == short.casefold() or (len(word) >= 3 and name.startswith(word)):
            return number
    return None
