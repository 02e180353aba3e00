"""The trends and the pages that look ahead, by keyboard, with names that look like markup."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Reading
from tendtui.core.trend import Trends
from tendtui.errors import StateError
from tendtui.tui.terminal import Terminal
from tests.pilot.test_real_pages import NASTY as REAL_NASTY
from tests.pilot.test_real_pages import nasty_session
from tests.support.fake_session import AT, NASTY, FakeSession
from tests.support.keyboard import open_app

SIZES = ((80, 24), (60, 20), (60, 16), (200, 60))


def week() -> tuple[Reading, ...]:
    return tuple(
        Reading(
            id=f"r{n}",
            seq=n,
            at=AT - timedelta(days=8 - n),
            by=NASTY,
            level_l=40.0 + n,
            ph=6.0,
            flow_l_min={f"{NASTY}.0": 2.0},
        )
        for n in range(8)
    )


@pytest.mark.parametrize("size", SIZES)
async def test_t_opens_the_trends_and_esc_leads_back(size: tuple[int, int]) -> None:
    async with open_app(FakeSession(events=week()), size=size, terminal=Terminal(signs="blocks")) as at:
        await at.sees("TODAY")
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("TRENDS", "month", "1 level", "47 litres", "today")
        await at.press("pagedown", "pagedown", "pageup")
        await at.send("s")
        await at.sees("season")
        await at.send("s")
        await at.sees("week")
        await at.send("\x1b")
        await at.sees("TODAY")


async def test_one_key_leads_to_the_same_numbers_and_back() -> None:
    async with open_app(FakeSession(events=week())) as at:
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("1 level")
        await at.send("t")
        await at.sees("when", "done", "2.0", "6.0")
        for n in range(8):
            await at.sees(f" {40 + n} ")
        await at.send("t")
        await at.sees("1 level")


async def test_a_number_shows_one_alone_and_enter_all_again() -> None:
    async with open_app(FakeSession(events=week())) as at:
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("2 strength")
        await at.enter("3")
        await at.sees("3 pH")
        assert "2 strength" not in at.text
        await at.enter("")
        await at.sees("2 strength")
        await at.enter("99")
        await at.sees("There is no line 99 here.")


async def test_dots_can_be_swapped_for_the_signs_of_a_keyboard() -> None:
    async with open_app(FakeSession(events=week()), terminal=Terminal(signs="blocks")) as at:
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("1 level")
        assert not at.text.isascii()
        await at.send("a")
        await at.until(lambda: at.text.isascii())


async def test_a_log_that_cannot_be_read_is_said() -> None:
    class Broken(FakeSession):
        def trends(self) -> Trends:
            raise StateError("this is not TOML", "Mend line 3.", file="log/2026-11.toml", line=3)

    async with open_app(Broken()) as at:
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("TRENDS", "log/2026-11.toml:3: this is not TOML.", "Esc back")
        await at.send("\x1b")
        await at.sees("TODAY")


@pytest.mark.parametrize("name", ["ahead", "away", "taught"])
async def test_pages_that_look_ahead_open_with_hostile_names(name: str) -> None:
    async with open_app(FakeSession()) as at:
        await at.until(lambda: at.is_ready)
        at.app.open(f"page:{name}")
        await at.sees(name.upper(), f"IF {NASTY}")
        await at.send("\x1b")
        await at.sees("TODAY")


async def test_the_lists_lead_to_the_trends() -> None:
    async with open_app(FakeSession(), size=(80, 60)) as at:
        await at.until(lambda: at.is_ready)
        await at.send("l")
        await at.sees("Looking back and ahead")
        number = next(line.split()[0] for line in at.text.splitlines() if " Trends " in line)
        await at.enter(number)
        await at.sees("TRENDS")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_real_rack_with_hostile_names(tmp_path: Path, size: tuple[int, int]) -> None:
    async with open_app(nasty_session(tmp_path), size=size) as at:
        await at.sees("TODAY", REAL_NASTY)
        await at.until(lambda: at.is_ready)
        await at.send("t")
        await at.sees("TRENDS", "3 pH", "5.6 to 6.3")
        await at.enter("7")
        await at.sees("7 flow", "done", "today")
        await at.send("\x1b")
        for name, words in (
            ("ahead", "IF NOBODY DOES ANYTHING"),
            ("away", "Yes, from a full mark"),
            ("taught", "its label says"),
        ):
            await at.sees("TODAY")
            at.app.open(f"page:{name}")
            await at.sees(words)
            await at.send("\x1b")
