"""Readings that nothing should be planned on before they were taken again."""

from __future__ import annotations

from datetime import timedelta

from tendtui.core.bands import Bands
from tendtui.core.event import Poured, Reading
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import quantity_name, show_value
from tendtui.core.tank import Held, TankNow
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Again", "to_read_again"]

NEAT_MS_CM = 8.0
"""[mS/cm] above which a reading is more like neat feed than like any solution plants stand in.

Source: tomato, the strongest crop of extension tables, ends at 5 mS/cm.
"""

_MS_CM = Quantity.CONDUCTIVITY

PURE_MS_CM = 0.1
"""[mS/cm] Source water under this is rain, or filtered; a tank of it reads the same only before any feed.

Source: rain and reverse-osmosis water as growers' guides give them, 0.00 to 0.05.
"""

PURE_SHARE = 0.6
"""Under this share of the source water's conductivity a tank can't read: salts don't leave with the water."""

OVER_FULL_SHARE = 1.3
"""Above this share of the full mark a level is more likely a slip than a flood."""

STRANGE_PH = (3.5, 9.5)
"""Outside this a pH is more likely a dry or dirty probe than a reservoir."""

SAME_HOUR = timedelta(hours=1)
"""Within it a tank into which nothing goes moves by less than meters show (common practice, no source)."""

_FIELDS = {Quantity.CONDUCTIVITY: "conductivity_ms_cm", Quantity.PH: "ph", Quantity.LEVEL: "level_l"}

_NEAR = {Quantity.CONDUCTIVITY: 0.1, Quantity.PH: 0.3, Quantity.LEVEL: 0.03}
"""How near a second reading must be to settle the first: a share, for pH a difference."""


@value_class
class Again:
    """What to read again, and why."""

    what: tuple[Quantity, ...] = ()
    reasons: tuple[str, ...] = ()
    left_out: tuple[Quantity, ...] = ()
    """What was read again, and still can't be: nothing is planned on it."""


def to_read_again(rack: Rack, tank: TankNow, bands: Bands) -> Again:
    """Give the readings in doubt: marked so in the log, impossible, or stuck.

    Args:
        rack: The rack.
        tank: What was read.
        bands: What the rack is kept at.
    """
    del bands
    rows: list[tuple[Quantity, str]] = [
        (
            quantity,
            _("The last {what} was unusual and was not measured twice.").format(what=quantity_name(quantity)),
        )
        for quantity in tank.doubted
    ]
    if _reads_as_pure(rack, tank):
        if not rows and _settled(tank, Quantity.CONDUCTIVITY):
            return Again(left_out=(Quantity.CONDUCTIVITY,), reasons=(_still_pure(rack, tank),))
        rows.append((Quantity.CONDUCTIVITY, _pure(rack, tank)))
    for quantity, said in (
        _conductivity(rack, tank),
        _ph(rack, tank),
        _level(rack, tank),
        _stuck(rack, tank),
    ):
        if said and not _settled(tank, quantity):
            rows.append((quantity, said))
    for quantity in (Quantity.CONDUCTIVITY, Quantity.PH):
        other = _disagreeing(rack, tank, quantity)
        if other is not None and quantity not in [asked for asked, _said in rows]:
            rows.append((quantity, _disagree(rack, tank, quantity, other)))
    if _is_bare(rack, tank):
        said = _(
            "This conductivity meter doesn't reckon with the temperature, and none was read: 10 degrees "
            "make a fifth. Read both."
        )
        rows += [(Quantity.TEMPERATURE, said), (Quantity.CONDUCTIVITY, said)]
    return Again(
        what=tuple(dict.fromkeys(quantity for quantity, _said in rows)),
        reasons=tuple(dict.fromkeys(said for _quantity, said in rows)),
    )


def _is_bare(rack: Rack, tank: TankNow) -> bool:
    """Say whether a conductivity was named that nothing could bring to 25 °C; the log's are already."""
    held = tank.conductivity
    return (
        held is not None
        and held.given
        and tank.temperature is None
        and not rack.meter.temperature_compensated
    )


def _disagreeing(rack: Rack, tank: TankNow, quantity: Quantity) -> float | None:
    """Give the reading before, if it is far from the last, of the same hour, and nothing went in between."""
    held = _held(tank, quantity)
    if held is None or held.given:
        return None
    since = max((p.at for p in tank.pourings if p.what != "drained"), default=held.at - SAME_HOUR)
    start = max(since, held.at - SAME_HOUR, tank.changed_at or since)
    # one that was in doubt is settled by the usual one that follows it
    trusted = [r for r in tank.readings if quantity.value not in r.doubt]
    values = [(r.at, getattr(r, _FIELDS[quantity])) for r in trusted]
    before = [value for at, value in values if value is not None and start < at <= held.at][:-1]
    if not before or min(abs(value - held.value) for value in before) <= _may_differ(
        rack, quantity, held.value
    ):
        return None
    return float(before[-1])


def _may_differ(rack: Rack, quantity: Quantity, value: float) -> float:
    if quantity is Quantity.PH:
        return max(0.4, 2.0 * rack.meter.ph_step)
    return max(0.05, 0.1 * value, 3.0 * rack.meter.conductivity_step_ms_cm)


def _disagree(rack: Rack, tank: TankNow, quantity: Quantity, other: float) -> str:
    held = _held(tank, quantity)
    return _(
        "{one}, then {other} within the hour, and nothing went in between: meters disagree, or one was not "
        "rinsed. Read once more: two that agree count."
    ).format(
        one=show_value(other, quantity, rack.show),
        other=show_value(other if held is None else held.value, quantity, rack.show),
    )


