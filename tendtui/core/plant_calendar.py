"""The plants' calendar: stage by age, and when to thin, move, harvest and sow again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta

from tendtui.core.due import Asked
from tendtui.core.plants import STAGES, Batch
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Calendar", "calendar_of", "plant_asks", "read_calendars", "stage_of", "stage_of_tier"]

REGROWS = timedelta(days=7)
"""From one cut of leaves to the next. Common practice, no source."""


@value_class
class Calendar:
    """Days from sowing for a group of crops, and the light they want."""

    name: str
    crops: tuple[str, ...]
    thin_days: int
    move_days: int
    harvest_days: tuple[int, int]
    """First harvest, and the end of good ones."""
    pull_days: int
    sow_every_days: int
    flower_days: int | None
    fruit_days: int | None
    dli_mol: tuple[float, float]
    """Daily light integral, low and high. [mol/m²/day]"""
    dli_source: str
    light_hours: tuple[float, float]
    hours_source: str


def read_calendars(table: Mapping[str, object]) -> tuple[Calendar, ...]:
    """Turn the packaged table into calendars; the first stands in for crops that no other names.

    Raises:
        KeyError: If a figure is missing; the packaged file has them all.
    """
    rows = table["calendar"]
    if not isinstance(rows, Sequence):
        raise TypeError("calendar is a list of tables")
    return tuple(_calendar(row) for row in rows)


def calendar_of(crop: str, calendars: Sequence[Calendar]) -> Calendar:
    """Find the calendar of a crop: by its name, else by a known name inside it, else the first."""
    wanted = " ".join(crop.split()).casefold()
    for calendar in calendars:
        if any(wanted == name.casefold() for name in calendar.crops):
            return calendar
    words = set(wanted.replace("(", " ").replace(")", " ").split())
    for calendar in calendars:
        if any(set(name.casefold().split()) <= words for name in calendar.crops):
            return calendar
    return calendars[0]


def stage_of(batch: Batch, calendars: Sequence[Calendar], now: datetime) -> str:
    """Give the stage: as somebody said, else by age; bought plants count as just moved up when they came."""
    if batch.stage:
        return batch.stage
    calendar = calendar_of(batch.crop, calendars)
    days = _age_days(batch, calendar, now)
    if not batch.tier or days < calendar.move_days:
        return "seedling"
    if calendar.fruit_days is not None and days >= calendar.fruit_days:
        return "fruit"
    if calendar.flower_days is not None and days >= calendar.flower_days:
        return "flower"
    return "leaf"


def stage_of_tier(batches: Iterable[Batch], tier: str, calendars: Sequence[Calendar], now: datetime) -> str:
    """Give the stage of most plants of a tier; the younger of two equals; empty where none stand."""
    counts: dict[str, int] = {}
    for batch in batches:
        if batch.tier == tier:
            stage = stage_of(batch, calendars, now)
            counts[stage] = counts.get(stage, 0) + batch.count
    return max(counts, key=lambda stage: (counts[stage], -STAGES.index(stage)), default="")


def plant_asks(
    batches: Sequence[Batch], calendars: Sequence[Calendar], now: datetime
) -> dict[str, tuple[Asked, ...]]:
    """Give task id -> when the plants want it: thin, move up, harvest, sow the next.

    Args:
        batches: What stands.
        calendars: Days by crop.
        now: The moment; whoever is past its end is asked to be pulled with the harvest.
    """
    asks: dict[str, list[Asked]] = {"thin-seedlings": [], "move-up": [], "harvest": [], "sow-next": []}
    for batch in batches:
        calendar = calendar_of(batch.crop, calendars)
        told = {
            "n": batch.count,
            "crop": batch.crop,
            "tier": batch.tier,
            "days": int(_age_days(batch, calendar, now)),
        }
        if not batch.tier and batch.sown is not None:
            thin, move = _day(batch.sown, calendar.thin_days), _day(batch.sown, calendar.move_days)
            asks["thin-seedlings"].append(
                Asked(at=thin, because=_("{crop} sown {days} days ago").format(**told), stands=False)
            )
            words = _("{n} {crop} in the tray, sown {days} days ago").format(**told)
            asks["move-up"].append(Asked(at=move, because=words))
        if batch.tier:
            asks["harvest"].append(_harvest(batch, calendar, told, now))
    asks["sow-next"].extend(_next_sowing(batches, calendars))
    return {task: tuple(moments) for task, moments in asks.items() if moments}


def _harvest(batch: Batch, calendar: Calendar, told: Mapping[str, object], now: datetime) -> Asked:
    born = _born(batch, calendar)
    pull = _day(born, calendar.pull_days)
    if pull <= now:
        words = _("{n} {crop} on {tier} are {days} days old: pull and sow anew").format(**told)
        return Asked(at=pull, because=words)
    opens = _day(born, calendar.harvest_days[0])
    if batch.harvested is not None:
        opens = max(opens, batch.harvested + REGROWS)
    return Asked(at=opens, because=_("{n} {crop} on {tier}, {days} days old").format(**told))


def _next_sowing(batches: Sequence[Batch], calendars: Sequence[Calendar]) -> list[Asked]:
    """Ask for seed early enough that no place stands empty, unless seedlings of it are on their way."""
    coming = {batch.crop.casefold() for batch in batches if not batch.tier}
    asks: list[Asked] = []
    for batch in batches:
        if not batch.tier or batch.crop.casefold() in coming:
            continue
        calendar = calendar_of(batch.crop, calendars)
        when = _day(_born(batch, calendar), calendar.pull_days - calendar.move_days)
        words = _("{crop} on {tier} ends in {weeks} weeks, none is on its way").format(
            crop=batch.crop, tier=batch.tier, weeks=round(calendar.move_days / 7)
        )
        asks.append(Asked(at=when, because=words))
    return asks


def _born(batch: Batch, calendar: Calendar) -> datetime:
    return batch.sown or batch.since - timedelta(days=calendar.move_days)


def _age_days(batch: Batch, calendar: Calendar, now: datetime) -> float:
    return (now - _born(batch, calendar)) / timedelta(days=1)


def _day(since: datetime, days: int) -> datetime:
    return since + timedelta(days=days)


def _calendar(row: Mapping[str, object]) -> Calendar:
    crops = row["crops"]
    return Calendar(
        name=str(row["name"]),
        crops=tuple(str(crop) for crop in crops) if isinstance(crops, Sequence) else (),
        thin_days=_whole(row["thin_days"]),
        move_days=_whole(row["move_days"]),
        harvest_days=(int(_pair(row["harvest_days"])[0]), int(_pair(row["harvest_days"])[1])),
        pull_days=_whole(row["pull_days"]),
        sow_every_days=_whole(row["sow_every_days"]),
        flower_days=_whole(row["flower_days"]) if "flower_days" in row else None,
        fruit_days=_whole(row["fruit_days"]) if "fruit_days" in row else None,
        dli_mol=_pair(row["dli"]),
        dli_source=str(row["dli_source"]),
        light_hours=_pair(row["hours"]),
        hours_source=str(row["hours_source"]),
    )


def _whole(value: object) -> int:
    return int(str(value))


def _pair(value: object) -> tuple[float, float]:
    if not isinstance(value, Sequence) or len(value) != 2:
        raise ValueError(f"{value!r} is no pair of figures")
    return float(value[0]), float(value[1])
