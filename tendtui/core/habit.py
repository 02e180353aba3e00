"""What is usual for this rack: the last value and how far it moves in a day, from its own log.

Median and median deviation are used, since one mistyped reading must not widen what is usual.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from itertools import pairwise

from tendtui.core.band import Band
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.middle import median
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.value import value_class

__all__ = ["ENOUGH_STEPS", "Habit", "habit_of", "last_reading", "questioned_share", "value_in", "widen_of"]

ENOUGH_STEPS = 5
"""Steps from which a spread is believed. Source: chosen here; the median deviation of fewer is luck."""

_SD_PER_MAD = 1.4826
"""Standard deviation per median absolute deviation: 1 / 0.6745, the upper quartile of the normal law."""

_DAY_S = 86_400.0
_LONGEST_GAP_DAYS = 14.0
_FIELD: Mapping[Quantity, str] = {
    Quantity.LEVEL: "level_l",
    Quantity.CONDUCTIVITY: "conductivity_ms_cm",
    Quantity.PH: "ph",
    Quantity.TEMPERATURE: "temperature_c",
    Quantity.ALKALINITY: "alkalinity_meq_l",
}


@value_class
class Habit:
    """How one quantity has behaved; values in its stored unit."""

    quantity: Quantity
    last: float | None = None
    """Newest value without a doubt, for the level carried through water added and drained since.
    None: none yet, or the solution was changed since."""
    last_at: datetime | None = None
    gap_days: float = 1.0
    """From the last value to now."""
    drift_a_day: float = 0.0
    """Median step of a day."""
    spread_a_day: float | None = None
    """Robust standard deviation of the step of a day; None: too few steps to tell."""
    usual: Band | None = None
    """Median and three robust deviations of the values themselves; None: too few."""
    disturbed: bool = False
    """Whether something was poured, added or drained since the last value."""
    pending: float | None = None
    """A doubtful value newer than the last one, which a second near it would settle."""
    widen: float = 1.0
    """How much wider the household wants its limits."""

    @property
    def expected(self) -> float | None:
        """Where the value should stand now, or None where nothing is known."""
        return None if self.last is None else self.last + self.drift_a_day * self.gap_days


def habit_of(
    events: Iterable[Event],
    quantity: Quantity,
    tier: str | None = None,
    *,
    now: datetime | None = None,
    widen: float = 1.0,
) -> Habit:
    """Learn what is usual from the log.

    Args:
        events: Those that still count, in time order.
        quantity: LEVEL, CONDUCTIVITY, PH, TEMPERATURE, ALKALINITY or FLOW.
        tier: For FLOW, whose outlet.
        now: For the gap since the last value; None: a day.
        widen: Factor on the limits, from rack.toml `[round] widen`.
    """
    log = tuple(events)
    key = _key(quantity, tier)
    read = [(n, e.at, value, key in e.unsure) for n, e, value in _values(log, quantity, tier)]
    sure = [(n, at, value) for n, at, value, doubtful in read if not doubtful]
    pending = read[-1][2] if read and read[-1][3] else None
    steps = [
        step
        for (n, at, value), (m, later, then) in pairwise(sure)
        if (step := _step_a_day(log[n + 1 : m], quantity, value, then, (later - at).total_seconds()))
        is not None
    ]
    usual = _usual([value for _n, _at, value in sure[-20:]])
    if not sure:
        return Habit(quantity=quantity, pending=pending, widen=widen)
    place, last_at, last = sure[-1]
    since = log[place + 1 :]
    changed = any(isinstance(event, Change) for event in since) and quantity is not Quantity.FLOW
    drift, spread = _middle(steps[-60:])
    return Habit(
        quantity=quantity,
        last=None if changed else last + _water(since, quantity),
        last_at=last_at,
        gap_days=1.0 if now is None else _days((now - last_at).total_seconds()),
        drift_a_day=drift,
        spread_a_day=spread,
        usual=usual,
        disturbed=_is_disturbed(since, quantity),
        pending=pending,
        widen=widen,
    )


def value_in(reading: Reading, quantity: Quantity, tier: str | None = None) -> float | None:
    """Give what a reading says of a quantity, in its stored unit, or None."""
    if quantity is Quantity.FLOW:
        return reading.flow_l_min.get(tier or "")
    value: float | None = getattr(reading, _FIELD[quantity])
    return value


def last_reading(
    events: Iterable[Event], quantity: Quantity, tier: str | None = None
) -> tuple[Reading, float] | None:
    """Give the newest reading of a quantity, doubtful ones too, or None."""
    found = None
    for _n, reading, value in _values(tuple(events), quantity, tier):
        found = (reading, value)
    return found


def questioned_share(events: Iterable[Event], *, newest: int = 200) -> float:
    """Give which share of the newest answers was asked about; 0.0 where there are fewer than twenty.

    Over a tenth, the limits are too narrow for this household: it learns to type things twice.
    """
    answers = [
        key in reading.doubt or key in reading.first
        for reading in (e for e in events if isinstance(e, Reading))
        for key in _keys(reading)
    ][-newest:]
    return sum(answers) / len(answers) if len(answers) >= 20 else 0.0


def widen_of(rack: Rack) -> float:
    """Give the household's factor on the limits, `[round] widen` of rack.toml; 1 where it isn't said."""
    table = rack.extra.get("round")
    wider = table.get("widen") if isinstance(table, Mapping) else None
    return float(wider) if isinstance(wider, int | float) and 0.5 <= wider <= 5.0 else 1.0


def _key(quantity: Quantity, tier: str | None) -> str:
    return quantity.value if tier is None else f"{quantity.value}.{tier}"


def _keys(reading: Reading) -> tuple[str, ...]:
    single = tuple(q.value for q, name in _FIELD.items() if getattr(reading, name) is not None)
    return (*single, *(f"flow.{tier}" for tier in reading.flow_l_min))


def _values(
    log: tuple[Event, ...], quantity: Quantity, tier: str | None
) -> Iterable[tuple[int, Reading, float]]:
    for n, event in enumerate(log):
        if isinstance(event, Reading) and (value := value_in(event, quantity, tier)) is not None:
            yield n, event, value


def _step_a_day(
    between: tuple[Event, ...], quantity: Quantity, first: float, second: float, gap_s: float
) -> float | None:
    """Give the step of a day between two readings, or None where it was made by hand."""
    if _is_disturbed(between, quantity) or gap_s <= 0.0 or gap_s > _LONGEST_GAP_DAYS * _DAY_S:
        return None
    return (second - first - _water(between, quantity)) / _days(gap_s)


def _days(seconds: float) -> float:
    """Count days; less than one counts as one: heat moves as far in hours as in days."""
    return min(max(seconds / _DAY_S, 1.0), _LONGEST_GAP_DAYS)


def _is_disturbed(since: tuple[Event, ...], quantity: Quantity) -> bool:
    if quantity is Quantity.FLOW:
        return False
    if quantity is Quantity.LEVEL:  # water added is counted; only a change makes a new start
        return any(isinstance(event, Change) for event in since)
    return any(isinstance(event, Change | Poured) for event in since)


def _water(since: tuple[Event, ...], quantity: Quantity) -> float:
    if quantity is not Quantity.LEVEL:
        return 0.0
    poured = (e for e in since if isinstance(e, Poured) and e.litres is not None)
    return sum(-(e.litres or 0.0) if e.what == "drained" else (e.litres or 0.0) for e in poured)


def _middle(steps: list[float]) -> tuple[float, float | None]:
    if len(steps) < ENOUGH_STEPS:
        return 0.0, None
    middle = median(steps)
    return middle, _SD_PER_MAD * median(abs(step - middle) for step in steps)


def _usual(values: list[float]) -> Band | None:
    middle, spread = _middle(values)
    if spread is None:
        return None
    return Band(low=max(0.0, middle - 3.0 * spread), high=middle + 3.0 * spread, source="log")
