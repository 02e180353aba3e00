"""The round line by line."""

from __future__ import annotations

import argparse
import os
import select
import tomllib
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path
from typing import cast

import pytest

from tendtui.cli import round_plain
from tendtui.cli.plain_page import say
from tendtui.cli.round_plain import PausedError, Talk, walk_plain
from tendtui.core.event import Event, Reading
from tendtui.core.leaving import leaving_script
from tendtui.core.looks import round_words
from tendtui.core.rack import Measuring, Rack, Reservoir, Target, Tier
from tendtui.core.round import round_script
from tendtui.core.state import Person, State
from tendtui.core.walk import Script, Walk
from tendtui.errors import HeldError, StateError
from tendtui.session.session import Session
from tendtui.value import replace
from tests.support.walk_session import WalkSession

WORDS = round_words(tomllib.loads(Path("tendtui/data/round.toml").read_text(encoding="utf-8")))
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
RACK = Rack(
    name="Porch",
    reservoir=Reservoir(full_l=60.0, least_l=30.0),
    tiers=(
        Tier(name="Top", pipe_inside_mm=80, length_m=1.2, outlet_height_mm=50, crops=("basil",), plants=8),
    ),
    target=Target(conductivity_ms_cm=(1.4, 1.8), ph=(5.6, 6.2), temperature_c=(18.0, 23.0)),
    measuring=Measuring(jug_l=2.0),
    people=("Mo", "Ash"),
)
ROUND = ("46", "1.5", "20", "6.0", "1", "1", "", "60", "1", "1", "", "1", "1", "1")
LEAVING = ("1", "2", "1", "1", "1")


def make(walk: Walk, events: tuple[Event, ...]) -> Script:
    if walk.kind == "leaving":
        return leaving_script(rack=RACK, events=events, began=walk.began, words=WORDS, context=walk.context)
    return round_script(rack=RACK, events=events, began=walk.began, words=WORDS)


def session(**state: object) -> WalkSession:
    return WalkSession(
        rack=RACK,
        make=make,
        clock=NOW,
        leave_out=("dose",),
        by="Mo",
        state=State(**state),  # type: ignore[arg-type]
    )


def talked(under: WalkSession, lines: Iterable[str]) -> int:
    """Type lines into a round; the input ends after the last."""
    left = list(lines)

    def read() -> str:
        if not left:
            raise EOFError
        return left.pop(0)

    talk = Talk(session=cast("Session", under), read=read)

    try:
        return talk.walk(talk.begin("Mo"))
    except PausedError:
        return -1


def readings(under: WalkSession) -> list[Reading]:
    return [e for e in under.events if isinstance(e, Reading) and e.level_l is not None]


def reading(under: WalkSession) -> Reading:
    return readings(under)[0]


