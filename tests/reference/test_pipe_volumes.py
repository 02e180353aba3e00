"""Pipe volumes and drain-back against geometry worked out apart from the program.

Source: tests/reference/data/pipe_volumes.csv, a source on every row.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tendtui.core.rack import Rack, Reservoir, Tier
from tendtui.core.tier_volume import (
    HOSE_L,
    brim_full_litres,
    drain_back,
    lip_for_share,
    litres_in_tier,
    rise_mm,
    segment_mm2,
)

_FILE = Path(__file__).parent / "data" / "pipe_volumes.csv"
with _FILE.open(encoding="utf-8", newline="") as _file:
    ROWS = {row["id"]: row for row in csv.DictReader(_file)}


def _tier(row: dict[str, str]) -> Tier:
    return Tier(
        name=row["id"],
        pipe_inside_mm=float(row["pipe_inside_mm"]),
        length_m=float(row["length_m"]),
        outlet_height_mm=float(row["depth_mm"]),
        pipes=int(row["pipes"]),
    )


def _close(row: dict[str, str]) -> object:
    return pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def _back_l() -> float:
    return float(ROWS["C30"]["expected"]) + float(ROWS["C31"]["expected"])


@pytest.mark.parametrize("key", [key for key, row in ROWS.items() if row["unit"] == "L"])
def test_litres_up_to_the_lip(key: str) -> None:
    assert litres_in_tier(_tier(ROWS[key])) == _close(ROWS[key])


@pytest.mark.parametrize("key", ["C20", "C21", "C22", "C24"])
def test_litres_when_the_outlet_is_blocked(key: str) -> None:
    assert brim_full_litres(_tier(ROWS[key])) == _close(ROWS[key])


def test_depth_of_three_quarters_of_the_section() -> None:
    assert lip_for_share(bore_mm=1.0, share=0.75) == _close(ROWS["W091"])


def test_the_assumed_hose() -> None:
    assert _close(ROWS["C31"]) == HOSE_L
    assert segment_mm2(bore_mm=19.0, depth_mm=19.0) * 3.0 / 1000.0 == _close(ROWS["C31"])


def test_everything_runs_back_through_bottom_outlets() -> None:
    # C30 counts what stands at the running depth; the program adds what stands above the lips.
    rack = Rack(name="r", reservoir=Reservoir(full_l=80.0, least_l=20.0), tiers=(_tier(ROWS["C30"]),))
    back = drain_back(rack)
    assert back.worst_l - back.estimate_l == _close(ROWS["C30"])
    assert back.blocked_l - HOSE_L == _close(ROWS["C24"])


def test_rise_in_the_tank() -> None:
    assert rise_mm(back_l=_back_l(), length_m=0.6, width_m=0.4) == _close(ROWS["C32"])
    assert rise_mm(back_l=float(ROWS["C24"]["expected"]), length_m=0.6, width_m=0.4) == _close(ROWS["C34"])


def test_how_much_lower_the_full_mark_must_go() -> None:
    rise = rise_mm(back_l=_back_l(), length_m=0.6, width_m=0.4)
    assert rise + 50.0 - 80.0 == _close(ROWS["C33"])
