"""The common bands of everything that shares one reservoir, and who pays where they don't meet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain

from tendtui.core.band import Band
from tendtui.core.crops import Crop, CropTable, find_crop
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Tier
from tendtui.value import value_class

__all__ = ["Bands", "Common", "Payer", "Want", "bands_of", "shared"]

NARROWEST = {Quantity.CONDUCTIVITY: 0.2, Quantity.PH: 0.4, Quantity.TEMPERATURE: 2.0}
"""The narrowest band worth aiming at. [mS/cm, pH, °C]

Source: common practice, no source; about four steps of a hand meter, so that two readings of the same
water don't fall on both sides.
"""

YOUNG_SHARE = 1.0 / 3.0
"""Above this share of plants under three weeks the strength stays in the low half of the band.

Source: common practice, no source.
"""

_STEP = {Quantity.CONDUCTIVITY: 0.05, Quantity.PH: 0.1}
"""The value of least harm is rounded to this; finer would be a claim. [mS/cm, pH]"""

_PAYS = {Quantity.CONDUCTIVITY: 0.02, Quantity.PH: 0.1, Quantity.TEMPERATURE: 0.5}
"""Less than this off its band is nothing to pay: about one step of a hand meter. [mS/cm, pH, °C]"""

WEAK_WEIGHT = 0.5
"""How much a band of weak origin counts beside one with a source. Source: chosen here."""


@value_class
class Want:
    """What one crop on the rack wants of one quantity."""

    crop: str
    band: Band
    plants: float
    """How many plants of it, the weight of its voice."""
    weak: bool = False
    """Whether the band is of weak origin."""
    tolerates: bool = False
    """Whether the band is what it bears and not what it wants."""


@value_class
class Payer:
    """A crop whose band the common one misses."""

    crop: str
    wants: Band
    off: float
    """How far the middle of the common band lies over (+) or under (-) what it wants, in the stored unit."""


@value_class
class Common:
    """The common band of one quantity."""

    band: Band
    origin: str
    """`target` (rack.toml says so), `crops` (they meet), `widened` (they meet in less than a meter can hold),
    `harm` (they don't meet), `general` (no crop says)."""
    wants: tuple[Want, ...] = ()
    payers: tuple[Payer, ...] = ()
    met: Band | None = None
    """What the crops really have in common, before widening; None: nothing."""


@value_class
class Bands:
    """What the rack is kept at."""

    conductivity: Common
    ph: Common
    temperature: Common
    unknown: tuple[str, ...] = ()
    """Crops of rack.toml that aren't in the table; they have no voice."""
    young: bool = False
    """Whether so many are young that the strength stays in the low half."""
    warm_c: float = 24.0
    """Above this something should be done. [°C]"""
    hot_c: float = 26.0
    """Above this something must be done today. [°C]"""


def bands_of(rack: Rack, table: CropTable, *, young: Mapping[str, float] | None = None) -> Bands:
    """Give the common bands of all crops on the rack; what `rack.target` says goes before them.

    Where the crops' bands don't meet, the band lies about the value of least harm: the sum over all crops of
    plants times the square of the distance from their band is least there, strength by its ratio, pH by its
    difference. The square spreads the loss; without it the majority would take all.

    Args:
        rack: What grows where, and how many.
        table: The crop table.
        young: Tier name -> how many of its plants are under three weeks old; None: none known to be.

    Source:
        The rule of least harm is chosen here; the crops' bands carry their own sources.
    """
    voices = tuple(_voices(rack.tiers, table, young or {}))
    target = rack.target
    strength = _common(
        Quantity.CONDUCTIVITY, target.conductivity_ms_cm, _strengths(voices), table.conductivity_ms_cm
    )
    many_young = _share_young(rack.tiers, young or {}) > YOUNG_SHARE
    if many_young and target.conductivity_ms_cm is None:
        strength = _low_half(strength)
    acids = tuple(
        Want(crop=v.crop.name, band=v.crop.ph, plants=v.plants, weak="ph" in v.crop.weak)
        for v in voices
        if v.crop.ph is not None
    )
    return Bands(
        conductivity=strength,
        ph=_common(Quantity.PH, target.ph, acids, table.ph),
        temperature=_common(Quantity.TEMPERATURE, target.temperature_c, (), table.temperature_c),
        unknown=tuple(
            dict.fromkeys(
                name for tier in rack.tiers for name in tier.crops if find_crop(name, table) is None
            )
        ),
        young=many_young,
        warm_c=table.warm_c,
        hot_c=table.hot_c,
    )


def shared(bands: Iterable[Band]) -> Band | None:
    """Give what all bands have in common, exactly; None where they don't meet or there are none."""
    listed = tuple(bands)
    if not listed:
        return None
    low, high = max(band.low for band in listed), min(band.high for band in listed)
    if low > high:
        return None
    sources = dict.fromkeys(band.source for band in listed if low == band.low or high == band.high)
    return Band(low=low, high=high, source="; ".join(sources))


@value_class
class _Voice:
    crop: Crop
    plants: float
    young: bool


def _voices(tiers: Iterable[Tier], table: CropTable, young: Mapping[str, float]) -> Iterable[_Voice]:
    for tier in tiers:
        known = [crop for name in tier.crops if (crop := find_crop(name, table)) is not None]
        for crop in known:
            yield _Voice(
                crop=crop,
                plants=max(tier.plants, 1) / len(known),
                young=young.get(tier.name, 0.0) > tier.plants / 2.0,
            )


def _strengths(voices: Iterable[_Voice]) -> tuple[Want, ...]:
    wants = []
    for voice in voices:
        crop = voice.crop
        band = crop.young_conductivity_ms_cm if voice.young else None
        band = band or crop.conductivity_ms_cm
        if band is not None:
            wants.append(
                Want(
                    crop=crop.name,
                    band=band,
                    plants=voice.plants,
                    weak="conductivity" in crop.weak,
                    tolerates=crop.tolerates,
                )
            )
    return tuple(wants)


def _common(
    quantity: Quantity, target: tuple[float, float] | None, wants: tuple[Want, ...], general: Band
) -> Common:
    wants = _one_voice_a_crop(wants)
    if target is not None:
        band = Band(low=target[0], high=target[1], source="rack.toml")
        return Common(band=band, origin="target", wants=wants, payers=_payers(quantity, wants, _middle(band)))
    if not wants:
        return Common(band=general, origin="general")
    bands = [want.band for want in wants]
    met = shared(bands)
    if met is None:
        return _least_harm(quantity, wants)
    if all(want.tolerates for want in wants):
        return Common(band=shared([met, general]) or met, origin="general", wants=wants, met=met)
    if met.high - met.low < NARROWEST[quantity] - 1e-9:
        return Common(band=_about(_middle(met), quantity, met.source), origin="widened", wants=wants, met=met)
    return Common(band=met, origin="crops", wants=wants, met=met)


def _one_voice_a_crop(wants: Iterable[Want]) -> tuple[Want, ...]:
    by_crop: dict[tuple[str, float, float], Want] = {}
    for want in wants:
        key = (want.crop, want.band.low, want.band.high)
        plants = want.plants + (by_crop[key].plants if key in by_crop else 0.0)
        by_crop[key] = Want(
            crop=want.crop, band=want.band, plants=plants, weak=want.weak, tolerates=want.tolerates
        )
    return tuple(by_crop.values())


def _least_harm(quantity: Quantity, wants: tuple[Want, ...]) -> Common:
    low = min(chain.from_iterable((want.band.low, want.band.high) for want in wants))
    high = max(chain.from_iterable((want.band.low, want.band.high) for want in wants))
    for _third in range(80):  # harm is convex: each step keeps two thirds, 80 reach the last bit
        left, right = low + (high - low) / 3.0, high - (high - low) / 3.0
        if _harm(quantity, wants, left) <= _harm(quantity, wants, right):
            high = right
        else:
            low = left
    best = round((low + high) / 2.0 / _STEP[quantity]) * _STEP[quantity]
    sources = "; ".join(dict.fromkeys(want.band.source for want in wants))
    return Common(
        band=_about(best, quantity, sources),
        origin="harm",
        wants=wants,
        payers=_payers(quantity, wants, best),
    )


def _harm(quantity: Quantity, wants: Iterable[Want], value: float) -> float:
    total = 0.0
    for want in wants:
        off = _off(want.band, value)
        if quantity is Quantity.CONDUCTIVITY:
            off /= want.band.high if off > 0.0 else want.band.low
        total += want.plants * (WEAK_WEIGHT if want.weak else 1.0) * off**2
    return total


def _payers(quantity: Quantity, wants: Iterable[Want], value: float) -> tuple[Payer, ...]:
    return tuple(
        Payer(crop=want.crop, wants=want.band, off=round(_off(want.band, value), 3))
        for want in wants
        if abs(_off(want.band, value)) > _PAYS[quantity] - 1e-9
    )


def _off(band: Band, value: float) -> float:
    if value > band.high:
        return value - band.high
    return min(0.0, value - band.low)


def _middle(band: Band) -> float:
    return (band.low + band.high) / 2.0


def _about(value: float, quantity: Quantity, source: str) -> Band:
    half = NARROWEST[quantity] / 2.0
    return Band(low=round(value - half, 2), high=round(value + half, 2), source=source)


def _share_young(tiers: Iterable[Tier], young: Mapping[str, float]) -> float:
    listed = tuple(tiers)
    plants = sum(tier.plants for tier in listed)
    return sum(young.get(tier.name, 0.0) for tier in listed) / plants if plants else 0.0


def _low_half(common: Common) -> Common:
    middle = max(_middle(common.band), common.band.low + NARROWEST[Quantity.CONDUCTIVITY])
    band = Band(low=common.band.low, high=min(middle, common.band.high), source=common.band.source)
    return Common(band=band, origin=common.origin, wants=common.wants, payers=common.payers, met=common.met)
