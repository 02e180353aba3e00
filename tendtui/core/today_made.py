"""Today's page, made from what is known: the rack, the log, the walks left open, the slow list."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from datetime import datetime, timedelta

from tendtui.core.band import Band
from tendtui.core.due import TaskDue
from tendtui.core.event import Event, Reading
from tendtui.core.finding_follow import OpenFinding
from tendtui.core.habit import habit_of
from tendtui.core.not_filled import not_filled
from tendtui.core.priority import few_that_matter, group_words, may_do
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.role import held_dose, put_off
from tendtui.core.show import clock, quantity_name, show_band, show_value, when
from tendtui.core.slow_list import SlowList
from tendtui.core.tank import TankNow
from tendtui.core.tier_volume import litres_in_tier
from tendtui.core.today import Item, TierNow, Today
from tendtui.core.today_last import last_round_lines
from tendtui.value import value_class
from tendtui.words import _, n_

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.walk_value import Walk

__all__ = ["ALL", "OpenWalk", "due_now", "last_reading", "make_today", "not_yours", "off_band", "walk_name"]

_ROUND = "daily-round"

ALL = 10_000
"""More lines than there are tasks."""

LATER = 3
"""Lines of what comes later; more aren't read. Common practice, no source."""


@value_class
class OpenWalk:
    """A walk that was left, and the question it stands at where that is known."""

    walk: Walk
    place: str = ""
    until: datetime | None = None
    """For a wait: when it ends."""
    facts: tuple[tuple[str, str], ...] = ()
    """What presses while it is left, by name: how long the plants can stand without flow."""


def make_today(
    *,
    now: datetime,
    by: str,
    role: str,
    rack: Rack,
    events: Sequence[Event],
    tank: TankNow,
    bands: Mapping[Quantity, Band],
    slow: SlowList,
    walks: Iterable[OpenWalk],
    words: tuple[str, ...] = (),
    handed: tuple[Item, ...] = (),
) -> Today:
    """Make the page.

    Args:
        now: The moment.
        by: Who is here; may be empty.
        role: What this person may do: `newcomer`, `shown` or `grower`.
        rack: The rack.
        events: Effective events, in time order.
        tank: What is known of the solution.
        bands: What is wanted.
        slow: Tasks, due moments and open findings.
        walks: Walks under way.
        words: Patterns and forecasts worth a line.
        handed: What was held for this person, or waits for them on return.
    """
    open_walks = tuple(walks)
    under_way = {one.walk.kind for one in open_walks}
    return Today(
        at=now,
        rack=rack.name,
        by=by,
        water_days=None if tank.changed_at is None else (now.date() - tank.changed_at.date()).days,
        stop=tuple(_finding(finding, now) for finding in slow.open if finding.severity == "stop"),
        left_open=(
            *handed,
            *_unfilled(events, under_way),
            *(_left(one, now, slow) for one in open_walks),
            *(() if slow.laid_up else _doubts(tank, under_way)),
            *(_finding(f, now) for f in slow.open if f.severity != "stop" and f.due <= now),
        ),
        due=due_now(
            now=now,
            role=role,
            rack=rack,
            events=events,
            tank=tank,
            bands=bands,
            slow=slow,
            under_way=under_way,
            shown={item.opens for item in handed},
        ),
        later=(*_laid_up(slow, now, under_way), *_later(slow, role, now)),
        last_round=last_round_lines(events, rack, now),
        level_l=None if tank.level is None else tank.level.value,
        full_l=rack.reservoir.full_l,
        least_l=rack.reservoir.least_l,
        tiers=tuple(_tier(rack, n, events, now) for n in range(len(rack.tiers))),
        words=(*words, *filter(None, (not_yours(slow, role),))),
    )


def due_now(
    *,
    now: datetime,
    role: str,
    rack: Rack,
    events: Sequence[Event],
    tank: TankNow,
    bands: Mapping[Quantity, Band],
    slow: SlowList,
    under_way: Set[str] = frozenset(),
    shown: Set[str] = frozenset(),
) -> tuple[Item, ...]:
    """Give what is due now, as today's page lists it and `status` counts it.

    Args:
        now: The moment.
        role: `newcomer`, `shown` or `grower`.
        rack: The rack.
        events: Effective events, in time order.
        tank: What is known of the solution.
        bands: What is wanted.
        slow: Tasks and when they are due.
        under_way: Kinds of walk that were left open.
        shown: What other lines of the page open already.
    """
    held = held_dose(events, rack) is not None
    off = _put_off(events, now, under_way)
    hidden = {*shown, *(item.opens for item in off)}
    corrections = () if slow.laid_up else _correction(tank, bands, rack, now, under_way, held=held)
    return (
        *(item for item in corrections if item.opens not in shown),
        *(item for item in off if item.opens not in shown),
        *(item for item in _tasks(slow, role, under_way) if item.opens not in hidden),
    )


