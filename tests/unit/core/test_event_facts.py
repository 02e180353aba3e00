"""An entry's facts are named and said as the round says them."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime
from importlib.resources import files

from tendtui.core.event import Note, Poured, Reading, TaskDone
from tendtui.core.event_facts import FactWords, event_facts, part_name
from tendtui.core.looks import round_words
from tendtui.core.rack import Show

AT = datetime(2026, 11, 25, 7, 52, tzinfo=UTC)
ROUND = round_words(tomllib.loads((files("tendtui") / "data" / "round.toml").read_text(encoding="utf-8")))
WORDS = FactWords(show=Show(), round=ROUND, tiers=("Top",), tasks={"meter": "Check the meter"})


def facts(event: Reading | Poured | Note | TaskDone, words: FactWords = WORDS) -> dict[str, str]:
    return dict(event_facts(event, words))


def test_values_have_their_unit_and_ph_is_said_once() -> None:
    told = facts(Reading(id="1", seq=1, at=AT, ph=6.9, conductivity_ms_cm=1.2, flow_l_min={"Top": 2.0}))
    assert told["pH"] == "6.9"
    assert told["conductivity"] == "1.20 mS/cm"
    assert told["flow at Top"].startswith("2.0 ")


def test_looks_are_said_in_the_words_that_were_chosen() -> None:
    told = facts(Reading(id="1", seq=1, at=AT, looks={"pump.pump": "steady-hum", "Top.roots": "cream-firm"}))
    assert "steady-hum" not in told.values()
    assert any("hum" in value for value in told.values())
    assert not any("." in name for name in told)
    assert any(name.startswith("Top, ") for name in told)


def test_what_was_typed_first_left_out_or_doubted_is_named() -> None:
    reading = Reading(
        id="1",
        seq=1,
        at=AT,
        first={"ph": 61.0, "level": 1.0, "flow.Top": 0.2},
        not_done={"Top.leaves": "no-time", "Top.roots": "could-not-look"},
        doubt=("ph", "flow.Top"),
        notes={"level": "low"},
        replaces="be2b",
        extra={"moon": "full"},
    )
    told = facts(reading)
    assert told["typed first: pH"] == "61.0"
    assert told["typed first: level"] == "1 litre"
    assert told["typed first: flow at Top"].startswith("0.2 ")
    assert told["in doubt"] == "pH, flow at Top"
    assert told["corrects"] == "an earlier entry, which stays in the file (be2b)"
    assert told["note: level"] == "low"
    assert told["moon"] == "full"
    assert "no time" in told.values()
    assert "could not look" in told.values()


def test_words_that_are_not_known_stand_as_they_are_in_the_file() -> None:
    bare = FactWords(show=Show())
    unknown = Reading(id="1", seq=1, at=AT, looks={"Top.moss": "green"}, not_done={"x.y": "eaten"}, source="")
    assert facts(unknown, bare) == {"Top.moss": "green", "not done: x.y": "eaten"}
    not_looked = Reading(id="1", seq=1, at=AT, looks={"Top.roots": "could-not-look"}, source="")
    assert facts(not_looked, bare) == {"Top.roots": "could not look"}


def test_a_pour_and_a_task_are_said_plainly() -> None:
    poured = facts(Poured(id="1", seq=1, at=AT, what="Feed", ml=2.5, planned=3.0))
    assert poured == {"what": "Feed", "millilitres": "2.5", "asked for": "3"}
    assert facts(TaskDone(id="1", seq=1, at=AT, task="meter", outcome="good"))["task"] == "Check the meter"


def test_parts_to_correct_are_named_as_people_name_them() -> None:
    assert [part_name(name) for name in ("ph", "flow.Top", "amount", "text", "else")] == [
        "pH", "flow at Top", "amount", "words", "else",
    ]  # fmt: skip
