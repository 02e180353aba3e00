"""The rack that a set-up's answers describe."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

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
from tendtui.core.setup_again import newest_value
from tendtui.core.setup_ask import Asks
from tendtui.core.setup_names import (
    adjuster_names,
    crops_of,
    device_names,
    feed_names,
    list_of,
    phones_of,
    tier_names,
)
from tendtui.core.units import mg_l_caco3_of_meq_l
from tendtui.core.walk_value import Answers
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.rack import ConductivityUnit

__all__ = ["guesses_of", "meter_of", "rack_of", "show_of", "tier_value"]

_UNITS: Mapping[str, ConductivityUnit] = {
    "mS/cm": "mS/cm",
    "uS/cm": "uS/cm",
    "ppm500": "ppm500",
    "ppm640": "ppm640",
    "ppm700": "ppm700",
    "ppm-unknown": "ppm500",
}
_SCALES: Mapping[str, Literal[500, 640, 700]] = {"ppm640": 640, "ppm700": 700}


def rack_of(answers: Answers, asks: Asks) -> Rack:
    """Give the rack as far as it is described; what is still open has its usual value."""
    return Rack(
        name=answers.text("rack.name") or _("Rack"),
        reservoir=_reservoir(answers),
        show=show_of(answers),
        source=Source(
            conductivity_ms_cm=_rounded(answers.value("source.conductivity"), 4),
            ph=answers.value("source.ph"),
            alkalinity_mg_l_caco3=_alkalinity(answers.value("source.alkalinity")),
        ),
        meter=meter_of(answers),
        place=Place(
            region=_known(answers.word("place.region")) or None,
            altitude_m=round(answers.value("place.altitude") or 0.0, 1),
        ),
        target=Target(change_every_days=_whole(answers.value("target.change_days"))),
        tiers=_tiers(answers),
        feeds=_feeds(answers, asks),
        adjusters=_adjusters(answers),
        measuring=_measuring(answers, asks),
        devices=_devices(answers),
        mains=_mains(answers),
        people=list_of(answers.text("rack.people")),
        phones=phones_of(answers.text("phones.list")),
    )


def show_of(answers: Answers) -> Show:
    """Give the person's units as far as they were said."""
    return Show(
        conductivity=_UNITS.get(answers.word("units.conductivity"), "mS/cm"),
        temperature="F" if answers.word("units.temperature") == "F" else "C",
        volume="gal" if answers.word("units.volume") == "gal" else "L",
    )


def meter_of(answers: Answers) -> Meter:
    """Give what the meters can show, as far as it was said."""
    return Meter(
        ppm_scale=_SCALES.get(answers.word("units.conductivity"), 500),
        conductivity_step_ms_cm=_step(answers.word("meter.ec_step"), unknown=0.01),
        ph_step=_step(answers.word("meter.ph_step"), unknown=0.5, unasked=0.1),
        temperature_compensated=answers.word("meter.compensated") != "no",
    )


def guesses_of(answers: Answers) -> frozenset[str]:
    """Give the keys of rack.toml whose value stands in for an answer that nobody knew."""
    guessed = {
        "show.conductivity": answers.word("units.conductivity") in ("ppm-unknown", "unknown"),
        "reservoir.aerated": answers.word("reservoir.aerated") == "unknown",
        "meter.conductivity_step_mS_cm": answers.word("meter.ec_step") == "unknown",
        "meter.ph_step": answers.word("meter.ph_step") == "unknown",
        "meter.temperature_compensated": answers.word("meter.compensated") == "unknown",
        "feed.label_conductivity_mS_cm": answers.word("feeds.strength") == "unknown",
        "measuring.liquid_mL": answers.word("tools.liquid") == "unknown",
        "measuring.powder_g": answers.word("tools.powder") in ("unknown", ""),
        "measuring.water_L": answers.word("tools.water") == "unknown",
        "place.altitude_m": answers.word("place.altitude") == "unknown",
    }
    return frozenset(key for key, is_guess in guessed.items() if is_guess)


def tier_value(answers: Answers, n: int, name: str) -> float | None:
    """Give a tier's measure, that of the tier above where they are the same; the second lip counts."""
    while n > 1 and answers.word(f"tier-{n}.same") == "same":
        n -= 1
    if name == "lip":
        again = answers.value(f"tier-{n}.lip2")
        bore, first = answers.value(f"tier-{n}.bore"), answers.value(f"tier-{n}.lip")
        if again is not None and bore is not None and first is not None and first > bore:
            return again
    return answers.value(f"tier-{n}.{name}")