def last_reading(events: Sequence[Event], field: str) -> Reading | None:
    """Give the newest reading that holds a field."""
    return next(
        (e for e in reversed(events) if isinstance(e, Reading) and getattr(e, field) is not None), None
    )


def off_band(tank: TankNow, bands: Mapping[Quantity, Band], rack: Rack) -> tuple[str, ...]:
    """Say which of conductivity and pH lie outside the band and were not acted on since."""
    if tank.unread:
        return ()
    held = {Quantity.CONDUCTIVITY: tank.conductivity, Quantity.PH: tank.ph}
    said = []
    for quantity, value in held.items():
        band = bands.get(quantity)
        if value is None or band is None or band.holds(value.value):
            continue
        side = _("below") if value.value < band.low else _("above")
        sentence = _("{value} is {side} {band}")
        said.append(
            sentence.format(
                value=show_value(value.value, quantity, rack.show),
                side=side,
                band=show_band(band, quantity, rack.show),
            )
        )
    return tuple(said)


def not_yours(slow: SlowList, role: str) -> str:
    """Say how much more is due that somebody in this role may not do alone; an empty text: nothing."""
    shown = {finding.task for finding in slow.open}
    own = {
        task for line in few_that_matter(slow.dues, role=role, most=ALL, without=shown) for task in line.tasks
    }
    every = {task for line in few_that_matter(slow.dues, most=ALL, without=shown) for task in line.tasks}
    many = len(every - own)
    if not many:
        return ""
    said = n_(
        "Listed is what you may do alone; {n} more task is due for somebody who was shown, or the grower.",
        "Listed is what you may do alone; {n} more tasks are due for somebody who was shown, or the grower.",
        many,
    )
    return said.format(n=many)


def walk_name(kind: str, slow: SlowList | None = None) -> str:
    """Name a walk as the pages do."""
    names = {
        "round": _("Round"),
        "dose": _("Dose"),
        "leaving": _("Before you leave"),
        "setup": _("Set-up"),
        "fill": _("First fill"),
        "change": _("Change day"),
        "jar": _("Jar test"),
        "plants": _("Plants"),
        "happened": _("Something happened"),
        "renewed": _("New bottle or meter"),
        "figure": _("A learned figure, by hand"),
        "practice": _("Practice round"),
        "cover": _("Going away"),
        "return": _("Back again"),
        "season-end": _("End of season"),
        "season-start": _("Starting again"),
    }
    if kind.startswith(("setup:", "happened:")):
        return names[kind.partition(":")[0]]
    name = kind.removeprefix("task:")
    task = None if slow is None else slow.task(name.removeprefix("follow-"))
    group = group_words(name)
    if group != name or task is None:
        return names.get(kind, group if group != name else name.replace("-", " "))
    return names.get(kind, task.what)


def _left(one: OpenWalk, now: datetime, slow: SlowList) -> Item:
    begun = _("begun {when} by {by}").format(when=when(one.walk.began, now), by=one.walk.by or _("somebody"))
    because = f"{begun}, {one.place}" if one.place else begun
    if one.until is not None:
        late = _("read again: it was due at {time}") if one.until <= now else _("read again at {time}")
        because = late.format(time=clock(one.until.astimezone(now.tzinfo)))
    because = "; ".join((because, *(f"{name} {text}" for name, text in one.facts)))
    return Item(
        what=walk_name(one.walk.kind, slow),
        because=because,
        opens=f"walk:{one.walk.kind}",
        mark="[!]",
        when=one.until,
    )


def _doubts(tank: TankNow, under_way: set[str]) -> tuple[Item, ...]:
    if not tank.doubted or "dose" in under_way:
        return ()
    named = ", ".join(quantity_name(quantity) for quantity in tank.doubted)
    return (
        Item(
            what=_("Measure again: {what}").format(what=named),
            because=_("the last reading was unusual and not measured twice"),
            opens="walk:dose",
            mark="[!]",
        ),
    )


def _unfilled(events: Sequence[Event], under_way: Set[str]) -> tuple[Item, ...]:
    """Say that the first fill ended before the rack was fit for feed."""
    found = None if "fill" in under_way else not_filled(events)
    if found is None:
        return ()
    said = found.text.removeprefix(_("First fill.")).strip()
    return (Item(what=walk_name("fill"), because=said, opens="walk:fill", mark="[!]", when=found.at),)


