"""Common bands, and who pays."""

from __future__ import annotations

import pytest

from tendtui.core.band import Band
from tendtui.core.bands import bands_of, shared
from tendtui.core.rack import Rack, Reservoir, Target, Tier
from tests.support.crop_table import CROPS as TABLE


def _rack(*tiers: tuple[tuple[str, ...], int], target: Target | None = None) -> Rack:
    return Rack(
        name="r",
        reservoir=Reservoir(full_l=60.0, least_l=20.0),
        target=target or Target(),
        tiers=tuple(
            Tier(
                name=f"T{n}",
                pipe_inside_mm=80.0,
                length_m=1.0,
                outlet_height_mm=40.0,
                crops=crops,
                plants=plants,
            )
            for n, (crops, plants) in enumerate(tiers)
        ),
    )


def test_crops_that_meet_share_what_they_have_in_common() -> None:
    common = bands_of(_rack((("lettuce", "basil"), 10)), TABLE).conductivity
    assert (common.band.low, common.band.high, common.origin) == (1.2, 1.6, "crops")
    assert common.payers == ()


def test_a_single_point_in_common_gets_a_little_room() -> None:
    common = bands_of(_rack((("lettuce",), 5), (("basil",), 5)), TABLE).ph
    assert (common.band.low, common.band.high, common.origin) == (5.8, 6.2, "widened")
    assert common.met == Band(low=6.0, high=6.0, source=common.band.source)


def test_between_crops_that_do_not_meet_the_loss_is_shared_and_named() -> None:
    common = bands_of(_rack((("basil", "spinach"), 10)), TABLE).conductivity
    assert common.origin == "harm"
    assert 1.6 <= common.band.low < common.band.high <= 1.8
    assert {payer.crop: payer.off for payer in common.payers} == {"basil": 0.1, "spinach": -0.1}


def test_an_acidity_that_suits_nobody_lies_between() -> None:
    common = bands_of(_rack((("cucumber", "cabbage"), 4)), TABLE).ph
    assert (common.origin, common.band.low, common.band.high) == ("harm", 5.8, 6.2)
    assert {payer.crop: payer.off for payer in common.payers} == {"cucumber": 0.5, "cabbage": -0.5}


def test_more_plants_pull_the_compromise_to_themselves() -> None:
    many_basil = bands_of(_rack((("basil",), 30), (("spinach",), 2)), TABLE).conductivity.band
    many_spinach = bands_of(_rack((("basil",), 2), (("spinach",), 30)), TABLE).conductivity.band
    assert many_basil.high < many_spinach.high


def test_a_crop_on_two_tiers_has_one_voice_with_all_its_plants() -> None:
    split = bands_of(_rack((("basil",), 5), (("basil",), 5), (("spinach",), 10)), TABLE)
    whole = bands_of(_rack((("basil",), 10), (("spinach",), 10)), TABLE)
    assert split.conductivity == whole.conductivity


def test_a_band_of_weak_origin_counts_less() -> None:
    # chard (weak) and spinach want the same strength
    weak = bands_of(_rack((("basil",), 10), (("chard",), 10)), TABLE).conductivity
    firm = bands_of(_rack((("basil",), 10), (("spinach",), 10)), TABLE).conductivity
    assert weak.band.low < firm.band.low


def test_the_growers_own_wish_goes_first_and_still_names_who_pays() -> None:
    target = Target(conductivity_ms_cm=(2.0, 2.2), ph=(5.6, 6.0), temperature_c=(17.0, 21.0))
    bands = bands_of(_rack((("basil",), 10), target=target), TABLE)
    assert bands.conductivity.band == Band(low=2.0, high=2.2, source="rack.toml")
    assert [(payer.crop, payer.off) for payer in bands.conductivity.payers] == [("basil", 0.5)]
    assert (bands.ph.band.low, bands.temperature.band.high) == (5.6, 21.0)


def test_less_than_a_step_of_the_meter_is_nothing_to_pay() -> None:
    near = _rack((("lettuce",), 5), target=Target(ph=(5.6, 6.3)))
    far = _rack((("lettuce",), 5), target=Target(ph=(5.5, 6.1)))
    assert bands_of(near, TABLE).ph.payers == ()
    assert [payer.off for payer in bands_of(far, TABLE).ph.payers] == [-0.2]


def test_what_is_only_borne_does_not_set_the_wish() -> None:
    common = bands_of(_rack((("dill", "coriander"), 6)), TABLE).conductivity
    assert common.origin == "general"
    assert common.band == Band(low=1.2, high=1.8, source=common.band.source)


def test_an_unknown_crop_has_no_voice_and_is_named() -> None:
    bands = bands_of(_rack((("tulip", "lettuce"), 6), (("tulip",), 2)), TABLE)
    assert bands.unknown == ("tulip",)
    assert (bands.conductivity.band.low, bands.conductivity.band.high) == (1.2, 1.8)


def test_an_empty_rack_goes_by_leafy_crops_in_general() -> None:
    bands = bands_of(_rack(), TABLE)
    assert bands.conductivity.origin == bands.ph.origin == "general"
    assert (bands.warm_c, bands.hot_c) == (24.0, 26.0)


def test_many_young_plants_keep_the_strength_low() -> None:
    rack = _rack((("lettuce",), 10))
    assert not bands_of(rack, TABLE, young={"T0": 3}).young
    bands = bands_of(rack, TABLE, young={"T0": 4})
    assert bands.young
    assert (bands.conductivity.band.low, bands.conductivity.band.high) == (1.2, 1.5)


def test_the_growers_wish_holds_for_young_plants_too() -> None:
    rack = _rack((("lettuce",), 10), target=Target(conductivity_ms_cm=(1.0, 2.0)))
    assert bands_of(rack, TABLE, young={"T0": 10}).conductivity.band.high == 2.0


def test_a_young_tomato_wants_what_its_source_says_of_young_ones() -> None:
    rack = _rack((("tomato",), 4))
    young = bands_of(rack, TABLE, young={"T0": 4}).conductivity
    assert (young.wants[0].band.low, young.wants[0].band.high) == (2.0, 2.0)


def test_nothing_shares_nothing() -> None:
    assert shared([]) is None


@pytest.mark.parametrize("crop", [crop.name for crop in TABLE.crops])
def test_every_crop_alone_gets_a_band_that_can_be_aimed_at(crop: str) -> None:
    bands = bands_of(_rack(((crop,), 3)), TABLE)
    assert bands.conductivity.band.high - bands.conductivity.band.low >= 0.2 - 1e-9
    assert bands.ph.band.high - bands.ph.band.low >= 0.4 - 1e-9
