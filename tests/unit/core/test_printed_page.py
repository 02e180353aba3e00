"""Pages to read and to print, with this rack's own figures."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tendtui.core.event import Event, Plants, TaskDone
from tendtui.core.printed_page import FILES, PrintedPage, printed_pages
from tendtui.core.rack import Rack, Reservoir
from tendtui.core.slow_list import slow_list
from tests.support.slow_data import rack, slow_data, table

NOW = datetime(2026, 5, 30, 8, tzinfo=UTC)
TABLES = {name: table(name) for name in FILES}


def pages(of: Rack, *events: Event) -> dict[str, PrintedPage]:
    slow = slow_list(slow_data(), of, events, {}, NOW)
    return {page.id: page for page in printed_pages(TABLES, of, events, slow, NOW)}


def test_seven_drills_have_a_digit_each() -> None:
    digits = [page.digit for page in pages(rack()).values() if page.digit]
    assert digits == ["1", "2", "3", "4", "5", "6", "7"]


def test_every_drill_says_whom_to_ring_before_its_steps() -> None:
    staffed = rack(phones={"Mo": "555 0100", "emergency": "000"})
    for page in (page for page in pages(staffed).values() if page.digit):
        assert page.lines[1] == "Ring the grower: Mo 555 0100. Fire, shock, somebody hurt: 000."
        assert page.lines[3].startswith("1. ")


def test_no_drill_sends_anybody_to_a_bottle() -> None:
    for page in (page for page in pages(rack()).values() if page.digit):
        told = " ".join(page.lines)
        assert "mixed solution" not in told
        assert "Nothing goes in before the leak is found" in told or page.id != "water-on-the-floor"
        if "drain a third" in told:
            assert "Who wasn't shown how pours and drains nothing: ring." in page.lines[0]


def test_every_page_has_lines_and_a_name() -> None:
    for page in pages(rack()).values():
        assert page.name
        assert page.about
        assert any(page.lines)


def test_the_checklists_page_shows_every_task_and_what_is_open() -> None:
    found = TaskDone(id="f", seq=1, at=NOW, task="clean-pump", outcome="found", text="scale")
    told = "\n".join(pages(rack(), found)["tasks"].lines)
    assert told.startswith("[!] open: Pump: impeller, scale, cord: scale")
    for due in slow_list(slow_data(), rack(), [found], {}, NOW).dues:
        assert due.task.what in told


def test_the_load_page_shows_sum_limit_and_source() -> None:
    told = "\n".join(pages(rack())["load"].lines)
    for words in (
        "Pump 25 W + 4 x Lamps 40 W = 185 W, 0.80 A at 230 V",
        "limit 8.0 A",
        "margin (judgement)",
        "electrician",
    ):
        assert words in told


def test_plants_stand_by_tier_with_stage_and_light() -> None:
    lit = rack(extra={"light": [{"tier": "Top", "hours": 15}]})
    sown = Plants(id="s", seq=1, at=NOW - timedelta(days=40), act="sow", crop="basil", count=6)
    moved = Plants(id="m", seq=2, at=NOW - timedelta(days=10), act="move", crop="basil", count=4, tier="Top")
    told = "\n".join(pages(lit, sown, moved)["plants"].lines)
    for words in (
        "SEEDLING TRAY\n2 basil: seedling",
        "TOP\n4 basil: leaf, here 10 days, sown 40 days ago",
        "15 hours on the timer",
    ):
        assert words in told
    assert "LOW\nnothing by the log" in told


def test_what_the_plants_want_of_their_light_is_said_before_any_lamp_is_described() -> None:
    moved = Plants(id="m", seq=2, at=NOW - timedelta(days=10), act="move", crop="basil", count=4, tier="Top")
    told = "\n".join(pages(rack(), moved)["plants"].lines)
    top = told.split("TOP\n")[1].split("\n\n")[0]
    for words in ("hours a day (", "percent blue, the rest red", "cm above the leaves"):
        assert words in top
    assert "hours a day" not in told.split("LOW\n")[1], "nothing stands there"
    assert "put [[light]] into rack.toml" in told


def test_a_bare_rack_has_pages_too() -> None:
    bare = pages(Rack(name="x", reservoir=Reservoir(full_l=20.0, least_l=8.0)))
    assert "Not legal advice" in bare["load"].lines[-1]
