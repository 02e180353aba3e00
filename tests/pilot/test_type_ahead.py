"""Keys that come before their question: none is filed under another, dropped singly, or taken unread."""

from __future__ import annotations

import asyncio

import pytest

from tests.support.fake_session import FakeSession
from tests.support.keyboard import Keyboard, open_app

READINGS = ("1.42", "21.5", "6,2", "840", "7", "0.55", "12.25", "3.9")


async def _in_pairs(at: Keyboard, keys: str, pause_s: float) -> None:
    for pair in zip(keys[::2], keys[1::2], strict=True):
        for key in pair:
            at.key(key)
        await asyncio.sleep(pause_s)


async def _one_round(pause_s: float, slow_s: float) -> list[str]:
    desk = FakeSession(numbers_only=len(READINGS), slow_s=slow_s)
    keys = "".join(f"{reading}\n" for reading in READINGS)
    keys += " " if len(keys) % 2 else ""
    async with open_app(desk, first="walk:round") as at:
        await at.until(lambda: at.is_ready and "reading 0" in at.text)
        await _in_pairs(at, keys, pause_s)
        await at.until(lambda: "round" not in desk.state.walks)
    return [entry.typed for entry in desk.finished.entries]


@pytest.mark.parametrize("pause_s", [0.0, 0.001, 0.01])
@pytest.mark.parametrize("slow_s", [0.0, 0.02])
async def test_readings_typed_two_keys_at_a_time_are_filed_whole_and_in_order(
    pause_s: float, slow_s: float
) -> None:
    assert await _one_round(pause_s, slow_s) == list(READINGS)


@pytest.mark.slow
async def test_two_hundred_rounds_typed_two_keys_at_a_time_misfile_nothing() -> None:
    wrong = 0
    desk = FakeSession(numbers_only=len(READINGS), slow_s=0.001)
    keys = "".join(f"{reading}\n" for reading in READINGS)
    keys += " " if len(keys) % 2 else ""
    async with open_app(desk, first="walk:round") as at:
        for number in range(200):
            if number:
                await at.enter("")
                await at.sees("TODAY")
                await at.enter("2")
            await at.until(lambda: at.is_ready and "[>] 1 reading 0" in at.text)
            await _in_pairs(at, keys, 0.0005 * (number % 5))
            await at.until(lambda: "round" not in desk.state.walks)
            await at.sees("FINISHED")
            wrong += [entry.typed for entry in desk.finished.entries] != list(READINGS)
    assert wrong == 0


async def test_keys_before_a_look_are_thrown_away_and_said_so() -> None:
    desk = FakeSession()
    async with open_app(desk, quiet_s=0.15) as at:
        await at.enter("2", "46", "1.2", "6.1", "")
        await at.send("2.0\n1\n")
        await at.sees("What do you see?", "Keys that came before you could read this were not taken.")
        await at.until(lambda: at.is_ready)
        assert at.page.entry.text == ""
        assert desk.state.walks["round"].entries[-1].typed == "2.0"
        await at.enter("2")
        assert desk.state.walks["round"].entries[-1].word == "tan"


async def test_a_look_takes_no_key_until_none_has_come_for_a_while() -> None:
    desk = FakeSession()
    async with open_app(desk, quiet_s=2.0) as at:
        await at.enter("2", "46", "1.2", "6.1", "")
        await at.send("2.0\n")
        await at.until(lambda: "What do you see?" in at.text)
        for _press in range(6):
            await at.send("1")
            await asyncio.sleep(0.05)
        assert at.page.entry.text == ""


async def test_pausing_works_also_before_a_look_may_be_answered() -> None:
    desk = FakeSession()
    async with open_app(desk, quiet_s=30.0) as at:
        await at.send("2\n")
        await at.sees("Where does the water stand?")
        await at.send("46\n1.2\n6.1\n")
        await at.sees("The meters are done.")
        await at.send("\n")
        await at.sees("were not taken")
        await at.send("\x1b")
        await at.sees("TODAY")


async def test_a_command_typed_ahead_keeps_its_place_in_the_order() -> None:
    desk = FakeSession(slow_s=0.02)
    async with open_app(desk, first="walk:round") as at:
        await at.until(lambda: at.is_ready and "How" in at.text)
        await at.send("46\nx3\n6.1\n")
        await at.until(lambda: len(desk.state.walks["round"].entries) == 3)
        level, conductivity, ph = desk.state.walks["round"].entries
        assert (level.typed, conductivity.word, ph.typed) == ("46", "no-time", "6.1")


async def test_an_answer_refused_does_not_take_the_keys_meant_for_the_next() -> None:
    desk = FakeSession(slow_s=0.02)
    async with open_app(desk, first="walk:round") as at:
        await at.until(lambda: at.is_ready and "How" in at.text)
        await at.send("4L6\n1.2\n")
        await at.until(lambda: at.is_ready and bool(at.page.notice))
        assert at.page.entry.text == "4L6"
        assert desk.state.walks["round"].entries == ()
