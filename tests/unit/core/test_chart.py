"""The chart for the wall is well-formed, holds every value, and takes no name for anything but text."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from datetime import timedelta

import pytest

from tendtui.core.chart import chart_svg
from tendtui.core.chart_page import chart_page
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.learn_course import course_of
from tendtui.core.trend import Trends, trends_of
from tests.support.fake_session import NASTY, fake_rack
from tests.unit.core.test_trend import BANDS, NOW, keys

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = f'<script>alert(1)</script> & "{NASTY}" \x1b[31m ]]> \ud800'


def events() -> tuple[Event, ...]:
    flows = {tier.name: 2.0 for tier in fake_rack().tiers}
    readings = [
        Reading(**keys(n, 1), level_l=50.0, ph=5.8 + n / 20.0, conductivity_ms_cm=1.5, flow_l_min=flows)
        for n in range(14, 0, -1)
    ]
    doubtful = Reading(**keys(0.5), ph=61.0, doubt=("ph",))
    return (Change(**keys(15)), *readings, Poured(**keys(2, 2), what="Acid", ml=3.0), doubtful)


def made(*log: Event) -> Trends:
    return trends_of(course_of(fake_rack(), log), NOW, BANDS)


def test_it_parses_and_draws_each_value_once() -> None:
    root = ET.fromstring(chart_svg(made(*events()), title="Rack"))
    assert root.tag == f"{SVG}svg"
    circles = len(root.findall(f"{SVG}circle"))
    diamonds = sum(1 for path in root.findall(f"{SVG}path") if (path.get("d") or "").endswith("z"))
    samples = [s for t in made(*events()).trends for s in t.samples]
    assert circles + diamonds == sum(1 for s in samples if not s.doubt)
    assert diamonds == sum(t.outside for t in made(*events()).trends) > 0
    assert [text.text for text in root.iter(f"{SVG}text")].count("?") == 1


def test_bands_and_changes_are_told_in_shape_and_words() -> None:
    text = chart_svg(made(*events()), title="Rack")
    assert "band 5.6 to 6.2" in text
    assert "outside: 6" in text
    assert "C change" in text
    assert 'stroke-dasharray="2 4"' in text


def test_everything_lies_inside_the_picture() -> None:
    root = ET.fromstring(chart_svg(made(*events()), title="Rack"))
    _x, _y, wide, high = (float(n) for n in (root.get("viewBox") or "").split())
    for circle in root.findall(f"{SVG}circle"):
        assert 0.0 <= float(circle.get("cx") or -1) <= wide
        assert 0.0 <= float(circle.get("cy") or -1) <= high


def test_now_is_at_the_right() -> None:
    late = Reading(id="late", seq=99, at=NOW - timedelta(minutes=1), ph=6.0)
    root = ET.fromstring(chart_svg(made(*events(), late), title="Rack"))
    rightmost = max(float(circle.get("cx") or 0) for circle in root.findall(f"{SVG}circle"))
    assert rightmost == pytest.approx(1000 - 24, abs=1.0)


@pytest.mark.parametrize("draw", [chart_svg, chart_page])
def test_no_script_no_link_and_hostile_names_are_text(draw: object) -> None:
    text = (chart_svg if draw is chart_svg else chart_page)(made(*events()), title=HOSTILE)
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert "\x1b" not in text
    assert not re.search(r"(href|src|@import|url\()", text)
    assert set(re.findall(r'https?://[^"]+', text)) <= {"http://www.w3.org/2000/svg"}
    text.encode("utf-8")
    ET.fromstring(text.removeprefix("<!doctype html>\n"))


def test_the_page_has_the_newest_readings_as_words() -> None:
    page = chart_page(made(*events()), title="Rack", language="en")
    assert "acid or alkali" in page
    assert "61.0 ?" in page
    assert page.count("<tr>") <= 30


def test_an_empty_log_says_so() -> None:
    root = ET.fromstring(chart_svg(made(), title="Rack"))
    assert any("Nothing was read" in (text.text or "") for text in root.iter(f"{SVG}text"))
