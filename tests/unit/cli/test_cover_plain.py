"""An absence from beginning to end without a screen: prepared, covered, and caught up from paper."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.core.event import Poured, Reading
from tendtui.store.log_file import read_log
from tests.support.folders import NOON, folder_in


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def test_an_absence_is_prepared_and_caught_up_line_by_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_in(tmp_path)
    monkeypatch.setenv("TENDTUI_STATE", str(folder.path))
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    typed(monkeypatch, "16 Mar", "18 Mar", "Fay", "555 0101", "2", "1", "")
    assert main(["cover", "--plain", "--by", "Ines"]) == 0
    assert "Kept: Fay, Mon 16 Mar to Wed 18 Mar, 3 days." in capsys.readouterr().out

    monkeypatch.setenv("TENDTUI_NOW", "2026-03-19T09:00:00+00:00")
    typed(monkeypatch, "", "18:10 5 38 21", "", "07:30 2,5 by=Bo note=floor was dry", "")
    assert main(["back", "--plain", "--by", "Ines"]) == 0  # the round follows; here the input ends: paused
    out = capsys.readouterr().out
    assert "What does the sheet say for Mon 16 Mar?" in out
    assert "ROUND, station 1 of" in out
    events = read_log(folder).events
    poured = [(e.at, e.by, e.litres) for e in events if isinstance(e, Poured)]
    assert poured == [
        (datetime(2026, 3, 16, 18, 10, tzinfo=UTC), "Fay", 5.0),
        (datetime(2026, 3, 18, 7, 30, tzinfo=UTC), "Bo", 2.5),
    ]
    read = [(e.at, e.level_l, e.temperature_c) for e in events if isinstance(e, Reading)]
    assert read == [(datetime(2026, 3, 16, 18, 10, tzinfo=UTC), 38.0, 21.0)]


def test_back_without_an_absence_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TENDTUI_STATE", str(folder_in(tmp_path).path))
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    assert main(["back", "--plain", "--by", "Ines"]) != 0
    assert "Nobody has stood in" in capsys.readouterr().err
