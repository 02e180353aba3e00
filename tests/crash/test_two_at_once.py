"""Eight write at once: everything is there, each once, numbered without a gap or a double."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tendtui.store.folder import Folder
from tendtui.store.log_file import read_log, read_month
from tests.support.folders import NOON, folder_in
from tests.support.tally import count

LONG = bool(os.environ.get("TENDTUI_LONG"))
ROOT = Path(__file__).parents[2]
WRITER = str(Path(__file__).parent / "many_notes.py")


def _ends_well(writers: list[subprocess.Popen[bytes]]) -> None:
    for writer in writers:
        _out, errors = writer.communicate(timeout=110)
        assert (writer.returncode, errors) == (0, b"")


def test_eight_writers_of_fifty_events_lose_none(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    _ends_well(
        [
            subprocess.Popen(
                [sys.executable, WRITER, str(folder.path), f"w{n}", "50"],
                cwd=ROOT,
                env={**os.environ, "PYTHONPATH": str(ROOT)},
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
            )
            for n in range(8)
        ]
    )
    events = read_log(folder).events
    count("events written by eight at once", len(events))
    assert {event.id for event in events} == {f"w{n}-{k}" for n in range(8) for k in range(50)}
    assert [event.seq for event in events] == list(range(1, 401))
    data = (folder.log_dir / "2026-03.toml").read_bytes()
    stand = [line for line in data.decode().splitlines() if line.startswith("seq = ")]
    assert stand == [f"seq = {n}" for n in range(1, 401)]  # they stand in the order written
    assert list(folder.path.rglob("*.draft")) == []


def _record(folder: Folder, rounds: int, writers: int) -> None:
    for k in range(rounds):
        _ends_well(
            [
                subprocess.Popen(
                    [
                        sys.executable,
                        "-m",
                        "tendtui",
                        "record",
                        f"note=w{n} {k}",
                        "added_water=1L",
                        "--by",
                        f"w{n}",
                    ],
                    cwd=ROOT,
                    env={**os.environ, "TENDTUI_STATE": str(folder.path), "TENDTUI_NOW": NOON.isoformat()},
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.PIPE,
                )
                for n in range(writers)
            ]
        )
    events = read_month(folder.log_dir / "2026-03.toml").events
    assert len(events) == 2 * rounds * writers
    count("events written by eight at once", len(events))
    assert sorted(event.seq for event in events) == list(range(1, len(events) + 1))
    assert len({event.id for event in events}) == len(events)


def test_eight_calls_of_record_at_once_lose_none(tmp_path: Path) -> None:
    _record(folder_in(tmp_path), 1, 8)


@pytest.mark.slow
@pytest.mark.skipif(not LONG, reason="a minute and a half; run with TENDTUI_LONG=1")
def test_eight_writers_of_fifty_calls_of_record_lose_none(tmp_path: Path) -> None:
    _record(folder_in(tmp_path), 50, 8)
