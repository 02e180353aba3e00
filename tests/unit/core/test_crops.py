"""The crop table and the names people use."""

from __future__ import annotations

import pytest

from tendtui.core.crops import crops_from, find_crop, nearest_crops
from tests.support.crop_table import CROP_DATA as DATA
from tests.support.crop_table import CROPS as TABLE


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("arugula", "rocket"),
        ("Cilantro", "coriander"),
        ("egg-plant", "aubergine"),
        ("Strawberries", "strawberry"),
        ("  bok   choy ", "pak choi"),
        ("Silverbeet", "chard"),
        ("watercress", "watercress"),
        ("lettuce (red leaf)", "lettuce"),
        ("Swiss chard (silverbeet)", "chard"),
        ("giant leaf (cilantro)", "coriander"),
        ("spinach (baby leaf)", "baby-leaf spinach"),
    ],
)
def test_another_name_finds_the_crop(typed: str, name: str) -> None:
    found = find_crop(typed, TABLE)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize(
    ("typed", "name"),
    [("letuce", "lettuce"), ("rokcet", "rocket"), ("spinage", "spinach"), ("red lettuce", "lettuce")],
)
def test_a_slip_of_the_pen_is_near(typed: str, name: str) -> None:
    assert find_crop(typed, TABLE) is None
    assert nearest_crops(typed, TABLE)[0] == name


@pytest.mark.parametrize("typed", ["tulip", "x", "", "[/]"])
def test_what_is_no_crop_has_none_near(typed: str) -> None:
    assert find_crop(typed, TABLE) is None
    assert nearest_crops(typed, TABLE) == ()


def test_no_two_crops_share_a_name() -> None:
    names = [name.casefold() for crop in TABLE.crops for name in (crop.name, *crop.aliases)]
    assert len(names) == len(set(names))


def test_every_band_names_its_source() -> None:
    for crop in TABLE.crops:
        for band in (crop.conductivity_ms_cm, crop.ph, crop.drinks_l_day, crop.harvest_days):
            assert band is None or len(band.source) > 10


def test_rows_of_weak_origin_are_marked() -> None:
    mint, basil = find_crop("mint", TABLE), find_crop("basil", TABLE)
    assert mint is not None
    assert basil is not None
    assert mint.weak == ("conductivity", "ph")
    assert basil.weak == ()


def test_a_range_that_is_only_borne_says_so() -> None:
    dill = find_crop("dill", TABLE)
    assert dill is not None
    assert dill.tolerates


def test_a_table_of_another_shape_is_refused() -> None:
    with pytest.raises(TypeError):
        crops_from({**DATA, "crop": {}})
    with pytest.raises(TypeError):
        crops_from({**DATA, "crop": [{"name": "x", "aliases": "y"}]})
    with pytest.raises(TypeError):
        crops_from({**DATA, "source": []})


def test_a_general_band_must_be_there() -> None:
    general = {key: value for key, value in DATA["general"].items() if key != "ph"}
    with pytest.raises(KeyError):
        crops_from({**DATA, "general": general})
