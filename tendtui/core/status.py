"""The state of the rack in one look: what is due, what is wrong, the last readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.band import Band
from tendtui.core.dose_side import dose_side, reads_water
from tendtui.core.event import Event
from tendtui.core.mixing import mixing_since, still_mixing
from tendtui.core.priority import few_that_matter
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.role import held_dose, put_off
from tendtui.core.show import quantity_name, show_value, when
from tendtui.core.slow_list import SlowList
from tendtui.core.tank import Held, TankNow
from tendtui.core.today_made import ALL, due_now, off_band, walk_name
from tendtui.value import value_class
from tendtui.words import _, n_

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.walk_value import Walk

__all__ = ["Due", "Status", "Wrong", "make_status", "status_json", "status_line"]

SCHEMA = 1
FORECAST = ("days_to_least_level", "days_to_conductivity_limit", "days_to_ph_limit", "days_to_change")
"""Keys of the forecast; each has a `…_range` beside it."""

ROUND = "daily-round"

MOST_NAMED = 4
"""Faults named in the one line; the rest are counted. Common practice, no source."""

_EMPTIED = frozenset({"change", "fill", "season-end"})
"""Walks in which the reservoir stands empty and the pump's plug is out: that it does is no fault."""


@value_class
class Due:
    """A task that is due."""

    id: str
    what: str
    since: datetime
    severity: str


@value_class
class Wrong:
    """Something that is not as it should be."""

    what: str
    why: str
    do: str
    severity: str


@value_class
class Status:
    """One look."""

    at: datetime
    rack: str
    due: tuple[Due, ...]
    wrong: tuple[Wrong, ...]
    last: Mapping[str, Held | None]
    """`level_L`, `conductivity_mS_cm`, `ph`, `temperature_C` -> the newest value."""
    forecast: Mapping[str, float | None]
    ranges: Mapping[str, tuple[float, float] | None]
    pressing: tuple[str, ...] = ()
    """What is due now, as today's page lists it."""
    waiting: int = 0
    """How many more tasks are due that can wait."""
    side: str = ""
    """`before the dose` or `after the dose`: where the newest figures stand; empty: there was none."""
    mixing: str = ""
    """Until when what went in mixes; empty: all is mixed."""

    @property
    def needs_doing(self) -> bool:
        """Whether something is due or wrong."""
        return bool(self.due or self.wrong)


def make_status(
    *,
    now: datetime,
    rack: Rack,
    tank: TankNow,
    bands: Mapping[Quantity, Band],
    slow: SlowList,
    walks: Sequence[Walk],
    events: Sequence[Event] = (),
    seen: Sequence[Wrong] = (),
    forecast: Mapping[str, float | None] | None = None,
    ranges: Mapping[str, tuple[float, float] | None] | None = None,
) -> Status:
    """Make the one look.

    Args:
        now: The moment.
        rack: The rack.
        tank: What is known of the solution.
        bands: What is wanted.
        slow: Tasks, due moments and open findings.
        walks: Walks under way.
        events: Effective events, in time order.
        seen: Patterns seen in the readings.
        forecast: Days until …, by the names in `FORECAST`.
        ranges: Their ranges, by the same names.
    """
    mixes = mixing_since(events or tank.pourings, now)  # nothing is wrong with waiting for it
    tasks = {due.task.id: due for due in slow.dues}
    lines = few_that_matter(slow.dues, most=ALL)
    due = tuple(
        Due(
            id=task_id,
            what=tasks[task_id].task.what,
            since=tasks[task_id].due or now,
            severity=tasks[task_id].task.severity,
        )
        for line in lines
        for task_id in line.tasks
    )
    pressing = due_now(
        now=now,
        role="grower",
        rack=rack,
        events=events,
        tank=tank,
        bands=bands,
        slow=slow,
        under_way={walk.kind for walk in walks},
    )
    shown = {item.opens.removeprefix("walk:") for item in pressing}
    return Status(
        at=now,
        rack=rack.name,
        due=due,
        wrong=(
            *_findings(slow, now),
            *(() if slow.laid_up else _held(events, rack, now)),
            *(() if slow.laid_up or _EMPTIED & {walk.kind for walk in walks} else _level(tank, rack)),
            *(() if slow.laid_up else _readings(tank, bands, rack, mixes=mixes is not None)),
            *_walks([walk for walk in walks if mixes is None or walk.kind != "dose"], now, slow),
            *(() if slow.laid_up else seen),
        ),
        last={
            "level_L": tank.level,
            "conductivity_mS_cm": tank.conductivity,
            "ph": tank.ph,
            "temperature_C": tank.temperature,
        },
        forecast=forecast or {},
        ranges=ranges or {},
        pressing=tuple(item.what for item in pressing),
        waiting=sum(1 for line in lines if line.opens not in shown and line.tasks != (ROUND,)),
        side=_side(tank, events),
        mixing="" if mixes is None else still_mixing(mixes, now),
    )


