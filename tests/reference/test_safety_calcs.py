"""Every safety sum against its published or derived figure; the source stands in each row of the table."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from tendtui.core.rack import Device, Tier
from tendtui.core.recurrence import day_due, read_cadence
from tendtui.core.region import trip_test_months
from tendtui.core.safety_load import (
    amps_of,
    continuous_load_fits,
    inrush_a,
    leakage_budget_ma,
    reel_bears,
    share_of_rating_a,
    trips_before_freezing,
    watts_at,
)
from tendtui.core.safety_sum import (
    FOOT_M,
    INCH_CM,
    bleach_ml,
    bleach_ppm,
    body_current_ma,
    dew_point_c,
    garden_m2,
    ladder_foot_m,
    minutes_to_empty,
    nitrogen_g,
    pump_speed_share,
    rinse_litres,
    to_drinking_limit_l,
)
from tendtui.core.safety_weight import (
    floor_pressure_kpa,
    freeboard_holds,
    full_tier_kg,
    hose_litres,
    lift_limit_kg,
    tipping_pull_n,
)
from tendtui.core.tier_volume import brim_full_litres, litres_in_tier, rise_mm

Inputs = Mapping[str, float]


def _rows() -> list[dict[str, str]]:
    with (Path(__file__).parent / "data" / "safety_calcs.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


ROWS = {row["id"]: row for row in _rows()}


def _inputs(text: str) -> dict[str, float]:
    pairs = (part.split("=") for part in text.split(";"))
    return {name.strip(): float(value) for name, value in pairs}


def _tier(i: Inputs) -> Tier:
    return Tier(
        name="t",
        pipe_inside_mm=i["id_mm"],
        length_m=i["length_m"],
        outlet_height_mm=i.get("h_mm", i["id_mm"]),
        pipes=int(i.get("pipes", 1)),
    )


def _devices_a(i: Inputs) -> float:
    pump = Device(name="pump", watts=i["pump_W"])
    air = Device(name="air", watts=i["air_W"])
    lamps = Device(name="lamps", watts=i["lamp_W"], count=int(i["lamps"]))
    fan = Device(name="fan", watts=i["fan_W"])
    return sum(amps_of(device, volts=i["volts"]) for device in (pump, air, lamps, fan))


def _with_heater_a(i: Inputs) -> float:
    rack, heater = Device(name="rack", watts=i["rack_W"]), Device(name="heater", watts=i["heater_W"])
    return amps_of(rack, volts=i["volts"]) + amps_of(heater, volts=i["volts"])


def _days(months: float) -> int:
    began = date(2026, 4, 1)
    due = day_due(began, read_cadence(f"every {months:g} months"))
    assert due is not None
    return (due - began).days


def _share_w(i: Inputs) -> float:
    return watts_at(rating_a=i["rating_A"], volts=i["volts"], share=i["share"])


def _fits(i: Inputs) -> bool:
    return continuous_load_fits(continuous_a=i["cont_A"], other_a=i["other_A"], rating_a=i["rating_A"])


def _led(i: Inputs) -> float:
    return inrush_a(run_a=i["run_A"], count=int(i["n"]), times=i["mult"])


def _low_lift(i: Inputs) -> float:
    return lift_limit_kg(
        reach_cm=i["H"], from_cm=i["V"], travel_cm=i["D"], asymmetry=i["AM"], often=i["FM"], grip=i["CM"]
    )


def _full_tier(i: Inputs) -> float:
    return full_tier_kg(
        water_kg=i["water_kg"],
        pipe_m=i["pipe_m"],
        pots=int(i["pots"]),
        lamps=int(i["lamps"]),
        lamp_kg=i["lamp_kg"],
        pipe_kg_m=i["pipe_kgpm"],
    )


OURS: dict[str, Callable[[Inputs], float | bool]] = {
    "C01": lambda i: share_of_rating_a(rating_a=i["rating_A"], share=i["share"]),
    "C02": _share_w,
    "C03": _share_w,
    "C04": lambda i: watts_at(rating_a=i["rating_A"], volts=i["volts"]),
    "C05": _share_w,
    "C06": _share_w,
    "C07": _devices_a,
    "C08": _devices_a,
    "C09": _with_heater_a,
    "C10": _with_heater_a,
    "C11": lambda i: amps_of(
        Device(name="lamps", watts=i["watts"], count=int(i["lamps"]), power_factor=i["pf"]), volts=i["volts"]
    ),
    "C12": _fits,
    "C13": _fits,
    "C14": lambda i: reel_bears(load_w=i["load_W"], wound_w=i["wound_W"]),
    "C15": lambda i: reel_bears(load_w=i["load_W"], wound_w=i["wound_W"]),
    "C16": lambda i: watts_at(rating_a=i["fuse_A"], volts=i["volts"]),
    "C17": _led,
    "C18": _led,
    "C19": lambda i: inrush_a(run_a=i["run_A"], times=i["mult"]),
    "C20": lambda i: brim_full_litres(_tier(i)),
    "C21": lambda i: brim_full_litres(_tier(i)),
    "C22": lambda i: brim_full_litres(_tier(i)),
    "C23": lambda i: litres_in_tier(_tier(i)),
    "C24": lambda i: brim_full_litres(_tier(i)),
    "C25": _full_tier,
    "C26": lambda i: floor_pressure_kpa(
        litres=i["litres"], tare_kg=i["tare_kg"], length_m=i["l_m"], width_m=i["w_m"]
    ),
    "C27": lambda i: tipping_pull_n(mass_kg=i["mass_kg"], depth_m=i["depth_m"], height_m=i["height_m"]),
    "C28": _low_lift,
    "C29": lambda i: i["litres"] + i["tare_kg"] <= _low_lift(_inputs(ROWS["C28"]["inputs"])),
    "C30": lambda i: litres_in_tier(_tier(i)),
    "C31": lambda i: hose_litres(bore_mm=i["d_mm"], length_m=i["length_m"]),
    "C32": lambda i: rise_mm(back_l=i["back_L"] + i["hose_L"], length_m=i["l_m"], width_m=i["w_m"]),
    "C33": lambda i: freeboard_holds(
        freeboard_mm=i["freeboard_mm"], rise_mm=i["rise_mm"], spare_mm=i["spare_mm"]
    ),
    "C34": lambda i: rise_mm(back_l=brim_full_litres(_tier(i)), length_m=i["l_m"], width_m=i["w_m"]),
    "C35": lambda i: minutes_to_empty(usable_l=i["usable_L"], flow_l_h=i["flow_Lph"]),
    "C40": lambda i: body_current_ma(volts=i["volts"], skin_ohm=i["ohm"]),
    "C41": lambda i: body_current_ma(volts=i["volts"], skin_ohm=i["ohm"]),
    "C42": lambda i: trips_before_freezing(trip_ma=i["trip_mA"]),
    "C43": lambda i: leakage_budget_ma(rating_ma=i["rcd_mA"]),
    "C44": lambda i: i["n"] * i["leak_mA"] <= leakage_budget_ma(rating_ma=30.0),
    "C50": lambda i: _days(i["months"]),
    "C51": lambda i: _days(i["months"]),
    "C52": lambda i: _days(i["months"]),
    "C53": lambda i: _days(i["months"]),
    "C54": lambda i: trip_test_months(label_months=int(i["label"]), region_months=int(i["region"])),
    "C60": lambda i: rinse_litres(minutes=i["minutes"], l_min=i["lpm"]),
    "C61": lambda i: bleach_ppm(bleach_ml=i["ml"], bleach_percent=i["pct"], litres=i["litres"]),
    "C62": lambda i: bleach_ml(ppm=i["ppm"], bleach_percent=i["pct"], litres=i["litres"]),
    "C63": lambda i: nitrogen_g(litres=i["litres"], nitrogen_mg_l=i["mgpl"]),
    "C64": lambda i: garden_m2(nitrogen_g=i["gN"], rate_g_m2=i["gpm2"]),
    "C65": lambda i: to_drinking_limit_l(nitrogen_g=i["gN"]),
    "C66": lambda i: i["inch"] * INCH_CM,
    "C70": lambda i: dew_point_c(air_c=i["T"], humidity_percent=i["RH"]),
    "C71": lambda i: dew_point_c(air_c=i["T"], humidity_percent=i["RH"]),
    "C72": lambda i: ladder_foot_m(height_m=i["height_m"]),
    "C73": lambda i: pump_speed_share(made_for_hz=i["f1"], plugged_at_hz=i["f2"]),
    "C74": lambda i: i["ft"] * FOOT_M,
}


def test_no_row_is_left_out() -> None:
    assert set(OURS) == set(ROWS)


@pytest.mark.parametrize("row_id", sorted(ROWS))
def test_our_sum_gives_the_published_figure(row_id: str) -> None:
    row = ROWS[row_id]
    ours = OURS[row_id](_inputs(row["inputs"]))
    if row["unit"] == "bool":
        assert ours is (row["expected"] == "true"), row["source"]
    else:
        assert ours == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 1e-9), row[
            "source"
        ]
