"""Every figure of speed that this program aims at, against baselines of the same run.

    python -m tests.bench [--starts N]

On the demo and on a log of ten years with two rounds a day. Nothing here fails; it prints. Commands are
called in turn with bare Python, many times, and the best time of each counts: other work on the machine only
ever adds. The same is given of a demo that nobody has written to, which has no memory of its log yet. Its
parts, with more detail: `tests.bench.bench_wire`, `tests.bench.bench_store`, `tests.bench.bench_chemistry`.
"""

from __future__ import annotations

import argparse
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from math import inf
from pathlib import Path

from tendtui.core.event import Note
from tendtui.core.state import State
from tendtui.store.folder import Folder
from tendtui.store.log_file import append
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import open_state, write_state
from tests.bench import bench_store, bench_wire
from tests.support.ten_years import write_ten_years

COMMANDS = (
    (("status",), 5.0, 6.0),
    (("status", "--json"), 5.0, 6.0),
    (("record", "ph=6.0"), 5.0, 6.0),
)
"""Words of a call, and how many times bare Python it may take on the demo and on ten years."""


def main() -> None:
    """Measure and print everything."""
    options = argparse.ArgumentParser(description="Every figure of speed aimed at, beside its aim.")
    options.add_argument("--starts", type=int, default=5, help="starts of the screens to take the best of")
    options.add_argument("--calls", type=int, default=30, help="calls of a command to take the best of")
    wanted = options.parse_args()
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is compiled once
    os.environ.pop("TENDTUI_NOW", None)
    with tempfile.TemporaryDirectory(prefix="tend-bench-") as place:
        demo, decade = _folders(Path(place))
        print(f"{'':<50} {'demo':>10} {'ten years':>10}   aim")
        _commands(demo, decade, wanted.calls)
        _saves(demo, decade)
        _screens(demo, decade, wanted.starts)


def _folders(place: Path) -> tuple[Folder, Folder]:
    demo, decade = Folder(place / "demo"), Folder(place / "decade")
    bench_wire.copy_demo(demo.path)
    shutil.copytree(demo.path, decade.path)
    shutil.rmtree(decade.log_dir)
    now = datetime.now(UTC)  # noqa: TID251 - the demo copy is of today too
    many = write_ten_years(decade, read_rack(decade), until=now)
    for folder in (demo, decade):  # a log that is in use: the last save kept what readers need
        append(folder, (Note(id="bench-begin", seq=0, at=now, text="bench"),))
    print(f"the long log: {many} events in {len(list(decade.log_dir.glob('*.toml')))} months")
    return demo, decade


def _commands(demo: Folder, decade: Folder, calls: int) -> None:
    lines = {("bare", ""): [sys.executable, "-c", "pass"]}
    for words, _short, _long in COMMANDS:
        for folder in (demo, decade):
            lines[" ".join(words), folder.path.name] = _line(folder, words)
    fresh = demo.path.with_name("fresh")
    shutil.copytree(demo.path, fresh, ignore=shutil.ignore_patterns(".*"))
    lines["status", "fresh"] = _line(Folder(fresh), ("status",))
    best = _best(lines, calls)
    bare = best["bare", ""]
    _row("bare Python: clock ms", bare[0])
    _row("bare Python: processor ms", bare[1])
    dose = _best({(folder.path.name, ""): _line(folder, ("dose", "--json")) for folder in (demo, decade)}, 5)
    short, long = dose["demo", ""], dose["decade", ""]
    _row("dose --json: processor s", short[1] / 1000, long[1] / 1000, aim="0.4", digits=3)
    _row("dose --json: ten years over the demo", long[1] / short[1], aim="1.1", digits=2)
    for words, short_aim, long_aim in COMMANDS:
        name = " ".join(words)
        short, long = best[name, "demo"], best[name, "decade"]
        aims = f"{short_aim:g}; {long_aim:g}"
        _row(f"{name}: x bare Python, clock", short[0] / bare[0], long[0] / bare[0], aim=aims)
        _row(f"{name}: x bare Python, processor", short[1] / bare[1], long[1] / bare[1], aim=aims)
    _row("status, never written to: x bare Python, clock", best["status", "fresh"][0] / bare[0])


def _saves(demo: Folder, decade: Folder) -> None:
    print()
    found = {}
    for folder, name in ((demo, "demo"), (decade, "ten years")):
        state, was = open_state(folder)
        found[name] = bench_store.saves(folder, name)
        write_state(folder, State() if was is None else state, was=open_state(folder)[1])
    print()
    for n, what in enumerate(("an answer", "an event")):
        short, long = found["demo"][n], found["ten years"][n]
        _row(f"save of {what}: median ms", statistics.median(short), statistics.median(long), aim="20")
        late = [times[int(len(times) * 0.95)] for times in (short, long)]
        _row(f"save of {what}: 95 % ms", *late, aim="50")


def _screens(demo: Folder, decade: Folder, starts: int) -> None:
    columns = [list(bench_wire.rows(folder.path, starts=starts)) for folder in (demo, decade)]
    for short, long in zip(*columns, strict=True):
        _row(short[0], short[1], long[1], aim=f"{short[2]:g}", digits=2)


def _line(folder: Folder, words: Sequence[str]) -> list[str]:
    program = Path(sys.executable).with_name("tendtui")
    start = [str(program)] if program.exists() else [sys.executable, "-m", "tendtui"]
    return [*start, *words, "--state", str(folder.path)]


def _best(
    lines: Mapping[tuple[str, str], Sequence[str]], calls: int
) -> dict[tuple[str, str], tuple[float, float]]:
    """Call each in turn, so many times over; give the best of clock and processor for each. [ms]"""
    best = dict.fromkeys(lines, (inf, inf))
    for _n in range(calls):
        for name, line in lines.items():
            began = time.perf_counter()
            child = subprocess.Popen(line, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            _pid, status, used = os.wait4(child.pid, 0)
            clock = (time.perf_counter() - began) * 1000
            child.returncode = os.waitstatus_to_exitcode(status)
            processor = (used.ru_utime + used.ru_stime) * 1000
            best[name] = (min(best[name][0], clock), min(best[name][1], processor))
    return best


def _row(what: str, *values: float, aim: str = "", digits: int = 1) -> None:
    shown = " ".join(f"{value:>10.{0 if value >= 1000 else digits}f}" for value in values)
    print(f"{what:<50} {shown}" + (f"   {aim}" if aim else ""))


if __name__ == "__main__":
    main()
