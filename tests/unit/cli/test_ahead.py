"""`tendtui ahead` and `tendtui chart` on a copy of the demo."""

from __future__ import annotations

import errno
import xml.etree.ElementTree as ET
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.session.demo import copy_demo
from tendtui.store.disk import use
from tests.support.faulty_disk import FailingDisk

NOW = datetime(2027, 3, 2, 9, 0, tzinfo=UTC)  # a Tuesday


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("TENDTUI_NOW", NOW.isoformat())
    return str(copy_demo(tmp_path / "rack", NOW))


def test_going_away_till_thursday(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ahead", "--from", "fri", "--till", "thu", "--state", folder]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Fri 5 Mar to Thu 11 Mar, 7 days.\n")
    assert "BEFORE YOU GO" in text
    assert "Creek" in text  # the outlet that closes is to be settled first
    assert sum(line.strip()[:3] in ("Fri", "Sat", "Sun", "Mon", "Tue", "Wed", "Thu") for line in
               text.split("BEFORE")[0].splitlines()[3:]) == 7  # fmt: skip


def test_without_days_it_says_what_lies_ahead(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ahead", "--state", folder]) == 0
    text = capsys.readouterr().out
    assert "The pump draws air in about" in text
    assert "Green One:" in text
    assert "None is past its date." in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--from", "fri"], "--from needs --till too"),
        (["--till", "soon"], "soon is not a day"),
        (["--from", "2027-03-01", "--till", "fri"], "in the past"),
        (["--from", "2027-03-09", "--till", "2027-03-08"], "is before"),
        (["--till", "2027-09-01"], "nothing can be promised"),
    ],
)
def test_days_that_cannot_be_are_refused(
    folder: str, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["ahead", *words, "--state", folder]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("name", ["rack.svg", "rack.html"])
def test_the_chart_is_written_whole_and_again(folder: str, tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    assert main(["chart", str(path), "--state", folder]) == 0
    assert main(["chart", str(path), "--span", "week", "--state", folder]) == 0
    text = path.read_text("utf-8")
    ET.fromstring(text.removeprefix("<!doctype html>\n"))
    assert "flow Creek" in text
    assert "week: " in text


def test_another_file_is_never_written_over(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "notes.html"
    path.write_text("my notes")
    assert main(["chart", str(path), "--state", folder]) == 2
    assert path.read_text() == "my notes"
    assert "is no picture of this kind" in capsys.readouterr().err


def test_an_ending_that_is_neither_is_refused(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["chart", "rack.png", "--state", folder]) == 2
    assert "neither in .svg nor in .html" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_named(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["chart", str(tmp_path / "none" / "a.svg"), "--state", folder]) == 3
    assert "its folder is gone" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["rack.svg", "rack.html"])
def test_a_full_disk_leaves_the_old_picture_whole(
    folder: str, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    assert main(["chart", str(path), "--state", folder]) == 0
    before = path.read_bytes()
    use(FailingDisk(at=1, number=errno.ENOSPC))
    try:
        assert main(["chart", str(path), "--span", "week", "--state", folder]) == 3
    finally:
        use(None)
    assert path.read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted((name, "rack"))
    assert "the disk is full" in capsys.readouterr().err


def test_the_export_has_the_same_columns_as_before(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "--csv", "--state", folder]) == 0
    head = capsys.readouterr().out.splitlines()[0].split(",")
    assert head[:9] == [
        "id", "seq", "at", "by", "level_L", "conductivity_mS_cm", "ph", "temperature_C", "alkalinity_meq_L",
    ]  # fmt: skip
