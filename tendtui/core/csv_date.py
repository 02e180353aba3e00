"""Dates in somebody's table: one order for all of them, or none at all."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Literal

from tendtui.errors import RefusedError
from tendtui.words import _

__all__ = ["Order", "needs_order", "order_of", "read_moment"]

Order = Literal["day-first", "month-first", ""]

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_OTHER = re.compile(r"(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4}|\d{2})(?!\d)")
_CLOCK = re.compile(r"(\d{1,2})[:h.](\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?", re.IGNORECASE)


def order_of(cells: Iterable[tuple[int, str]]) -> Order:
    """Say which comes first in dates like 3/7/2026, by those that can be read one way only.

    Args:
        cells: Line of the table, and its date.

    Returns:
        The order; empty where none of them decides.

    Raises:
        RefusedError: If some can only be read one way, and some only the other.
    """
    day_first: tuple[int, str] | None = None
    month_first: tuple[int, str] | None = None
    for line, cell in cells:
        match = _OTHER.match(cell.strip())
        if match is None:
            continue
        if int(match[1]) > 12 or match[2] == ".":  # with points the day stands first everywhere
            day_first = day_first or (line, cell)
        elif int(match[3]) > 12:
            month_first = month_first or (line, cell)
    if day_first and month_first:
        raise RefusedError(
            _("Two orders of dates: {one} in line {line_one}, {other} in line {line_other}").format(
                one=day_first[1].strip(),
                line_one=day_first[0],
                other=month_first[1].strip(),
                line_other=month_first[0],
            ),
            _("Write all dates in one order, best like 2026-07-03, and import again."),
        )
    return "day-first" if day_first else "month-first" if month_first else ""


def read_moment(day: str, clock: str, *, order: Order) -> datetime | None:
    """Read a date and a time of day, without a zone unless one is written; None where there is no date.

    Args:
        day: The date, with or without the time behind it.
        clock: The time where it has a column of its own; empty: noon, unless it stands behind the date.
        order: For dates like 3/7/2026.

    Raises:
        RefusedError: If it is no date or no time.
    """
    text = day.strip()
    if not text:
        return None
    if _ISO.match(text) and len(text) > 10:
        try:
            return datetime.fromisoformat(text.replace("/", "-").replace("Z", "+00:00"))
        except ValueError:
            pass
    match = _ISO.match(text) or _OTHER.match(text)
    if match is None:
        raise RefusedError(_("{text} is not a date").format(text=text[:24]))
    found = _day(match, order)
    rest = clock.strip() or text[match.end() :].strip(" T,")
    return datetime.combine(found, _clock(rest) if rest else time(12))


def needs_order(cells: Iterable[str]) -> bool:
    """Say whether any date depends on the order."""
    return any(_OTHER.match(cell.strip()) for cell in cells)


def _day(match: re.Match[str], order: Order) -> date:
    try:
        if match.re is _ISO:
            return date(int(match[1]), int(match[2]), int(match[3]))
        year = int(match[4]) + (2000 if len(match[4]) == 2 else 0)
        first, second = int(match[1]), int(match[3])
        return date(year, first, second) if order == "month-first" else date(year, second, first)
    except ValueError:
        raise RefusedError(_("{text} is not a date").format(text=match[0])) from None


def _clock(text: str) -> time:
    match = _CLOCK.fullmatch(text)
    if match is None:
        raise RefusedError(_("{text} is not a time").format(text=text[:24]))
    hour = int(match[1])
    if match[4]:
        hour = hour % 12 + (12 if match[4].casefold().startswith("p") else 0)
    try:
        return time(hour, int(match[2]), int(match[3] or 0))
    except ValueError:
        raise RefusedError(_("{text} is not a time").format(text=text[:24])) from None
