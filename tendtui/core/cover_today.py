"""What an absence puts on today's page: the list before leaving, who stands in, the way back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from tendtui.core.bottle_mix import mix_words
from tendtui.core.cover import Cover, before_leaving, cover_on, next_cover
from tendtui.core.rack import Rack
from tendtui.core.role import Act, Role, may
from tendtui.core.sheet_words import SheetWords
from tendtui.core.show import date_words
from tendtui.core.today import Item
from tendtui.words import _

__all__ = ["cover_items", "cover_lines"]

_WEEK = timedelta(days=7)


def cover_items(covers: Sequence[Cover], *, role: Role, now: datetime) -> tuple[Item, ...]:
    """Give the line that starts the way back, once a cover is over."""
    over = [cover for cover in covers if cover.last < now.date()]
    if not over or not may(role, Act.FEED):
        return ()
    cover = over[-1]
    return (
        Item(
            what=_("Back again: the paper sheet, then the round"),
            because=_("{who} stood in until {day}").format(
                who=cover.who or _("somebody"), day=_day(cover.last, now)
            ),
            opens="walk:return",
        ),
    )


def cover_lines(
    covers: Sequence[Cover], words: SheetWords, rack: Rack, *, role: Role, now: datetime
) -> tuple[str, ...]:
    """Say who stands in today, and what is to be done before leaving from the list of these days."""
    today = now.date()
    on = cover_on(covers, today)
    said = []
    if on is not None:
        said.append(
            _("{who} looks after it until {day}. One person a day pours.").format(
                who=on.who or _("Somebody"), day=_day(on.last, now)
            )
        )
    ahead = next_cover(covers, today)
    if ahead is None or ahead is on or not may(role, Act.FEED) or ahead.first - today > _WEEK:
        return tuple(said)
    mixed = mix_words(ahead.mix, rack)
    days = [
        leaving for leaving in before_leaving(ahead, words, today=today, mixed=mixed) if leaving.day >= today
    ]
    if days:
        said.append(
            _("Before you go on {day}: {when}: {what}").format(
                day=_day(ahead.first, now), when=_day(days[0].day, now), what=" ".join(days[0].what)
            )
        )
    return tuple(said)


def _day(day: date, now: datetime) -> str:
    return date_words(datetime.combine(day, time(12), tzinfo=now.tzinfo))
