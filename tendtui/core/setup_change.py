"""Where each answer of the set-up stands in rack.toml, and what the rack says there now."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.setup_ask import Ask, Asks, ask_id
from tendtui.core.setup_names import bottle_of, crops_of, list_of, phones_of
from tendtui.core.show import show_number
from tendtui.core.units import meq_l_of_mg_l_caco3, mg_l_caco3_of_meq_l
from tendtui.core.walk_value import Answer, Answers
from tendtui.value import value_class

__all__ = ["changes_of", "now_of"]

Stored = float | str | None


@value_class
class _Place:
    path: str
    """Dotted place in rack.toml; `{n}` is the table's number, from 0."""
    now: Callable[[Rack, int], Stored]
    """What the rack has there: a number in the question's stored unit, a choice's word, a text."""
    value: Callable[[Answer], object]
    """What is written there; None takes the key out."""


def now_of(rack: Rack, key: str, *, n: int, asks: Asks) -> str:
    """Give what `=` puts into a question's field: what the rack says now; empty where it says nothing."""
    place = _PLACES.get(ask_id(key))
    if place is None:
        return ""
    ask = asks[ask_id(key)]
    stored = place.now(rack, n)
    if stored is None or stored == "":
        return ""
    if isinstance(stored, str):
        return _choice_digit(ask, stored) if ask.choices else stored
    return _typed(stored, ask, rack)


def changes_of(rack: Rack, answers: Answers, *, n: int, asks: Asks) -> dict[str, object]:
    """Give dotted place -> new value for every answer that says something else than the rack does."""
    changes: dict[str, object] = {}
    for key, answer in answers.by_key.items():
        place = _PLACES.get(ask_id(key))
        if place is None or not place.path or _is_kept(rack, key, answer, n=n, asks=asks):
            continue
        value = place.value(answer)
        if not _is_there(value, place.now(rack, n)):
            changes[place.path.format(n=n)] = value
    changes.update(_scale(answers))
    changes.update(_targets(rack, answers, asks))
    changes.update(_strength(rack, answers, n, asks))
    ousted = _ousted(rack, answers, n)
    if "mains" in ousted:
        changes = {place: value for place, value in changes.items() if not place.startswith("mains.")}
    return changes | ousted


def _is_kept(rack: Rack, key: str, answer: Answer, *, n: int, asks: Asks) -> bool:
    if answer.typed:
        return answer.typed == now_of(rack, key, n=n, asks=asks)
    stored = _PLACES[ask_id(key)].now(rack, n)
    return stored is None or stored == "" or key.endswith(".name")  # an empty name keeps the name


def _is_there(value: object, stored: Stored) -> bool:
    """Say whether the rack has this value already, said in other words (`don't know`)."""
    if value is None:
        return stored is None or stored == ""
    if isinstance(value, bool):
        return stored == _yes_no(value)
    if isinstance(value, float | int) and isinstance(stored, str):
        return stored == f"{value:g}"
    return not isinstance(value, list | dict) and value == stored


def _ousted(rack: Rack, answers: Answers, n: int) -> dict[str, object]:
    """Give what goes because something else was said in its place."""
    changes: dict[str, object] = {}
    for station in {key.partition(".")[0] for key in answers.by_key}:
        kind = answers.word(f"{station}.kind")
        if station.startswith("feed-") and n < len(rack.feeds):
            if kind == "powder" and rack.feeds[n].label_ml_per_l is not None:
                changes[f"feed.{n}.label_mL_per_L"] = None
            if kind == "liquid" and rack.feeds[n].label_g_per_l is not None:
                changes[f"feed.{n}.label_g_per_L"] = None
        percent = answers.value(f"{station}.percent")
        if percent is not None and n < len(rack.adjusters) and rack.adjusters[n].strength_mol_l is not None:
            changes[f"adjuster.{n}.strength_mol_L"] = None
    if "unknown" in (answers.word("mains.volts"), answers.word("mains.amps")):
        changes["mains"] = None
    return changes


