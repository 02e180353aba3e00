"""The rack as the text of `rack.toml`: readable, and meant to be edited by hand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.rack import Adjuster, Device, Feed, Mains, Measuring, Place, Rack, Source, Target, Tier
from tendtui.words import _

__all__ = ["rack_toml"]

_COLUMN = 34
"""Where comments begin, so that they can be read down the page."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SHORT = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}

Line = tuple[str, object, str]
"""Key, value (None: the key is left out), comment."""


def rack_toml(rack: Rack, *, guessed: frozenset[str] = frozenset()) -> str:
    """Give the text of rack.toml; what `rack.extra` holds is not written.

    Args:
        rack: What to write.
        guessed: `table.key` of values that stand in for an answer nobody knew; said in the comment.
    """
    parts = [
        _head(rack),
        _table(
            "show",
            (
                ("conductivity", rack.show.conductivity, "mS/cm | uS/cm | ppm500 | ppm640 | ppm700"),
                ("temperature", rack.show.temperature, "C | F"),
                ("volume", rack.show.volume, "L | gal"),
            ),
            guessed,
            about=_(
                "How readings are shown and typed; the numbers below are always in the unit of their key."
            ),
        ),
        _reservoir(rack, guessed),
        _source(rack.source, guessed),
        _meter(rack, guessed),
        _place(rack.place, guessed),
        _target(rack.target, guessed),
        *(_tier(tier, first=n == 0) for n, tier in enumerate(rack.tiers)),
        *(_feed(feed, guessed, first=n == 0) for n, feed in enumerate(rack.feeds)),
        *(_adjuster(adjuster, first=n == 0) for n, adjuster in enumerate(rack.adjusters)),
        _measuring(rack.measuring, guessed),
        *(_device(device) for device in rack.devices),
        _mains(rack.mains),
        _people(rack),
    ]
    return "\n".join(part for part in parts if part)


def _head(rack: Rack) -> str:
    return "".join(
        (
            _comment(_("What this rack is. Edit it by hand as you like; `tendtui check` reads it over.")),
            "schema = 1\n",
            f"name = {_text(rack.name)}\n",
        )
    )


def _reservoir(rack: Rack, guessed: frozenset[str]) -> str:
    reservoir = rack.reservoir
    return _table(
        "reservoir",
        (
            ("full_L", reservoir.full_l, _("up to the full mark, pump running")),
            ("least_L", reservoir.least_l, _("below this the pump draws air: never planned under it")),
            ("pipes_L", reservoir.pipes_l, _("standing in the pipes, as measured")),
            ("brim_L", reservoir.brim_l, _("filled to the brim, to see whether what runs back finds room")),
            ("aerated", reservoir.aerated, _("an air pump bubbles in it")),
        ),
        guessed,
    )


def _source(source: Source, guessed: frozenset[str]) -> str:
    return _table(
        "source",
        (
            ("conductivity_mS_cm", source.conductivity_ms_cm, ""),
            ("ph", source.ph, ""),
            ("alkalinity_mg_L_CaCO3", source.alkalinity_mg_l_caco3, _("carbonate hardness")),
            ("sodium_mg_L", source.sodium_mg_l, ""),
            ("chloride_mg_L", source.chloride_mg_l, ""),
        ),
        guessed,
        about=_(
            "The water for topping up and changes. A key that is missing is not known; the plan says so."
        ),
    )


def _meter(rack: Rack, guessed: frozenset[str]) -> str:
    meter = rack.meter
    return _table(
        "meter",
        (
            ("ppm_scale", meter.ppm_scale, _("what a bare ppm of this meter means: 500, 640 or 700")),
            ("conductivity_step_mS_cm", meter.conductivity_step_ms_cm, ""),
            ("ph_step", meter.ph_step, _("0.5 for colour drops or strips")),
            ("temperature_compensated", meter.temperature_compensated, ""),
        ),
        guessed,
    )


def _place(place: Place, guessed: frozenset[str]) -> str:
    return _table(
        "place",
        (
            ("region", place.region, _("for intervals of electrical checks; never legal advice")),
            ("altitude_m", place.altitude_m, ""),
        ),
        guessed,
    )


def _target(target: Target, guessed: frozenset[str]) -> str:
    if target == Target():
        return ""
    return _table(
        "target",
        (
            ("conductivity_mS_cm", target.conductivity_ms_cm, _("goes before the band of the crops")),
            ("ph", target.ph, _("goes before the band of the crops")),
            ("temperature_C", target.temperature_c, ""),
            ("change_above_mS_cm", target.change_above_ms_cm, ""),
            ("change_every_days", target.change_every_days, ""),
        ),
        guessed,
    )


def _tier(tier: Tier, *, first: bool) -> str:
    return _table(
        "[tier]",
        (
            ("name", tier.name, ""),
            ("pipe_inside_mm", tier.pipe_inside_mm, _("bore")),
            ("length_m", tier.length_m, ""),
            (
                "outlet_height_mm",
                tier.outlet_height_mm,
                _("lip of the outlet above the pipe's inside bottom"),
            ),
            ("outlets", tier.outlets, ""),
            ("pipes", None if tier.pipes == 1 else tier.pipes, _("equal pipes beside each other")),
            ("crops", tier.crops, ""),
            ("plants", tier.plants, ""),
        ),
        about=_("The tiers, in the order the water passes them.") if first else "",
    )


