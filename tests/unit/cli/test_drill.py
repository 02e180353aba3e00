"""What to do in an emergency, and a stop cleared, without a screen."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from tendtui.core.event import Note, TaskDone
from tendtui.core.finding_follow import stop_findings
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.value import replace
from tests.support.calls import Called, call
from tests.support.folders import NOON, RACK, folder_in
from tests.support.walker import open_at

PHONED = RACK.replace('usual = ["Ines", "Joss"]', 'usual = ["Ines", "Joss"]\nphones = { Ines = "555 0100" }')

Call = Callable[..., Called]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    return folder_in(tmp_path, rack=PHONED)


@pytest.fixture
def run(folder: Folder, capsys: pytest.CaptureFixture[str]) -> Call:
    return lambda *words: call(capsys, folder.path, *words)


def test_the_list_gives_every_drill_with_what_comes_first_and_whom_to_ring(run: Call) -> None:
    told = run("drill")
    assert told.status == 0
    for digit, name in enumerate(("Power cut", "Water on the floor", "Pump silent or no flow"), start=1):
        assert f"  {digit}  {name}\n" in told.out
    assert "Stay off the wet." in told.out
    assert "Ring the grower: Ines 555 0100." in told.out


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("power",), "POWER CUT"),
        (("2",), "WATER ON THE FLOOR"),
        (("leak",), "WATER ON THE FLOOR"),
        (("water", "on", "the", "floor"), "WATER ON THE FLOOR"),
        (("pump",), "PUMP SILENT OR NO FLOW"),
        (("eye",), "SPLASH IN THE EYE"),
    ],
)
def test_a_word_opens_a_drill(run: Call, words: tuple[str, ...], name: str) -> None:
    told = run("drill", *words)
    assert told.out.startswith(name + "\n")
    assert "\n1. " in told.out
    assert "Ines 555 0100" in told.out


def test_a_word_that_opens_none_is_refused_with_the_list(run: Call) -> None:
    told = run("drill", "teapot")
    assert told.status == 2
    assert "there is no drill called 'teapot'" in told.err
    assert "2 Water on the floor" in told.err


def _stopped(folder: Folder) -> Session:
    session, _clock = open_at(folder, NOON)
    found = TaskDone(id="", seq=0, at=NOON, by="Zoe", task="no-water-on-floor", outcome="found")
    session.record_events([_as_stop(found)])
    return session


def _as_stop(found: TaskDone) -> TaskDone:
    return replace(found, text="water on the floor", severity="stop")


def _typing(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def test_a_stop_is_cleared_line_by_line_and_the_round_begins(
    run: Call, folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    _stopped(folder)
    _typing(monkeypatch, "1", "1 hose put back and floor dried", "1", "40")
    told = run("round", "--plain", "--by", "Ines")
    assert told.out.index("[!] STOP: Water on the floor") < told.out.index("What was done about it?")
    assert "Ring the grower: Ines 555 0100." in told.out
    assert "How much water stands in it?" in told.out
    after, _clock = open_at(folder, NOON)
    assert not stop_findings(after.events)
    assert after.state.walks["round"].entries[-1].typed == "40"


@pytest.mark.parametrize("typed", [("3",), ("2", "3"), ("1", "1 mopped it up", "")])
def test_a_stop_that_stands_lets_no_round_begin(
    run: Call, folder: Folder, monkeypatch: pytest.MonkeyPatch, typed: tuple[str, ...]
) -> None:
    _stopped(folder)
    _typing(monkeypatch, *typed)
    told = run("round", "--plain", "--by", "Zoe")  # a newcomer: what was done is kept, the grower closes it
    assert told.status == 0
    assert "How much water stands" not in told.out
    after, _clock = open_at(folder, NOON)
    assert stop_findings(after.events)
    assert "round" not in after.state.walks
    assert not [event for event in after.events if isinstance(event, Note)]
