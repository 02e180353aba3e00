"""The place of a question on the rack, in words that every face gives."""

from __future__ import annotations

from pathlib import Path

from tendtui.cli.plain_page import question_lines
from tendtui.core.prompt import Kind, Prompt, Question
from tendtui.core.whereabouts import tier_place, whereabouts
from tests.support.folders import NOON, folder_in
from tests.support.walker import open_at

TIERS = ("Loft", "Middle", "Low")


def prompt_at(place: str, walk: str = "round") -> Prompt:
    question = Question(key="a.b", place=place, ask="What?", kind=Kind.CHOICE)
    return Prompt(walk=walk, title="ROUND", stage="", rows=(), question=question)


def test_tiers_are_counted_from_the_top() -> None:
    assert tier_place("Middle", TIERS) == "tier 2 of 3 from the top"
    assert tier_place("Middle", ("Middle",)) == ""
    assert tier_place("Attic", TIERS) == ""


def test_a_place_is_a_tier_the_reservoir_or_none() -> None:
    here = whereabouts(prompt_at("Low"), TIERS)
    assert (here.tier, here.at_reservoir, here.words) == ("Low", False, "Low: tier 3 of 3 from the top")
    assert whereabouts(prompt_at("reservoir"), TIERS).at_reservoir
    assert whereabouts(prompt_at("Feed A", "dose"), TIERS).at_reservoir
    assert whereabouts(prompt_at("floor"), TIERS).words == ""


def test_the_round_says_which_tier_it_is_in_plain_words(tmp_path: Path) -> None:
    session, _clock = open_at(folder_in(tmp_path), NOON, by="Ines")
    outcome = session.start("round", by="Ines")
    said: list[str] = []
    while (prompt := outcome.prompt) is not None and prompt.question.place != "Lower":
        typed = {Kind.CHOICE: "1", Kind.PAUSE: ""}.get(prompt.question.kind, "2")
        typed = {"level": "40", "conductivity": "1.6", "ph": "6", "temperature": "20"}.get(
            prompt.question.quantity or "", typed
        )
        said += question_lines(prompt, learner=True)
        outcome = session.enter(prompt.walk, key=prompt.question.key, typed=typed)
    assert outcome.prompt is not None
    assert any("Where: tier 1 of 2 from the top: " in line for line in said)
    lower = list(question_lines(outcome.prompt, learner=True))
    assert any("Where: tier 2 of 2 from the top: " in line for line in lower)
