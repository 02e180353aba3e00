"""The tank as it is known now: the newest value of each quantity, carried through what was logged since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from tendtui.core.event import Change, Event, Poured, Reading, TaskDone, effective
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.value import field, replace, value_class

__all__ = ["JAR_TASK", "LEVEL_GOOD_FOR", "Held", "Jar", "TankNow", "litres_of", "tank_now"]

LEVEL_GOOD_FOR = timedelta(days=2)
"""A level older than this must be read: the contract's own limit."""

SAME_ROUND = timedelta(minutes=30)
"""A level this much older than the other readings still belongs to them."""

CARRIED_AFTER = timedelta(hours=12)
"""A level older than this is said to be carried, also where nothing was read since."""

SEEN_L = 0.05
"""What moves a level by less is seen on no scale. [L]"""

JAR_GOOD_FOR = timedelta(days=3)
"""After this a tank's water has changed too much for its jar (common practice, no source)."""

JAR_TASK = "jar-test"
"""Id under which the log keeps a jar test; its text is the bottle's name."""

SETTLED_AFTER = timedelta(hours=12)
"""After which an aerated reservoir is taken to stand in balance with the air (common practice, no source)."""

_FIELDS: Mapping[Quantity, str] = {
    Quantity.LEVEL: "level_l",
    Quantity.CONDUCTIVITY: "conductivity_ms_cm",
    Quantity.PH: "ph",
    Quantity.TEMPERATURE: "temperature_c",
    Quantity.ALKALINITY: "alkalinity_meq_l",
}


@value_class
class Held:
    """A value that still counts, and where it comes from."""

    value: float
    at: datetime
    given: bool = False
    """Named in the call, not in the log."""
    doubt: bool = False
    """Unusual, and not measured twice."""
    carried: bool = False
    """Older than other readings, or moved by what was logged since."""
    moved: bool = False
    """Worked out through what went in or out since it was read."""


@value_class
class Jar:
    """What a jar of the tank's water showed."""

    start_ph: float
    end_ph: float
    ml_per_l: float
    """Of the bottle, from start to end. [mL/L]"""


@value_class
class TankNow:
    """What is known of the tank."""

    at: datetime
    level: Held | None = None
    """Litres in the reservoir now, pump running. [L]"""
    conductivity: Held | None = None
    """As read, before anything poured since. [mS/cm]"""
    ph: Held | None = None
    temperature: Held | None = None
    alkalinity: Held | None = None
    """Of the tank, by drop test, where nothing was poured since. [meq/L]"""
    pipes_l: float = 0.0
    """Litres standing in the pipes. [L]"""
    pipes_known: bool = False
    """Whether they were measured, not computed."""
    poured_since: tuple[Poured, ...] = ()
    """Water and bottles that went in after the last conductivity or pH reading."""
    unread: tuple[Quantity, ...] = ()
    """Of conductivity and pH, those read before the last pouring."""
    readings: tuple[Reading, ...] = ()
    """All readings, by time."""
    pourings: tuple[Poured, ...] = ()
    """Everything poured, added or drained, by time."""
    changed_at: datetime | None = None
    """When the solution was last changed."""
    jars: Mapping[str, Jar] = field(default_factory=dict)
    """Bottle -> what a jar test of this water showed."""

    @property
    def level_is_stale(self) -> bool:
        """Whether the level must be read before anything is planned on it."""
        return self.level is not None and self.at - self.level.at > LEVEL_GOOD_FOR

    @property
    def litres(self) -> float | None:
        """Give what is dosed: the reservoir and the pipes. [L]."""
        return None if self.level is None else self.level.value + self.pipes_l

    @property
    def doubted(self) -> tuple[Quantity, ...]:
        """Give the quantities whose newest value is in doubt."""
        held = {
            Quantity.LEVEL: self.level,
            Quantity.CONDUCTIVITY: self.conductivity,
            Quantity.PH: self.ph,
            Quantity.TEMPERATURE: self.temperature,
        }
        return tuple(quantity for quantity, value in held.items() if value is not None and value.doubt)

    def last_poured_at(self) -> datetime | None:
        """Give when something last went in, drained water aside."""
        times = [poured.at for poured in self.pourings if poured.what != "drained"]
        return max(times) if times else None

    def water_since_change_l(self) -> float:
        """Give the litres of source water added since the change. [L]."""
        if self.changed_at is None:
            return 0.0
        return sum(p.litres or 0.0 for p in self.pourings if p.what == "water" and p.at > self.changed_at)


def tank_now(
    events: Iterable[Event], rack: Rack, now: datetime, *, given: Mapping[Quantity, float] | None = None
) -> TankNow:
    """Give the newest value of each quantity, the level carried through what was logged since.

    Args:
        events: The log, in any order, replaced events among them or not.
        rack: The rack.
        now: The moment; later events don't count.
        given: Values of the call; they replace only those they name.
    """
    logged = [event for event in effective(events) if event.at <= now]
    early = {name for event in logged if isinstance(event, Reading) for name in event.unmixed}
    known = [_as_mixed(event) for event in logged] if early else logged
    readings = tuple(event for event in known if isinstance(event, Reading))
    pourings = tuple(event for event in known if isinstance(event, Poured))
    changes = [event for event in known if isinstance(event, Change)]
    held = {quantity: _newest(readings, quantity) for quantity in _FIELDS}
    for quantity, value in (given or {}).items():
        held[quantity] = Held(value=value, at=now, given=True)
    order = {id(event): place for place, event in enumerate(known)}
    others = [h.at for q, h in held.items() if h is not None and q is not Quantity.LEVEL]
    newest = max((*others, now - CARRIED_AFTER))
    level = _carried(held[Quantity.LEVEL], readings, pourings, changes, order, newest=newest)
    unread = tuple(
        quantity
        for quantity in (Quantity.CONDUCTIVITY, Quantity.PH)
        if (held[quantity] is None and quantity.value in early)
        or _is_unread(held[quantity], quantity, readings, pourings, changes, order)
    )
    since = _earliest(held, unread)
    return TankNow(
        at=now,
        level=level,
        conductivity=held[Quantity.CONDUCTIVITY],
        ph=held[Quantity.PH],
        temperature=held[Quantity.TEMPERATURE],
        alkalinity=_if_nothing_since(held[Quantity.ALKALINITY], pourings, changes),
        pipes_l=_pipes_l(rack),
        pipes_known=rack.reservoir.pipes_l is not None,
        poured_since=tuple(
            p for p in pourings if since is not None and p.at >= since and p.what != "drained" and _went_in(p)
        ),
        unread=unread,
        readings=readings,
        pourings=pourings,
        changed_at=max((change.at for change in changes), default=None),
        jars=_jars(known, now=now, changed_at=max((change.at for change in changes), default=None)),
    )


