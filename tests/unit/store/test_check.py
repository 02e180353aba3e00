"""Every file is looked at, every fault has its file, line and remedy, nothing is changed."""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.finding import Finding
from tendtui.errors import NoRackError
from tendtui.store.check import check_folder
from tendtui.store.copies import Copy, last_copy, note_copy
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, events_text
from tendtui.value import replace
from tests.support.folders import NOON, RACK, days, folder_in, note, poured, reading, tree

NOW = NOON + timedelta(days=1)


def found(folder: Folder) -> tuple[Finding, ...]:
    """Give what is found but for the advice to make a copy."""
    return tuple(f for f in check_folder(folder, now=NOW) if "backup" not in f.what)


def told(folder: Folder) -> list[str]:
    return [str(finding).removeprefix(f"{folder.path}/") for finding in found(folder)]


def test_a_sound_folder_has_nothing_wrong(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON - timedelta(days=40), 40))
    assert found(folder) == ()


def test_nothing_at_all_names_the_set_up(tmp_path: Path) -> None:
    with pytest.raises(NoRackError, match="there is no rack yet"):
        check_folder(Folder(tmp_path / "none"), now=NOW)


def test_every_damaged_file_is_named_and_none_hides_another(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("52.0", "5.0"))
    folder.state.write_bytes(b"")
    (folder.log_dir / "2026-01.toml").write_bytes(b"\0" * 99)
    (folder.log_dir / "2026-02.toml").write_text("schema = 1\n[[note]]\nid = 1\nseq = 'x'\n")
    os.mkfifo(folder.log_dir / "2026-03.toml")
    before = tree(folder.path)
    places = [line.partition(": ")[0] for line in told(folder)]
    assert places == [
        "rack.toml:5",
        "state.toml:1",
        "log/2026-01.toml:1",
        "log/2026-02.toml:3",
        "log/2026-02.toml:4",
        "log/2026-02.toml:2",
        "log/2026-02.toml:2",
        "log/2026-03.toml",
    ]
    assert all(finding.do for finding in found(folder))
    assert tree(folder.path) == before


def test_a_lost_rack_beside_a_log_is_named(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=None)
    append(folder, [note("a")])
    assert told(folder) == [
        "rack.toml: the rack's file is missing. "
        "Put it back from a copy (tendtui restore), or describe the rack with tendtui setup."
    ]


