"""The picture of the rack with the place marked, one key away from any question of a walk."""

from __future__ import annotations

from pathlib import Path

import pytest

from tendtui.session.clock import FixedClock
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tests.pilot.test_real_round import answer
from tests.support.demo_rack import NOW, demo_rack
from tests.support.keyboard import open_app


def walked_to(place: str, tmp_path: Path) -> Session:
    """Answer the round's questions up to the first one asked there."""
    desk = Session(Folder(demo_rack(tmp_path / "state")), clock=FixedClock(NOW), by="Petra")
    outcome = desk.start("round", by="Petra")
    while outcome.prompt is not None and outcome.prompt.question.place != place:
        question = outcome.prompt.question
        outcome = desk.enter("round", key=question.key, typed=answer(question))
    return desk


@pytest.mark.parametrize("size", [(80, 24), (60, 16)])
async def test_the_place_of_a_question_is_marked_on_the_rack_one_key_away(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    desk = walked_to("Bench", tmp_path)
    async with open_app(desk, size=size, first="walk:round") as at:
        await at.sees("BENCH")
        await at.until(lambda: at.is_ready)
        await at.send("p")
        await at.sees("WHERE YOU STAND", "Bench: tier 2 of 3 from the top")
        marked = [line for line in at.text.splitlines() if "[>]" in line]
        assert len(marked) == 1
        assert "Bench" in marked[0]
        assert "92" in at.text  # the reservoir is on the page as well
        await at.send("\x1b")
        await at.sees("BENCH")
        await at.until(lambda: at.is_ready)
        await at.enter("1")
        await at.until(lambda: "WHERE YOU STAND" not in at.text)


async def test_a_learner_is_told_of_the_picture_and_others_are_not(tmp_path: Path) -> None:
    desk = walked_to("reservoir", tmp_path)
    async with open_app(desk, first="walk:round") as at:
        await at.sees("How much water stands in it?", "p: this place on the rack")
        await at.until(lambda: at.is_ready)
        await at.send("b")  # fewer words from now on
        await at.until(lambda: "p: this place on the rack" not in at.text)


async def test_at_the_reservoir_the_reservoir_is_marked(tmp_path: Path) -> None:
    desk = walked_to("reservoir", tmp_path)
    async with open_app(desk, first="walk:round") as at:
        await at.sees("How much water stands in it?")
        await at.until(lambda: at.is_ready)
        await at.send("p")
        await at.sees("at the reservoir, into which the last tier runs")
        assert [line.split()[:2] for line in at.text.splitlines() if "[>]" in line] == [["|", "[>]"]]
