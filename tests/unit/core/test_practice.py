"""The practice round: two planted faults, a fair report, and nothing in the diary."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.core.looks import round_words
from tendtui.core.practice import PracticeScript, practice_script
from tendtui.core.practice_cards import Card
from tendtui.core.prompt import Kind, Question, called
from tendtui.core.rack import Rack
from tendtui.core.round import round_script
from tendtui.core.state import Person
from tendtui.core.walk import Answer, Answers
from tendtui.session.knowledge import rack_bands
from tendtui.session.session import Session
from tendtui.store.data_file import read_data
from tendtui.store.rack_file import parse_rack
from tests.support.folders import RACK, folder_in, tree
from tests.support.walker import open_at, walk_through

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
HOT_C = 26.0


def rack() -> Rack:
    parsed, _findings = parse_rack(RACK.encode(), file="rack.toml")
    assert parsed is not None
    return parsed


def script(seed: str, run: int = 0) -> PracticeScript:
    inner = round_script(
        rack=rack(),
        events=(),
        began=NOW,
        words=round_words(read_data("round")),
        bands=rack_bands(rack(), (), NOW),
    )
    return practice_script(inner, data=read_data("practice"), hot_c=HOT_C, seed=seed, run=run)


def answer_by(cards: Mapping[str, Card], question: Question, *, blind: bool = False) -> str:
    """Type what the card says; `blind` takes every look for good and every number for usual."""
    card = cards[question.key]
    if card.value is not None:
        value = 20.0 if blind and card.fault and "temperature" in card.key else card.value
        return f"{value:g} L/min" if question.jug_l else f"{value:g}"
    word = next(c.word for c in question.choices if not c.look) if blind else card.word
    return next(choice.digit for choice in question.choices if choice.word == word)


@pytest.mark.parametrize("seed", ["a", "b", "7f3e", "00", "zebra", "9", "x1", "walk"])
def test_two_faults_are_planted_a_look_and_a_number(seed: str) -> None:
    made = script(seed)
    planted = [card for card in made.cards.values() if card.fault]
    assert sorted(card.value is not None for card in planted) == [False, True]
    assert all(card.see for card in made.cards.values())


def test_the_same_walk_keeps_its_faults_and_others_have_others() -> None:
    faults = {seed: frozenset(c.key for c in script(seed).cards.values() if c.fault) for seed in "abcdefgh"}
    assert faults["a"] == frozenset(c.key for c in script("a").cards.values() if c.fault)
    assert len(set(faults.values())) > 3


@pytest.mark.parametrize("by", ["Zoe", "Mina", ""])
def test_two_runs_in_a_row_plant_no_fault_twice(by: str) -> None:
    for run in range(12):
        before, after = ({c.key for c in script(by, n).cards.values() if c.fault} for n in (run, run + 1))
        assert not before & after


def test_a_fault_is_named_by_its_question_and_another_answer_is_not_the_exact_one() -> None:
    made = next(m for m in (script("Zoe", n) for n in range(40)) if m.cards["pump.pump"].fault)
    questions = {q.key: q for stop in made.inner.stops for q in stop.questions}
    number = next(c for c in made.cards.values() if c.fault and c.value is not None)
    by_key = {
        key: Answer(typed="", value=card.value, word=card.word, look=bool(card.fault and card.word))
        for key, card in made.cards.items()
    }
    flow = made.cards["pump.pump"]
    other = next(c for c in questions["pump.pump"].choices if c.look and c.word not in (flow.word, "else"))
    by_key["pump.pump"] = Answer(typed=other.digit, word=other.word, look=True)
    said = made.report(Answers(by_key=by_key))
    assert said[0] == "You found 2 of 2 planted faults."
    assert any(line.startswith(f"Found, {called(questions[number.key])}: ") for line in said)
    exact = next(c.text for c in questions["pump.pump"].choices if c.word == flow.word)
    assert f"You saw that something was wrong; what says it exactly is: {exact}." in said
    assert f"{len(made.cards) - 1} of {len(made.cards)} answers fit their card." in said
    assert "That is a clean round. You can do the real one." not in said


def test_every_question_of_the_round_has_its_card() -> None:
    made = script("a")
    asked = [q for stop in made.stations(Answers()) for q in stop.questions if q.kind is not Kind.PAUSE]
    assert {q.key for q in asked} == set(made.cards)
    assert all(q.before[0].startswith("Your card: ") for q in asked)


def test_every_card_fits_an_answer_of_the_round() -> None:
    offered = {
        (row["id"], answer["word"])
        for station in [*read_data("round")["station"], read_data("round")["tier"]]  # type: ignore[misc]
        for row in station["question"]
        for answer in [*row.get("answer", []), *row.get("look", {}).get("answer", [])]
    }
    for card in read_data("practice")["card"]:  # type: ignore[attr-defined]
        for fault in card.get("fault", []):
            assert (card["question"], fault["word"]) in offered


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return open_at(folder_in(tmp_path), NOW, by="Zoe")[0]


def cards_of(session: Session) -> Mapping[str, Card]:
    made = session.script(session.state.walks["practice"])
    assert isinstance(made, PracticeScript)
    return made.cards


def test_whoever_goes_by_the_cards_finds_both(session: Session) -> None:
    outcome = session.start("practice", by="Zoe")
    cards = cards_of(session)
    _seen, said = walk_through(session, "practice", lambda q: answer_by(cards, q), outcome=outcome)
    assert said[0] == "You found 2 of 2 planted faults."
    assert re.match(r"Found, .+: Your card: ", said[1])
    # the card's words end as a sentence before the report goes on
    assert all(f"{card.see}. {card.fault}" in " ".join(said) for card in cards.values() if card.fault)
    assert f"{len(cards)} of {len(cards)} answers fit their card." in said
    assert said[-1] == "Nothing of this is in the diary, and nothing is to be poured."


def test_whoever_says_all_is_well_is_told_what_was_missed(session: Session) -> None:
    outcome = session.start("practice", by="Zoe")
    cards = cards_of(session)
    bad_look = next(card for card in cards.values() if card.fault and card.value is None)
    _seen, said = walk_through(
        session, "practice", lambda q: answer_by(cards, q, blind=True), outcome=outcome
    )
    assert any(line.startswith("Missed, ") and bad_look.fault in line for line in said)
    assert "Do it again when you like: other faults are planted then." in said


def test_false_alarms_and_slips_are_told_too(session: Session) -> None:
    outcome = session.start("practice", by="Zoe")
    cards = cards_of(session)
    good_look = next(c.key for c in cards.values() if not c.fault and c.value is None)
    good_ph = "ph.ph" if not cards["ph.ph"].fault else "conductivity.temperature"

    def answer(question: Question) -> str:
        if question.key == good_look:
            return next(choice.digit for choice in question.choices if choice.look)
        if question.key == good_ph:
            return f"{(cards[good_ph].value or 0.0) + 0.4:g}"
        return answer_by(cards, question)

    _seen, said = walk_through(session, "practice", answer, outcome=outcome)
    alarm = next(line for line in said if line.startswith("False alarm, "))
    assert alarm.endswith(f"{cards[good_look].see}. All was well there.")
    assert any(line.startswith("Misread, ") for line in said)


def test_a_false_alarm_names_the_look_of_the_tier(session: Session) -> None:
    outcome = session.start("practice", by="Zoe")
    cards = cards_of(session)
    good = next(key for key, c in cards.items() if key.startswith("Upper.") and not c.fault and not c.value)

    def answer(question: Question) -> str:
        if question.key == good:
            return next(choice.digit for choice in question.choices if choice.look)
        return answer_by(cards, question)

    _seen, said = walk_through(session, "practice", answer, outcome=outcome)
    look = good.rpartition(".")[2]
    assert any(line.startswith(f"False alarm, Upper, {look}: ") for line in said), said


def test_nothing_of_it_reaches_the_diary(session: Session) -> None:
    log = {name: data for name, data in tree(session.folder.path).items() if name.startswith("log/")}
    outcome = session.start("practice", by="Zoe")
    cards = cards_of(session)
    walk_through(session, "practice", lambda q: answer_by(cards, q), outcome=outcome)
    after = {name: data for name, data in tree(session.folder.path).items() if name.startswith("log/")}
    assert after == log
    assert session.events == ()
    assert session.state.walks == {}
    assert session.state.people == {"Zoe": Person(practised=1)}  # which faults come next, and no more


def test_the_next_practice_of_somebody_has_other_faults(session: Session) -> None:
    planted = []
    for _run in range(3):
        outcome = session.start("practice", by="Zoe")
        cards = cards_of(session)
        planted.append({card.key for card in cards.values() if card.fault})
        walk_through(session, "practice", lambda q, c=cards: answer_by(c, q), outcome=outcome)  # type: ignore[misc]  # bound now
    assert session.person("Zoe").practised == 3
    assert not planted[0] & planted[1]
    assert not planted[1] & planted[2]
