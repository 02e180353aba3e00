"""The tables of `rack.toml` to a `Rack`, every fault named and none hiding another."""

from __future__ import annotations

from collections.abc import Callable

from tendtui.core.rack import (
    Adjuster,
    Device,
    Feed,
    Mains,
    Measuring,
    Meter,
    Place,
    Rack,
    Reservoir,
    Show,
    Source,
    Target,
    Tier,
)
from tendtui.store.fields import Fields
from tendtui.store.rack_sense import (
    sense_adjuster,
    sense_mains,
    sense_reservoir,
    sense_source,
    sense_target,
    sense_tier,
)
from tendtui.store.rack_words import ANALYSIS, CONDUCTIVITY_UNITS, REAGENTS, ROLES, tell_unknown
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    T = TypeVar("T")

__all__ = ["decode_rack"]

_SOME = 1e-6
"""The smallest amount of anything that there can be."""


def decode_rack(top: Fields) -> Rack | None:
    """Give the rack that the tables describe; None where an error was found."""
    _head(top)
    name = _clean(top, "name")
    reservoir = _reservoir(top)
    show = _one(top, "show", _show)
    source = _one(top, "source", _source)
    meter = _one(top, "meter", _meter)
    place = _one(top, "place", _place)
    target = _one(top, "target", _target)
    tiers = _many(top, "tier", _tier)
    feeds = _many(top, "feed", _feed)
    adjusters = _many(top, "adjuster", _adjuster)
    measuring = _one(top, "measuring", _measuring)
    devices = _many(top, "device", _device)
    mains = _one(top, "mains", _mains)
    usual, phones, roles = _people(top)
    if reservoir is None or top.faults.errors:
        return None
    return Rack(
        name=name or _("Rack"),
        reservoir=reservoir,
        show=show or Show(),
        source=source or Source(),
        meter=meter or Meter(),
        place=place or Place(),
        target=target or Target(),
        tiers=tiers,
        feeds=feeds,
        adjusters=adjusters,
        measuring=measuring or Measuring(),
        devices=devices,
        mains=mains,
        people=usual,
        phones=phones,
        roles=roles,
        extra=top.rest(),
    )


def _head(top: Fields) -> None:
    if not top.has("schema"):
        top.missing("schema", _("Write schema = 1 as the first line."), severity="advice")
    top.whole("schema", low=1)
    if not top.has("name"):
        top.missing("name", _("Give the rack a name, to tell it from another."), severity="advice")


def _one(top: Fields, table: str, make: Callable[[Fields], T | None]) -> T | None:
    inner = top.inner(table)
    if inner is None:
        return None
    tell_unknown(inner, table)
    return make(inner)


def _many(top: Fields, table: str, make: Callable[[Fields], T | None]) -> tuple[T, ...]:
    made: list[T] = []
    for row in top.rows(table):
        tell_unknown(row, table)
        value = make(row)
        if value is not None:
            made.append(value)
    return tuple(made)


def _or(value: T | None, usual: T) -> T:
    return usual if value is None else value


def _clean(row: Fields, key: str) -> str | None:
    """Take a text without what a terminal would obey."""
    value = row.text(key)
    if value is None:
        return None
    clean = "".join(c if c.isprintable() else " " for c in value).strip()
    if clean != value:
        row.fault(
            key,
            _("{key} holds signs that can't be seen; they are left out").format(key=key),
            _("Type it anew."),
            severity="warning",
        )
    return clean


def _named(row: Fields) -> str | None:
    if not row.has("name"):
        row.missing("name", _("Give it a name; the steps and the log call it by that."))
        return None
    name = _clean(row, "name")
    if name == "":
        row.fault("name", _("the name is empty"), _("Give it a name; the steps and the log call it by that."))
    return name or None


def _needed(row: Fields, key: str, do: str, *, low: float = _SOME, high: float = 1e6) -> float | None:
    if not row.has(key):
        row.missing(key, do)
        return None
    return row.number(key, low=low, high=high)


def _reservoir(top: Fields) -> Reservoir | None:
    if not top.has("reservoir"):
        top.missing("reservoir", _("Write [reservoir] with full_L and least_L under it."))
        return None
    row = top.inner("reservoir")
    if row is None:
        return None
    tell_unknown(row, "reservoir")
    full_l = _needed(row, "full_L", _("Write the litres up to the full mark, pump running."))
    least_l = _needed(row, "least_L", _("Write the litres below which the pump draws air."), low=0.0)
    pipes_l, brim_l = row.number("pipes_L", low=0.0), row.number("brim_L", low=_SOME)
    aerated = _or(row.flag("aerated"), usual=True)
    if full_l is None or least_l is None:
        return None
    sense_reservoir(row, full_l=full_l, least_l=least_l, brim_l=brim_l)
    return Reservoir(full_l=full_l, least_l=least_l, pipes_l=pipes_l, aerated=aerated, brim_l=brim_l)


