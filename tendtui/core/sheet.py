"""The stand-in's sheet as values: what somebody needs who keeps this rack for some days.

The words come from `data/sheet.toml`, the litres from this rack. `sheet_markdown` and `sheet_page` draw it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, time

from tendtui.core.band import Band
from tendtui.core.cover import Cover
from tendtui.core.event import Event
from tendtui.core.forecast import DayAhead
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.region import Region
from tendtui.core.sheet_bottles import Bottle, Bottles, bottles_for
from tendtui.core.sheet_words import MeasureWords, SheetWords
from tendtui.core.show import date_words, show_band, show_value
from tendtui.core.tier_volume import drain_back, litres_in_pipes, litres_in_tier
from tendtui.value import replace, value_class
from tendtui.words import _, n_

__all__ = ["TICKS", "Drill", "Sheet", "sheet_for"]

TICKS = 5
"""Columns of the table of days that take a tick only; numbers need more room for a pen."""

_BLANK = "………………"
"""Room to write by hand."""


@value_class
class Drill:
    """What to do when something happens, its litres filled in."""

    title: str
    lines: tuple[str, ...]


@value_class
class Sheet:
    """Everything that stands on it, in the reader's words."""

    rack: Rack
    cover: Cover
    title: str
    dates: str
    first: str
    looks: tuple[tuple[str, str], ...]
    act_title: str
    act: tuple[str, ...]
    never: tuple[str, ...]
    ring: tuple[str, ...]
    phones: tuple[tuple[str, str], ...]
    danger: tuple[str, ...]
    switch: str
    more: tuple[str, ...]
    columns: tuple[str, ...]
    """Heads of the table of days, after the day and its bottle."""
    bottles: tuple[Bottle, ...]
    bottle_note: str
    drills: tuple[Drill, ...]
    advice: str
    missing: tuple[str, ...] = ()
    """What the grower should fill in by hand, each a sentence."""

    def day_words(self, bottle: Bottle) -> str:
        """Give a day as its bottle's label says it, `Tue 25 Nov`."""
        return date_words(datetime.combine(bottle.day, time(12), tzinfo=UTC))

    def bottle_words(self, bottle: Bottle) -> str:
        """Give a day's litres in the grower's unit."""
        return show_value(bottle.litres, Quantity.VOLUME, self.rack.show) if bottle.litres else _("none")


def sheet_for(
    rack: Rack,
    events: Iterable[Event],
    *,
    cover: Cover,
    words: SheetWords,
    now: datetime,
    hot_c: float,
    region: Region | None = None,
    ahead: Iterable[DayAhead] = (),
    drinks_l_day: Mapping[str, float] | None = None,
    bands: Mapping[Quantity, Band] | None = None,
) -> Sheet:
    """Make the sheet.

    Args:
        rack: The rack.
        events: Effective events, in time order: what it drank lately.
        cover: Which days, who, how much they take on.
        words: From `tendtui/data/sheet.toml`.
        now: With offset.
        hot_c: Water as warm as this is acted on the same day. [°C]
        region: For the numbers to ring in danger; None: left to write.
        ahead: The forecast for these days, where the rack's thirst was learned.
        drinks_l_day: Crop -> litres a day of one plant in full leaf, where known. [L/day]
        bands: What is wanted, for a stand-in who reads meters; None: not said.
    """
    bottles = bottles_for(
        rack, events, first=cover.first, days=cover.days, now=now, ahead=ahead, drinks_l_day=drinks_l_day
    )
    facts = {**_facts(rack, region, hot_c=hot_c), **_wanted(rack, bands)}
    noted = tuple(_(line.text).format_map(facts) for line in _measures(words, cover, bands))
    phones, missing = _phones(rack, cover)
    sheet = Sheet(
        rack=rack,
        cover=cover,
        title=_("{rack}: for whoever looks after it").format(rack=rack.name),
        dates=_dates(cover, now),
        first=_(words.first),
        looks=tuple((_(what), _(good).format_map(facts)) for what, good in words.looks),
        act_title=_(words.act_title),
        act=_act(words, mixed=bool(cover.mix)) if bottles.whole_l else (_(words.act_none),),
        never=tuple(_(line) for line in words.never),
        ring=tuple(_(line).format_map(facts) for line in words.ring),
        phones=phones,
        danger=tuple(_(line).format_map(facts) for line in words.danger),
        switch=_("The switch for all of it is here: {blank}").format(blank=_BLANK * 2),
        more=(_(words.normal), _(words.welcome), _(words.photo)),
        columns=_columns(cover),
        bottles=bottles.days,
        bottle_note=_bottle_note(bottles, rack, mixed=bool(cover.mix)),
        drills=(
            *((Drill(title=_("The day's numbers"), lines=noted),) if noted else ()),
            *(
                Drill(title=_(drill.title), lines=tuple(_(line).format_map(facts) for line in drill.lines))
                for drill in words.drills
            ),
        ),
        advice=_(words.advice),
    )
    if bottles.origin == "plants":
        missing = (*missing, _("There are no levels in the diary yet: measure a day's litres before you go."))
    return replace(sheet, missing=missing)


