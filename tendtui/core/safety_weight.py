"""What stands on shelf, floor and back: brim-full tiers, tipping, lifting, freeboard."""

from __future__ import annotations

from math import pi

from tendtui.core.finding import Finding
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.safety_load import Sum
from tendtui.core.show import show_value
from tendtui.core.tier_volume import brim_full_litres, drain_back, litres_in_tier
from tendtui.words import _

__all__ = [
    "floor_pressure_kpa",
    "freeboard_holds",
    "full_tier_kg",
    "hose_litres",
    "lift_limit_kg",
    "tipping_pull_n",
    "weight_findings",
    "weight_sums",
]

GRAVITY_M_S2 = 9.81
"""[m/s²] Standard gravity, rounded as in handbooks of statics."""
PIPE_KG_M = 1.5
"""[kg/m] A 110 mm drain pipe. Source: derived from its wall area and 1400 kg/m³."""
POT_KG = 0.35
"""[kg] A net pot with pebbles and plant. Assumed."""
LIFT_CONSTANT_KG = 23.0
"""[kg] Source: revised NIOSH lifting equation."""
SPARE_MM = 50.0
"""[mm] Free height to keep after all has run back. Judgement."""


def full_tier_kg(
    *,
    water_kg: float,
    pipe_m: float,
    pots: int,
    lamps: int = 0,
    lamp_kg: float = 2.5,
    pipe_kg_m: float = PIPE_KG_M,
) -> float:
    """Give the weight of a brim-full tier with all that hangs on it [kg].

    Args:
        water_kg: Water to the brim; a litre is a kilogram. [kg]
        pipe_m: Length of all its pipes. [m]
        pots: Net pots with pebbles and plants.
        lamps: Lamps that hang on it.
        lamp_kg: Weight of one. [kg]
        pipe_kg_m: Weight of a metre of pipe. [kg/m]
    """
    return water_kg + pipe_kg_m * pipe_m + pots * POT_KG + lamps * lamp_kg


def floor_pressure_kpa(*, litres: float, tare_kg: float, length_m: float, width_m: float) -> float:
    """Give what a full tank presses on its floor [kPa].

    Args:
        litres: Water in it. [L]
        tare_kg: The empty tank. [kg]
        length_m: Of its floor. [m]
        width_m: Of its floor. [m]
    """
    return (litres + tare_kg) * GRAVITY_M_S2 / (length_m * width_m) / 1000.0


def tipping_pull_n(*, mass_kg: float, depth_m: float, height_m: float) -> float:
    """Give the pull that tips an unfixed, evenly loaded rack [N].

    Args:
        mass_kg: Of the rack with everything. [kg]
        depth_m: Of its foot, front to back. [m]
        height_m: At which it is pulled. [m]

    Source:
        Statics: moment of the weight about the front foot.
    """
    return mass_kg * GRAVITY_M_S2 * (depth_m / 2.0) / height_m


def lift_limit_kg(
    *,
    reach_cm: float,
    from_cm: float,
    travel_cm: float,
    asymmetry: float = 1.0,
    often: float = 1.0,
    grip: float = 0.95,
) -> float:
    """Give the recommended weight limit of a lift [kg].

    Args:
        reach_cm: Hands from the ankles. [cm]
        from_cm: Hands above the floor at the start. [cm]
        travel_cm: How far up it goes. [cm]
        asymmetry: Multiplier for twisting, 1 for none.
        often: Multiplier for frequency, 1 for rare.
        grip: Multiplier for the handle, 0.95 for fair.

    Source:
        Revised NIOSH lifting equation, from a textbook extract.
    """
    return (
        LIFT_CONSTANT_KG
        * (25.0 / reach_cm)
        * (1.0 - 0.003 * abs(from_cm - 75.0))
        * (0.82 + 4.5 / travel_cm)
        * asymmetry
        * often
        * grip
    )


