"""The stand-in's sheet: its litres, what it leaves room for, and that no name becomes markup."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from html.parser import HTMLParser

import pytest

from tendtui.core.band import Band
from tendtui.core.cover import Cover
from tendtui.core.event import Event, Poured, Reading
from tendtui.core.forecast import DayAhead
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Measuring, Place, Rack, Reservoir, Show, Tier
from tendtui.core.region import read_regions, region_named
from tendtui.core.sheet import Sheet, sheet_for
from tendtui.core.sheet_bottles import bottles_for
from tendtui.core.sheet_markdown import escaped_markdown, sheet_markdown
from tendtui.core.sheet_page import sheet_page
from tendtui.core.sheet_words import sheet_words
from tendtui.store.data_file import read_data
from tendtui.value import fields, replace
from tests.support.sentences import data_sentences

NOW = datetime(2026, 7, 1, 8, tzinfo=UTC)
TIER = Tier(name="Loft", pipe_inside_mm=90.0, length_m=1.1, outlet_height_mm=40.0, crops=("kale",), plants=8)
RACK = Rack(
    name="Stairs",
    reservoir=Reservoir(full_l=40.0, least_l=18.0),
    tiers=(TIER,),
    place=Place(region="nz"),
    phones={"Uma": "555 0101", "Bo": "555 0102"},
)
COVER = Cover(first=date(2026, 7, 3), last=date(2026, 7, 9), who="Bo", phone="555 0102", grower="Uma")
NASTY = "<script>alert(1)</script> [/] **x** | `y` \x1b[31m & \"'"


def sheet(*, rack: Rack = RACK, cover: Cover = COVER, events: Sequence[Event] = ()) -> Sheet:
    region = region_named(rack.place.region, read_regions(read_data("regions")))
    words = sheet_words(read_data("sheet"))
    return sheet_for(rack, events, cover=cover, words=words, now=NOW, hot_c=26.0, region=region)


def drinking(litres_a_day: float, days: int) -> tuple[Event, ...]:
    """Give a level each morning, topped up to 40 litres each time."""
    events: list[Event] = []
    for n in range(days, -1, -1):
        at = NOW - timedelta(days=n, hours=1)
        events.append(Reading(id=f"r{n}", seq=2 * n, at=at, level_l=40.0 - litres_a_day))
        events.append(Poured(id=f"p{n}", seq=2 * n + 1, at=at, what="water", litres=litres_a_day))
    return tuple(sorted(events, key=lambda event: event.at))


def test_bottles_hold_what_the_rack_drinks_and_a_third_more() -> None:
    # days x usual x 1.3: common practice, no source
    found = bottles_for(RACK, drinking(2.0, 2), first=COVER.first, days=4, now=NOW)
    assert found.origin == "spans"
    assert [bottle.litres for bottle in found.days] == [3.0, 3.0, 3.0, 3.0]  # 2.6, up to the next half litre
    assert [bottle.day.day for bottle in found.days] == [3, 4, 5, 6]


def test_where_there_is_a_forecast_it_decides() -> None:
    ahead = [
        DayAhead(
            day=COVER.first + timedelta(days=n),
            litres=2.0 + n,
            litres_high=4.0,
            level_l=30.0,
            level_low_l=29.0,
            conductivity_ms_cm=None,
            conductivity_high_ms_cm=None,
        )
        for n in range(2)
    ]
    found = bottles_for(RACK, drinking(1.0, 2), first=COVER.first, days=2, now=NOW, ahead=ahead)
    assert found.origin == "forecast"
    assert [bottle.litres for bottle in found.days] == [3.0, 4.0]  # 2.6 and 3.9
    longer = bottles_for(RACK, drinking(1.0, 2), first=COVER.first, days=3, now=NOW, ahead=ahead)
    assert longer.origin == "spans"  # said of the whole row as soon as it holds for one day


def test_the_step_of_water_is_the_growers_own() -> None:
    rack = replace(RACK, measuring=Measuring(water_l=2.0))
    assert bottles_for(rack, drinking(2.0, 2), first=COVER.first, days=1, now=NOW).days[0].litres == 4.0


def test_without_a_forecast_it_says_so() -> None:
    made = sheet()
    assert "this rack has no forecast yet" in made.bottle_note
    assert any("no levels in the diary" in sentence for sentence in made.missing)
    assert all(bottle.litres > 0.0 for bottle in made.bottles)


def test_a_rack_without_plants_asks_for_no_bottle() -> None:
    made = sheet(rack=replace(RACK, tiers=(replace(TIER, plants=0),)), events=drinking(0.0, 2))
    assert made.bottle_words(made.bottles[0]) == "none"
    assert made.act[0].startswith("No bottle is planned")


def test_the_numbers_are_this_racks_own() -> None:
    text = sheet_markdown(sheet())
    assert "between the two lines: 18 litres and 40 litres" in text
    assert "26.0 °C or warmer" in text
    assert "door shut, 111." in text  # New Zealand; from memory, as the data say
    assert re.search(r"Up to its outlet each shelf holds: Loft \d", text)
    assert "{" not in text


def test_litres_and_warmth_follow_the_growers_units() -> None:
    text = sheet_markdown(sheet(rack=replace(RACK, show=Show(volume="gal", temperature="F"))))
    assert "78.8 °F" in text
    assert "10.6 US gallons" in text  # 40 L; 1 US gallon is 3.785411784 L (NIST SP 811)


def test_the_stand_in_is_not_told_to_ring_themselves() -> None:
    made = sheet()
    assert made.phones[0] == ("Uma", "555 0101")
    assert "Bo" not in dict(made.phones)
    assert len(made.phones) == 2
    assert any(sentence.startswith("Only one number") for sentence in made.missing)


def test_missing_numbers_are_said_and_left_to_write() -> None:
    made = sheet(rack=replace(RACK, phones={}, place=Place()), cover=replace(COVER, phone=""))
    assert [who for who, _number in made.phones] == ["Uma", "somebody who knows plants"]
    assert made.missing[0].startswith("No number to ring is known")
    assert made.missing[1] == "Bo has no number with you: ask for it."
    assert "your emergency number (…" in " ".join(made.danger)


def test_measures_that_cannot_be_leave_room_to_write() -> None:
    made = sheet(rack=replace(RACK, tiers=(replace(TIER, outlet_height_mm=95.0),)))
    assert "rises by about …" in made.drills[0].lines[1]


@pytest.mark.parametrize(("depth", "noted"), [("looks", 0), ("levels", 2), ("readings", 4)])
def test_who_takes_on_more_notes_more(depth: str, noted: int) -> None:
    cover = replace(COVER, depth=depth)
    assert len(sheet(cover=cover).columns) == 6 + noted


def test_who_reads_meters_is_told_how_and_when_to_ring() -> None:
    bands = {Quantity.CONDUCTIVITY: Band(low=1.2, high=1.8), Quantity.PH: Band(low=5.6, high=6.3)}
    words = sheet_words(read_data("sheet"))

    def made(depth: str) -> Sheet:
        cover = replace(COVER, depth=depth)
        return sheet_for(RACK, (), cover=cover, words=words, now=NOW, hot_c=26.0, bands=bands)

    levels, readings = made("levels").drills[0], made("readings").drills[0]
    assert levels.title == readings.title == "The day's numbers"
    assert [line.split()[0] for line in levels.lines] == ["Before"]
    assert readings.lines[1].startswith("Rinse the meter")
    said = "Ring if conductivity leaves 1.20 to 1.80, or pH 5.6 to 6.3, two days running."
    assert readings.lines[-1] == said
    assert made("looks").drills == sheet().drills


def test_the_steps_of_a_list_are_counted_in_the_plain_text_too() -> None:
    lines = sheet_markdown(sheet()).splitlines()
    counted = [line[0] for line in lines if line[1:3] == ". "]
    assert counted[:7] == ["1", "2", "3", "4", "1", "2", "3"]  # four looks, three steps of the act


def test_no_line_forbids_what_another_asks_for() -> None:
    made = sheet()
    assert "A plug pulled and left out, unless this sheet says so and you rang." in made.never
    (power,) = (drill for drill in made.drills if drill.title == "The power is off")
    order = [n for n, line in enumerate(power.lines) if "all plugs" in line or "scoop water" in line]
    assert order == sorted(order)
    assert len(order) == 2


def test_a_row_for_each_day_with_room_for_name_and_time() -> None:
    text = sheet_markdown(sheet())
    rows = [line for line in text.splitlines() if line.startswith("| ")]
    assert len(rows) == 2 + 7
    assert rows[2].startswith("| Fri 3 Jul |")
    assert rows[0].endswith("| name, time |")


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert not {name for name, _value in attrs} & {"src", "href", "onclick"}

    def handle_data(self, data: str) -> None:
        self.text += data


def nasty() -> Sheet:
    rack = replace(RACK, name=NASTY, tiers=(replace(TIER, name=NASTY),), phones={NASTY: NASTY})
    return sheet(rack=rack, cover=replace(COVER, who=NASTY, grower=NASTY))


def test_names_stay_text_on_the_page() -> None:
    page = _Page()
    page.feed(sheet_page(nasty()))
    assert "script" not in page.tags
    assert NASTY.replace("\x1b", " ") in page.text
    assert "\x1b" not in page.text


def test_a_number_to_ring_stays_on_one_line() -> None:
    text = sheet_page(sheet(rack=replace(RACK, phones={"Uma": "0491 570 156"})))
    assert "0491&nbsp;570&nbsp;156" in text


def test_the_page_needs_nothing_from_elsewhere() -> None:
    text = sheet_page(sheet())
    page = _Page()
    page.feed(text)
    assert not {"script", "link", "img", "iframe"} & set(page.tags)
    assert "url(" not in text
    assert "http" not in text


def test_names_stay_text_in_markdown() -> None:
    text = sheet_markdown(nasty())
    assert "<script>" not in text
    assert "\x1b" not in text
    assert "\\[/\\] \\*\\*x\\*\\* \\| \\`y\\`" in text


@pytest.mark.parametrize(
    ("plain", "escaped"),
    [("- a", "\\- a"), ("1. a", "1\\. a"), ("5.5 litres", "5.5 litres"), ("a_b", "a\\_b"), ("# a", "\\# a")],
)
def test_markdown_signs_lose_their_meaning(plain: str, escaped: str) -> None:
    assert escaped_markdown(plain) == escaped


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from _texts(each)
    elif not isinstance(value, int):
        for part in fields(value):
            yield from _texts(getattr(value, part.name))


def test_every_word_of_the_sheet_stands_in_the_catalogue() -> None:
    words = sheet_words(read_data("sheet"))
    depths = {line.depth for line in words.measures}
    assert set(_texts(words)) - depths <= set(data_sentences())
