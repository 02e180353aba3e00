"""The trends as a drawn page: it fits, in dots and in ASCII, and nothing rests on a hue."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.learn_course import course_of
from tendtui.core.trend import Reach, Trends, trends_of, within
from tendtui.tui.commands import TRENDS
from tendtui.tui.draw.plot import acts_row, plot_rows
from tendtui.tui.draw.sheet import offered
from tendtui.tui.draw.trend_sheet import TrendView, draw_trends
from tendtui.tui.line import Line, plain, width_of
from tendtui.value import replace
from tests.support.fake_session import NASTY, fake_rack
from tests.unit.core.test_trend import BANDS, NOW, keys
from tests.unit.tui.test_sheets import longer_words

SIZES = ((60, 16), (60, 20), (79, 23), (80, 24), (120, 40), (200, 60))


def made(*log: Event, tiers: int = 3) -> Trends:
    return trends_of(course_of(fake_rack(tiers), log), NOW, BANDS)


def season(tiers: int = 3) -> Trends:
    flows = {tier.name: 2.0 for tier in fake_rack(tiers).tiers}
    readings = [
        Reading(**keys(n, 1), level_l=50.0, ph=5.5 + n / 30.0, conductivity_ms_cm=1.5, flow_l_min=flows)
        for n in range(40, 0, -1)
    ]
    return made(Change(**keys(35)), *readings, Poured(**keys(2, 2), what="Acid", ml=3.0), tiers=tiers)


def view(trends: Trends, **more: object) -> TrendView:
    shown = TrendView(trends=trends, commands=offered(TRENDS), by=NASTY, signs="blocks")
    return replace(shown, **more)


def words(lines: tuple[Line, ...]) -> str:
    return "\n".join(plain(line).rstrip() for line in lines)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("signs", ["ascii", "lines", "blocks"])
@pytest.mark.parametrize("reach", list(Reach))
@pytest.mark.parametrize("tiers", [1, 3, 9])
def test_strips_table_and_one_alone_fit_every_window(
    size: tuple[int, int], signs: str, reach: Reach, tiers: int
) -> None:
    width, height = size
    trends = within(season(tiers), reach)
    for more in ({}, {"as_table": True}, {"alone": 2}, {"scroll": 99, "stops": ("Water near the plug",)}):
        sheet = draw_trends(view(trends, signs=signs, **more), width, height)
        assert len(sheet.lines) == height
        assert max(width_of(line) for line in sheet.lines) <= width
        assert "Esc back" in plain(sheet.lines[-1])


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
def test_words_half_as_long_again_fit_too(size: tuple[int, int]) -> None:
    with longer_words():
        for more in ({}, {"as_table": True}):
            sheet = draw_trends(view(season(), **more), *size)
            assert len(sheet.lines) == size[1]
            assert max(width_of(line) for line in sheet.lines) <= size[0]


def test_plain_signs_are_ascii_throughout() -> None:
    assert words(draw_trends(view(season(), signs="ascii"), 80, 24).lines).isascii()


def test_a_course_in_ascii_is_drawn_as_it_went() -> None:
    """Small enough to be checked by eye: falling from above the band to below it; | is the change."""
    log = [Reading(**keys(n), ph=ph) for n, ph in ((8, 6.4), (6, 6.1), (4, 5.8), (2, 5.5), (0, 5.5))]
    trends = made(*log, Change(**keys(5)))
    ph = next(t for t in trends.trends if t.id == "ph")
    drawn = [plain(line) for line in plot_rows(ph, trends, width=25, height=4, signs="ascii")]
    assert drawn == [
        "!___     |               ",
        ".   '-o-_|  .   .   .   .",
        "         '''o___         ",
        ".   .   .|  .   '-!-----!",
    ]


def test_a_value_is_higher_on_the_page_when_it_is_higher() -> None:
    log = [Reading(**keys(2), ph=6.2), Reading(**keys(1), ph=5.6)]
    trends = made(*log)
    ph = next(t for t in trends.trends if t.id == "ph")
    rows = [plain(line) for line in plot_rows(ph, trends, width=20, height=8, signs="ascii")]
    first = next(n for n, row in enumerate(rows) if row[0] == "o")
    second = next(n for n, row in enumerate(rows) if "o" in row[1:])
    assert first < second


def test_a_doubtful_value_is_a_question_mark() -> None:
    trends = made(Reading(**keys(3), ph=6.0), Reading(**keys(1), ph=6.1, doubt=("ph",)))
    ph = next(t for t in trends.trends if t.id == "ph")
    for signs in ("ascii", "blocks"):
        text = words(plot_rows(ph, trends, width=30, height=4, signs=signs))
        assert text.count("?") == 1


def test_the_heaviest_act_stands_where_several_meet_and_now_is_at_the_right() -> None:
    trends = made(
        Reading(**keys(10), ph=6.0),
        Poured(**keys(5, 1), what="water", litres=5.0),
        Poured(**keys(5, 2), what=fake_rack().feeds[0].name, ml=5.0),
        Poured(**keys(0), what="water", litres=5.0),
    )
    row = acts_row(trends, 21)
    assert row == " " * 10 + "F" + " " * 9 + "W"


def test_outside_the_band_is_told_by_a_mark_in_words() -> None:
    text = words(draw_trends(view(within(season(), Reach.WEEK)), 80, 24).lines)
    strip = text[text.index("3 pH") :].splitlines()[1]
    assert strip.startswith("[!]")


def test_the_table_says_the_same_numbers_newest_first() -> None:
    trends = within(season(), Reach.WEEK)
    text = words(draw_trends(view(trends, as_table=True), 80, 24).lines)
    newest, oldest = NOW - timedelta(days=1), NOW - timedelta(days=7)
    assert text.index(f"{newest:%m-%d}") < text.index(f"{oldest:%m-%d}")
    assert "5.53!" in text


def test_nothing_read_in_this_time_says_so() -> None:
    old = made(Reading(**keys(40), ph=6.0))
    text = words(draw_trends(view(within(old, Reach.WEEK)), 80, 24).lines)
    assert "Nothing was read in this time. s shows another one." in text
