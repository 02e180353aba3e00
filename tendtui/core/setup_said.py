"""What the set-up answers as it goes, in words: litres, drain-back, common bands and who pays."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.bands import Bands, Common, Payer
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import show_band, show_number, show_value, unit_words
from tendtui.core.tier_volume import DrainBack, drain_back, litres_in_pipes, litres_in_tier
from tendtui.words import _, n_

__all__ = ["bands_said", "drain_back_said", "litres_said"]

_LISTED_TIERS = 6
"""More tiers than this are told as their sum only: a page holds no more."""


def litres_said(rack: Rack, show: Show) -> tuple[str, ...]:
    """Say what stands in each pipe and in all, and what the feed is dosed for."""
    each = [
        _("{tier}: {litres}").format(
            tier=tier.name, litres=show_value(litres_in_tier(tier), Quantity.VOLUME, show)
        )
        for tier in rack.tiers[:_LISTED_TIERS]
    ]
    if len(rack.tiers) > _LISTED_TIERS:
        more = len(rack.tiers) - _LISTED_TIERS
        each.append(n_("{n} more", "{n} more", more).format(n=more))
    pipes_l = litres_in_pipes(rack)
    whole = _("In all {pipes} stand in the pipes; with the reservoir full the feed is for {all}.").format(
        pipes=show_value(pipes_l, Quantity.VOLUME, show),
        all=show_value(pipes_l + rack.reservoir.full_l, Quantity.VOLUME, show),
    )
    return (_("Standing up to the lips: {each}.").format(each="; ".join(each)), whole)


def drain_back_said(rack: Rack, show: Show) -> tuple[str, ...]:
    """Say what runs back when the pump stops, and whether the reservoir can take it."""
    back = drain_back(rack)
    return (
        _(
            "When the pump stops about {estimate} run back: what stands above the lips, and the hose. "
            "At worst, with an outlet at the bottom or a siphon, {worst}."
        ).format(
            estimate=show_value(back.estimate_l, Quantity.VOLUME, show),
            worst=show_value(back.worst_l, Quantity.VOLUME, show),
        ),
        _room_said(back, show),
    )


def bands_said(bands: Bands, show: Show) -> tuple[str, ...]:
    """Say the common bands, why they are what they are, and who pays."""
    said = [
        _common_said(bands.conductivity, Quantity.CONDUCTIVITY, _("Conductivity"), show),
        _common_said(bands.ph, Quantity.PH, _("pH"), show),
        _("Temperature of the solution: {band}.").format(
            band=_band_value(bands.temperature.band, Quantity.TEMPERATURE, show)
        ),
    ]
    if bands.young:
        said.append(_("Over a third of the plants are young: the strength stays in the low half."))
    weak = dict.fromkeys(
        want.crop for common in (bands.conductivity, bands.ph) for want in common.wants if want.weak
    )
    if weak:
        said.append(
            _("Of weak origin, a starting guess: the figures for {crops}.").format(crops=", ".join(weak))
        )
    if bands.unknown:
        said.append(
            _("No figures are known for {crops}: they have no voice in this.").format(
                crops=", ".join(bands.unknown)
            )
        )
    return tuple(said)


def _room_said(back: DrainBack, show: Show) -> str:
    room = show_value(max(0.0, back.room_l or 0.0), Quantity.VOLUME, show)
    if back.holds == "yes":
        return _("The reservoir has room for {room}: it holds even that.").format(room=room)
    if back.holds == "usually":
        return _(
            "The reservoir has room for {room}: enough for the usual case, not for the worst. "
            "Prove it once: stop the pump and watch."
        ).format(room=room)
    if back.holds == "no":
        lower_l = back.estimate_l + back.spare_l - (back.room_l or 0.0)
        return _(
            "[!] The reservoir has room for {room} only: it can run over. "
            "Set the full mark at least {lower} lower."
        ).format(room=room, lower=show_value(lower_l, Quantity.VOLUME, show))
    return _(
        "Whether the reservoir can take it isn't known, since nobody said what it holds to the brim. "
        "Stop the pump once and watch, before you leave it alone."
    )


def _common_said(common: Common, quantity: Quantity, name: str, show: Show) -> str:
    band = _band_value(common.band, quantity, show)
    match common.origin:
        case "crops":
            return _("{name}: {band}, good for every crop here.").format(name=name, band=band)
        case "widened":
            met = common.met or common.band
            return _(
                "{name}: {band}. All crops meet in {met} alone; a little room is added, since no hand "
                "meter holds so narrow a band."
            ).format(name=name, band=band, met=_narrow(met, quantity, show))
        case "harm":
            return _(
                "[!] {name}: no band suits every crop. {band} harms least, counted by plants; who pays: "
                "{payers}."
            ).format(name=name, band=band, payers=_payers_said(common.payers, quantity, show))
        case "target":
            said = _("{name}: {band}, as you set it.").format(name=name, band=band)
            if common.payers:
                said += " " + _("Who pays: {payers}.").format(
                    payers=_payers_said(common.payers, quantity, show)
                )
            return said
        case _:
            return _("{name}: {band}, a common band of leafy crops; no crop here asks for another.").format(
                name=name, band=band
            )


def _payers_said(payers: tuple[Payer, ...], quantity: Quantity, show: Show) -> str:
    return "; ".join(
        (
            _("{crop} (wants {band}, gets {off} too much)")
            if payer.off > 0.0
            else _("{crop} (wants {band}, gets {off} too little)")
        ).format(
            crop=payer.crop,
            band=_narrow(payer.wants, quantity, show),
            off=show_number(abs(payer.off), quantity, show),
        )
        for payer in payers
    )


def _narrow(band: Band, quantity: Quantity, show: Show) -> str:
    if band.low == band.high:
        return show_number(band.low, quantity, show)
    return show_band(band, quantity, show)


def _band_value(band: Band, quantity: Quantity, show: Show) -> str:
    unit = unit_words(quantity, show)
    return f"{show_band(band, quantity, show)} {unit}".strip()
