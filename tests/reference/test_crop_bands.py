"""Crop bands and what crops have in common, against the published tables.

Source: tests/reference/data/crop_bands.csv, a source on every row.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tendtui.core.band import Band
from tendtui.core.bands import shared
from tendtui.core.crops import find_crop
from tests.support.crop_table import CROPS

with (Path(__file__).parent / "data" / "crop_bands.csv").open(encoding="utf-8", newline="") as _file:
    ROWS = tuple(csv.DictReader(_file))


def _band(name: str, quantity: str) -> Band:
    crop = find_crop(name, CROPS)
    assert crop is not None
    band = crop.conductivity_ms_cm if quantity == "conductivity" else crop.ph
    assert band is not None
    return band


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_common_band(row: dict[str, str]) -> None:
    common = shared(_band(name, row["quantity"]) for name in row["crops"].split(";"))
    if not row["expected_low"]:
        assert common is None
        return
    assert common is not None
    assert (common.low, common.high) == (float(row["expected_low"]), float(row["expected_high"]))
