"""Pages to read and to print: drills, cards, the load, the plants and their light, the checklists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.card import cards
from tendtui.core.drill import drills
from tendtui.core.event import Event
from tendtui.core.light import Lamp, lamp_lines, lamps_of, read_stages
from tendtui.core.plant_calendar import Calendar, calendar_of, read_calendars, stage_of, stage_of_tier
from tendtui.core.plants import Batch, standing
from tendtui.core.rack import Rack
from tendtui.core.region import read_regions, region_named
from tendtui.core.safety_load import Sum, load_sums
from tendtui.core.safety_weight import weight_sums
from tendtui.core.slow_list import SlowList
from tendtui.core.task_rows import by_list, list_name, row_words
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["FILES", "PrintedPage", "printed_pages"]

FILES = ("drills", "cards", "regions", "plants")
"""Names of the data files whose tables `printed_pages` takes."""

_VERDICTS = {"green": "    ", "amber": "[!] ", "red": "[!] ", "": "    "}


@value_class
class PrintedPage:
    """A page: its name in a list, and its lines; an empty line parts what belongs together."""

    id: str
    name: str
    about: str
    """A few words beside the name."""
    lines: tuple[str, ...]
    digit: str = ""
    """The digit that opens it from the list of drills; empty: it is none."""
    log: str = ""
    """Under which word it is logged that a drill was needed; empty: it is none."""


def printed_pages(
    data: Mapping[str, Mapping[str, object]],
    rack: Rack,
    events: Sequence[Event],
    slow: SlowList,
    now: datetime,
) -> tuple[PrintedPage, ...]:
    """Make every page for this rack.

    Args:
        data: The packaged tables, by the names in `FILES`.
        rack: The rack.
        events: Effective events, in time order.
        slow: The slow list at this moment.
        now: With offset.
    """
    region = region_named(rack.place.region, read_regions(data["regions"]))
    of_drills = tuple(
        PrintedPage(
            id=drill.id,
            name=drill.name,
            about=_("drill"),
            digit=drill.key,
            log=drill.log,
            lines=drill.lines,
        )
        for drill in drills(data["drills"], rack, region)
    )
    of_cards = tuple(
        PrintedPage(id=card.id, name=card.name, about=_("card"), lines=(*card.lines, "", card.source))
        for card in cards(data["cards"], rack, region)
    )
    loads = _sums((*load_sums(rack, region), *weight_sums(rack)))
    return (
        *of_drills,
        *of_cards,
        PrintedPage(
            id="tasks", name=_("Checklists"), about=_("every task, when it is due"), lines=_tasks(slow, now)
        ),
        PrintedPage(id="load", name=_("Load and weight"), about=_("amps, watts, kilograms"), lines=loads),
        PrintedPage(
            id="plants",
            name=_("Plants and light"),
            about=_("what stands where since when"),
            lines=_plants(data["plants"], rack, events, now),
        ),
    )


def _tasks(slow: SlowList, now: datetime) -> tuple[str, ...]:
    lines: list[str] = [_("[!] open: {what}").format(what=finding.said) for finding in slow.open]
    for kind, dues in by_list(slow.dues):
        lines += ["", list_name(kind)] if lines else [list_name(kind)]
        for due in dues:
            what, when = row_words(due, now)
            lines += [what, f"    {when}"]
    return tuple(lines)


def _sums(sums: Sequence[Sum]) -> tuple[str, ...]:
    lines: list[str] = []
    for one in sums:
        lines += [f"{_VERDICTS[one.verdict]}{one.shown}", f"    {one.words}", f"    ({one.source})", ""]
    lines.append(_("Not legal advice. Local codes and a licensed electrician win."))
    return tuple(lines)


def _plants(
    table: Mapping[str, object], rack: Rack, events: Sequence[Event], now: datetime
) -> tuple[str, ...]:
    calendars, stages = read_calendars(table), read_stages(table)
    batches = standing(events)
    lamps, _findings = lamps_of(rack)
    by_tier = {lamp.tier: lamp for lamp in lamps}
    lines: list[str] = []
    for tier in ("", *(tier.name for tier in rack.tiers)):
        here = [batch for batch in batches if batch.tier == tier]
        if not tier and not here:
            continue
        lines.append((tier or _("Seedling tray")).upper())
        lines += [_batch_line(batch, calendars, now) for batch in here] or [_("nothing by the log")]
        if here or tier in by_tier:
            main = max(here, key=lambda batch: batch.count, default=None)
            calendar = calendars[0] if main is None else calendar_of(main.crop, calendars)
            stage = stage_of_tier(batches, tier, calendars, now)
            lines += lamp_lines(by_tier.get(tier, Lamp(tier=tier)), calendar, stage, stages)
        lines.append("")
    if not lamps:
        lines.append(
            _(
                "To see your own lamps against this, put [[light]] into rack.toml, one for each tier: tier, "
                "hours, ppfd_umol_m2_s (as the maker states), height_cm, blue_percent."
            )
        )
    return tuple(lines)


def _batch_line(batch: Batch, calendars: Sequence[Calendar], now: datetime) -> str:
    names = {"seedling": _("seedling"), "leaf": _("leaf"), "flower": _("flower"), "fruit": _("fruit")}
    stage = names[stage_of(batch, calendars, now)]
    since = _("here {days} days").format(days=(now - batch.since).days)
    told = _("{n} {crop}: {stage}, {since}").format(n=batch.count, crop=batch.crop, stage=stage, since=since)
    if batch.sown is not None:
        told += ", " + _("sown {days} days ago").format(days=(now - batch.sown).days)
    return told