def _reads_as_pure(rack: Rack, tank: TankNow) -> bool:
    """Say whether the conductivity is less than this tank can have."""
    held = tank.conductivity
    if held is None:
        return False
    source = rack.source.conductivity_ms_cm or 0.0
    if source > PURE_MS_CM:
        return held.value < PURE_SHARE * source
    return held.value < max(PURE_SHARE * source, PURE_MS_CM / 2.0) and not _is_plain_water(rack, tank)


def _is_plain_water(rack: Rack, tank: TankNow) -> bool:
    """Say whether the log tells of a refill that no feed went into yet."""
    if tank.changed_at is None:
        return False
    feeds = {feed.name for feed in rack.feeds}
    return not any(p.what in feeds and p.at >= tank.changed_at for p in tank.pourings)


def _pure(rack: Rack, tank: TankNow) -> str:
    read = show_value(0.0 if tank.conductivity is None else tank.conductivity.value, _MS_CM, rack.show)
    if (rack.source.conductivity_ms_cm or 0.0) > PURE_MS_CM:
        return _(
            "{read} is less than the source water itself: the probe was not in the tank, or is dry, or the "
            "unit differs."
        ).format(read=read)
    return _(
        "{read} is what distilled water or a dry probe reads, not a tank with feed in it: is the probe in "
        "the tank? Read again."
    ).format(read=read)


def _still_pure(rack: Rack, tank: TankNow) -> str:
    read = show_value(0.0 if tank.conductivity is None else tank.conductivity.value, _MS_CM, rack.show)
    return _(
        "{read} twice, and it can't be: check the meter in its standard, or correct the source water in "
        "the rack file."
    ).format(read=read)


def _conductivity(rack: Rack, tank: TankNow) -> tuple[Quantity, str]:
    held, quantity = tank.conductivity, Quantity.CONDUCTIVITY
    if held is None:
        return quantity, ""
    read = show_value(held.value, quantity, rack.show)
    if held.value > NEAT_MS_CM:
        return quantity, _(
            "{read} is what neat feed reads, not a reservoir: was the probe in a bottle or a measuring "
            "cup, or does "
            "the unit differ? Stir, and read again."
        ).format(read=read)
    return quantity, ""


def _ph(rack: Rack, tank: TankNow) -> tuple[Quantity, str]:
    held = tank.ph
    if held is None or STRANGE_PH[0] <= held.value <= STRANGE_PH[1]:
        return Quantity.PH, ""
    return Quantity.PH, _(
        "{read} is more likely a dry or dirty probe than a reservoir: check the meter in buffer 7 and read "
        "again."
    ).format(read=show_value(held.value, Quantity.PH, rack.show))


def _level(rack: Rack, tank: TankNow) -> tuple[Quantity, str]:
    held = tank.level
    if held is None or 0.0 <= held.value <= OVER_FULL_SHARE * rack.reservoir.full_l:
        return Quantity.LEVEL, ""
    return Quantity.LEVEL, _("A level of {read} does not fit a reservoir of {full}: read it again.").format(
        read=show_value(held.value, Quantity.LEVEL, rack.show),
        full=show_value(rack.reservoir.full_l, Quantity.VOLUME, rack.show),
    )


def _stuck(rack: Rack, tank: TankNow) -> tuple[Quantity, str]:
    """See a meter that shows the same to the last digit though feed went in between, into the same water."""
    quantity = Quantity.CONDUCTIVITY
    fresh = tank.changed_at
    readings = [
        r for r in tank.readings if r.conductivity_ms_cm is not None and (fresh is None or r.at >= fresh)
    ]
    if len(readings) < 2 or tank.conductivity is None or tank.conductivity.given:
        return quantity, ""
    before, after = readings[-2], readings[-1]
    between = [p for p in tank.pourings if _between(before, p, after)]
    rise = sum(_label_rise(rack, poured, tank) for poured in between)
    if (
        before.conductivity_ms_cm != after.conductivity_ms_cm
        or rise < 5.0 * rack.meter.conductivity_step_ms_cm
    ):
        return quantity, ""
    return quantity, _(
        "Conductivity reads the same to the last digit as before the feed went in: is the meter stuck, or "
        "was it "
        "not stirred? Read again."
    )


def _between(before: Reading, poured: Poured, after: Reading) -> bool:
    return (before.at, before.seq) < (poured.at, poured.seq) < (after.at, after.seq)


def _label_rise(rack: Rack, poured: Poured, tank: TankNow) -> float:
    feed = next((feed for feed in rack.feeds if feed.name == poured.what), None)
    label = None if feed is None else feed.label_ml_per_l or feed.label_g_per_l
    if feed is None or not label or not tank.litres:
        return 0.0
    amount = poured.ml if poured.ml is not None else poured.g or 0.0
    return amount / label / tank.litres * feed.label_conductivity_ms_cm / len(rack.feeds)


def _held(tank: TankNow, quantity: Quantity) -> Held | None:
    return {Quantity.CONDUCTIVITY: tank.conductivity, Quantity.PH: tank.ph, Quantity.LEVEL: tank.level}[
        quantity
    ]


def _settled(tank: TankNow, quantity: Quantity) -> bool:
    """Say whether the reading before, with nothing gone in between, was near: then it is true."""
    field, held = _FIELDS[quantity], _held(tank, quantity)
    values = [(r, getattr(r, field)) for r in tank.readings if getattr(r, field) is not None]
    if held is not None and not held.given:
        values = values[:-1]
    if held is None or not values:
        return False
    before, value = values[-1]
    if any(p.at > before.at for p in tank.pourings if p.what != "drained" and p.at <= held.at):
        return False
    if quantity is Quantity.PH:
        return bool(abs(value - held.value) <= _NEAR[quantity])
    return bool(abs(value - held.value) <= _NEAR[quantity] * max(abs(held.value), 1e-9))
