"""Cover while the grower is away: from when till when, who stands in, and how much they take on.

One person a day: two who water unseen is the classic failure, so two covers never share a day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Literal

from tendtui.core.sheet_words import SheetWords
from tendtui.value import field, value_class
from tendtui.words import _

__all__ = [
    "LONGEST_DAYS",
    "Cover",
    "Leaving",
    "away_of",
    "before_leaving",
    "cover_on",
    "covers_of",
    "next_cover",
]

Depth = Literal["looks", "levels", "readings"]

LONGEST_DAYS = 28
"""On one sheet of two pages; longer absences take two sheets."""


@value_class
class Cover:
    """One absence."""

    first: date
    """The first day that the stand-in looks after the rack."""
    last: date
    who: str
    phone: str = ""
    depth: Depth = "looks"
    """`looks`: four looks and the bottle; `levels`: level and temperature noted too; `readings`: all four."""
    grower: str = ""
    """Who is away."""
    mix: Mapping[str, float] = field(default_factory=dict)
    """What the grower mixed into a litre of the day's bottles: bottle -> mL, of a dry feed g.

    Empty: plain water.
    """

    @property
    def days(self) -> int:
        """Give how many days it lasts, the first and the last included."""
        return (self.last - self.first).days + 1


@value_class
class Leaving:
    """What to do on one day before leaving."""

    day: date
    late: bool
    """Whether that day has passed: then it is to be done now."""
    what: tuple[str, ...]


def covers_of(away: Mapping[str, object]) -> tuple[Cover, ...]:
    """Read the covers kept in the state; what can't be one is left out."""
    rows = away.get("cover")
    read = (_cover(row) for row in rows if isinstance(row, Mapping)) if isinstance(rows, Sequence) else ()
    return tuple(sorted((cover for cover in read if cover is not None), key=lambda cover: cover.first))


def away_of(covers: Sequence[Cover]) -> dict[str, object]:
    """Give the covers as the state keeps them."""
    rows = [
        {
            "first": cover.first,
            "last": cover.last,
            "who": cover.who,
            "depth": cover.depth,
            **({"phone": cover.phone} if cover.phone else {}),
            **({"grower": cover.grower} if cover.grower else {}),
            **({"mix": dict(cover.mix)} if cover.mix else {}),
        }
        for cover in sorted(covers, key=lambda cover: cover.first)
    ]
    return {"cover": rows} if rows else {}


def cover_on(covers: Sequence[Cover], day: date) -> Cover | None:
    """Give the cover of a day, if the grower is away on it."""
    return next((cover for cover in covers if cover.first <= day <= cover.last), None)


def next_cover(covers: Sequence[Cover], day: date) -> Cover | None:
    """Give the cover under way on a day, or the next one after it."""
    return next((cover for cover in sorted(covers, key=lambda c: c.first) if cover.last >= day), None)


def before_leaving(cover: Cover, words: SheetWords, *, today: date, mixed: str = "") -> tuple[Leaving, ...]:
    """Give what the grower does before leaving, day by day.

    Args:
        cover: The absence.
        words: From `tendtui/data/sheet.toml`.
        today: What should have been done before it is marked late.
        mixed: How the bottles are mixed, said where they are filled; empty: plain water.
    """
    days = sorted({row.days for row in words.before}, reverse=True)
    return tuple(
        Leaving(
            day=(day := cover.first - timedelta(days=before)),
            late=day < today,
            what=tuple(
                f"{_(row.what)} {mixed}" if mixed and row.bottles else _(row.what)
                for row in words.before
                if row.days == before
            ),
        )
        for before in days
    )


def _cover(row: Mapping[str, object]) -> Cover | None:
    first, last, who = row.get("first"), row.get("last"), row.get("who")
    if not (isinstance(first, date) and isinstance(last, date) and isinstance(who, str)) or last < first:
        return None
    return Cover(
        first=first,
        last=last,
        who=who,
        phone=str(row.get("phone", "")),
        depth=_depth(row.get("depth")),
        grower=str(row.get("grower", "")),
        mix=_mix(row.get("mix")),
    )


def _mix(table: object) -> dict[str, float]:
    rows = table.items() if isinstance(table, Mapping) else ()
    return {
        str(name): float(amount) for name, amount in rows if isinstance(amount, int | float) and amount > 0
    }


def _depth(word: object) -> Depth:
    match word:
        case "levels":
            return "levels"
        case "readings":
            return "readings"
        case _:
            return "looks"
