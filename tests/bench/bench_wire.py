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
from collections.abc import Iterator
from pathlib import Path

from tests.support.person import QUIET_S, Person
from tests.support.terminal import Window, window

SMALLEST = """
from textual.app import App
from textual.widgets import Static
class Smallest(App):
    def compose(self):
        yield Static("TODAY")
Smallest().run()
"""


Row = tuple[str, float, float]
"""What was measured, the figure, and the figure aimed at."""


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--starts", type=int, default=5, help="starts to take the best of")
    wanted = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        state = Path(folder) / "state"
        copy_demo(state)
        for what, value, aim in rows(state, starts=wanted.starts):
            print(f"{what:<58} {value:>9}   aim {aim or '-'}")


def rows(state: Path, *, starts: int, idle_s: float = 5.0) -> Iterator[Row]:
    """Measure the screens on a state folder, in which a round and its dose are walked.

    Args:
        state: The folder.
        starts: Starts to take the best of.
        idle_s: How long to watch a page on which nothing happens. [s]
    """
    yield from _starts(state, starts, idle_s)
    yield from _keys(state)
    yield from _trends(state)
    yield from _whole(state)


def copy_demo(state: Path) -> None:
    """Copy the demo as of today, its change day put off so that the round leads to a dose."""
    code = "import sys; from pathlib import Path; from datetime import datetime, UTC; "
    code += "from tendtui.session.demo import copy_demo; copy_demo(Path(sys.argv[1]), datetime.now(UTC))"
    subprocess.run([sys.executable, "-c", code, str(state)], check=True)
    rack = state / "rack.toml"
    rack.write_text(re.sub(r"change_every_days = \d+", "change_every_days = 90", rack.read_text()))


def _program(state: Path, *words: str) -> list[str]:
    return [sys.executable, "-m", "tendtui", *words, "--state", str(state)]


def _starts(state: Path, times: int, idle_s: float) -> Iterator[Row]:
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
            idle = max(idle, _silent(at, idle_s))
            work = max(work, _processor_s(at) - spent)
    yield ("idle, bytes", idle, 0)
    yield (f"idle for {idle_s:.0f} s, processor s", round(work, 2), 0)
    yield ("first paint, ratio to the smallest program", _ratio(ours, theirs), 1.25)
    yield ("today's page with its values, ratio", _ratio(full, theirs), 1.25)
    yield ("readable within, bytes", max(readable), 4_500)
    yield ("start, bytes", max(whole), 9_000)
    yield ("memory, ratio to the smallest program", _ratio(memory, their_memory), 1.3)


def _keys(state: Path) -> Iterator[Row]:
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
        yield ("a key in a field, bytes", max(sizes), 160)
        yield ("a key in a field, ms", round(1000 * statistics.median(times), 1), 10)
        at.type("\x1b[I\x1b[O")
        yield ("focus in and out, bytes", at.quiet(0.5), 0)


def _trends(state: Path) -> Iterator[Row]:
    with window(_program(state)) as at:
        at.sees("DUE NOW", "leave")
        at.quiet()
        sizes = []
        for keys in ("t", "s", "s", "t", "t", "3\n", "\n", "\x1b[6~"):
            at.type(keys)
            sizes.append(at.quiet())
        yield ("trends: opened, or another picture of them, largest, bytes", max(sizes), 4_000)


def _whole(state: Path) -> Iterator[Row]:
    with window(_program(state, "round", "--by", "Ash")) as at:
        person = Person(at, {"conductivity now?": "1.5", "pH now?": "6.0", "level now?": "90"})
        person.waits_for_a_question()
        sizes: list[int] = []
        waits: list[float] = []
        while person.is_asked and len(sizes) < 80:
            before, began = at.received, time.monotonic()
            if " WAIT " in at.text:  # a quarter of an hour is not waited for: not done, no time
                time.sleep(QUIET_S)
                at.type("x")
                at.sees("Why is it not done?")
                at.type("3\r")
                at.quiet()
                continue
            person.answers()
            waits.append(time.monotonic() - began)
            sizes.append(at.received - before)
        yield ("next question, largest, bytes", max(sizes), 3_000)
        yield ("next question, median, bytes", int(statistics.median(sizes)), 3_000)
        yield (f"a whole round and dose, {len(sizes)} questions, bytes", at.received, 120_000)
        yield ("an answer to the next question, median ms", round(1000 * statistics.median(waits)), 0)


def _memory_mb(at: Window) -> float:
    for line in Path(f"/proc/{at.pid}/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
    return 0.0


def _processor_s(at: Window) -> float:
    fields = Path(f"/proc/{at.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _ratio(ours: list[float], theirs: list[float]) -> float:
    """Compare the best of each: other work on the machine only ever adds."""
    return round(min(ours) / min(theirs), 2)


def _silent(at: Window, for_s: float) -> int:
    """Watch for a while, whatever comes; give how many bytes came."""
    count, until = 0, time.monotonic() + for_s
    while (left := until - time.monotonic()) > 0:
        count += at.read(left)
    return count


if __name__ == "__main__":
    main()
