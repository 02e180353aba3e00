"""The last round in a few lines: who and when, what was read, what was poured, what was read after it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from tendtui.core.dose_side import is_leaving, reads_water
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import clock, show_amount, show_value, when
from tendtui.words import _, n_

__all__ = ["last_round_lines", "poured_words"]

_WATER = (
    (Quantity.LEVEL, "level_l"),
    (Quantity.CONDUCTIVITY, "conductivity_ms_cm"),
    (Quantity.PH, "ph"),
    (Quantity.TEMPERATURE, "temperature_c"),
)


def last_round_lines(events: Sequence[Event], rack: Rack, now: datetime) -> tuple[str, ...]:
    """Give the lines; the round's time is that of its first reading.

    Args:
        events: Effective events, in time order.
        rack: For the units.
        now: The moment.
    """
    last = _last(events)
    if last is None:
        return ()
    later = [e for e in events if (e.at, e.seq) > (last.at, last.seq)]
    poured = [e for e in later if isinstance(e, Poured) and (e.ml or e.g or e.litres)]
    read = _figures((last,), rack.show)
    if poured and read:
        read = _("before the dose: {readings}").format(readings=read)
    lines = [_head(last, now), read]
    if poured:
        at = clock(poured[-1].at.astimezone(now.tzinfo))
        lines.append(_("poured {time}: {what}").format(time=at, what=poured_words(poured)))
        after = [e for e in later if isinstance(e, Reading) and e.source == "dose"]
        if after:
            said = _figures(after, rack.show)
            lines.append(_("after the dose: {readings}").format(readings=said))
    elif any(isinstance(e, Change) for e in later):
        lines.append(_("the solution was changed after it"))
    return tuple(line for line in lines if line)


def poured_words(poured: Iterable[Poured]) -> str:
    """Say what went in, the portions of one bottle together: `10 mL pH Minus in 2 portions`."""
    by_what: dict[str, list[Poured]] = {}
    for event in poured:
        by_what.setdefault(event.what, []).append(event)
    return ", ".join(_amount(what, portions) for what, portions in by_what.items())


def _amount(what: str, portions: Sequence[Poured]) -> str:
    litres = sum(e.litres or 0.0 for e in portions)
    ml, g = sum(e.ml or 0.0 for e in portions), sum(e.g or 0.0 for e in portions)
    if litres:
        said = _("{amount} litres drained") if what == "drained" else _("{amount} litres of water")
        said = said.format(amount=show_amount(litres))
    elif ml:
        said = _("{amount} mL {bottle}").format(amount=show_amount(ml), bottle=what)
    else:
        said = _("{amount} g {bottle}").format(amount=show_amount(g), bottle=what)
    many = len(portions)
    if many < 2:
        return said
    return n_("{amount} in {n} portion", "{amount} in {n} portions", many).format(amount=said, n=many)


def _last(events: Sequence[Event]) -> Reading | None:
    readings = [e for e in events if isinstance(e, Reading)]
    rounds = [e for e in readings if e.source == "round" and not is_leaving(e)]
    others = [e for e in readings if reads_water(e) and e.source != "dose"]
    found = rounds or others
    return found[-1] if found else None


def _head(last: Reading, now: datetime) -> str:
    who = f"{when(last.at, now)}, {last.by}" if last.by else when(last.at, now)
    left = len(last.not_done)
    if not left:
        return who
    return f"{who}  " + n_("{n} thing not done", "{n} things not done", left).format(n=left)


def _figures(readings: Iterable[Reading], show: Show) -> str:
    """Give the newest of each figure."""
    newest: dict[Quantity, float] = {}
    for reading in readings:
        for quantity, name in _WATER:
            value = getattr(reading, name)
            if value is not None:
                newest[quantity] = value
    return "   ".join(show_value(newest[q], q, show) for q, _name in _WATER if q in newest)
