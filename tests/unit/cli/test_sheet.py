"""`tendtui sheet` as it is called."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.core.cover import Cover, away_of
from tendtui.core.state import State
from tendtui.store.folder import Folder
from tendtui.store.state_file import read_state, write_state
from tests.support.folders import NOON, folder_in


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    made = folder_in(tmp_path)
    monkeypatch.setenv("TENDTUI_STATE", str(made.path))
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    return made


def test_without_a_cover_it_is_a_week_from_today(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet"]) == 0
    said = capsys.readouterr()
    assert said.out.startswith(
        "# Cellar stair: for whoever looks after it\n\nSat 14 Mar to Fri 20 Mar, 7 days\n"
    )
    assert said.err.startswith("tendtui: No number to ring is known")


def test_the_kept_cover_gives_its_days_and_its_name(
    folder: Folder, capsys: pytest.CaptureFixture[str]
) -> None:
    cover = Cover(first=date(2026, 4, 2), last=date(2026, 4, 4), who="Fay", phone="1")
    write_state(folder, State(away=away_of([cover])), was=None)
    assert main(["sheet"]) == 0
    assert "Fay, Thu 2 Apr to Sat 4 Apr, 3 days" in capsys.readouterr().out
    assert main(["sheet", "--days", "2"]) == 0
    assert "Fay, Thu 2 Apr to Fri 3 Apr, 2 days" in capsys.readouterr().out


def test_a_cover_survives_the_state_file(folder: Folder) -> None:
    cover = Cover(first=date(2026, 4, 2), last=date(2026, 4, 4), who="Fay [/]", phone="1", depth="levels")
    write_state(folder, State(away=away_of([cover])), was=None)
    from tendtui.core.cover import covers_of

    assert covers_of(read_state(folder).away) == (cover,)


def test_a_long_absence_takes_a_second_sheet(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    cover = Cover(first=date(2026, 4, 1), last=date(2026, 5, 10), who="Fay", phone="1")
    write_state(folder, State(away=away_of([cover])), was=None)
    assert main(["sheet"]) == 0
    said = capsys.readouterr()
    assert "28 days" in said.out
    assert "tendtui: One sheet holds 28 days: print another one on 2026-04-29.\n" in said.err


@pytest.mark.parametrize("days", ["0", "29", "-1"])
def test_days_that_do_not_fit_are_refused(
    days: str, folder: Folder, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sheet", f"--days={days}"]) == 2
    assert capsys.readouterr().err == (
        "tendtui: --days is 1 to 28. Print a second sheet for a longer absence.\n"
    )


def test_as_one_page(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", "--html"]) == 0
    assert capsys.readouterr().out.startswith('<!doctype html>\n<html lang="en">')
