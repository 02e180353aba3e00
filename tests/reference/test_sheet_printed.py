"""The sheet fits two sides of A4 (210 x 297 mm, ISO 216) in every language, on small racks and large."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.sheet import Sheet
from tendtui.core.sheet_fit import ROOM_MM, back_mm, drill_pt, front_mm, front_pt, row_mm
from tendtui.core.sheet_page import sheet_page
from tendtui.value import replace
from tendtui.words import use
from tests.pilot.test_language import translation
from tests.support.catalogue import languages
from tests.unit.core.test_sheet import COVER, RACK, TIER, sheet

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
LANGUAGES = ("en", *languages(), "longer")


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    yield
    use(None)


def filled(days: int, tiers: int) -> Sheet:
    """Give a sheet of a rack with so many tiers, names of some length and more than the usual numbers."""
    rack = replace(
        RACK,
        name="Laundry wall beside the back door",
        tiers=tuple(replace(TIER, name=f"Shelf number {n}") for n in range(1, tiers + 1)),
        phones={f"Person number {n}": "0491 570 156" for n in range(1, 3 + tiers // 3)},
    )
    cover = replace(COVER, last=COVER.first + timedelta(days=days - 1), depth="readings", who="Wilhelmina")
    return sheet(rack=rack, cover=cover)


@pytest.mark.parametrize("tiers", [1, 3, 8])
@pytest.mark.parametrize("days", [1, 7, 14, 21, 28])
@pytest.mark.parametrize("language", LANGUAGES)
def test_its_letters_are_as_large_as_each_side_allows(language: str, days: int, tiers: int) -> None:
    use(translation(language))
    made = filled(days, tiers)
    assert front_mm(made, front_pt(made)) < ROOM_MM
    assert back_mm(made, drill_pt(made)) < ROOM_MM
    # read at arm's length; common practice, no source: 8 points is the least for a text that is to be read
    assert front_pt(made) >= 8.0
    assert drill_pt(made) >= 7.0
    assert row_mm(made) >= 4.5  # room for a tick and a time
    text = sheet_page(made)
    assert f"font: {front_pt(made)}pt" in text
    assert text.count("class='side'") == 1


def test_a_small_sheet_in_english_has_large_letters() -> None:
    assert front_pt(filled(7, 3)) >= 9.5
    assert drill_pt(filled(7, 3)) >= 9.0


@pytest.mark.slow
@pytest.mark.skipif(BROWSER is None, reason="no browser to print with")
@pytest.mark.parametrize(
    ("language", "days", "tiers"),
    [("en", 7, 3), ("en", 28, 8), *((language, 28, 8) for language in languages()), ("longer", 14, 3)],
)
def test_a_browser_prints_it_on_two_sides(tmp_path: Path, language: str, days: int, tiers: int) -> None:
    assert BROWSER is not None
    use(translation(language))
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(sheet_page(filled(days, tiers), language=language), encoding="utf-8")
    subprocess.run(
        [
            BROWSER,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            f"--user-data-dir={tmp_path / 'profile'}",
            "--no-pdf-header-footer",
            f"--print-to-pdf={printed}",
            page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=60,
    )
    assert len(re.findall(rb"/Type\s*/Page\b", printed.read_bytes())) == 2
