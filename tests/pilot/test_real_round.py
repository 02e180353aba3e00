"""A whole round, dose and all, on the demo rack with the real session; then the log is read as a file."""

from __future__ import annotations

import os
import sys
import tomllib
from pathlib import Path

import pytest

from tendtui.core.prompt import Kind, Question
from tendtui.session.clock import FixedClock
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.tui.commands import WALK
from tendtui.tui.draw.sheet import offered
from tendtui.tui.draw.walk_sheet import WalkView, draw_walk
from tendtui.tui.line import plain
from tendtui.tui.screens.walk import WalkPage
from tests.support.demo_rack import NOW, demo_rack
from tests.support.keyboard import open_app
from tests.support.person import Person
from tests.support.terminal import window

CARD = {"level": "80", "conductivity": "1,20", "temperature": "20.5", "ph": "5.9"}
"""A card of readings, as a person copies them from the meters."""

ROOT = Path(__file__).parents[2]


def answer(question: Question) -> str:
    """Give what a person with the card answers: 1 at looks, the bottle asked for, the amount asked for."""
    match question.kind:
        case Kind.CHOICE:
            return question.choices[0].digit
        case Kind.TEXT:
            return question.expects[0]
        case Kind.PAUSE:
            return ""
    if question.jug_l:
        return "2.5 L/min"
    known = CARD.get(question.key.rpartition(".")[2])
    asked = (part for part in question.ask.split() if part.replace(".", "").isdigit())
    return known or next(asked, "3")


def newest(state: Path, table: str) -> dict[str, object]:
    month = tomllib.loads((state / "log" / f"{NOW:%Y-%m}.toml").read_text())
    found = month[table][-1]
    assert isinstance(found, dict)
    return found


def newest_round(state: Path) -> dict[str, object]:
    month = tomllib.loads((state / "log" / f"{NOW:%Y-%m}.toml").read_text())
    found = next(each for each in reversed(month["reading"]) if "level_L" in each)
    assert isinstance(found, dict)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_round_and_its_dose_leave_exactly_what_was_typed(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    state = demo_rack(tmp_path / "state")
    desk = Session(Folder(state), clock=FixedClock(NOW), by="Petra")
    async with open_app(desk, size=size, first="walk:round") as at:
        await at.until(lambda: isinstance(at.page, WalkPage) and at.is_ready)
        asked = 0
        while isinstance(page := at.page, WalkPage) and page.question.until is None and asked < 60:
            question, typed = page.question, answer(page.question)
            assert "> " in at.text.replace(">\n", "> \n"), at.text
            await at.enter(typed)
            asked += 1
            assert not (isinstance(at.page, WalkPage) and at.page.question.key == question.key), at.text
    reading = newest_round(state)
    assert reading["by"] == "Petra"
    assert (reading["level_L"], reading["conductivity_mS_cm"], reading["ph"], reading["temperature_C"]) == (
        80.0,
        1.2,
        5.9,
        20.5,
    )
    looks = reading["looks"]
    assert isinstance(looks, dict)
    assert len(looks) >= 10
    poured = newest(state, "poured")
    assert poured["planned"] == poured["mL"]


@pytest.mark.slow
def test_the_program_walks_a_round_in_a_terminal_and_the_log_says_what_was_typed(tmp_path: Path) -> None:
    state = demo_rack(tmp_path / "state")
    environment = {"TENDTUI_NOW": NOW.isoformat(), "PYTHONPATH": str(ROOT), "HOME": str(tmp_path)}
    command = [sys.executable, "-m", "tendtui", "round", "--by", "Petra", "--state", str(state)]
    card = {
        "How much water stands in it?": CARD["level"],
        "What does the conductivity meter show?": CARD["conductivity"],
        "How warm is the water?": CARD["temperature"],
        "What does the pH meter show?": CARD["ph"],
        "Hold the 3 litre jug": "2.5 L/min",
        "What is the conductivity now?": CARD["conductivity"],  # nothing explains so far a fall: read twice
    }
    with window(command, environment=environment, folder=os.fspath(tmp_path)) as at:
        person = Person(at, card)
        person.waits_for_a_question()
        while "Read again at" not in at.text and len(person.said) < 60:
            person.answers()
        at.type("\x1b")
        at.sees("TODAY", "LEFT OPEN")
        at.quiet()
        at.type("q")
        assert at.ended(5.0)
        assert at.status == 0
        assert at.modes() == (True, True)
    reading = newest_round(state)
    assert (reading["level_L"], reading["conductivity_mS_cm"], reading["ph"]) == (80.0, 1.2, 5.9)
    assert newest(state, "poured")["by"] == "Petra"


@pytest.mark.slow
def test_a_round_left_by_a_hang_up_is_taken_up_at_the_same_question_by_somebody_else(tmp_path: Path) -> None:
    state = demo_rack(tmp_path / "state")
    environment = {"TENDTUI_NOW": NOW.isoformat(), "PYTHONPATH": str(ROOT), "HOME": str(tmp_path)}
    command = [sys.executable, "-m", "tendtui", "round", "--state", str(state)]
    with window([*command, "--by", "Petra"], environment=environment) as at:
        person = Person(at, {"How much water stands in it?": "80"})
        person.waits_for_a_question()
        person.answers()
        at.sees("What does the conductivity meter show?")
        at.close()
        assert at.ended(3.0)
    later = {**environment, "TENDTUI_NOW": NOW.replace(hour=9).isoformat()}
    with window([*command, "--by", "Ash"], environment=later) as at:
        at.sees("What does the conductivity meter show?")
        at.sees("Taken up again after 2 hours; Petra began it at 07:52.")
        at.sees("80", "r measures this part again")


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["round", "change", "season-end"])
async def test_question_answers_and_safety_stay_in_view_in_a_small_window(tmp_path: Path, kind: str) -> None:
    desk = Session(Folder(demo_rack(tmp_path / "state")), clock=FixedClock(NOW), by="Petra")
    outcome = desk.start(kind, by="Petra")
    asked = 0
    while outcome.prompt is not None and outcome.prompt.question.until is None and asked < 60:
        prompt, question = outcome.prompt, outcome.prompt.question
        view = WalkView(prompt=prompt, by="Petra", at=NOW, learner=True, commands=offered(WALK))
        drawn = " ".join(" ".join(plain(line) for line in draw_walk(view, 60, 20).lines).split())
        for sentence in (question.ask, *(choice.text for choice in question.choices), *question.safety):
            assert " ".join(sentence.split()) in drawn
        outcome = desk.enter(prompt.walk, key=question.key, typed=answer(question))
        asked += 1
    assert asked > 10
