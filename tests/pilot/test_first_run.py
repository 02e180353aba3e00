"""From an empty folder to the first question of the first round, with the real session."""

from __future__ import annotations

from pathlib import Path

import pytest

from tendtui.core.setup_ask import ask_id
from tendtui.session.clock import FixedClock
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.tui.screens.walk import WalkPage
from tests.support.keyboard import open_app
from tests.support.setup_data import FIRST, NOW

pytestmark = pytest.mark.slow


def answer(key: str) -> str:
    """Give what is typed for a question."""
    return FIRST[key] if key in FIRST else FIRST[ask_id(key)]


async def test_the_first_set_up_leads_to_the_first_round(tmp_path: Path) -> None:
    answers = {"welcome.state": "2"}  # the water goes round already: no first fill
    desk = Session(Folder(tmp_path / "state"), clock=FixedClock(NOW))
    async with open_app(desk) as at:
        await at.sees("WELCOME")
        await at.enter("1")
        asked = 0
        while isinstance(page := at.page, WalkPage) and asked < 80:
            key = page.question.key
            await at.enter(answers.get(key, answer(key)))
            assert not (isinstance(at.page, WalkPage) and at.page.question.key == key), at.text
            asked += 1
        await at.sees("FINISHED", "Next: the first round.", "Enter go on")
        await at.enter("")
        await at.sees("WHO IS HERE", "1  Ida")
        await at.enter("1")
        await at.sees("ROUND", "How much water stands in it?")
        await at.send("\x1b")
        await at.sees("TODAY", "LEFT OPEN")