def _show(row: Fields) -> Show:
    units = {
        "conductivity": row.choice("conductivity", CONDUCTIVITY_UNITS),
        "temperature": row.choice("temperature", ("C", "F")),
        "volume": row.choice("volume", ("L", "gal")),
    }
    chosen = {key: unit for key, unit in units.items() if unit is not None}
    return Show(**chosen)  # type: ignore[arg-type]  # `choice` gave one of the literals


def _source(row: Fields) -> Source:
    conductivity_ms_cm = row.number("conductivity_mS_cm", low=0.0, high=10000.0)
    sense_source(row, conductivity_ms_cm=conductivity_ms_cm)
    return Source(
        conductivity_ms_cm=conductivity_ms_cm,
        ph=row.number("ph", low=0.0, high=14.0),
        alkalinity_mg_l_caco3=row.number("alkalinity_mg_L_CaCO3", low=0.0, high=5000.0),
        sodium_mg_l=row.number("sodium_mg_L", low=0.0, high=20000.0),
        chloride_mg_l=row.number("chloride_mg_L", low=0.0, high=20000.0),
    )


def _meter(row: Fields) -> Meter:
    scale = row.whole("ppm_scale", low=1)
    if scale is not None and scale not in (500, 640, 700):
        row.fault(
            "ppm_scale",
            _("ppm_scale is {scale}, which isn't known").format(scale=scale),
            _("Write 500, 640 or 700; the meter's leaflet says which."),
        )
        scale = None
    return Meter(
        ppm_scale=_or(scale, 500),  # type: ignore[arg-type]  # one of the three by now
        conductivity_step_ms_cm=_or(row.number("conductivity_step_mS_cm", low=_SOME, high=10.0), 0.01),
        ph_step=_or(row.number("ph_step", low=_SOME, high=3.0), 0.1),
        temperature_compensated=_or(row.flag("temperature_compensated"), usual=True),
    )


def _place(row: Fields) -> Place:
    return Place(
        region=_clean(row, "region") or None,
        altitude_m=_or(row.number("altitude_m", low=-450.0, high=9000.0), 0.0),
    )


def _target(row: Fields) -> Target:
    band, above = (
        row.band("conductivity_mS_cm", low=0.0, high=10000.0),
        row.number("change_above_mS_cm", low=_SOME, high=10000.0),
    )
    sense_target(row, conductivity_ms_cm=band, change_above_ms_cm=above)
    return Target(
        conductivity_ms_cm=band,
        ph=row.band("ph", low=0.0, high=14.0),
        temperature_c=row.band("temperature_C", low=-10.0, high=60.0),
        change_above_ms_cm=above,
        change_every_days=row.whole("change_every_days", low=1, high=3650),
    )


def _tier(row: Fields) -> Tier | None:
    name = _named(row)
    inside_mm = _needed(row, "pipe_inside_mm", _("Measure the pipe's bore."), high=2000.0)
    length_m = _needed(row, "length_m", _("Measure the pipe's length."), high=1000.0)
    lip_mm = _needed(
        row, "outlet_height_mm", _("Measure from the pipe's inside bottom to the outlet's lip."), low=0.0
    )
    crops = tuple(word for word in (c.strip() for c in row.texts("crops")) if word)
    outlets = _or(row.whole("outlets", low=1, high=1000), 1)
    plants, pipes = _or(row.whole("plants"), 0), _or(row.whole("pipes", low=1, high=1000), 1)
    if name is None or inside_mm is None or length_m is None or lip_mm is None:
        return None
    sense_tier(row, inside_mm=inside_mm, length_m=length_m, lip_mm=lip_mm)
    return Tier(
        name=name,
        pipe_inside_mm=inside_mm,
        length_m=length_m,
        outlet_height_mm=lip_mm,
        outlets=outlets,
        crops=crops,
        plants=plants,
        pipes=pipes,
    )


