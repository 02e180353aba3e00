"""The demo as it is copied: same text but for its times, last round yesterday."""

from __future__ import annotations

import re
import tomllib
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from tendtui.cli.demo import named_as_demo
from tendtui.errors import StateError
from tendtui.session.demo import copy_demo, demo_folder, moved
from tendtui.store.folder import Folder
from tendtui.store.rack_file import read_rack

NOW = datetime(2027, 3, 2, 9, 0, tzinfo=timezone(timedelta(hours=-5)))


def tables(folder: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for path in sorted((folder / "log").glob("*.toml")):
        for name, events in tomllib.loads(path.read_text()).items():
            if name != "schema":
                found += [{**event, "kind": name, "month": path.stem} for event in events]
    return sorted(found, key=lambda event: event["seq"])


def test_the_last_round_was_yesterday(tmp_path: Path) -> None:
    last = [e for e in tables(copy_demo(tmp_path, NOW)) if e.get("source") == "round"][-1]
    assert last["at"].isoformat() == "2027-03-01T07:26:00-05:00"


def test_every_event_is_kept_and_moved_alike(tmp_path: Path) -> None:
    old, new = tables(demo_folder()), tables(copy_demo(tmp_path, NOW))
    gaps = {
        b["at"].replace(tzinfo=None) - a["at"].replace(tzinfo=None) for a, b in zip(old, new, strict=True)
    }
    assert len(gaps) == 1
    free = ("at", "month")
    assert [{k: v for k, v in e.items() if k not in free} for e in old] == [
        {k: v for k, v in e.items() if k not in free} for e in new
    ]


def test_every_event_stands_in_the_file_of_its_month(tmp_path: Path) -> None:
    assert all(f"{e['at']:%Y-%m}" == e["month"] for e in tables(copy_demo(tmp_path, NOW)))


def test_the_rack_is_copied_byte_for_byte(tmp_path: Path) -> None:
    copy = copy_demo(tmp_path, NOW)
    assert (copy / "rack.toml").read_bytes() == (demo_folder() / "rack.toml").read_bytes()


def test_a_copy_on_its_own_day_changes_nothing() -> None:
    files = {f"log/{p.name}": p.read_text() for p in (demo_folder() / "log").glob("*.toml")}
    now = datetime(2026, 11, 15, 12, 0, tzinfo=timezone(timedelta(hours=10)))
    assert moved(files, now) == files


def test_a_rack_that_is_there_is_never_overwritten(tmp_path: Path) -> None:
    (tmp_path / "rack.toml").write_text("mine")
    with pytest.raises(StateError, match="holds a rack already"):
        copy_demo(tmp_path, datetime(2027, 3, 2, tzinfo=UTC))
    assert (tmp_path / "rack.toml").read_text() == "mine"


def test_the_demo_holds_what_its_tale_tells() -> None:
    events = tables(demo_folder())
    text = "".join(p.read_text() for p in (demo_folder() / "log").glob("*.toml"))
    assert {e["by"] for e in events} == {"Petra", "Idris"}
    assert len([e for e in events if e["kind"] == "change"]) == 2  # the first fill and one change day
    assert len(re.findall(r"(?m)^replaces = ", text)) == 1
    assert max(e.get("temperature_C", 0.0) for e in events) > 26.0


def test_the_demo_that_is_thrown_away_says_so_in_its_name(tmp_path: Path) -> None:
    folder = named_as_demo(copy_demo(tmp_path, NOW))
    assert read_rack(Folder(folder)).name == f"DEMO: {read_rack(Folder(demo_folder())).name}"
