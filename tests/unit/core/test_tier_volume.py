"""What stands in the pipes and what runs back."""

from __future__ import annotations

import pytest

from tendtui.core.rack import Rack, Reservoir, Tier
from tendtui.core.tier_volume import (
    HEAD_OVER_LIP_MM,
    brim_full_litres,
    drain_back,
    lip_for_share,
    litres_in_pipes,
    litres_in_tier,
    rise_mm,
    segment_mm2,
)
from tendtui.value import replace

TIER = Tier(name="Top", pipe_inside_mm=80.0, length_m=1.6, outlet_height_mm=45.0)
RACK = Rack(name="r", reservoir=Reservoir(full_l=60.0, least_l=30.0), tiers=(TIER, TIER))


def test_a_pipe_half_full_holds_half() -> None:
    half = replace(TIER, outlet_height_mm=40.0)
    assert litres_in_tier(half) == pytest.approx(brim_full_litres(half) / 2.0)


def test_a_bottom_outlet_keeps_nothing() -> None:
    assert litres_in_tier(replace(TIER, outlet_height_mm=0.0)) == 0.0


def test_a_lip_at_the_crown_is_brim_full() -> None:
    assert litres_in_tier(replace(TIER, outlet_height_mm=80.0)) == pytest.approx(brim_full_litres(TIER))


@pytest.mark.parametrize("lip_mm", [80.1, -1.0, float("nan"), float("inf")])
def test_a_lip_outside_the_pipe_is_refused_by_name(lip_mm: float) -> None:
    with pytest.raises(ValueError, match=r"Top: the lip at .* lies outside the pipe of 80 mm"):
        litres_in_tier(replace(TIER, outlet_height_mm=lip_mm))


@pytest.mark.parametrize("length_m", [0.0, -1.0, float("nan"), float("inf")])
def test_a_pipe_without_length_is_refused(length_m: float) -> None:
    with pytest.raises(ValueError, match="length"):
        litres_in_tier(replace(TIER, length_m=length_m))


def test_no_pipe_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match="number"):
        litres_in_tier(replace(TIER, pipes=0))


@pytest.mark.parametrize("bore_mm", [0.0, -3.0, float("nan"), float("inf")])
def test_a_bore_that_cannot_be_is_refused(bore_mm: float) -> None:
    with pytest.raises(ValueError, match="bore"):
        segment_mm2(bore_mm=bore_mm, depth_mm=0.0)


def test_a_depth_over_the_bore_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        segment_mm2(bore_mm=10.0, depth_mm=11.0)


def test_pipes_beside_each_other_add_up() -> None:
    assert litres_in_tier(replace(TIER, pipes=4)) == pytest.approx(4.0 * litres_in_tier(TIER))


def test_measured_pipes_go_before_the_computed_ones() -> None:
    measured = replace(RACK, reservoir=replace(RACK.reservoir, pipes_l=12.5))
    assert litres_in_pipes(measured) == 12.5
    assert litres_in_pipes(RACK) == pytest.approx(2.0 * litres_in_tier(TIER))


def test_the_depth_for_a_share_gives_that_share_back() -> None:
    depth = lip_for_share(bore_mm=80.0, share=0.3)
    whole = segment_mm2(bore_mm=80.0, depth_mm=80.0)
    assert segment_mm2(bore_mm=80.0, depth_mm=depth) == pytest.approx(0.3 * whole)


def test_a_share_above_one_is_refused() -> None:
    with pytest.raises(ValueError, match="share"):
        lip_for_share(bore_mm=80.0, share=1.1)


def test_a_tank_without_floor_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        rise_mm(back_l=1.0, length_m=0.0, width_m=1.0)


def test_only_what_stands_above_the_lips_runs_back() -> None:
    raised = replace(TIER, outlet_height_mm=45.0 + HEAD_OVER_LIP_MM)
    above = 2.0 * (litres_in_tier(raised) - litres_in_tier(TIER))
    back = drain_back(RACK, hose_l=0.5)
    assert back.estimate_l == pytest.approx(above + 0.5)
    assert back.worst_l == pytest.approx(above + 0.5 + litres_in_pipes(RACK))


def test_water_never_stands_above_the_crown() -> None:
    high = replace(RACK, tiers=(replace(TIER, outlet_height_mm=79.0),))
    assert drain_back(high).worst_l == pytest.approx(drain_back(high).blocked_l)


@pytest.mark.parametrize(
    ("brim_l", "holds"), [(None, "unknown"), (61.0, "no"), (72.0, "usually"), (90.0, "yes")]
)
def test_the_room_to_the_brim_decides(brim_l: float | None, holds: str) -> None:
    rack = replace(RACK, reservoir=replace(RACK.reservoir, brim_l=brim_l))
    assert drain_back(rack).holds == holds


def test_a_hose_cannot_hold_less_than_nothing() -> None:
    with pytest.raises(ValueError, match="hose"):
        drain_back(RACK, hose_l=-0.1)
