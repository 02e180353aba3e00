"""Folders as every released version wrote them, byte for byte, are read and written on without a loss.

A folder of `tests/data/released` is made when its version is released and is never changed afterwards.
"""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from shutil import copytree

import pytest

from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.store.check import check_folder
from tendtui.store.event_table import KINDS
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, read_log
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import open_state, read_state, write_state
from tendtui.value import replace
from tests.support.folders import LATEST, NOON, note, tree
from tests.unit.store.test_state_file import STATE

ROOT = Path(__file__).parents[2]
RELEASED = ROOT / "tests" / "data" / "released"
VERSIONS = sorted(path.name for path in RELEASED.iterdir())


def _later(minutes: int) -> timedelta:
    return timedelta(minutes=minutes)


EVENTS: tuple[Event, ...] = (
    Reading(
        id="r-1",
        seq=1,
        at=NOON,
        by="Ines",
        level_l=44.5,
        conductivity_ms_cm=1.52,
        ph=6.1,
        temperature_c=19.5,
        alkalinity_meq_l=1.2,
        flow_l_min={"Upper": 1.9, "Lower": 0.75},
        looks={"Upper.roots": "cream-firm"},
        not_done={"Lower.leaves": "no-time"},
        doubt=("ph",),
        first={"ph": 1.6},
        same=("temperature",),
        notes={"Upper": 'a "quoted" word\nand [/] a line'},
        source="round",
    ),
    Poured(id="p-1", seq=2, at=NOON + _later(1), by="Joss", what="Grow 1", ml=12.5, planned=13.0),
    Poured(id="p-2", seq=3, at=NOON + _later(2), by="Joss", what="water", litres=4.0),
    Change(id="c-1", seq=4, at=NOON + _later(3), by="Ines", litres=51.0, reason="days"),
    TaskDone(
        id="t-1",
        seq=5,
        at=NOON + _later(4),
        by="Ines",
        task="calibrate-ph",
        outcome="found",
        text="slow",
        values={"buffer_7": 7.1},
        due=NOON + timedelta(days=3),
        severity="week",
    ),
    Note(id="n-1", seq=6, at=NOON + _later(5), text="=HYPERLINK(1) <script> [/]", about="power-cut"),
    Plants(id="v-1", seq=7, at=NOON + _later(6), act="move", crop="chard", count=6, tier="Upper"),
    Renewed(id="w-1", seq=8, at=NOON + _later(7), what="meter.ph"),
    Note(id="n-2", seq=9, at=NOON + _later(8), by="Ines", text="taken back", replaces="p-2"),
)
"""What stands in the log of each of them; a kind of event that came later stands in the later ones."""


def test_every_version_that_was_released_has_its_folder() -> None:
    told = (ROOT / "tendtui" / "CHANGELOG.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (\d+\.\d+\.\d+)", told, re.MULTILINE)[::-1] == VERSIONS


def test_the_events_are_of_every_kind() -> None:
    assert {type(event) for event in EVENTS} == {kind.event for kind in KINDS.values()}


@pytest.mark.parametrize("version", VERSIONS)
def test_a_folder_of_an_older_version_is_read_whole(tmp_path: Path, version: str) -> None:
    copytree(RELEASED / version, tmp_path / "state")
    folder = Folder(tmp_path / "state")
    before = tree(folder.path)
    assert [f for f in check_folder(folder, now=LATEST) if f.severity == "error"] == []
    assert read_rack(folder).extra["cellar"] == {"key": "under the pot"}
    assert read_log(folder, outbox=()).all_events == EVENTS
    assert read_state(folder) == STATE
    assert tree(folder.path) == before


@pytest.mark.parametrize("version", VERSIONS)
def test_a_folder_of_an_older_version_is_written_on(tmp_path: Path, version: str) -> None:
    copytree(RELEASED / version, tmp_path / "state")
    folder = Folder(tmp_path / "state")
    before = tree(folder.path)
    state, was = open_state(folder)
    write_state(folder, replace(state, outbox=()), was=was)
    append(folder, [note("new", at=NOON + _later(9))])
    after = tree(folder.path)
    assert after["log/2026-03.toml"].startswith(before["log/2026-03.toml"])
    assert after["rack.toml"] == before["rack.toml"]
    assert [event.id for event in read_log(folder).all_events] == [*(e.id for e in EVENTS), "new"]
    assert read_state(folder) == replace(STATE, outbox=())
