"""A number just read, judged beside its band and this rack's own past.

Three answers: usual (taken; outside the band is usual too), unusual (measure it a second time; why is
said), and what can't be (refused). The same functions serve the round, the dose and `record`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from math import sqrt

from tendtui.core.band import Band
from tendtui.core.habit import Habit
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Reservoir, Show
from tendtui.core.show import quantity_name, show_band, show_number, show_value
from tendtui.core.units import UNITS, shown_unit
from tendtui.core.walk_value import Judgement
from tendtui.value import replace
from tendtui.words import _

__all__ = ["beyond_belief", "cannot_be", "judge", "near", "suspicion"]

_FAR = 4.0
"""Robust deviations of the daily step that nobody questions. Source: chosen here; one in about sixteen
thousand normal steps lies beyond, so that what is asked about has a cause."""

_FLOOR: Mapping[Quantity, tuple[float, float]] = {
    Quantity.LEVEL: (1.0, 0.10),
    Quantity.CONDUCTIVITY: (0.25, 0.20),
    Quantity.PH: (0.5, 0.0),
    Quantity.TEMPERATURE: (4.0, 0.0),
    Quantity.FLOW: (0.2, 0.25),
    Quantity.ALKALINITY: (0.5, 0.20),
}
"""Moves that are never questioned: (in the stored unit, as share of the last value), the larger counts.
Common practice, no source; hand meters repeat within a tenth of this, a jug and seconds within a tenth."""

_UNKNOWN: Mapping[Quantity, tuple[float, float]] = {
    Quantity.LEVEL: (5.0, 0.45),
    Quantity.CONDUCTIVITY: (0.5, 0.30),
    Quantity.PH: (1.0, 0.0),
    Quantity.TEMPERATURE: (6.0, 0.0),
    Quantity.FLOW: (0.5, 0.50),
    Quantity.ALKALINITY: (1.5, 0.50),
}
"""The same while the log is too short to know this rack's habit. Common practice, no source."""

_BY_HAND: Mapping[Quantity, float] = {
    Quantity.CONDUCTIVITY: 1.0,
    Quantity.PH: 1.5,
    Quantity.TEMPERATURE: 3.0,
    Quantity.ALKALINITY: 2.0,
}
"""How much further it may have moved where something was poured since. Common practice, no source."""

_PLAUSIBLE: Mapping[Quantity, tuple[float, float]] = {
    Quantity.CONDUCTIVITY: (0.05, 6.0),
    Quantity.PH: (3.5, 9.5),
    Quantity.TEMPERATURE: (4.0, 40.0),
    Quantity.FLOW: (0.0, 30.0),
    Quantity.ALKALINITY: (0.0, 8.0),
}
"""Beyond these a solution with living plants in it is not believed at first sight.
Conductivity: twice the highest band of the crop table, and below any tap water; pH: roots burn below 3.5
(makers' guides) and no feed stays above 9.5; the others common practice, no source."""

_STANDS_ABOVE_FULL = 1.25
"""Share of the full mark above which a level is not believed, and of which twice can't be, where the brim
isn't known. Common practice, no source."""

_STANDS_LOW = 0.05
"""Share of the full mark below which a pump has long drawn air. Common practice, no source."""

_TEN_LOW, _TEN_HIGH = 7.0, 14.0
"""A slip of the point makes ten times; the value itself moves a little meanwhile. Source: chosen here."""

_SLIGHT = 0.5
"""Share of a move never questioned from which the same digits in another order are no chance any more.
Source: chosen here; 1.42 typed as 1.24 lies beyond it, 21.0 after 20.1 does not."""

_SLACK = 1e-9