def test_a_folder_in_a_files_place_is_named(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    folder.state.mkdir()
    folder.rack.unlink()
    folder.rack.mkdir()
    assert [line.partition(". ")[0] for line in told(folder)] == [
        "rack.toml: something that isn't a file stands in its place",
        "state.toml: something that isn't a file stands in its place",
    ]


def test_a_file_in_the_logs_place_is_named(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    folder.log_dir.rmdir()
    folder.log_dir.write_text("")
    assert told(folder)[0].startswith("log: the folder can't be looked into")


def test_every_fault_of_the_state_is_named(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    folder.state.write_text("[done]\nx = 1\ny = 2\n")
    assert [finding.line for finding in found(folder)] == [2, 3]
    folder.state.write_text("[done\n")
    assert told(folder)[0].startswith("state.toml:1: this can't be read")


def test_newer_files_are_told(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("schema = 1", "schema = 2"))
    folder.state.write_text("schema = 2\n")
    (folder.log_dir / "2026-03.toml").write_text("schema = 2\n")
    assert [finding.severity for finding in found(folder)] == ["warning"] * 3


def month_with(folder: Folder, text: str) -> None:
    (folder.log_dir / "2026-03.toml").write_text("schema = 1\n" + text)


def test_odd_events_are_told_with_their_line(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    month_with(
        folder,
        events_text(
            [
                note("other-month", seq=1, at=NOON - timedelta(days=40)),
                replace(poured("two-amounts", seq=2), g=1.0),
                note("later", seq=3, at=NOW + timedelta(hours=1)),
                replace(note("lost", seq=4), replaces="nobody"),
                replace(reading("old-tier", seq=5), flow_l_min={"Attic": 1.0}),
                note("twice", seq=6, text="a"),
                note("twice", seq=7, text="b"),
            ]
        )
        + "[[redaing]]\nid = 'x'\n",
    )
    assert [(f.line, f.key, f.severity) for f in found(folder)] == [
        (54, "redaing", "warning"),
        (3, "at", "warning"),
        (9, "mL", "warning"),
        (49, "id", "warning"),
        (18, "at", "warning"),
        (24, "replaces", "warning"),
        (31, "", "advice"),
    ]


def test_a_clock_set_back_a_year_is_told_once_a_month(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON - timedelta(days=70), 70))
    found_then = [f for f in check_folder(folder, now=NOON - timedelta(days=365)) if f.key == "at"]
    assert [f.what.partition(",")[0] for f in found_then] == [
        "58 events are said to happen after now",
        "56 events are said to happen after now",
        "26 events are said to happen after now",
    ]


def test_a_crop_that_is_not_in_the_table_is_told(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace('"chard"', '"letuce", "moonflower"'))
    letuce, moonflower = found(folder)
    assert (letuce.line, letuce.severity) == (22, "advice")
    assert letuce.what.startswith("letuce is not in the crop table")
    assert letuce.do.startswith("Was lettuce")
    assert moonflower.do == "Write the bands that it wants under [target]."


def test_what_a_file_sync_left_is_told(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    (folder.log_dir / "2026-03 (copy).toml").write_bytes((folder.log_dir / "2026-03.toml").read_bytes())
    (folder.path / "rack (copy).toml").write_text(RACK)
    (folder.path / "state-2.toml").write_text("schema = 1\n")
    assert [Path(finding.file).name for finding in found(folder)] == [
        "rack (copy).toml",
        "state-2.toml",
        "2026-03 (copy).toml",
    ]
    assert ["check --mend" in finding.do for finding in found(folder)] == [False, True, True]


def test_a_stopped_save_is_worth_knowing(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    (folder.path / ".state.toml.draft").write_text("half")
    (finding,) = found(folder)
    assert finding.severity == "advice"
    assert "what was saved before stands" in finding.what


def test_copies_are_asked_for_when_there_is_none_or_an_old_one(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    assert [finding.what for finding in check_folder(folder, now=NOW)] == [
        "no backup was ever made of this folder"
    ]
    note_copy(folder, Copy(at=NOW - timedelta(days=31), file="x.tar.gz"))
    assert [finding.what for finding in check_folder(folder, now=NOW)] == ["the last backup is 31 days old"]
    note_copy(folder, Copy(at=NOW, file="x.tar.gz"))
    assert check_folder(folder, now=NOW) == ()


def test_a_note_of_copies_that_cannot_be_read_says_none(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    for spoilt in ("at = 1\n", "[[", "at = 2026-01-01T00:00:00\nfile = 'x'\n"):
        folder.copies.write_text(spoilt)
        assert last_copy(folder) is None


@pytest.mark.parametrize(
    ("text", "at", "words"),
    [
        ('[[task]]\nid = "glance"\ncadence = "sometimes"\n', 2, "sometimes is no cadence"),
        ('[[task]]\nid = "glance"\nsilenced = ""\n', 2, "silenced without a reason"),
        ('[[task]]\nid = "a-b"\nwhat = "x"\ncadence = "daily"\n[[task]]\nid = "a-b"\n', 5, "two tasks"),
        ('[[device]]\nname = "Kiln"\nwatts = 9000.0\n', 0, "Kiln draws"),
        ('[place]\nregion = "Atlantis"\n', 1, "no region that this program knows"),
    ],
)
def test_what_the_slow_list_finds_has_its_line(tmp_path: Path, text: str, at: int, words: str) -> None:
    folder = folder_in(tmp_path)
    before = folder.rack.read_text(encoding="utf-8").rstrip("\n") + "\n"
    folder.rack.write_text(before + text, encoding="utf-8")
    line = before.count("\n") + 1 + at
    assert any(said.startswith(f"rack.toml:{line}: ") and words in said for said in told(folder)), told(
        folder
    )
