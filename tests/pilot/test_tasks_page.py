"""All tasks from the lists: one is silenced and speaks again, a finding is answered, in few keys."""

from __future__ import annotations

import re

from tendtui.core.event import TaskDone
from tests.support.fake_session import AT, NASTY, FakeSession
from tests.support.keyboard import Keyboard, open_app

FOUND = TaskDone(
    id="t1", seq=1, at=AT, by="Mo", task="trip-switch", outcome="found", severity="week", text=NASTY
)


async def open_tasks(at: Keyboard) -> None:
    await at.until(lambda: at.is_ready)
    await at.send("l")
    await at.sees("LISTS", "a all tasks")
    await at.send("a")
    await at.sees("TASKS", "1")


async def test_a_task_is_silenced_with_a_reason_and_speaks_again() -> None:
    desk = FakeSession()
    async with open_app(desk, size=(100, 60)) as at:
        await open_tasks(at)
        await at.enter("1")
        await at.sees("TASK", "1  do it now", "2  silence it")
        await at.sees("How ", "Good ", "If not ", "Source ", 'In rack.toml  id = "')
        await at.enter("2")
        await at.sees("Why is it to be silent?", "reason >")
        await at.enter("the lamp is gone")
        await at.sees("TASKS", "the lamp is gone")
        assert list(desk.silenced.values()) == ["the lamp is gone"]
        number = next(re.findall(r"\d+", line)[0] for line in at.text.splitlines() if "[-]" in line)
        await at.enter(number)
        await at.sees("2  let it speak again")
        await at.enter("2")
        await at.sees("TASKS")
        assert desk.silenced == {}


async def test_esc_leaves_the_reason_and_nothing_is_silenced() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await open_tasks(at)
        await at.enter("1", "2")
        await at.sees("Why is it to be silent?")
        await at.send("because\x1b")
        await at.sees("1  do it now")
        await at.send("\x1b")
        await at.sees("TASKS")
    assert desk.silenced == {}


async def test_what_was_found_stands_first_and_its_number_asks_what_was_done() -> None:
    desk = FakeSession(events=(FOUND,))
    async with open_app(desk) as at:
        await open_tasks(at)
        await at.sees("FOUND, NOT YET PUT RIGHT", f"[!] {NASTY}")
        await at.enter("1")
        await at.until(lambda: "task:follow-trip-switch" in desk.state.walks)


async def test_a_task_is_begun_from_its_page() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await open_tasks(at)
        await at.enter("1", "1")
        await at.until(lambda: bool(desk.state.walks))