def _facts(rack: Rack, region: Region | None, *, hot_c: float) -> Mapping[str, str]:
    def litres(value: float) -> str:
        return show_value(round(value, 1 if value < 10.0 else 0), Quantity.VOLUME, rack.show)

    try:
        rise, pipes = litres(drain_back(rack).estimate_l), litres(litres_in_pipes(rack))
        tiers = ", ".join(f"{tier.name} {litres(litres_in_tier(tier))}" for tier in rack.tiers)
    except ValueError:  # a tier's measures can't be; the check says so, the sheet leaves room
        rise = pipes = tiers = _BLANK
    return {
        "full": litres(rack.reservoir.full_l),
        "least": litres(rack.reservoir.least_l),
        "hot": show_value(hot_c, Quantity.TEMPERATURE, rack.show),
        "rise": rise,
        "pipes": pipes,
        "tiers": tiers or _BLANK,
        "emergency": (region.emergency if region else "")
        or _("your emergency number ({blank})").format(blank=_BLANK),
        "poison": (region.poison if region else "") or _("poison help ({blank})").format(blank=_BLANK),
    }


_DEPTHS = {"looks": 0, "levels": 1, "readings": 2}


def _measures(
    words: SheetWords, cover: Cover, bands: Mapping[Quantity, Band] | None
) -> tuple[MeasureWords, ...]:
    """Give what is said to somebody who writes down as much as this cover asks."""
    depth = _DEPTHS[cover.depth]
    known = bands is not None and {Quantity.CONDUCTIVITY, Quantity.PH} <= set(bands)
    lines = (line for line in words.measures if _DEPTHS[line.depth] <= depth)
    return tuple(line for line in lines if known or not line.ring)


def _wanted(rack: Rack, bands: Mapping[Quantity, Band] | None) -> Mapping[str, str]:
    named = {"wanted_ms_cm": Quantity.CONDUCTIVITY, "wanted_ph": Quantity.PH}
    held = bands or {}
    return {name: show_band(held[q], q, rack.show) for name, q in named.items() if q in held}


def _phones(rack: Rack, cover: Cover) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Give the numbers to ring, two lines at least, and what is missing of them.

    The stand-in's own number is for the grower, so it does not stand among them.
    """
    numbers = [(who, number) for who, number in rack.phones.items() if who != cover.who and number.strip()]
    missing = []
    if not numbers:
        missing.append(
            _(
                "No number to ring is known: write two on the sheet, or add them to rack.toml "
                "under [people.phones]."
            )
        )
    elif len(numbers) == 1:
        missing.append(
            _(
                "Only one number to ring is known: write a second one on the sheet, of somebody "
                "who knows plants."
            )
        )
    if cover.who and not cover.phone:
        missing.append(_("{who} has no number with you: ask for it.").format(who=cover.who))
    wanted = (cover.grower or _("the grower"), _("somebody who knows plants"))
    blanks = [(who, _BLANK) for who in wanted[len(numbers) :]]
    return (*numbers, *blanks), tuple(missing)


def _dates(cover: Cover, now: datetime) -> str:
    days = n_("{n} day", "{n} days", cover.days).format(n=cover.days)
    span = _("{first} to {last}, {days}").format(
        first=_calendar_day(cover.first, now), last=_calendar_day(cover.last, now), days=days
    )
    return _("{who}, {span}").format(who=cover.who, span=span) if cover.who else span


def _calendar_day(day: date, now: datetime) -> str:
    """Give the day as on a calendar, never `today`: the sheet is read on other days."""
    words = date_words(datetime.combine(day, time(12), tzinfo=now.tzinfo))
    return words if day.year == now.year else f"{words} {day.year}"


def _columns(cover: Cover) -> tuple[str, ...]:
    numbers = (_("litres at the mark"), _("warmth"), _("conductivity"), _("pH"))
    noted = {"looks": 0, "levels": 2, "readings": 4}[cover.depth]
    ticks = (_("floor"), _("sound"), _("water"), _("level"), _("poured"))
    return (*ticks, *numbers[:noted], _("name, time"))


def _act(words: SheetWords, *, mixed: bool) -> tuple[str, ...]:
    first, *rest = (_(line) for line in words.act)
    return (f"{first} {_(words.act_mixed)}" if mixed else first, *rest)


def _bottle_note(bottles: Bottles, rack: Rack, *, mixed: bool) -> str:
    whole = show_value(bottles.whole_l, Quantity.VOLUME, rack.show)
    match bottles.origin:
        case "forecast":
            how = _("worked out from this rack's own thirst, and a third more")
        case "spans":
            how = _("what it drank in the last two weeks, and a third more")
        case _:
            how = _("a guess from the number of plants; this rack has no forecast yet")
    what = _("Feed, mixed ready to pour") if mixed else _("Plain water")
    return _(
        "{what}, {whole} in all: {how}. No more than 5 litres in one carry: "
        "a larger day stands in two bottles."
    ).format(what=what, whole=whole, how=how)