def _number(rack: Rack, answers: Answers, key: str, asks: Asks) -> float | None:
    """Give the number answered; the stored one, to its last digit, where what is shown of it was typed."""
    answer = answers.by_key.get(key)
    if answer is None or answer.value is None:
        return None
    stored = _PLACES[key].now(rack, 0)
    if isinstance(stored, float) and answer.typed == now_of(rack, key, n=0, asks=asks):
        return stored
    return round(answer.value, 4)


def _choice_digit(ask: Ask, word: str) -> str:
    return next((str(n) for n, (known, _text) in enumerate(ask.choices, start=1) if known == word), "")


def _typed(stored: float, ask: Ask, rack: Rack) -> str:
    return show_number(stored, ask.quantity or Quantity.COUNT, rack.show)


def _scale(answers: Answers) -> dict[str, object]:
    word = answers.word("units.conductivity")
    if not word.startswith("ppm"):
        return {}
    return {"meter.ppm_scale": 500 if word == "ppm-unknown" else int(word.removeprefix("ppm"))}


def _targets(rack: Rack, answers: Answers, asks: Asks) -> dict[str, object]:
    """Give bands as pairs; a lowest that is left empty takes the band out."""
    held = {
        "ec": ("target.conductivity_mS_cm", rack.target.conductivity_ms_cm),
        "ph": ("target.ph", rack.target.ph),
        "t": ("target.temperature_C", rack.target.temperature_c),
    }
    changes: dict[str, object] = {}
    for name, (path, now) in held.items():
        if not answers.done(f"target.{name}_low"):
            continue
        low = _number(rack, answers, f"target.{name}_low", asks)
        high = _number(rack, answers, f"target.{name}_high", asks)
        wanted = None if low is None or high is None else (low, high)
        if wanted != now:
            changes[path] = None if wanted is None else list(wanted)
    return changes


def _strength(rack: Rack, answers: Answers, n: int, asks: Asks) -> dict[str, object]:
    """Give the feed's strength for all its parts: every part says the same total."""
    if not answers.done("feeds.strength"):
        return {}
    value = _number(rack, answers, "feeds.strength", asks)
    if value is None:
        value = rack.feeds[0].label_conductivity_ms_cm if rack.feeds else asks["feeds.strength"].stands_in
    return {
        f"feed.{part}.label_conductivity_mS_cm": value
        for part in range(max(len(rack.feeds), n + 1))
        if part >= len(rack.feeds) or rack.feeds[part].label_conductivity_ms_cm != value
    }


def _text(answer: Answer) -> object:
    return answer.text or None


def _word(answer: Answer) -> object:
    return None if answer.word in ("unknown", "") else answer.word


def _yes(answer: Answer) -> object:
    return answer.word != "no"


def _whole(answer: Answer) -> object:
    return None if answer.value is None else int(answer.value)


def _step_of(answer: Answer, unknown: float) -> float:
    return unknown if answer.word == "unknown" else float(answer.word)


def _to(places: int) -> Callable[[Answer], object]:
    return lambda answer: None if answer.value is None else round(answer.value, places)


def _alkalinity(answer: Answer) -> object:
    return None if answer.value is None else round(mg_l_caco3_of_meq_l(answer.value), 2)


def _meq(mg_l: float | None) -> float | None:
    return None if mg_l is None else meq_l_of_mg_l_caco3(mg_l)


def _conductivity_unit(answer: Answer) -> object:
    return {"ppm-unknown": "ppm500", "unknown": "mS/cm"}.get(answer.word, answer.word)


def _yes_no(value: bool) -> str:  # noqa: FBT001 - the value itself, not a switch
    return "yes" if value else "no"


def _phones(rack: Rack) -> str:
    return ", ".join(f"{who} {number}" for who, number in rack.phones.items())


