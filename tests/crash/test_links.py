"""The link dies, the terminal goes, the process is killed: what was confirmed is there, the round goes on.

The program itself on a copy of the demo, in a terminal; `tests/pilot/test_terminal.py` looks closer at what
it sends while it ends.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.session.demo import copy_demo
from tendtui.store.folder import Folder
from tendtui.store.state_file import read_state
from tests.support.folders import tree
from tests.support.person import Person
from tests.support.tally import count
from tests.support.terminal import Window, window

pytestmark = pytest.mark.slow

NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
ROOT = Path(__file__).parents[2]
ASKED, NEXT = "How much water stands in it?", "What does the conductivity meter show?"


@contextmanager
def tendtui(state: Path, *words: str) -> Iterator[Window]:
    command = [sys.executable, "-m", "tendtui", *words, "--state", str(state)]
    environment = {"TENDTUI_NOW": NOW.isoformat(), "PYTHONPATH": str(ROOT)}
    with window(command, environment=environment, folder=str(ROOT)) as at:
        yield at


def _answers(at: Window) -> None:
    """Answer all up to the level, and see the question after it."""
    person = Person(at, {ASKED: "90"})
    person.waits_for_a_question()
    while ASKED not in at.text:
        person.answers()
    person.answers()
    at.sees("90 litres", NEXT)
    at.quiet()


def _demo(path: Path) -> Path:
    copy_demo(path / "state", NOW)
    return path / "state"


def _hang_up(at: Window) -> None:
    at.end(signal.SIGHUP)


def _terminate(at: Window) -> None:
    at.end(signal.SIGTERM)


def _interrupt(at: Window) -> None:
    at.end(signal.SIGINT)


def _close(at: Window) -> None:
    at.close()


def _stall_and_hang_up(at: Window) -> None:
    for _key in range(400):  # nobody reads: the terminal's buffer fills, then every write stands still
        at.type("?")
        time.sleep(0.004)
    at.end(signal.SIGHUP)


def _kill(at: Window) -> None:
    at.end(signal.SIGKILL)


@pytest.mark.parametrize("end", [_hang_up, _terminate, _interrupt, _close, _stall_and_hang_up, _kill])
def test_however_it_ends_the_round_goes_on_at_the_same_question(
    tmp_path: Path, end: Callable[[Window], None]
) -> None:
    state = _demo(tmp_path)
    with tendtui(state, "round", "--by", "Ash") as at:
        _answers(at)
        end(at)
        count("ends of the program in a terminal: signals, links, kills")
        assert at.ended(3.0, reading=end is not _stall_and_hang_up)
    (walk,) = read_state(Folder(state)).walks.values()
    assert (walk.entries[-1].key, walk.entries[-1].typed) == ("level.level", "90")
    with tendtui(state) as at:
        at.sees("LEFT OPEN", "Round")
    with tendtui(state, "round", "--by", "Mo") as at:
        at.sees("level", "90 litres", NEXT, "Ash")
    assert [name for name in tree(state) if name.endswith(".draft")] == []


def test_a_second_screen_is_told_who_holds_the_folder_and_may_look(tmp_path: Path) -> None:
    state = _demo(tmp_path)
    with tendtui(state, "round", "--by", "Ash") as first:
        _answers(first)
        with tendtui(state, "round", "--by", "Mo") as second:
            second.sees("Ash", "since")
            before = tree(state)
            second.quiet()
            second.type("\r")
            second.quiet()
        after = tree(state)
        assert {name for name in after if after[name] != before.get(name)} <= {".screen", ".lock"}
        first.type("1.5\r")
        first.sees("1.50 mS/cm", "How warm is the water?")


def _processor_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _tmux(socket: Path, *words: str) -> str:
    line = ["tmux", "-f", "/dev/null", "-S", str(socket), *words]
    return subprocess.run(line, capture_output=True, text=True, timeout=20, check=True).stdout


@pytest.mark.skipif(
    shutil.which("tmux") is None or not Path("/proc").is_dir(), reason="no tmux, or no /proc to look into"
)
def test_it_lives_on_under_tmux_without_using_the_processor(tmp_path: Path) -> None:
    state, socket = _demo(tmp_path), tmp_path / "tmux"
    program = f"env TENDTUI_NOW={NOW.isoformat()} {sys.executable} -m tendtui round --by Ash --state {state}"
    _tmux(socket, "new-session", "-d", "-x", "80", "-y", "24", "-c", str(ROOT), f"exec {program}")
    try:
        command = ["tmux", "-S", str(socket), "attach"]
        with window(command, environment={"PYTHONPATH": str(ROOT)}) as at:
            _answers(at)
            at.close()  # the link dies; the session stays
            assert at.ended(3.0)
        pid = int(_tmux(socket, "list-panes", "-F", "#{pane_pid}"))
        before = _processor_s(pid)
        time.sleep(2.0)
        assert _processor_s(pid) - before <= 0.02
        _tmux(socket, "send-keys", "1.5", "Enter")
        until = time.monotonic() + 10.0
        while "How warm is the water?" not in (shown := _tmux(socket, "capture-pane", "-p")):
            assert time.monotonic() < until, shown
            time.sleep(0.1)
        assert "90 litres" in shown
    finally:
        _tmux(socket, "kill-server")