def status_json(status: Status) -> dict[str, object]:
    """Give the table that `status --json` prints; every key is always there."""
    forecast: dict[str, object] = {}
    for name in FORECAST:
        days, pair = status.forecast.get(name), status.ranges.get(name)
        forecast[name] = None if days is None else round(days, 1)
        forecast[f"{name}_range"] = None if pair is None else [round(pair[0], 1), round(pair[1], 1)]
    return {
        "schema": SCHEMA,
        "at": status.at.isoformat(),
        "due": [
            {"id": due.id, "what": due.what, "since": due.since.isoformat(), "severity": due.severity}
            for due in status.due
        ],
        "wrong": [
            {"what": wrong.what, "why": wrong.why, "do": wrong.do, "severity": wrong.severity}
            for wrong in status.wrong
        ],
        "last": {key: None if held is None else round(held.value, 6) for key, held in status.last.items()},
        "forecast": forecast,
    }


def status_line(status: Status, rack: Rack) -> str:
    """Say it in one line, for a login message or cron."""
    parts = [_readings_words(status, rack)]
    if status.mixing:
        parts.append(status.mixing.removesuffix("."))
    if status.wrong:
        told = _listed([_as_named(wrong) for wrong in status.wrong])
        many = len(status.wrong)
        parts.append(
            n_("{n} thing wrong: {what}", "{n} things wrong: {what}", many).format(n=many, what=told)
        )
    if status.pressing:
        told = "; ".join(status.pressing)
        many = len(status.pressing)
        parts.append(n_("{n} due now: {what}", "{n} due now: {what}", many).format(n=many, what=told))
    if status.waiting:
        more = n_("{n} more is due, under all tasks", "{n} more are due, under all tasks", status.waiting)
        parts.append(more.format(n=status.waiting))
    if not status.needs_doing:
        parts.append(_("nothing needs doing"))
    return f"{status.rack}: " + ". ".join(parts) + "."


def _readings_words(status: Status, rack: Rack) -> str:
    quantities = {
        "level_L": Quantity.LEVEL,
        "conductivity_mS_cm": Quantity.CONDUCTIVITY,
        "ph": Quantity.PH,
        "temperature_C": Quantity.TEMPERATURE,
    }
    told = [
        show_value(held.value, quantities[key], rack.show)
        for key, held in status.last.items()
        if held is not None and not held.moved
    ]
    newest = max((held.at for held in status.last.values() if held is not None), default=None)
    if newest is None:
        return _("no readings yet")
    at = ", ".join(filter(None, (when(newest, status.at), status.side)))
    read = _("{when}: {readings}").format(when=at, readings=", ".join(told))
    level = status.last["level_L"]
    if level is None or not level.moved:
        return read
    now = show_value(level.value, Quantity.LEVEL, rack.show)
    return _("{read}; now {level}, worked out").format(read=read, level=now)


def _as_named(wrong: Wrong) -> str:
    """Name a fault of the one line; a stop is called one."""
    return _("STOP: {what}").format(what=wrong.what) if wrong.severity == "stop" else wrong.what