def _of(items: Iterable[object], n: int, name: str) -> Stored:
    """Give a field of the n-th table; None for one that is being added."""
    listed = tuple(items)
    if n >= len(listed):
        return None
    value = getattr(listed[n], name)
    return value if isinstance(value, float | int | str) else None


def _tier(name: str) -> Callable[[Rack, int], Stored]:
    return lambda rack, n: _of(rack.tiers, n, name)


def _feed(name: str) -> Callable[[Rack, int], Stored]:
    return lambda rack, n: _of(rack.feeds, n, name)


def _adjuster(name: str) -> Callable[[Rack, int], Stored]:
    return lambda rack, n: _of(rack.adjusters, n, name)


def _device(name: str) -> Callable[[Rack, int], Stored]:
    return lambda rack, n: _of(rack.devices, n, name)


def _crops(rack: Rack, n: int) -> str:
    return ", ".join(rack.tiers[n].crops) if n < len(rack.tiers) else ""


def _volts(rack: Rack) -> str:
    return "" if rack.mains is None else f"{rack.mains.volts:g}"


def _volts_said(answer: Answer) -> object:
    return None if answer.word == "unknown" else float(answer.word)


def _powder_or_liquid(rack: Rack, n: int) -> str:
    if n >= len(rack.feeds):
        return ""
    return "liquid" if rack.feeds[n].label_g_per_l is None else "powder"


def _p(path: str, now: Callable[[Rack, int], Stored], value: Callable[[Answer], object]) -> _Place:
    return _Place(path=path, now=now, value=value)