def _feed(feed: Feed, guessed: frozenset[str], *, first: bool) -> str:
    return _table(
        "[feed]",
        (
            ("name", feed.name, ""),
            ("label_mL_per_L", feed.label_ml_per_l, _("of this part for each litre of water")),
            ("label_g_per_L", feed.label_g_per_l, _("of this part for each litre of water")),
            ("label_conductivity_mS_cm", feed.label_conductivity_ms_cm, _("all parts together add this")),
            ("analysis", feed.analysis, _("percent, as printed")),
        ),
        guessed,
        about=_("The feed, in pouring order.") if first else "",
    )


def _adjuster(adjuster: Adjuster, *, first: bool) -> str:
    return _table(
        "[adjuster]",
        (
            ("name", adjuster.name, ""),
            ("direction", adjuster.direction, "down | up"),
            ("reagent", adjuster.reagent, ""),
            ("percent_w_w", adjuster.percent_w_w, ""),
            ("strength_mol_L", adjuster.strength_mol_l, ""),
        ),
        about=_("Bottles that move pH. Without reagent or percent: learned from use, started low.")
        if first
        else "",
    )


def _measuring(measuring: Measuring, guessed: frozenset[str]) -> str:
    return _table(
        "measuring",
        (
            ("liquid_mL", measuring.liquid_ml, ""),
            ("powder_g", measuring.powder_g, ""),
            ("water_L", measuring.water_l, ""),
            ("jug_L", measuring.jug_l, _("held under an outlet to time its flow")),
        ),
        guessed,
        about=_("The smallest steps that can really be measured; doses are rounded down to them."),
    )


def _device(device: Device) -> str:
    return _table(
        "[device]",
        (
            ("name", device.name, ""),
            ("kind", device.kind, ""),
            ("watts", device.watts, _("of one")),
            ("count", None if device.count == 1 else device.count, ""),
            ("amps", device.amps, ""),
            ("power_factor", device.power_factor, ""),
            ("timer_rating_A", device.timer_rating_a, _("what its timer is marked for")),
        ),
    )


def _mains(mains: Mains | None) -> str:
    if mains is None:
        return ""
    return _table(
        "mains",
        (
            ("volts", mains.volts, ""),
            ("circuit_amps", mains.circuit_amps, _("of the fuse or breaker")),
            ("protection", mains.protection, ""),
            ("lead_amps", mains.lead_amps, ""),
        ),
    )


def _people(rack: Rack) -> str:
    parts = []
    if rack.people or rack.phones or rack.roles:
        parts.append(_table("people", (("usual", rack.people, _("who looks after it")),)))
    if rack.phones:
        parts.append(
            _table(
                "people.phones",
                [(who, number, "") for who, number in rack.phones.items()],
                about=_("Printed on the stand-in's sheet."),
            )
        )
    if rack.roles:
        parts.append(
            _table(
                "people.roles", [(who, role, "newcomer | shown | grower") for who, role in rack.roles.items()]
            )
        )
    return "\n".join(parts)


def _table(
    name: str, lines: Iterable[Line], guessed: frozenset[str] = frozenset(), *, about: str = ""
) -> str:
    plain = name.strip("[]")
    # The comment stands under the header: above it, it would belong to the table before.
    text = f"[{name}]\n" + (_comment(about) if about else "")
    for key, value, comment in lines:
        if value is None:
            continue
        if f"{plain}.{key}" in guessed:
            comment = " ".join((_("not known yet, this stands in;"), comment)).rstrip("; ")
        text += _line(f"{_key(key)} = {_value(value)}", comment)
    return text


def _line(statement: str, comment: str) -> str:
    return f"{statement.ljust(_COLUMN)} # {_one_line(comment)}\n" if comment else f"{statement}\n"


def _comment(text: str) -> str:
    return f"# {_one_line(text)}\n"


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _value(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case float():
            return _number(value)
        case str():
            return _text(value)
        case Mapping():
            return "{ " + ", ".join(f"{_key(str(k))} = {_value(v)}" for k, v in value.items()) + " }"
        case Sequence():
            return "[" + ", ".join(_value(item) for item in value) + "]"
        case _:
            raise TypeError(f"rack.toml has no place for {value!r}")


def _number(value: float) -> str:
    text = repr(value)
    return text if any(sign in text for sign in ".en") else f"{text}.0"


def _text(value: str) -> str:
    return '"' + "".join(_letter(letter) for letter in value) + '"'


def _letter(letter: str) -> str:
    if letter in _SHORT:
        return _SHORT[letter]
    if letter < " " or letter == "\x7f":
        return f"\\u{ord(letter):04x}"
    # half of a pair that no file can hold
    return "\ufffd" if "\ud800" <= letter <= "\udfff" else letter
