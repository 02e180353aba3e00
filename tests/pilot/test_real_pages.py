"""Every page and every walk's beginning on the demo rack, its names made hostile, with the real session."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tendtui.core.event import Renewed
from tendtui.session.clock import FixedClock
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.tui.screens.lists import walks
from tests.support.demo_rack import NOW, demo_rack
from tests.support.keyboard import open_app

pytestmark = pytest.mark.slow

NASTY = "pump [/ A] 3"


def nasty_session(folder: Path) -> Session:
    """Open a copy of the demo in which every tier, feed, person and the rack are named like markup."""
    state = demo_rack(folder / "state")
    for path in (state / "rack.toml", *sorted((state / "log").glob("*.toml"))):
        text = path.read_text()
        for name in ("Sky", "Bench", "Creek", "Green One", "Petra", "Laundry wall"):
            text = text.replace(f'"{name}', f'"{NASTY} {name}')
        path.write_text(text)
    return Session(Folder(state), clock=FixedClock(NOW), by=f"{NASTY} Petra")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (130, 40)])
async def test_every_page_opens_on_a_real_rack_with_hostile_names(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with open_app(nasty_session(tmp_path), size=size) as at:
        await at.sees("TODAY", NASTY, "litres")
        for key, words in (("h", "DIARY"), ("l", "LISTS"), ("p", "PROBLEMS"), ("?", "HELP"), ("d", "DRILLS")):
            await at.until(lambda: at.is_ready)
            await at.send(key)
            await at.sees(words)
            await at.press("pagedown", "pagedown", "pageup")
            await at.send("\x1b")
            await at.sees("TODAY")


async def test_an_entry_of_a_real_diary_opens_whole(tmp_path: Path) -> None:
    async with open_app(nasty_session(tmp_path)) as at:
        await at.sees("TODAY", NASTY)
        await at.send("h")
        await at.send("f")
        await at.sees("DIARY", "readings")
        await at.enter("1")
        await at.sees("ENTRY", "pH 5.8", "Was something typed wrong?")


async def test_m_tells_what_speaks_for_a_pattern_and_what_to_do(tmp_path: Path) -> None:
    desk = Session(Folder(demo_rack(tmp_path / "state")), clock=FixedClock(NOW), by="Petra")
    async with open_app(desk, size=(100, 50)) as at:
        await at.sees("TODAY", "An outlet gives less", "Press m")
        await at.send("m")
        await at.sees("WHAT THE READINGS SAY", "Likely: roots or debris", "Seen: ", "Check first: ", "Then: ")


async def test_a_new_bottle_is_two_keys_away_from_the_diary(tmp_path: Path) -> None:
    desk = nasty_session(tmp_path)
    async with open_app(desk) as at:
        await at.sees("TODAY", NASTY)
        await at.send("h")
        await at.sees("DIARY", "r new bottle")
        await at.send("r")
        await at.sees("NEW BOTTLE OR METER", "What is new?")
        await at.enter("1")
        await at.sees("Which bottle?", f"{NASTY} Green One")
        await at.enter("1")
        await at.sees("How much is in it?", "millilitres")
        await at.enter("1500")
        await at.sees("is new from now on")
    assert desk.rack.extra["stock"][f"{NASTY} Green One"] == 1500.0  # type: ignore[index]  # a table of the file
    assert [e.what for e in desk.events if isinstance(e, Renewed)][-1] == f"{NASTY} Green One"


async def test_a_figure_is_held_by_a_key_on_the_page_of_what_was_learned(tmp_path: Path) -> None:
    desk = nasty_session(tmp_path)
    async with open_app(desk, size=(80, 40)) as at:
        await at.sees("TODAY", NASTY)
        at.app.open("page:taught")
        await at.sees("WHAT IT TAUGHT", "weaker than its label says", "k by hand")
        await at.until(lambda: at.is_ready)
        await at.send("k")
        await at.sees("Which figure?", "strength of the feed")
        await at.enter("1")
        await at.sees("What shall become of it?", "keep it as it is")
        await at.enter("1")
        await at.sees("Held as it is: strength of the feed. It stands in the diary.")
    assert desk.state.learned["frozen"] == ["feed"]


@pytest.mark.parametrize("target", [item.opens for item in walks()])
async def test_every_walk_of_the_lists_begins_or_says_why_not(tmp_path: Path, target: str) -> None:
    async with open_app(nasty_session(tmp_path)) as at:
        await at.sees("TODAY", NASTY)
        at.app.open(target)
        await at.until(lambda: "TODAY" not in at.text and at.is_ready)
        await at.send("\x1b")
        await at.sees("TODAY", "Nothing is unsaved.")


async def test_without_a_rack_the_pages_made_from_one_say_so_and_the_set_up_goes_on(tmp_path: Path) -> None:
    session = Session(Folder(tmp_path / "new"), clock=FixedClock(NOW))
    async with open_app(session) as at:
        await at.sees("WELCOME")
        await at.enter("1")
        await at.sees("BEFORE YOU BEGIN")
        await at.enter("")
        await at.sees("Is water going round")
        for target in ("page:drills", "page:lists", "page:diary", "page:trends", "page:ahead"):
            await at.until(lambda: at.is_ready)
            at.app.open(target)
            await at.sees("NOT YET", "it comes once the rack is")
            await at.send("\x1b")
            await at.sees("Is water going round")


async def test_a_stop_found_on_the_way_through_the_lists_stands_on_todays_page(tmp_path: Path) -> None:
    session = Session(Folder(demo_rack(tmp_path / "state")), clock=FixedClock(NOW), by="Petra")
    async with open_app(session, size=(100, 60)) as at:
        await at.sees("TODAY", "litres")
        await at.send("l")
        await at.sees("LISTS", "a all tasks")
        await at.send("a")
        await at.sees("TASKS", "Floor, hands and shoes dry")
        number = next(re.findall(r"\d+", row)[0] for row in at.text.splitlines() if "Floor, hands" in row)
        await at.enter(number)
        await at.sees("1  do it now")
        await at.enter("1")
        await at.sees("TASK", "Enter to go on")
        while "What was the result?" not in at.text:
            await at.enter("")
        await at.enter("2", "water under the plug", "")
        await at.sees("FINISHED")
        await at.enter("")
        await at.sees("TODAY", "STOP", "Wet floor, hands or shoes")
        await at.enter("1", "1", "wiped up", "1")
        await at.sees("FINISHED", "Closed: Floor, hands and shoes dry")
        assert "STOP" not in at.text