def _listed(names: Sequence[str]) -> str:
    """List the first few, and say how many more there are."""
    more = len(names) - MOST_NAMED
    if more <= 0:
        return "; ".join(names)
    told = "; ".join(names[:MOST_NAMED])
    return n_("{told}; and {n} more", "{told}; and {n} more", more).format(told=told, n=more)


def _side(tank: TankNow, events: Sequence[Event]) -> str:
    newest = next((r for r in reversed(tank.readings) if reads_water(r)), None)
    return "" if newest is None else dose_side(newest, events)


def _held(events: Sequence[Event], rack: Rack, now: datetime) -> tuple[Wrong, ...]:
    """Give what was held for the grower, and a change that was put off."""
    held, off = held_dose(events, rack), put_off(events)
    wrong = []
    if held is not None:
        wrong.append(
            Wrong(
                what=_("held for the grower: {what}").format(what=held.what),
                why=_("by {who}, {when}").format(who=held.by or _("somebody"), when=when(held.at, now)),
                do=_("Open it from today's page."),
                severity="today",
            )
        )
    if off is not None:
        wrong.append(
            Wrong(
                what=_("the change of the solution was put off"),
                why=_("by {who}, {when}").format(who=off.by or _("somebody"), when=when(off.at, now)),
                do=_("Walk change day from today's page."),
                severity="today",
            )
        )
    return tuple(wrong)


def _findings(slow: SlowList, now: datetime) -> tuple[Wrong, ...]:
    return tuple(
        Wrong(
            what=finding.said,
            why=_("found {when} by {by}, not closed").format(
                when=when(finding.found_at, now), by=finding.by or _("somebody")
            ),
            do=_("Say on today's page what was done about it."),
            severity=finding.severity,
        )
        for finding in slow.open
    )


def _level(tank: TankNow, rack: Rack) -> tuple[Wrong, ...]:
    level = tank.level
    if level is None:
        return ()
    least, full = rack.reservoir.least_l, rack.reservoir.full_l
    said = show_value(level.value, Quantity.LEVEL, rack.show)
    if level.value < least:
        return (
            Wrong(
                what=_("{level} in the reservoir, under the least mark").format(level=said),
                why=_("the pump draws air there"),
                do=_("Top up now, then walk the round."),
                severity="stop",
            ),
        )
    if level.value > full * 1.02:
        return (
            Wrong(
                what=_("{level} in the reservoir, over the full mark").format(level=said),
                why=_("when the pump stops, what runs back may not find room"),
                do=_("Add nothing; see the dose."),
                severity="today",
            ),
        )
    return ()


def _readings(tank: TankNow, bands: Mapping[Quantity, Band], rack: Rack, *, mixes: bool) -> tuple[Wrong, ...]:
    wrong = [
        Wrong(what=said, why=_("outside the band"), do=_("See the dose."), severity="today")
        for said in off_band(tank, bands, rack)
    ]
    if tank.doubted:
        named = ", ".join(quantity_name(quantity) for quantity in tank.doubted)
        wrong.append(
            Wrong(
                what=_("the last reading of {what} is in doubt").format(what=named),
                why=_("it was unusual and not measured twice"),
                do=_("Measure it again."),
                severity="today",
            )
        )
    if tank.unread and not mixes:
        named = ", ".join(quantity_name(quantity) for quantity in tank.unread)
        wrong.append(
            Wrong(
                what=_("{what} not read since something went in").format(what=named),
                why=_("nothing can be planned before"),
                do=_("Read again once it has mixed."),
                severity="today",
            )
        )
    return tuple(wrong)


def _walks(walks: Sequence[Walk], now: datetime, slow: SlowList) -> tuple[Wrong, ...]:
    return tuple(
        Wrong(
            what=_("left open: {walk}").format(walk=walk_name(walk.kind, slow)),
            why=_("begun {when} by {by}").format(when=when(walk.began, now), by=walk.by or _("somebody")),
            do=_("Take it up from today's page."),
            severity="today" if walk.kind in ("dose", "change", "round", "leaving") else "week",
        )
        for walk in walks
    )