def _finding(finding: OpenFinding, now: datetime) -> Item:
    return Item(
        what=finding.said,
        because=_("found {when} by {by}").format(
            when=when(finding.found_at, now), by=finding.by or _("somebody")
        ),
        opens=f"walk:task:{finding.id}",
        mark="[!]",
        when=finding.due,
    )


def _correction(
    tank: TankNow,
    bands: Mapping[Quantity, Band],
    rack: Rack,
    now: datetime,
    under_way: Set[str],
    *,
    held: bool,
) -> tuple[Item, ...]:
    if {"round", "dose", "change", "fill"} & under_way:
        return ()
    opens = "walk:dose"
    if tank.unread:
        named = ", ".join(quantity_name(quantity) for quantity in tank.unread)
        last = max((poured.at for poured in tank.poured_since), default=now)
        because = _("something went in at {when}").format(when=when(last, now))
        return (
            Item(what=_("Read again: {what}").format(what=named), because=because, opens=opens, mark="[!]"),
        )
    read_at = max((held.at for held in (tank.conductivity, tank.ph) if held is not None), default=None)
    if held or read_at is None or now - read_at > timedelta(hours=20):
        return ()
    said = off_band(tank, bands, rack)
    return (Item(what=_("Dose"), because="; ".join(said), opens=opens),) if said else ()


def _put_off(events: Sequence[Event], now: datetime, under_way: Set[str]) -> tuple[Item, ...]:
    """Say who put a change off: it stays until the solution is changed."""
    found = None if {"change", "fill"} & under_way else put_off(events)
    if found is None:
        return ()
    because = _("put off by {who}, {when}").format(who=found.by or _("somebody"), when=when(found.at, now))
    item = Item(what=walk_name("change"), because=because, opens="walk:change", mark="[!]", when=found.at)
    return (item,)


def _tasks(slow: SlowList, role: str, under_way: Set[str]) -> tuple[Item, ...]:
    shown = {finding.task for finding in slow.open} | {_ROUND}
    items = [
        Item(what=line.what, because=line.because, opens=f"walk:{line.opens}", when=line.since)
        for line in few_that_matter(slow.dues, role=role, without=shown)
        if line.opens not in under_way
    ]
    due_round = next((due for due in slow.dues if due.task.id == _ROUND and due.is_due), None)
    if due_round is not None and "round" not in under_way:
        item = Item(
            what=walk_name("round"), because=due_round.because, opens="walk:round", when=due_round.due
        )
        return (item, *items)
    return tuple(items)


def _laid_up(slow: SlowList, now: datetime, under_way: Set[str]) -> tuple[Item, ...]:
    """Offer the way back while the rack is laid up; how long that is, the grower knows."""
    if slow.laid_up is None or "season-start" in under_way:
        return ()
    because = _("the rack is laid up since {day}").format(day=when(slow.laid_up, now))
    return (Item(what=walk_name("season-start"), because=because, opens="walk:season-start"),)


def _later(slow: SlowList, role: str, now: datetime) -> tuple[Item, ...]:
    coming = sorted(
        (due for due in slow.dues if _comes(due, role, now)),
        key=lambda due: (due.due or now, -(due.task.risk or 0.0)),
    )
    return tuple(
        Item(
            what=due.task.what,
            because=due.because,
            opens=f"walk:{due.task.opens.removeprefix('walk:') or 'task:' + due.task.id}",
            when=due.due,
        )
        for due in coming[:LATER]
    )


def _comes(due: TaskDue, role: str, now: datetime) -> bool:
    if due.due is None or due.is_due or due.task.silenced or not may_do(due.task, role):
        return False
    return (
        due.due > now and due.task.kind not in ("daily", "event") and due.task.cadence.trigger != "change-day"
    )


def _tier(rack: Rack, number: int, events: Sequence[Event], now: datetime) -> TierNow:
    tier = rack.tiers[number]
    seen = next((e for e in reversed(events) if isinstance(e, Reading) and tier.name in e.flow_l_min), None)
    usual = habit_of(events, Quantity.FLOW, tier.name, now=now).usual
    flow = None if seen is None else seen.flow_l_min[tier.name]
    odd = flow is not None and usual is not None and not usual.holds(flow)
    return TierNow(
        name=tier.name,
        crops=tier.crops,
        plants=tier.plants,
        litres=litres_in_tier(tier),
        fill=tier.outlet_height_mm / tier.pipe_inside_mm,
        flow_l_min=flow,
        flow_usual_l_min=None if usual is None else (usual.low, usual.high),
        mark="[!]" if odd else "",
    )