_PLACES: Mapping[str, _Place] = {
    "rack.name": _p("name", lambda r, _n: r.name, _text),
    "rack.people": _p("people.usual", lambda r, _n: ", ".join(r.people), lambda a: list(list_of(a.text))),
    "phones.list": _p("people.phones", lambda r, _n: _phones(r), lambda a: phones_of(a.text)),
    "units.conductivity": _p("show.conductivity", lambda r, _n: r.show.conductivity, _conductivity_unit),
    "units.temperature": _p("show.temperature", lambda r, _n: r.show.temperature, _word),
    "units.volume": _p("show.volume", lambda r, _n: r.show.volume, _word),
    "meter.ec_step": _p(
        "meter.conductivity_step_mS_cm",
        lambda r, _n: f"{r.meter.conductivity_step_ms_cm:g}",
        lambda a: _step_of(a, 0.01),
    ),
    "meter.ph_step": _p("meter.ph_step", lambda r, _n: f"{r.meter.ph_step:g}", lambda a: _step_of(a, 0.5)),
    "meter.compensated": _p(
        "meter.temperature_compensated", lambda r, _n: _yes_no(r.meter.temperature_compensated), _yes
    ),
    "reservoir.full": _p("reservoir.full_L", lambda r, _n: r.reservoir.full_l, _to(3)),
    "reservoir.least": _p("reservoir.least_L", lambda r, _n: r.reservoir.least_l, _to(3)),
    "reservoir.pipes": _p("reservoir.pipes_L", lambda r, _n: r.reservoir.pipes_l, _to(3)),
    "reservoir.brim": _p("reservoir.brim_L", lambda r, _n: r.reservoir.brim_l, _to(3)),
    "reservoir.aerated": _p("reservoir.aerated", lambda r, _n: _yes_no(r.reservoir.aerated), _yes),
    "source.conductivity": _p("source.conductivity_mS_cm", lambda r, _n: r.source.conductivity_ms_cm, _to(4)),
    "source.ph": _p("source.ph", lambda r, _n: r.source.ph, _to(2)),
    "source.alkalinity": _p(
        "source.alkalinity_mg_L_CaCO3", lambda r, _n: _meq(r.source.alkalinity_mg_l_caco3), _alkalinity
    ),
    "tier.name": _p("tier.{n}.name", _tier("name"), _text),
    "tier.bore": _p("tier.{n}.pipe_inside_mm", _tier("pipe_inside_mm"), _to(2)),
    "tier.length": _p("tier.{n}.length_m", _tier("length_m"), _to(4)),
    "tier.lip": _p("tier.{n}.outlet_height_mm", _tier("outlet_height_mm"), _to(2)),
    "tier.outlets": _p("tier.{n}.outlets", _tier("outlets"), _whole),
    "tier.crops": _p("tier.{n}.crops", _crops, lambda a: list(crops_of(a.text))),
    "tier.plants": _p("tier.{n}.plants", _tier("plants"), _whole),
    "feed.name": _p("feed.{n}.name", _feed("name"), lambda a: bottle_of(a.text) or None),
    "feed.kind": _p("", _powder_or_liquid, _text),
    "feed.amount_ml": _p("feed.{n}.label_mL_per_L", _feed("label_ml_per_l"), _to(5)),
    "feed.amount_g": _p("feed.{n}.label_g_per_L", _feed("label_g_per_l"), _to(5)),
    "adjuster.name": _p("adjuster.{n}.name", _adjuster("name"), lambda a: bottle_of(a.text) or None),
    "adjuster.direction": _p("adjuster.{n}.direction", _adjuster("direction"), _word),
    "adjuster.acid": _p("adjuster.{n}.reagent", _adjuster("reagent"), _word),
    "adjuster.alkali": _p("adjuster.{n}.reagent", _adjuster("reagent"), _word),
    "adjuster.percent": _p("adjuster.{n}.percent_w_w", _adjuster("percent_w_w"), _to(3)),
    "tools.liquid": _p("measuring.liquid_mL", lambda r, _n: r.measuring.liquid_ml, _to(5)),
    "tools.powder": _p("measuring.powder_g", lambda r, _n: r.measuring.powder_g, _to(5)),
    "tools.water": _p("measuring.water_L", lambda r, _n: r.measuring.water_l, _to(5)),
    "tools.jug": _p("measuring.jug_L", lambda r, _n: r.measuring.jug_l, _to(4)),
    "place.region": _p("place.region", lambda r, _n: r.place.region, _word),
    "place.altitude": _p("place.altitude_m", lambda r, _n: r.place.altitude_m, _to(1)),
    "mains.volts": _p("mains.volts", lambda r, _n: _volts(r), _volts_said),
    "mains.amps": _p(
        "mains.circuit_amps", lambda r, _n: None if r.mains is None else r.mains.circuit_amps, _to(2)
    ),
    "mains.protection": _p(
        "mains.protection", lambda r, _n: None if r.mains is None else r.mains.protection, _word
    ),
    "device.name": _p("device.{n}.name", _device("name"), _text),
    "device.kind": _p("device.{n}.kind", _device("kind"), _word),
    "device.watts": _p("device.{n}.watts", _device("watts"), _to(2)),
    "device.count": _p("device.{n}.count", _device("count"), _whole),
    "target.change_days": _p("target.change_every_days", lambda r, _n: r.target.change_every_days, _whole),
    "target.ec_low": _p("", lambda r, _n: _end(r.target.conductivity_ms_cm, 0), _text),
    "target.ec_high": _p("", lambda r, _n: _end(r.target.conductivity_ms_cm, 1), _text),
    "target.ph_low": _p("", lambda r, _n: _end(r.target.ph, 0), _text),
    "target.ph_high": _p("", lambda r, _n: _end(r.target.ph, 1), _text),
    "target.t_low": _p("", lambda r, _n: _end(r.target.temperature_c, 0), _text),
    "target.t_high": _p("", lambda r, _n: _end(r.target.temperature_c, 1), _text),
    "feeds.strength": _p("", lambda r, _n: r.feeds[0].label_conductivity_ms_cm if r.feeds else None, _text),
}
"""Question -> its place; where the path is empty it takes more than one answer and is written apart."""


def _end(band: tuple[float, float] | None, which: int) -> float | None:
    return None if band is None else band[which]