def litres_of(poured: Poured) -> float:
    """Give what an event did to the level: water and bottles add, drained takes. [L]."""
    if poured.what == "drained":
        return -(poured.litres or 0.0)
    return (poured.litres or 0.0) + (poured.ml or 0.0) / 1000.0


def _as_mixed(event: Event) -> Event:
    """Leave out of a reading what was read before it was mixed: nothing is reckoned from a streak."""
    if not isinstance(event, Reading) or not event.unmixed:
        return event
    gone = {_FIELDS[Quantity(name)] for name in event.unmixed}
    return replace(
        event,
        conductivity_ms_cm=None if "conductivity_ms_cm" in gone else event.conductivity_ms_cm,
        ph=None if "ph" in gone else event.ph,
    )


def _jars(known: list[Event], *, now: datetime, changed_at: datetime | None) -> Mapping[str, Jar]:
    since = now - JAR_GOOD_FOR if changed_at is None else max(now - JAR_GOOD_FOR, changed_at)
    jars = {}
    for event in known:
        if isinstance(event, TaskDone) and event.task == JAR_TASK and event.at >= since:
            values = [event.values.get(name) for name in ("start_ph", "end_ph", "told_ml_per_l")]
            if all(value is not None for value in values):
                start, end, ml = (float(value or 0.0) for value in values)
                jars[event.text] = Jar(start_ph=start, end_ph=end, ml_per_l=ml)
    return jars


def _pipes_l(rack: Rack) -> float:
    try:
        return litres_in_pipes(rack)
    except ValueError:
        return 0.0  # a tier that can't be is a finding of `check`; the reservoir alone is still right in kind


def _newest(readings: tuple[Reading, ...], quantity: Quantity) -> Held | None:
    for reading in reversed(readings):
        value: float | None = getattr(reading, _FIELDS[quantity])
        if value is not None:
            return Held(value=value, at=reading.at, doubt=quantity.value in reading.doubt)
    return None


def _read_place(quantity: Quantity, readings: tuple[Reading, ...], order: Mapping[int, int]) -> int:
    for reading in reversed(readings):
        if getattr(reading, _FIELDS[quantity]) is not None:
            return order[id(reading)]
    return -1


def _carried(
    level: Held | None,
    readings: tuple[Reading, ...],
    pourings: tuple[Poured, ...],
    changes: list[Change],
    order: Mapping[int, int],
    *,
    newest: datetime,
) -> Held | None:
    if level is not None and level.given:
        return level
    read_at = -1 if level is None else _read_place(Quantity.LEVEL, readings, order)
    if changes and order[id(changes[-1])] > read_at:
        return _refilled(changes[-1], pourings)
    if level is None:
        return None
    since = sum(litres_of(p) for p in pourings if order[id(p)] > read_at)
    moved = any(order[id(p)] > read_at for p in pourings)
    return replace(
        level,
        value=max(0.0, level.value + since),
        carried=moved or newest - level.at > SAME_ROUND,
        moved=abs(since) >= SEEN_L,
    )


def _refilled(change: Change, pourings: tuple[Poured, ...]) -> Held | None:
    """Give the level after a change: as logged, or what went in since; None where nothing says."""
    later = [p for p in pourings if p.at > change.at or (p.at == change.at and p.what != "drained")]
    if change.litres is not None:
        later = [p for p in later if p.at > change.at]
    elif not any(p.what == "water" for p in later):
        return None
    value = (change.litres or 0.0) + sum(litres_of(p) for p in later)
    return Held(value=max(0.0, value), at=change.at, carried=True)


def _is_unread(
    held: Held | None,
    quantity: Quantity,
    readings: tuple[Reading, ...],
    pourings: tuple[Poured, ...],
    changes: list[Change],
    order: Mapping[int, int],
) -> bool:
    if held is None or held.given:
        return False
    read_at = _read_place(quantity, readings, order)
    if any(order[id(change)] > read_at for change in changes):
        return True
    return any(order[id(p)] > read_at and p.what != "drained" and _went_in(p) for p in pourings)


def _went_in(poured: Poured) -> bool:
    return bool(poured.ml or poured.g or poured.litres)


def _earliest(held: Mapping[Quantity, Held | None], unread: tuple[Quantity, ...]) -> datetime | None:
    times = [value.at for quantity in unread if (value := held[quantity]) is not None]
    return min(times) if times else None


def _if_nothing_since(
    alkalinity: Held | None, pourings: tuple[Poured, ...], changes: list[Change]
) -> Held | None:
    if alkalinity is None or alkalinity.value < 0.0:
        return None
    later = [event for event in (*pourings, *changes) if event.at > alkalinity.at]
    return None if any(not (isinstance(e, Poured) and e.what == "drained") for e in later) else alkalinity