def test_a_whole_round_and_the_leaving_list(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    assert talked(under, [*ROUND, *LEAVING]) == 0
    made = reading(under)
    assert (made.level_l, made.conductivity_ms_cm, made.temperature_c, made.ph) == (46, 1.5, 20, 6.0)
    assert made.flow_l_min == {"Top": 2.0}
    assert made.looks["floor.sockets"] == "dry-looped"
    assert under.state.walks == {}
    out = capsys.readouterr().out
    assert out.endswith("Done: nothing was poured.\n\nFinished. Everything is saved.\n")


def test_a_question_is_read_out_with_everything_one_needs(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    under.events = (Reading(id="r", seq=1, at=NOW - timedelta(days=1), level_l=47.0),)
    talked(under, [])
    assert capsys.readouterr().out.splitlines() == [
        "",
        "ROUND, station 1 of 6, question 1 of 1",
        "reservoir: How much water stands in it?",
        "  Where: the reservoir, the marks on its side",
        "  How: pump running, nothing added yet today; read the mark at the edge of the",
        "    water, eye level with it",
        "  Why: plants drink; the pump needs water over its mouth, and a dose is worked",
        "    out from the litres",
        "  Good: between the least mark and the full mark, down by about as much as on",
        "    other days",
        "  last time: 47 (yesterday)",
        "  marks: 30 to 60",
        "In an emergency type: drill",
        "Type a number (litres), or help.",
        "> ",
    ]


def test_forty_columns_hold_every_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    talked(session(), [*ROUND, *LEAVING])
    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 40


def test_no_control_sequence_and_no_echo(capsys: pytest.CaptureFixture[str]) -> None:
    talked(session(), ["note \x1b[31mred", "46.25", *LEAVING])
    out = capsys.readouterr().out
    assert "\x1b" not in out
    assert "46.25" not in out.replace("46.25 ", "")


def test_a_name_that_steers_terminals_is_printed_without_it(capsys: pytest.CaptureFixture[str]) -> None:
    say(["tier \x1b[2J[/]\x07 \u202eon"])
    assert capsys.readouterr().out == "tier  [2J[/]   on\n"


def test_the_end_of_the_input_is_a_pause_and_the_round_goes_on_there() -> None:
    under = session()
    assert talked(under, ROUND[:4]) == -1
    assert talked(under, [*ROUND[4:], *LEAVING]) == 0
    assert reading(under).ph == 6.0


def test_a_round_left_long_can_be_done_again_in_part(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    talked(under, ROUND[:4])
    under.clock += timedelta(hours=2)
    assert talked(under, ["9", "2", "44", *ROUND[1:], *LEAVING]) == 0
    assert reading(under).level_l == 44.0
    out = capsys.readouterr().out
    assert "ROUND: left open by Mo, 2 hours ago." in out
    assert "[x] 1 level: 46 litres" in out
    assert "9 is none of the answers. Type one of 1, 2, 3." in out


def test_a_round_left_long_can_be_given_up_or_gone_on_with() -> None:
    under = session()
    talked(under, ROUND[:4])
    under.clock += timedelta(hours=2)
    assert talked(under, ["1", *ROUND[4:], *LEAVING]) == 0
    talked(under, ROUND[:4])
    under.clock += timedelta(days=1)
    looked_at = [*ROUND[1:7], "1", *ROUND[8:]]  # the outlet was timed a day ago
    assert talked(under, ["3", "41", *looked_at, *LEAVING]) == 0
    assert [e.level_l for e in readings(under)] == [46, 41]


def test_a_clock_set_back_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    talked(under, ROUND[:4])
    under.clock -= timedelta(days=365)
    talked(under, [])
    assert "[!] This clock stands before the last answer." in capsys.readouterr().out


@pytest.mark.parametrize("word", ["quit", "exit", "stop"])
def test_what_people_type_to_get_out_is_a_pause(word: str) -> None:
    assert talked(session(), ["46", word, "1.5"]) == -1


def test_a_pause_is_left_by_its_word() -> None:
    assert talked(session(), ["46", "pause", "1.5"]) == -1


def test_back_shows_the_answer_and_enter_keeps_it(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    assert talked(under, ["46", "back", "", *ROUND[1:], *LEAVING]) == 0
    assert reading(under).level_l == 46.0
    assert "  answered: 46 (Enter keeps it)" in capsys.readouterr().out


def test_undo_skip_note_and_their_short_forms(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    lines = ["undo", "4", "u", "46", "skip", "5", "", "5", "lent it", "n", "pump hums", "x", "7", "2"]
    assert talked(under, [*lines, *ROUND[3:], *LEAVING]) == 0
    made = reading(under)
    assert made.level_l == 46.0
    assert made.not_done == {
        "conductivity.conductivity": "other",
        "conductivity.temperature": "no-tool",
    }
    assert made.notes == {"conductivity": "pump hums; conductivity: lent it"}
    out = capsys.readouterr().out
    assert "There is nothing to undo. Nothing was answered here yet." in out
    assert "Taken back: level, 4 litres." in out
    assert "Noted as not done." in out
    assert "Say in a few words what it is" in out


def test_a_pause_cannot_be_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    talked(session(), [*ROUND[:6], "skip"])
    assert "This one can't be left out. Answer it, or type pause." in capsys.readouterr().out


def test_an_answer_that_wants_words_asks_for_them() -> None:
    under = session()
    assert talked(under, [*ROUND[:4], "4", "clicks", *ROUND[5:], *LEAVING]) == 0
    assert reading(under).notes == {"pump": "pump: clicks"}


def test_a_refused_answer_is_asked_again_with_its_reason(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    assert talked(under, ["1,420", *ROUND, *LEAVING]) == 0
    assert "1,420 can be read as 1.420 or as 1420. Type 1.420 or 1420." in capsys.readouterr().out


def test_an_unusual_value_is_measured_again(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    under.events = (Reading(id="r", seq=1, at=NOW - timedelta(days=1), ph=6.1),)
    assert talked(under, [*ROUND[:3], "8.4", *ROUND[3:], *LEAVING]) == 0
    out = capsys.readouterr().out
    assert "[!] pH 8.4 is far from last time (6.1)" in out
    assert "  first reading: 8.4\nSecond reading:" in out
    assert reading(under).first == {"ph": 8.4}


def test_same_is_taken_only_where_it_is_offered(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    under.events = (Reading(id="r", seq=1, at=NOW - timedelta(days=9), level_l=46, flow_l_min={"Top": 2.0}),)
    assert talked(under, ["=", *ROUND[:7], "help", "same", *ROUND[8:], *LEAVING]) == 0
    made = readings(under)[1]
    assert made.same == ("Top.flow",)
    out = capsys.readouterr().out
    assert "Same as last is not taken here. Measure it, or type skip." in out
    assert "  same: the same as last time (2.0 L/min)" in out


def test_help_and_list_change_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    assert talked(under, ["46", "?", "list", *ROUND[1:], *LEAVING]) == 0
    out = capsys.readouterr().out
    assert "Instead of an answer you can type:" in out
    assert "[x] 1 level: 46 litres" in out


def test_brief_asks_with_fewer_words_and_help_explains(capsys: pytest.CaptureFixture[str]) -> None:
    under = session(people={"Mo": Person(form="learner", clean_rounds=5)})
    assert talked(under, ["brief", *ROUND, *LEAVING]) == 0
    assert "Where:" not in capsys.readouterr().out.split("brief")[-1].split("Type a number (litres)")[1]
    talked(under, ["help", "learner"])
    assert "Where: the reservoir" in capsys.readouterr().out


def test_brief_is_offered_after_five_clean_rounds(capsys: pytest.CaptureFixture[str]) -> None:
    under = session(people={"Mo": Person(clean_rounds=5)})
    talked(under, [*ROUND, *LEAVING])
    assert "Five clean rounds." in capsys.readouterr().out


def test_a_failed_save_is_said_and_the_answer_asked_again(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    under.failing = [StateError("the disk is full", "Make room."), HeldError("held by Ash", "Wait.")]
    assert talked(under, ["46", *ROUND[:1], *ROUND, *LEAVING]) == 0
    out = capsys.readouterr().out
    assert "[!] Not saved: the disk is full. Make room." in out
    assert "[!] Not saved: held by Ash. Wait." in out


def test_an_input_that_ends_after_a_failed_save_ends_in_its_error() -> None:
    under = session()
    under.failing = [StateError("the disk is full", "Make room.")]
    with pytest.raises(StateError, match="the disk is full"):
        talked(under, ["46"])


def test_a_walk_changed_elsewhere_is_shown_anew(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    cast_session = cast("Session", under)
    outcome = cast_session.start("round", by="Mo")
    under.enter("round", key="level.level", typed="46")
    left = ["45"]

    def read() -> str:
        if not left:
            raise EOFError
        return left.pop(0)

    assert walk_plain(cast_session, outcome, read) == 0
    out = capsys.readouterr().out
    assert "level.level is not the question asked now; conductivity.conductivity is." in out
    assert out.endswith("Paused. Every answer so far is saved.\n")


@pytest.mark.parametrize(
    ("people", "lines", "who"),
    [
        (("Mo",), [], "Mo"),
        (("Mo", "Ash"), ["2"], "Ash"),
        ((), ["", "Lou \x1b"], "Lou"),
    ],
)
def test_who_is_here_is_asked_where_it_is_not_known(
    people: tuple[str, ...], lines: list[str], who: str
) -> None:
    under = session()
    under.rack = replace(RACK, people=people)
    assert Talk(session=cast("Session", under), read=lambda: lines.pop(0)).who() == who


def test_the_command_asks_who_is_here_and_pauses_at_the_end_of_the_input(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    under = session()
    monkeypatch.setattr(round_plain, "open_session", lambda state, by: under)
    monkeypatch.setattr("sys.stdin", StringIO("2\r\n46\n"))
    parser = argparse.ArgumentParser()
    parser.add_argument("--state")
    round_plain.add(parser)
    assert round_plain.run(parser.parse_args([])) == 0
    assert under.state.walks["round"].by == "Ash"
    assert len(under.state.walks["round"].entries) == 1
    assert capsys.readouterr().out.endswith(
        "Paused. Every answer so far is saved. Go on with: tendtui round --plain\n"
    )


def test_a_section_that_cannot_be_done_again_is_gone_on_with(capsys: pytest.CaptureFixture[str]) -> None:
    under = session()
    talked(under, ["note hums"])
    under.clock += timedelta(hours=1)
    assert talked(under, ["2", *ROUND, *LEAVING]) == 0
    assert "There is nothing here to do again. Go on where you stand." in capsys.readouterr().out


def test_lines_typed_before_a_look_are_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    ours, theirs = os.openpty()
    with os.fdopen(theirs, "r", encoding="utf-8") as terminal:
        monkeypatch.setattr("sys.stdin", terminal)
        os.write(ours, b"1\n")
        assert select.select([terminal], [], [], 1.0)[0]
        round_plain.throw_away_early_keys()
        assert not select.select([terminal], [], [], 0.05)[0]
    os.close(ours)


@pytest.mark.parametrize(
    ("typed", "told"), [("drill", "  2  Water on the floor"), ("drill floor", "1. Tray and towels.")]
)
def test_the_drills_are_one_word_away_from_every_question(
    capsys: pytest.CaptureFixture[str], typed: str, told: str
) -> None:
    under = session()
    talked(under, [typed, "46"])
    out = capsys.readouterr().out
    assert told in out
    assert "Ring the grower" in out
    assert out.count("How much water stands in it?") == 2  # the question waits
    assert [entry.typed for entry in under.state.walks["round"].entries] == ["46"]


def test_an_unknown_drill_names_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    talked(session(), ["drill teapot"])
    assert "There are: 1 Power cut, 2 Water on the floor" in " ".join(capsys.readouterr().out.split())