def judge(
    value: float,
    *,
    quantity: Quantity,
    band: Band | None,
    habit: Habit,
    show: Show,
    meter: Meter,
    reservoir: Reservoir | None = None,
    jug_l: float | None = None,
) -> Judgement:
    """Judge a number that can be.

    Args:
        value: In the stored unit.
        quantity: What was read.
        band: What is wanted; None: nothing is.
        habit: What is usual here.
        show: The person's units, for the sentences.
        meter: Its steps; a coarse meter jumps by them.
        reservoir: For LEVEL: its marks.
        jug_l: For FLOW: the vessel whose seconds were timed. [L]
    """
    why = suspicion(
        value,
        quantity=quantity,
        band=band,
        habit=habit,
        show=show,
        meter=meter,
        reservoir=reservoir,
        jug_l=jug_l,
    )
    if why:
        again = _("Measure it again and type what you read now. Both are kept.")
        return Judgement(again=f"{why} {again}", look=True)
    if band is None or band.holds(value):
        return Judgement()
    side = _("below") if value < band.low else _("above")
    said = _("{value} is {side} the band, {band}.")
    return Judgement(
        notice=said.format(
            value=show_value(value, quantity, show), side=side, band=show_band(band, quantity, show)
        )
    )


def suspicion(
    value: float,
    *,
    quantity: Quantity,
    band: Band | None,
    habit: Habit,
    show: Show,
    meter: Meter,
    reservoir: Reservoir | None = None,
    jug_l: float | None = None,
) -> str:
    """Say why a number is unusual, in a sentence or two; an empty text where it is usual.

    A value near a doubtful one just before it is usual: it was measured twice.
    """
    if quantity not in _FLOOR:
        return ""
    if habit.pending is not None and near(habit.pending, value, quantity=quantity, meter=meter):
        return ""
    if quantity is Quantity.LEVEL and reservoir is not None and habit.last is not None:
        # plants drank between top-ups that no sure level lies between: more than full can't stand there
        habit = replace(habit, last=min(habit.last, max(reservoir.full_l, reservoir.brim_l or 0.0)))
    moved = _moved(value, habit)
    far = moved > _limit(quantity, habit, meter, reservoir) + _SLACK
    absurd = not _plausible(quantity, reservoir).holds(value)
    if not far and not absurd:
        meant = habit.disturbed and band is not None and band.holds(value)  # fed into its band
        slip = "" if meant else _ten_times(value, quantity, habit, None, show)
        return slip or _swapped(value, quantity, habit, show, meter, reservoir)
    in_jug = _in_jug(value, habit, show, jug_l) if quantity is Quantity.FLOW else ""
    return (
        in_jug
        or _ten_times(value, quantity, habit, band, show)
        or _other_unit(value, quantity, habit, band, show, reservoir)
        or _swapped(value, quantity, habit, show, meter, reservoir)
        or (_far(value, quantity, habit, show) if far else _absurd(value, quantity, show, reservoir))
    )


def beyond_belief(value: float, *, quantity: Quantity, reservoir: Reservoir, show: Show) -> str:
    """Say why a number is hardly ever so, whatever was read before; an empty text: it may be."""
    if _plausible(quantity, reservoir).holds(value):
        return ""
    return _absurd(value, quantity, show, reservoir)


def cannot_be(value: float, *, quantity: Quantity, reservoir: Reservoir, show: Show) -> str:
    """Say why a level or an amount of water can't be, or give an empty text.

    What no meter can show is refused where it is typed (`tendtui.core.entry.LIMITS`).
    """
    if quantity is not Quantity.LEVEL:
        return ""
    most = reservoir.brim_l or 2.0 * _STANDS_ABOVE_FULL * reservoir.full_l
    if value <= most + _SLACK:
        return ""
    return _("{value} can't be: the full mark is at {full}. Look at the mark again.").format(
        value=show_value(value, quantity, show), full=show_value(reservoir.full_l, quantity, show)
    )


