"""How often a task comes round: from the day it was last done, never from a date on a wall.

Days are calendar days where the person is, so that summer time neither eats nor doubles one, and a
task done in the evening is due on its morning. Months keep the day of the month, or take the last
one where the month is shorter.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from functools import lru_cache

from tendtui.value import value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Trigger = Literal["", "change-day", "crop-change", "first-time", "event"]

__all__ = ["Cadence", "cadence_words", "day_done", "day_due", "read_cadence", "start_of_day"]


_NAMED: dict[str, tuple[int | None, int | None]] = {
    "daily": (1, None),
    "weekly": (7, None),
    "fortnightly": (14, None),
    "monthly": (None, 1),
    "quarterly": (None, 3),
    "half-yearly": (None, 6),
    "yearly": (None, 12),
}
_UNITS: dict[str, tuple[int, int]] = {"day": (1, 0), "week": (7, 0), "month": (0, 1), "year": (0, 12)}
_TRIGGERS: dict[str, Trigger] = {
    "change-day": "change-day",
    "crop-change": "crop-change",
    "first-time": "first-time",
    "event": "event",
    "after-event": "event",
}
_LONGEST_DAYS = 3660
_SAME_ZONE = timedelta(hours=1)


@value_class
class Cadence:
    """A period in days or in months, or what else makes a task due."""

    text: str
    """As written, in its plain form."""
    days: int | None = None
    months: int | None = None
    trigger: Trigger = ""

    @property
    def about_days(self) -> float:
        """Give the length of the period in days, for comparing lateness; 30 where there is none."""
        if self.days is not None:
            return float(self.days)
        return 30.0 * (self.months or 1)

    @property
    def kind(self) -> str:
        """The list it belongs to: daily, weekly, monthly …, or its trigger."""
        if self.trigger:
            return self.trigger
        for name, most in (("daily", 4), ("weekly", 21), ("monthly", 45), ("quarterly", 120)):
            if self.about_days <= most:
                return name
        return "half-yearly" if self.about_days <= 200 else "yearly"


@lru_cache(maxsize=256)
def read_cadence(text: str) -> Cadence:
    """Read `weekly`, `every 3 days`, `2 months`, `change-day`, `event` ….

    Raises:
        ValueError: If it is none of them.
    """
    plain = " ".join(text.split()).lower()
    if plain in _TRIGGERS:
        return Cadence(text=_TRIGGERS[plain], trigger=_TRIGGERS[plain])
    if plain in _NAMED:
        days, months = _NAMED[plain]
        return Cadence(text=plain, days=days, months=months)
    words = plain.removeprefix("every ").split(" ")
    count, unit = words if len(words) == 2 else ("1", words[0])
    unit = unit.removesuffix("s")
    if len(words) > 2 or unit not in _UNITS or not (count.isascii() and count.isdigit()) or int(count) == 0:
        raise ValueError(f"{text!r} is no cadence")
    days_each, months_each = _UNITS[unit]
    n = int(count)
    if n * (days_each or 30 * months_each) > _LONGEST_DAYS:
        raise ValueError(f"{text!r} is longer than ten years")
    plural = unit if n == 1 else f"{unit}s"
    return Cadence(
        text=f"every {plural}" if n == 1 else f"every {n} {plural}",
        days=n * days_each or None,
        months=n * months_each or None,
    )


def cadence_words(cadence: Cadence) -> str:
    """Say it for a person: `every 14 days`, `every month`, `at each change` …."""
    named = {
        "change-day": _("at each change"),
        "crop-change": _("between crops"),
        "first-time": _("once, before the first start"),
        "event": _("when it happened"),
    }
    if cadence.trigger:
        return named[cadence.trigger]
    if cadence.days == 1:
        return _("every day")
    if cadence.days is not None:
        return _("every {n} days").format(n=cadence.days)
    if cadence.months == 1:
        return _("every month")
    if cadence.months == 12:
        return _("every year")
    return _("every {n} months").format(n=cadence.months)


def day_done(done: datetime, now: datetime) -> date:
    """Give the calendar day on which something was done, as whoever asks now would call it.

    Between offsets an hour or less apart (summer time begins or ends) the day on the wall counts
    as it was; else the moment is taken into the zone of `now`.
    """
    then, here = done.utcoffset(), now.utcoffset()
    if then is not None and here is not None and abs(then - here) <= _SAME_ZONE:
        return done.date()
    return done.astimezone(now.tzinfo).date()


def day_due(done: date, cadence: Cadence) -> date | None:
    """Give the day a period after `done`; None where the cadence has no period."""
    if cadence.days is not None:
        return done + timedelta(days=cadence.days)
    if cadence.months is not None:
        return _months_later(done, cadence.months)
    return None


def start_of_day(day: date, now: datetime) -> datetime:
    """Give the day's first moment in the zone of `now`."""
    return datetime.combine(day, time(0), now.tzinfo)


def _months_later(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = date(year + (month + 1) // 12, (month + 1) % 12 + 1, 1) - timedelta(days=1)
    return last.replace(day=min(day.day, last.day))
