"""Bytes and time on a thin link: the program in a terminal, beside the smallest of its kind.

    python -m tests.bench.bench_wire [--starts N]

Prints one line for each aim; nothing here fails. Walks the demo's round, dose and leaving list by keyboard,
reading the answers off the screen as a person would.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.support.person import Person
from tests.support.terminal import Window, window

SMALLEST = """
from textual.app import App
from textual.widgets import Static
class Smallest(App):
    def compose(self):
        yield Static("TODAY")
Smallest().run()
"""


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--starts", type=int, default=5, help="starts to take the median of")
    wanted = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        state = Path(folder) / "state"
        _copy_demo(state)
        _starts(state, wanted.starts)
        _keys(state)
        _trends(state)
        _whole(state)


def _copy_demo(state: Path) -> None:
    code = "import sys; from pathlib import Path; from datetime import datetime, UTC; "
    code += "from tendtui.session.demo import copy_demo; copy_demo(Path(sys.argv[1]), datetime.now(UTC))"
    subprocess.run([sys.executable, "-c", code, str(state)], check=True)
    rack = state / "rack.toml"
    rack.write_text(re.sub(r"change_every_days = \d+", "change_every_days = 90", rack.read_text()))


def _program(state: Path, *words: str) -> list[str]:
    return [sys.executable, "-m", "tendtui", *words, "--state", str(state)]


def _starts(state: Path, times: int) -> None:
    ours, full, theirs, readable, whole, memory, their_memory = [], [], [], [], [], [], []
    idle, work = 0, 0.0
    for _start in range(times):
        began = time.monotonic()
        with window([sys.executable, "-c", SMALLEST]) as at:
            at.sees("TODAY")
            theirs.append(time.monotonic() - began)
            at.quiet()
            their_memory.append(_memory_mb(at))
        began = time.monotonic()
        with window(_program(state)) as at:
            at.sees("TODAY")
            ours.append(time.monotonic() - began)
            at.sees("DUE NOW", "leave")
            full.append(time.monotonic() - began)
            readable.append(at.received)
            at.quiet()
            whole.append(at.received)
            memory.append(_memory_mb(at))
            spent = _processor_s(at)
            idle = max(idle, at.read(3.0))
            work = max(work, _processor_s(at) - spent)
    _say("idle, bytes", idle, 0)
    _say("idle for 3 s, processor s", round(work, 2), 0)
    _say("first paint, ratio to the smallest program", _ratio(ours, theirs), 1.25)
    _say("today's page with its values, ratio", _ratio(full, theirs), 1.25)
    _say("readable within, bytes", max(readable), 4_500)
    _say("start, bytes", max(whole), 9_000)
    _say("memory, ratio to the smallest program", _ratio(memory, their_memory), 1.3)


def _keys(state: Path) -> None:
    with window(_program(state, "round", "--by", "Ash")) as at:
        person = Person(at)
        person.waits_for_a_question()
        sizes, times = [], []
        for key in ("1", "2", "3", "\x7f", "\x7f", "\x7f"):
            began = time.monotonic()
            at.type(key)
            while not (size := at.read(0.002)):
                pass
            times.append(time.monotonic() - began)
            sizes.append(size + at.quiet(0.1))
        _say("a key in a field, bytes", max(sizes), 160)
        _say("a key in a field, ms", round(1000 * statistics.median(times), 1), 10)
        at.type("\x1b[I\x1b[O")
        _say("focus in and out, bytes", at.quiet(0.5), 0)


def _trends(state: Path) -> None:
    with window(_program(state)) as at:
        at.sees("DUE NOW", "leave")
        at.quiet()
        sizes = []
        for keys in ("t", "s", "s", "t", "t", "3\n", "\n", "\x1b[6~"):
            at.type(keys)
            sizes.append(at.quiet())
        _say("trends: opened, or another picture of them, largest, bytes", max(sizes), 4_000)


def _whole(state: Path) -> None:
    with window(_program(state, "round", "--by", "Ash")) as at:
        person = Person(at)
        person.waits_for_a_question()
        sizes: list[int] = []
        waits: list[float] = []
        while person.is_asked and len(sizes) < 80:
            before, began = at.received, time.monotonic()
            person.answers()
            waits.append(time.monotonic() - began)
            sizes.append(at.received - before)
        _say("next question, largest, bytes", max(sizes), 3_000)
        _say("next question, median, bytes", int(statistics.median(sizes)), 3_000)
        _say(f"a whole round and dose, {len(sizes)} questions, bytes", at.received, 120_000)
        _say("an answer to the next question, median ms", round(1000 * statistics.median(waits)), 0)


def _memory_mb(at: Window) -> float:
    for line in Path(f"/proc/{at.pid}/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
    return 0.0


def _processor_s(at: Window) -> float:
    fields = Path(f"/proc/{at.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _ratio(ours: list[float], theirs: list[float]) -> float:
    return round(statistics.median(ours) / statistics.median(theirs), 2)


def _say(what: str, value: float, aim: float) -> None:
    print(f"{what:<58} {value:>9}   aim {aim or '-'}")


if __name__ == "__main__":
    main()