def near(first: float, second: float, *, quantity: Quantity, meter: Meter) -> bool:
    """Say whether a second reading confirms the first.

    Two steps of the meter, or what a hand can repeat: 3 % of a strength or a level, 0.2 of pH, a degree,
    15 % of a timed flow. Common practice, no source.
    """
    step, share = {
        Quantity.LEVEL: (1.0, 0.03),
        Quantity.CONDUCTIVITY: (2.0 * meter.conductivity_step_ms_cm, 0.03),
        Quantity.PH: (max(0.2, meter.ph_step), 0.0),
        Quantity.TEMPERATURE: (1.0, 0.0),
        Quantity.FLOW: (0.1, 0.15),
    }.get(quantity, (0.0, 0.05))
    return abs(first - second) <= max(step, share * max(abs(first), abs(second))) + _SLACK


def _moved(value: float, habit: Habit) -> float:
    """How far it lies from where it was left and from where it drifts to: the smaller of the two."""
    if habit.last is None or habit.expected is None:
        return 0.0
    return min(abs(value - habit.last), abs(value - habit.expected))


def _limit(quantity: Quantity, habit: Habit, meter: Meter, reservoir: Reservoir | None) -> float:
    """How far it may have moved: this rack's habit, between what is never and what is always asked."""
    step = {Quantity.PH: meter.ph_step, Quantity.CONDUCTIVITY: meter.conductivity_step_ms_cm}.get(
        quantity, 0.0
    )
    most = _share(_UNKNOWN[quantity], quantity, habit, reservoir) * sqrt(habit.gap_days)
    if habit.spread_a_day is None:
        limit = most
    else:
        own = min(_FAR * habit.spread_a_day * habit.gap_days, most)
        limit = max(_share(_FLOOR[quantity], quantity, habit, reservoir), own)
    by_hand = _BY_HAND.get(quantity, 0.0) if habit.disturbed else 0.0
    return max(limit, 2.0 * step) * habit.widen + by_hand


def _share(
    least_and_share: tuple[float, float], quantity: Quantity, habit: Habit, reservoir: Reservoir | None
) -> float:
    least, share = least_and_share
    whole = (
        reservoir.full_l if quantity is Quantity.LEVEL and reservoir is not None else abs(habit.last or 0.0)
    )
    return max(least, share * whole)


def _plausible(quantity: Quantity, reservoir: Reservoir | None) -> Band:
    if quantity is not Quantity.LEVEL:
        low, high = _PLAUSIBLE[quantity]
        return Band(low=low, high=high)
    if reservoir is None:
        return Band(low=0.0, high=float("inf"))
    high = max(reservoir.brim_l or 0.0, _STANDS_ABOVE_FULL * reservoir.full_l)
    return Band(low=_STANDS_LOW * reservoir.full_l, high=high)


def _ten_times(value: float, quantity: Quantity, habit: Habit, band: Band | None, show: Show) -> str:
    if quantity is Quantity.PH:
        return ""
    point = _("Is the point where you want it?")
    digits = show_value(value, quantity, show)
    if habit.last is not None and habit.last > 0.0 and value > 0.0:
        ratio = value / habit.last
        before = show_number(habit.last, quantity, show)
        if _TEN_LOW <= ratio <= _TEN_HIGH:
            return _("{value} is ten times last time ({before}). {point}").format(
                value=digits, before=before, point=point
            )
        if _TEN_LOW <= 1.0 / ratio <= _TEN_HIGH:
            return _("{value} is a tenth of last time ({before}). {point}").format(
                value=digits, before=before, point=point
            )
        return ""
    if band is None:
        return ""
    if band.holds(value / 10.0) or band.holds(value * 10.0):
        return _("{value} would fit the band with its point moved by one. {point}").format(
            value=digits, point=point
        )
    return ""