def _feed(row: Fields) -> Feed | None:
    name = _named(row)
    ml, g = (
        row.number("label_mL_per_L", low=_SOME, high=1e3),
        row.number("label_g_per_L", low=_SOME, high=1e3),
    )
    if not row.has("label_mL_per_L") and not row.has("label_g_per_L"):
        row.missing("label_mL_per_L", _("Copy the amount per litre from the label (label_g_per_L if dry)."))
    if ml is not None and g is not None:
        row.fault(
            "label_g_per_L",
            _("a feed is liquid or dry, not both"),
            _("Keep label_mL_per_L or label_g_per_L, whichever the label says."),
        )
    strength = _needed(
        row,
        "label_conductivity_mS_cm",
        _("Write what all parts together add at label strength; the label or its chart says it."),
        high=100.0,
    )
    analysis = _analysis(row)
    if name is None or strength is None or (ml is None) == (g is None):
        return None
    return Feed(
        name=name, label_ml_per_l=ml, label_g_per_l=g, label_conductivity_ms_cm=strength, analysis=analysis
    )


def _analysis(row: Fields) -> dict[str, float] | None:
    inner = row.inner("analysis")
    if inner is None:
        return None
    found: dict[str, float] = {}
    for key in inner.table:
        percent = inner.number(key, low=0.0, high=100.0)
        if percent is not None:
            found[key] = percent
        if key not in ANALYSIS:
            row.fault(
                "analysis",
                _("{key} is not something labels print").format(key=key),
                _("Write one of: {words}.").format(words=", ".join(ANALYSIS)),
                severity="warning",
            )
    return found


def _adjuster(row: Fields) -> Adjuster | None:
    name = _named(row)
    if not row.has("direction"):
        row.missing("direction", _("Write down if it lowers pH, up if it raises it."))
    direction = row.choice("direction", ("down", "up"))
    reagent = row.choice("reagent", tuple(REAGENTS))
    percent = row.number("percent_w_w", low=_SOME, high=100.0)
    strength = row.number("strength_mol_L", low=_SOME, high=50.0)
    if percent is not None and strength is not None:
        row.fault("strength_mol_L", _("the strength is given twice"), _("Keep the one that the label says."))
    if name is None or direction is None:
        return None
    sense_adjuster(row, direction=direction, reagent=reagent)
    return Adjuster(
        name=name,
        direction="down" if direction == "down" else "up",
        reagent=reagent,
        percent_w_w=percent,
        strength_mol_l=strength,
    )


def _measuring(row: Fields) -> Measuring:
    return Measuring(
        liquid_ml=_or(row.number("liquid_mL", low=_SOME, high=1e4), 0.5),
        powder_g=_or(row.number("powder_g", low=_SOME, high=1e4), 0.1),
        water_l=_or(row.number("water_L", low=_SOME, high=1e3), 0.5),
        jug_l=row.number("jug_L", low=_SOME, high=1e3),
    )


def _device(row: Fields) -> Device | None:
    name = _named(row)
    watts = _needed(row, "watts", _("Its type plate says it."), low=0.0)
    amps = row.number("amps", low=0.0, high=1e4)
    power_factor = row.number("power_factor", low=0.01, high=1.0)
    kind, count = _clean(row, "kind"), _or(row.whole("count", low=1), 1)
    timer_a = row.number("timer_rating_A", low=0.0, high=1e4)
    if name is None or watts is None:
        return None
    return Device(
        name=name,
        watts=watts,
        amps=amps,
        power_factor=power_factor,
        kind=kind,
        count=count,
        timer_rating_a=timer_a,
    )


def _mains(row: Fields) -> Mains | None:
    volts = _needed(row, "volts", _("Write the supply's volts, 230 or 120 for example."), high=1e5)
    amps = _needed(row, "circuit_amps", _("The breaker or fuse of the circuit says it."), high=1e4)
    protection, lead_amps = _clean(row, "protection"), row.number("lead_amps", low=_SOME, high=1e4)
    if volts is None or amps is None:
        return None
    sense_mains(row, volts=volts, circuit_amps=amps)
    return Mains(volts=volts, circuit_amps=amps, protection=protection, lead_amps=lead_amps)


def _people(top: Fields) -> tuple[tuple[str, ...], dict[str, str], dict[str, str]]:
    row = top.inner("people")
    if row is None:
        return (), {}, {}
    tell_unknown(row, "people")
    usual = tuple(name for name in (n.strip() for n in row.texts("usual")) if name)
    inner = row.inner("roles")
    roles = {} if inner is None else {name: inner.choice(name, ROLES) for name in inner.table}
    return usual, row.texts_by_name("phones"), {n: role for n, role in roles.items() if role is not None}
