from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tendtui.cli.main import COMMANDS, parser_of
from tests.support.calls import call
from tests.support.folders import folder_in


def test_help_names_every_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, tmp_path, "--help")
    assert left.status == 0
    assert all(f"  {name}" in left.out for name in COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(name: str) -> None:
    parser = parser_of(name)
    assert parser.format_help().startswith(f"usage: tendtui {name}")
    assert parser.epilog, "it teaches by an example, or says what comes next"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("recrod", "ph=6"), "Did you mean: tendtui record?"),
        (("zzz",), "See: tendtui --help"),
        (("--wrong", "dose"), "there is no option --wrong"),
        (("status", "--jsno"), "unrecognized arguments: --jsno. Did you mean: tendtui status --json?"),
        (("sheet", "--days", "two"), "argument --days: 'two' is no whole number"),
        (("--state",), "--state wants a folder"),
    ],
)
def test_wrong_words_are_one_line_and_status_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
) -> None:
    left = call(capsys, tmp_path, *words)
    assert left.status == 2
    assert says in left.err
    assert left.err.count("\n") == 1


def test_the_state_folder_may_stand_before_or_after_the_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T12:00:00+00:00")
    state = folder_in(tmp_path).path
    before = call(capsys, state, "dose", "--json")
    after = call(capsys, tmp_path / "elsewhere", "dose", "--json", "--state", str(state))
    assert before.table == after.table


def test_a_time_that_is_none_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TENDTUI_NOW", "yesterday")
    left = call(capsys, folder_in(tmp_path).path, "status")
    assert left.status == 2
    assert "TENDTUI_NOW" in left.err


def test_the_full_screen_needs_a_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, tmp_path)
    assert left.status == 2
    assert "tendtui round --plain" in left.err


def test_a_fault_of_the_program_is_one_line_without_a_traceback(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_args: object) -> int:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr("tendtui.cli.status.run", broken)
    left = call(capsys, tmp_path, "status")
    assert left.status == 1
    assert "ZeroDivisionError" in left.err
    assert left.err.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize("words", ["status", "export", "dose --json", "--help", "--version"])
def test_an_output_that_takes_no_more_is_one_line_without_a_traceback(
    tmp_path: Path, words: str, unbuffered: str
) -> None:
    state = folder_in(tmp_path).path
    with Path("/dev/full").open("wb") as full:
        run = subprocess.run(
            [sys.executable, "-m", "tendtui", *words.split()],
            env={**os.environ, "TENDTUI_STATE": str(state), "PYTHONUNBUFFERED": unbuffered},
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert run.returncode == 3
    assert run.stderr == (
        "tendtui: what is printed can't be written (No space left on device). "
        "Make room, or print it somewhere else.\n"
    )


def test_a_reader_that_goes_away_is_no_fault(tmp_path: Path) -> None:
    state = folder_in(tmp_path).path
    read, write = os.pipe()
    os.close(read)
    run = subprocess.run(
        [sys.executable, "-m", "tendtui", "export"],
        env={**os.environ, "TENDTUI_STATE": str(state), "PYTHONUNBUFFERED": ""},
        stdout=write,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write)
    assert (run.returncode, run.stderr) == (0, b"")


WITHOUT_SCREEN = """
import sys
from tendtui.cli.main import COMMANDS, main, parser_of
for name in COMMANDS:
    parser_of(name)
calls = ("status", "dose", "dose --json", "record ph=6.2", "tasks", "check", "export", "calendar", "sheet")
for words in map(str.split, calls):
    main(["--state", sys.argv[1], *words])
loaded = {name.partition(".")[0] for name in sys.modules} & {"textual", "rich"}
assert not loaded, loaded
"""


def test_commands_without_a_screen_load_no_screen_library(tmp_path: Path) -> None:
    state = folder_in(tmp_path).path
    left = subprocess.run(
        [sys.executable, "-c", WITHOUT_SCREEN, str(state)], capture_output=True, text=True, check=False
    )
    assert left.returncode == 0, left.stderr


def test_a_terminal_that_cannot_draw_is_told_the_other_ways(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "dumb")
    left = call(capsys, folder_in(tmp_path).path)
    assert left.status == 2
    assert left.out == ""
    assert "tendtui round --plain" in left.err


def test_the_word_help_helps(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "tendtui round --plain" in call(capsys, tmp_path, "help").out
    assert call(capsys, tmp_path, "help", "record").out.startswith("usage: tendtui record")