def hose_litres(*, bore_mm: float, length_m: float) -> float:
    """Give what a hose holds [L].

    Args:
        bore_mm: Inside diameter. [mm]
        length_m: Its length. [m]
    """
    return pi / 4.0 * (bore_mm / 1000.0) ** 2 * length_m * 1000.0


def freeboard_holds(*, freeboard_mm: float, rise_mm: float, spare_mm: float = SPARE_MM) -> bool:
    """Say whether the height above the full mark takes what runs back and keeps some spare.

    Args:
        freeboard_mm: From the full mark to the brim. [mm]
        rise_mm: By what runs back. [mm]
        spare_mm: To stay free. [mm]
    """
    return freeboard_mm >= rise_mm + spare_mm


def weight_sums(rack: Rack) -> tuple[Sum, ...]:
    """Give what each tier weighs brim-full, and the room for what runs back."""
    lamps = sum(device.count for device in rack.devices if device.kind == "light")
    sums: list[Sum] = []
    for tier in rack.tiers:
        water_l = brim_full_litres(tier)
        share = lamps // max(1, len(rack.tiers))
        total = full_tier_kg(
            water_kg=water_l, pipe_m=tier.length_m * tier.pipes, pots=tier.plants, lamps=share
        )
        shown = _(
            "{tier}: {water} brim-full (1 litre is 1 kg), about {total:.0f} kg with pipe, pots and lamps"
        )
        sums.append(
            Sum(
                what=_("weight of {tier}").format(tier=tier.name),
                shown=shown.format(
                    tier=tier.name, water=show_value(water_l, Quantity.VOLUME, rack.show), total=total
                ),
                verdict="",
                words=_("Compare with the mark of its shelf: a blocked outlet fills the pipe to the brim."),
                source=_("geometry; pots 0.35 kg, pipe 1.5 kg a metre, lamps 2.5 kg assumed"),
            )
        )
    return (*sums, _room(rack))


def weight_findings(rack: Rack, *, file: str = "rack.toml") -> tuple[Finding, ...]:
    """Say which tier holds more than the reservoir, and a reservoir that can't take what runs back."""
    found = [
        Finding(
            file=file,
            key=f"tier.{tier.name}",
            what=_("{tier} holds {litres}, more than the reservoir").format(
                tier=tier.name, litres=show_value(litres_in_tier(tier), Quantity.VOLUME, rack.show)
            ),
            do=_(
                "Look at its bore, length and number of pipes; if they are right, the reservoir is too small."
            ),
            severity="warning",
        )
        for tier in rack.tiers
        if litres_in_tier(tier) > rack.reservoir.full_l
    ]
    if drain_back(rack).holds == "no":
        room = _room(rack)
        found.append(
            Finding(file=file, key="reservoir.brim_L", what=room.shown, do=room.words, severity="warning")
        )
    return tuple(found)


def _room(rack: Rack) -> Sum:
    back = drain_back(rack)
    usual, worst = (
        show_value(litres, Quantity.VOLUME, rack.show) for litres in (back.estimate_l, back.worst_l)
    )
    shown = _("{usual} run back when the pump stops, {worst} at most").format(usual=usual, worst=worst)
    if back.room_l is not None:
        room = show_value(back.room_l, Quantity.VOLUME, rack.show)
        shown += _("; room from the full mark to the brim: {room}").format(room=room)
    words = {
        "yes": _("It holds even the worst case."),
        "usually": _("It holds the usual case; try it: pump off for 15 minutes, and stay beside it."),
        "no": _("It does not hold: lower the full mark, or raise the pipe outlets."),
        "unknown": _("Put the litres to the brim into the settings, and try it: pump off for 15 minutes."),
    }
    verdict = {"yes": "green", "usually": "amber", "no": "red", "unknown": ""}
    return Sum(
        what=_("room in the reservoir"),
        shown=shown,
        verdict=verdict[back.holds],
        words=words[back.holds],
        source=_("geometry of pipes and lips"),
    )
