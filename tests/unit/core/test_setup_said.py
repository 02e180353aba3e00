"""What the set-up answers as it goes."""

from __future__ import annotations

import pytest

from tendtui.core.bands import bands_of
from tendtui.core.rack import Rack, Reservoir, Show, Target, Tier
from tendtui.core.setup_said import bands_said, drain_back_said, litres_said
from tendtui.value import replace
from tests.support.crop_table import CROPS

TIER = Tier(name="Top", pipe_inside_mm=80.0, length_m=1.6, outlet_height_mm=45.0, crops=("basil",), plants=10)
RACK = Rack(name="r", reservoir=Reservoir(full_l=60.0, least_l=25.0), tiers=(TIER,))
SHOW = Show()


def _said(rack: Rack, **young: float) -> str:
    return "\n".join(bands_said(bands_of(rack, CROPS, young=young), SHOW))


def test_each_pipe_and_all_are_told() -> None:
    assert litres_said(RACK, SHOW) == (
        "Standing up to the lips: Top: 4.7 litres.",
        "In all 4.7 litres stand in the pipes; with the reservoir full the feed is for 64.7 litres.",
    )


def test_many_tiers_are_told_shortly() -> None:
    many = replace(RACK, tiers=tuple(replace(TIER, name=f"T{n}") for n in range(30)))
    assert litres_said(many, SHOW)[0].endswith("T5: 4.7 litres; 24 more.")


def test_litres_are_told_in_gallons_to_whoever_thinks_in_them() -> None:
    assert "Top: 1.2 US gallons" in litres_said(RACK, Show(volume="gal"))[0]


@pytest.mark.parametrize(
    ("brim_l", "words"),
    [
        (None, "isn't known, since nobody said"),
        (90.0, "it holds even that"),
        (70.0, "enough for the usual case, not for the worst"),
        (61.0, "[!] The reservoir has room for 1 litre only: it can run over. Set the full mark at least 6"),
    ],
)
def test_the_room_at_the_brim_is_judged(brim_l: float | None, words: str) -> None:
    rack = replace(RACK, reservoir=replace(RACK.reservoir, brim_l=brim_l))
    assert words in drain_back_said(rack, SHOW)[1]


def test_a_band_of_ones_own_names_who_pays() -> None:
    said = _said(replace(RACK, target=Target(conductivity_ms_cm=(2.0, 2.2), ph=(5.6, 5.9))))
    assert "Conductivity: 2.00 to 2.20 mS/cm, as you set it. Who pays: basil (wants 1.00 to 1.60" in said
    assert "pH: 5.6 to 5.9, as you set it." in said


def test_a_point_in_common_is_told_as_one() -> None:
    said = _said(replace(RACK, tiers=(replace(TIER, crops=("basil", "lettuce")),)))
    assert "All crops meet in 6.0 alone" in said


def test_what_no_crop_asks_for_is_told_as_general() -> None:
    assert "a common band of leafy crops" in _said(replace(RACK, tiers=()))


def test_weak_unknown_and_young_are_told() -> None:
    said = _said(replace(RACK, tiers=(replace(TIER, crops=("mint", "tulip")),)), Top=10.0)
    assert "Of weak origin, a starting guess: the figures for mint." in said
    assert "No figures are known for tulip" in said
    assert "the strength stays in the low half" in said