def _reservoir(answers: Answers) -> Reservoir:
    return Reservoir(
        full_l=_rounded(answers.value("reservoir.full"), 3) or 1.0,
        least_l=_rounded(newest_value(answers, "reservoir.least"), 3) or 0.0,
        aerated=answers.word("reservoir.aerated") != "no",
        brim_l=_rounded(newest_value(answers, "reservoir.brim"), 3),
    )


def _tiers(answers: Answers) -> tuple[Tier, ...]:
    tiers = []
    for n, name in enumerate(tier_names(answers), start=1):
        bore, length = tier_value(answers, n, "bore"), tier_value(answers, n, "length")
        lip = tier_value(answers, n, "lip")
        if bore is None or length is None or lip is None:
            continue  # not described yet
        tiers.append(
            Tier(
                name=name,
                pipe_inside_mm=round(bore, 2),
                length_m=round(length, 4),
                outlet_height_mm=round(lip, 2),
                outlets=_whole(tier_value(answers, n, "outlets")) or 1,
                crops=crops_of(answers.text(f"tier-{n}.crops")),
                plants=_plants(answers, n),
            )
        )
    return tuple(tiers)


def _plants(answers: Answers, n: int) -> int:
    first, again = answers.value(f"tier-{n}.plants"), answers.value(f"tier-{n}.plants_again")
    return _whole(first) or _whole(again) or 0


def _feeds(answers: Answers, asks: Asks) -> tuple[Feed, ...]:
    strength = answers.value("feeds.strength") or asks["feeds.strength"].stands_in or 1.6
    feeds = []
    for n, name in enumerate(feed_names(answers), start=1):
        ml, g = answers.value(f"feed-{n}.amount_ml"), answers.value(f"feed-{n}.amount_g")
        powder = answers.word(f"feed-{n}.kind") == "powder"
        if (g if powder else ml) is None:
            continue
        feeds.append(
            Feed(
                name=name,
                label_ml_per_l=None if powder else _rounded(ml, 5),
                label_g_per_l=_rounded(g, 5) if powder else None,
                label_conductivity_ms_cm=round(strength, 4),
            )
        )
    return tuple(feeds)


def _adjusters(answers: Answers) -> tuple[Adjuster, ...]:
    adjusters = []
    for n, name in enumerate(adjuster_names(answers), start=1):
        direction = answers.word(f"adjuster-{n}.direction")
        if not direction:
            continue
        reagent = answers.word(f"adjuster-{n}.{'alkali' if direction == 'up' else 'acid'}")
        adjusters.append(
            Adjuster(
                name=name,
                direction="up" if direction == "up" else "down",
                reagent=_known(reagent) or None,
                percent_w_w=answers.value(f"adjuster-{n}.percent"),
            )
        )
    return tuple(adjusters)


def _measuring(answers: Answers, asks: Asks) -> Measuring:
    def step(key: str, usual: float) -> float:
        return answers.value(key) or asks[key].stands_in or usual

    return Measuring(
        liquid_ml=round(step("tools.liquid", 0.5), 5),
        powder_g=round(step("tools.powder", 0.1), 5),
        water_l=round(step("tools.water", 0.5), 5),
        jug_l=_rounded(answers.value("tools.jug"), 4),
    )


def _devices(answers: Answers) -> tuple[Device, ...]:
    return tuple(
        Device(
            name=name,
            watts=answers.value(f"device-{n}.watts") or 0.0,
            kind=None if answers.word(f"device-{n}.kind") == "other" else answers.word(f"device-{n}.kind"),
            count=_whole(answers.value(f"device-{n}.count")) or 1,
        )
        for n, name in enumerate(device_names(answers), start=1)
        if answers.value(f"device-{n}.watts") is not None
    )


def _mains(answers: Answers) -> Mains | None:
    volts, amps = _known(answers.word("mains.volts")), answers.value("mains.amps")
    if not volts or amps is None:
        return None
    return Mains(
        volts=float(volts), circuit_amps=amps, protection=_known(answers.word("mains.protection")) or None
    )


def _known(word: str) -> str:
    return "" if word == "unknown" else word


def _step(word: str, *, unknown: float, unasked: float | None = None) -> float:
    if word == "unknown":
        return unknown
    if word:
        return float(word)
    return unknown if unasked is None else unasked


def _alkalinity(meq_l: float | None) -> float | None:
    return None if meq_l is None else round(mg_l_caco3_of_meq_l(meq_l), 2)


def _rounded(value: float | None, places: int) -> float | None:
    # 14 gal is 52.995764... L: no mark is that fine, and the file is meant for reading
    return None if value is None else round(value, places)


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)
