"""The screens in a pseudo-terminal: bytes on the wire, signals, a closed and a stalled link."""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.support.fake_program import FAULT
from tests.support.terminal import Window, window

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
NOT_UTF8 = {"LANG": "C", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}


@contextmanager
def fake(path: Path, *words: str, **more: object) -> Iterator[Window]:
    environment = {"PYTHONPATH": str(ROOT), **more.pop("environment", {})}  # type: ignore[dict-item]
    command = [sys.executable, "-m", "tests.support.fake_program", str(path), *words]
    with window(command, environment=environment, folder=str(ROOT), **more) as at:  # type: ignore[arg-type]
        yield at


def answer(at: Window, *lines: str) -> None:
    for line in lines:
        at.quiet(0.1)
        at.type(line + "\r")


def test_an_answer_is_confirmed_before_the_next_question_stands_there(tmp_path: Path) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.type("46\r")
        at.sees("[x] 1 level")
        assert (tmp_path / "log").read_text() == "46\n"


def test_the_aims_for_bytes_are_met(tmp_path: Path) -> None:
    """Aims: start 9 kB, a key 160 B, the next question 3 kB, idle and focus nothing."""
    with fake(tmp_path / "log") as at:
        at.sees("TODAY", "q leave")
        at.quiet()
        assert at.received <= 9_000
        at.type("2")
        assert 0 < at.quiet(0.2) <= 160
        at.type("\r")
        at.sees("Where does the water stand?")
        assert at.quiet() <= 3_000
        at.type("4")
        assert 0 < at.quiet(0.2) <= 160
        at.type("6\r")
        before = at.received
        at.sees("[x] 1 level")
        at.quiet()
        assert at.received - before <= 3_000
        at.type("\x1b[I\x1b[O")
        assert at.quiet(0.5) == 0
        assert at.read(2.0) == 0


@pytest.mark.parametrize("signum", [signal.SIGHUP, signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_it_in_time_with_the_terminal_sane(tmp_path: Path, signum: signal.Signals) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        assert at.modes() == (False, False)
        at.type("46\r")
        at.sees("[x] 1 level")
        began = time.monotonic()
        at.end(signum)
        assert at.ended(3.0)
        assert time.monotonic() - began < 3.0
        assert at.status == 128 + signum
        assert at.modes() == (True, True)
        assert b"\x1b[?1049l" in at.raw[-200:]
        assert b"\x1b[?25h" in at.raw[-200:]
        assert (tmp_path / "log").read_text() == "46\n"


def test_a_save_under_way_is_finished_before_a_signal_ends_it(tmp_path: Path) -> None:
    with fake(tmp_path / "log", "round", "0.8") as at:
        at.sees("Where does the water stand?")
        at.type("46\r")
        at.quiet(0.2)
        at.end(signal.SIGTERM)
        assert at.ended(3.0)
        assert (tmp_path / "log").read_text() == "46\n"


def test_a_closed_terminal_ends_it_in_time(tmp_path: Path) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.type("46\r")
        at.sees("[x] 1 level")
        at.close()
        assert at.ended(3.0)
        assert (tmp_path / "log").read_text() == "46\n"


@pytest.mark.parametrize("signum", [signal.SIGHUP, signal.SIGTERM])
def test_a_stalled_reader_does_not_hold_it(tmp_path: Path, signum: signal.Signals) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.type("46\r")
        at.sees("[x] 1 level")
        for _key in range(400):  # nobody reads: the terminal's buffer fills, then every write stands still
            at.type("?")
            time.sleep(0.004)
        at.end(signum)
        assert at.ended(3.0, reading=False)
        assert (tmp_path / "log").read_text() == "46\n"


@pytest.mark.parametrize(("columns", "rows"), [(80, 23), (60, 20)])
@pytest.mark.parametrize("environment", [{}, {"TERM": "linux"}, {"NO_COLOR": "1"}, NOT_UTF8])
def test_every_terminal_shows_the_same_words(
    tmp_path: Path, columns: int, rows: int, environment: dict[str, str]
) -> None:
    with fake(tmp_path / "log", columns=columns, rows=rows, environment=environment) as at:
        at.sees("TODAY", "Round", "46 litres", "pump [/")
        if "NO_COLOR" in environment:
            assert not any(code in at.raw for code in (b"\x1b[36m", b"\x1b[33m", b"38;5", b"[1;33m"))
        if "PYTHONUTF8" in environment:
            assert at.raw.isascii()
        at.quiet(0.1)
        at.type("2\r")
        at.sees("[>" if columns < 80 else "[>] 1 level", "Where does the water stand?", "Esc pause")


def test_a_window_made_smaller_and_larger_keeps_what_was_typed(tmp_path: Path) -> None:
    import fcntl
    import struct
    import termios

    def resize(at: Window, columns: int, rows: int) -> None:
        fcntl.ioctl(at.fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        at.screen.resize(rows, columns)
        os.kill(at.pid, signal.SIGWINCH)

    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.quiet(0.1)
        at.type("4")
        resize(at, 40, 12)
        at.sees("or press p then Enter")
        resize(at, 80, 24)
        at.sees("Where does the water stand?")
        at.type("6\r")
        at.sees("[x] 1 level            46")


def test_a_stop_and_a_start_bring_the_page_back_with_its_cursor(tmp_path: Path) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.quiet()
        at.type("4")
        at.quiet(0.2)
        at.end(signal.SIGTSTP)
        at.quiet()
        assert at.modes() == (True, True)
        before = len(at.raw)
        at.end(signal.SIGCONT)
        at.quiet(0.6)
        assert at.raw[before:].rfind(b"\x1b[?25h") > at.raw[before:].rfind(b"\x1b[?25l")
        at.sees("Where does the water stand?")
        at.type("6\r")
        at.sees("[x] 1 level            46")


def test_a_fault_of_its_own_ends_in_one_line_with_the_terminal_sane(tmp_path: Path) -> None:
    with fake(tmp_path / "log", "round") as at:
        at.sees("Where does the water stand?")
        at.type("46\r")
        at.sees("[x] 1 level")
        at.quiet(0.1)
        at.type(f"{FAULT}\r")
        assert at.ended(5.0)
        assert at.status == 1
        assert at.modes() == (True, True)
        assert b"Traceback" not in at.raw
        after = at.raw.rpartition(b"\x1b[?1049l")[2]
        assert b"The screens stopped at a fault of their own. Every answer shown as taken is on disk" in after
        assert (tmp_path / "log").read_text() == "46\n"
