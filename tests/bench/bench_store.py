"""What saving and starting cost, against baselines of the same run.

Run it with `python -m tests.bench.bench_store`. It prints ratios; no test fails on a time.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendtui.core.event import Note
from tendtui.core.state import State
from tendtui.core.walk import Act, Entry, Walk
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, read_log
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import open_state, write_state
from tendtui.value import replace
from tests.support.ten_years import write_ten_years

ROOT = Path(__file__).parents[2]
NOW = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
COMMANDS = (["status"], ["record", "note=bench"], ["dose", "--json"], ["check"])


def times(work: Callable[[], object], many: int) -> list[float]:
    """Give how long each call took, shortest first. [ms]"""
    taken: list[float] = []
    for _n in range(many):
        start = time.perf_counter()
        work()
        taken.append((time.perf_counter() - start) * 1000)
    return sorted(taken)


def tell(what: str, taken: list[float], *, base: float | None = None, of: str = "") -> float:
    """Print the median and the 95th of a hundred; give the median. [ms]"""
    middle, late = statistics.median(taken), taken[int(len(taken) * 0.95)]
    ratio = "" if base is None else f"   {middle / base:5.2f} x {of}"
    print(f"{what:<44} median {middle:8.2f} ms   95 % {late:8.2f} ms{ratio}")
    return middle


@contextmanager
def folders() -> Iterator[tuple[Folder, Folder]]:
    """Give a copy of the demo and one with ten years of log."""
    with tempfile.TemporaryDirectory(prefix="tend-bench-") as name:
        demo, decade = Folder(Path(name) / "demo"), Folder(Path(name) / "decade")
        for folder in (demo, decade):
            shutil.copytree(ROOT / "demo_state", folder.path)
        shutil.rmtree(decade.log_dir)
        events = write_ten_years(decade, read_rack(decade), until=NOW)
        size = sum(file.stat().st_size for file in decade.log_dir.iterdir())
        months = len(list(decade.log_dir.iterdir()))
        print(f"the long log: {events} events, {size / 1e6:.1f} MB, {months} months")
        yield demo, decade


def saves(folder: Folder, name: str) -> tuple[list[float], list[float]]:
    """Measure the save of an answer and of an event; give their times, shortest first. [ms]"""
    entries = tuple(
        Entry(key=f"q{n}", act=Act.ANSWER, at=NOW, by="Ines", typed="1.2", value=1.2) for n in range(40)
    )
    walk = Walk(kind="round", id="bench", began=NOW, by="Ines", entries=entries)
    counter = iter(range(10_000))

    def answer() -> None:
        state, was = open_state(folder)
        entry = replace(entries[0], key=f"more{next(counter)}")
        write_state(
            folder, replace(state, walks={"round": replace(walk, entries=(*entries, entry))}), was=was
        )

    def event() -> None:
        append(folder, [Note(id=f"bench-{next(counter)}", seq=0, at=NOW, text="bench")])

    event()  # the first makes the index
    probe = folder.path / "probe"
    size = folder.state.stat().st_size if folder.state.exists() else 8000

    def bare() -> None:
        fd = os.open(probe, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.write(fd, b"x" * size)
        os.fsync(fd)
        os.close(fd)

    base = tell(f"{name}: a bare write and sync", times(bare, 60))
    answers, events = times(answer, 60), times(event, 60)
    tell(f"{name}: save of one answer", answers, base=base, of="bare write")
    tell(f"{name}: save of one event", events, base=base, of="bare write")
    since = NOW - timedelta(days=150)
    tell(f"{name}: reading 150 days", times(lambda: read_log(folder, since=since), 10))
    tell(f"{name}: reading everything", times(lambda: read_log(folder), 2))
    return answers, events


def commands(demo: Folder, decade: Folder) -> None:
    """Measure commands as a person calls them."""

    def bare() -> None:
        subprocess.run([sys.executable, "-c", "pass"], check=True)

    def call(words: list[str], folder: Folder) -> Callable[[], object]:
        env = {**os.environ, "TENDTUI_STATE": str(folder.path), "TENDTUI_NOW": NOW.isoformat()}
        line = [sys.executable, "-m", "tendtui", *words]
        return lambda: subprocess.run(line, env=env, cwd=ROOT, stdout=subprocess.DEVNULL, check=False)

    base = tell("python -c pass", times(bare, 20))
    for words in COMMANDS:
        short = tell(f"{' '.join(words)} (demo)", times(call(words, demo), 10), base=base, of="bare Python")
        long = tell(
            f"{' '.join(words)} (ten years)", times(call(words, decade), 10), base=base, of="bare Python"
        )
        print(f"{'':<44} ten years against the demo: {long / short:.2f}")


def main() -> None:
    """Measure everything."""
    with folders() as (demo, decade):
        for folder, name in ((demo, "demo"), (decade, "ten years")):
            write_state(folder, State(), was=open_state(folder)[1])
            saves(folder, name)
        commands(demo, decade)


if __name__ == "__main__":
    main()