def _in_jug(value: float, habit: Habit, show: Show, jug_l: float | None) -> str:
    """Say what the seconds of a jug mean, where they are far too few: no meter showed another unit."""
    if jug_l is None or value < _TEN_LOW * (habit.last or _PLAUSIBLE[Quantity.FLOW][1] / _TEN_LOW):
        return ""
    seconds = show_value(60.0 * jug_l / value, Quantity.SECONDS, show)
    return _("The jug full in {seconds} would be {flow}: type the seconds until the jug is full.").format(
        seconds=seconds, flow=show_value(value, Quantity.FLOW, show)
    )


def _other_unit(
    value: float,
    quantity: Quantity,
    habit: Habit,
    band: Band | None,
    show: Show,
    reservoir: Reservoir | None,
) -> str:
    """Find the unit in which the bare number would be a usual one."""
    if quantity is Quantity.FLOW and habit.last is None:
        return ""  # any flow fits some unit, so without a past nothing can be told
    meant = shown_unit(quantity, show) or UNITS[quantity][0]
    typed = meant.shown(value)
    aim = habit.last if habit.last is not None else None if band is None else (band.low + band.high) / 2.0
    fits = [
        (abs(there - aim) if aim is not None else 0.0, unit.name, there)
        for unit in UNITS[quantity]
        if unit is not meant
        and _is_usual(there := unit.stored(typed), quantity, habit, band, reservoir)
        and (quantity is not Quantity.LEVEL or reservoir is None or there >= reservoir.least_l)
    ]
    if not fits:
        return ""
    _distance, name, there = min(fits, key=lambda fit: fit[0])
    said = _("{typed} would fit {unit}: that is {value}. Look at the unit that the meter shows.")
    return said.format(typed=f"{typed:.6g}", unit=name, value=show_value(there, quantity, show))


def _is_usual(
    value: float, quantity: Quantity, habit: Habit, band: Band | None, reservoir: Reservoir | None
) -> bool:
    if habit.last is not None:
        least, share = _FLOOR[quantity]
        return abs(value - habit.last) <= 2.0 * max(least, share * abs(habit.last))
    if band is not None:
        return band.low * 0.5 <= value <= band.high * 1.5
    return _plausible(quantity, reservoir).holds(value) and value > 0.0


def _swapped(
    value: float, quantity: Quantity, habit: Habit, show: Show, meter: Meter, reservoir: Reservoir | None
) -> str:
    if habit.last is None or habit.disturbed:
        return ""
    unknown = Habit(quantity=quantity, last=habit.last, spread_a_day=0.0, widen=habit.widen)
    slight = _SLIGHT * _limit(quantity, unknown, meter, reservoir)
    usual = 3.0 * (habit.spread_a_day or 0.0) * habit.gap_days
    if _moved(value, habit) <= max(slight, usual):
        return ""
    now, before = show_number(value, quantity, show), show_number(habit.last, quantity, show)
    if now == before or Counter(now) != Counter(before) or len(set(now) - set(".")) < 2:
        return ""
    return _("{now} has the same digits as last time ({before}) in another order.").format(
        now=now, before=before
    )


def _far(value: float, quantity: Quantity, habit: Habit, show: Show) -> str:
    said = _("{value} is far from last time ({before}), further than {name} moves here.")
    return said.format(
        value=show_value(value, quantity, show),
        before=show_number(habit.last or 0.0, quantity, show),
        name=quantity_name(quantity),
    )


def _absurd(value: float, quantity: Quantity, show: Show, reservoir: Reservoir | None) -> str:
    high = value > _plausible(quantity, reservoir).high
    if quantity is Quantity.LEVEL and reservoir is not None and high:
        return _("{value} is well above the full mark ({full}).").format(
            value=show_value(value, quantity, show), full=show_number(reservoir.full_l, quantity, show)
        )
    if quantity is Quantity.FLOW:
        return _("{value} is more than the pump of such a rack moves.").format(
            value=show_value(value, quantity, show)
        )
    said = _("{value} is higher than living plants stand.") if high else _("{value} is hardly ever so low.")
    return said.format(value=show_value(value, quantity, show))
