"""What mains, trip switches and help numbers are like where the rack stands; editable, never legal advice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.core.recurrence import Cadence, cadence_words
from tendtui.core.task import Task
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "Region",
    "bounded_by_region",
    "in_words",
    "phone_of",
    "read_regions",
    "region_named",
    "trip_test_months",
]

OURS_MONTHS = 1
"""How often this program asks for the trip switch's button: wet use. [month] Judgement."""


@value_class
class Region:
    """Figures of one region."""

    name: str
    aliases: tuple[str, ...]
    volts: float
    hertz: int
    socket_amps: float
    trip_name: str
    """What people there call the trip switch."""
    trip_level: str
    trip_test_months: int
    """What notices there ask at least. [month]"""
    continuous_share: float
    """Share of a rating that a load of three hours or more may take by rule."""
    margin_share: float
    """Share above which we say amber."""
    rule: str
    wiring: str
    emergency: str
    poison: str


def read_regions(table: Mapping[str, object]) -> tuple[Region, ...]:
    """Turn the packaged table into regions.

    Raises:
        KeyError: If a figure is missing; the packaged file has them all.
    """
    rows = table["region"]
    if not isinstance(rows, Sequence):
        raise TypeError("region is a list of tables")
    return tuple(_region(row) for row in rows)


def region_named(name: str | None, regions: Iterable[Region]) -> Region | None:
    """Find a region by its name or an alias, whatever the case; None where it isn't known."""
    wanted = (name or "").strip().casefold()
    for region in regions:
        if wanted in {region.name.casefold(), *(alias.casefold() for alias in region.aliases)}:
            return region
    return None


def phone_of(rack: Rack, word: str, usual: str) -> str:
    """Give the grower's own number under a name that holds the word, else the usual one of the region."""
    own = next((number for who, number in rack.phones.items() if word in who.casefold()), "")
    return own or usual or _("the number by the door")


def trip_test_months(*, label_months: int | None, region_months: int | None) -> int:
    """Give how often the button is pressed: the shortest of label, region and this program's month.

    Args:
        label_months: What the device's label says; None: nothing. [month]
        region_months: What the region asks; None: not known. [month]
    """
    return min(OURS_MONTHS, *(months for months in (label_months, region_months) if months is not None), 99)


def bounded_by_region(
    tasks: Iterable[Task], region: Region | None, *, file: str = "rack.toml"
) -> tuple[Finding, ...]:
    """Say which of the grower's own cadences is slower than the region asks; it stands all the same."""
    if region is None:
        return ()
    bound = Cadence(text="", months=region.trip_test_months)
    return tuple(
        Finding(
            file=file,
            key=f"task.{task.id}",
            what=_("{what}: {often} is less often than usual in {region}").format(
                what=task.what, often=cadence_words(task.cadence), region=region.name
            ),
            do=_("There it is {usual}; the label of the device counts as well.").format(
                usual=cadence_words(bound)
            ),
            severity="advice",
        )
        for task in tasks
        if task.region_key == "trip_test_months" and task.own and task.cadence.about_days > bound.about_days
    )


def in_words(task: Task, region: Region | None) -> Task:
    """Say the trip switch's local name in a task that is about it."""
    if region is None or not task.region_key:
        return task
    told = _("Where you are it is called {name} ({level}).").format(
        name=region.trip_name, level=region.trip_level
    )
    return replace(task, how=(told, *task.how))


def _region(row: Mapping[str, object]) -> Region:
    texts = {
        key: str(row[key])
        for key in ("name", "trip_name", "trip_level", "rule", "wiring", "emergency", "poison")
    }
    told = {key: _(text) if any(map(str.isalpha, text)) else text for key, text in texts.items()}
    aliases = row["aliases"]
    return Region(
        name=texts["name"],
        aliases=tuple(str(alias) for alias in aliases) if isinstance(aliases, Sequence) else (),
        volts=float(str(row["volts"])),
        hertz=int(str(row["hertz"])),
        socket_amps=float(str(row["socket_amps"])),
        trip_name=told["trip_name"],
        trip_level=told["trip_level"],
        trip_test_months=int(str(row["trip_test_months"])),
        continuous_share=float(str(row["continuous_share"])),
        margin_share=float(str(row["margin_share"])),
        rule=told["rule"],
        wiring=told["wiring"],
        emergency=told["emergency"],
        poison=told["poison"],
    )
