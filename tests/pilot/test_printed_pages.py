"""Drills in two keys from anywhere, and the pages that the lists open."""

from __future__ import annotations

import pytest

from tests.support.fake_session import FakeSession
from tests.support.keyboard import open_app


@pytest.mark.parametrize("size", [(80, 24), (60, 16)])
async def test_a_drill_is_two_keys_away_from_todays_page(size: tuple[int, int]) -> None:
    async with open_app(FakeSession(), size=size) as at:
        await at.sees("TODAY")
        await at.until(lambda: at.is_ready)
        await at.send("d")
        await at.sees("DRILLS", "1  Cut")
        await at.until(lambda: at.is_ready)
        await at.send("1")
        await at.sees("1. Dry your hands.", "2. Power off at the board.")
        await at.send("\x1b")
        await at.sees("DRILLS")
        await at.send("\x1b")
        await at.sees("TODAY")


async def test_a_digit_without_a_drill_is_told() -> None:
    async with open_app(FakeSession()) as at:
        await at.until(lambda: at.is_ready)
        await at.send("d")
        await at.sees("DRILLS")
        await at.enter("8")
        await at.sees("There is no line 8 here.")


async def test_the_lists_open_a_page() -> None:
    async with open_app(FakeSession()) as at:
        await at.until(lambda: at.is_ready)
        await at.send("l")
        await at.sees("LISTS")
        await at.press("pagedown", "pagedown", "pagedown")
        await at.sees("To read and to print")
        number = next(line.split()[0] for line in at.text.splitlines() if " Load " in line)
        await at.enter(number)
        await at.sees("LOAD", "2. Power off at the board.")


async def test_a_digit_opens_its_drill_without_enter_and_y_says_that_it_happened() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("d")
        await at.sees("DRILLS", "1  Cut")
        await at.until(lambda: at.is_ready)
        await at.send("1")
        await at.sees("1. Dry your hands.", "y it happened")
        await at.send("y")
        await at.until(lambda: "happened:power-cut" in desk.state.walks)


@pytest.mark.parametrize("way", ["l", "h", "t", "p", "?", "la"])
async def test_drills_are_two_keys_from_every_page(way: str) -> None:
    async with open_app(FakeSession()) as at:
        await at.until(lambda: at.is_ready)
        for key in way:
            await at.send(key)
            await at.until(lambda: at.is_ready)
        await at.send("d")
        await at.sees("DRILLS", "1  Cut")
        await at.until(lambda: at.is_ready)
        await at.send("1")
        await at.sees("1. Dry your hands.")
