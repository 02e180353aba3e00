"""`tendtui import`: tables as people keep them, with what isn't certain asked or named."""

from __future__ import annotations

import io
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.core.event import Note, Reading
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, read_log
from tests.support.folders import NOON, days, folder_in


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    made = folder_in(tmp_path)
    monkeypatch.setenv("TENDTUI_STATE", str(made.path))
    monkeypatch.setenv("TENDTUI_NOW", (NOON + timedelta(days=1)).isoformat())
    monkeypatch.setenv("TZ", "UTC")
    return made


def table(tmp_path: Path, text: str, *, encoding: str = "utf-8") -> str:
    file = tmp_path / "old.csv"
    file.write_bytes(text.encode(encoding))
    return str(file)


def readings(folder: Folder) -> list[Reading]:
    return [event for event in read_log(folder).events if isinstance(event, Reading)]


def test_a_plain_table_comes_in(folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "date,time,level (L),EC (mS/cm),pH,temp,notes\n2026-02-01,08:10,40,1.42,6.1,20.5,first\n"
    assert main(["import", table(tmp_path, text)]) == 0
    assert capsys.readouterr().out.endswith("1 reading logged.\n")
    (read,) = readings(folder)
    assert (read.level_l, read.conductivity_ms_cm, read.ph, read.temperature_c) == (40.0, 1.42, 6.1, 20.5)
    assert read.at.isoformat().startswith("2026-02-01T08:10:00")
    assert read.source == "import"
    (note,) = [event for event in read_log(folder).events if isinstance(event, Note)]
    assert note.text == "first"


def test_a_german_table_comes_in_as_it_is(folder: Folder, tmp_path: Path) -> None:
    heads = "Datum;Uhrzeit;Füllstand;Leitfähigkeit (µS/cm);pH-Wert;Temp °C;Notiz"
    text = f"{heads}\n13.2.2026;08:10;38,5;1420;6,1;20,5;\n"
    assert main(["import", table(tmp_path, text)]) == 0
    (read,) = readings(folder)
    assert (read.level_l, read.conductivity_ms_cm, read.ph, read.temperature_c) == (38.5, 1.42, 6.1, 20.5)
    assert (read.at.month, read.at.day) == (2, 13)


def test_the_same_table_twice_doubles_nothing(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, "date,ph\n2026-02-01,6.1\n2026-02-02,6.2\n")
    main(["import", file])
    capsys.readouterr()
    assert main(["import", file]) == 0
    assert capsys.readouterr().out.endswith("0 readings logged.\n2 lines are in the log already.\n")
    assert len(readings(folder)) == 2


def test_a_dry_run_logs_nothing(folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", "--dry-run", table(tmp_path, "date,ph\n2026-02-01,6.1\n")]) == 0
    assert capsys.readouterr().out == "date: date\nph: ph (pH)\n1 reading would be logged.\n"
    assert readings(folder) == []


def test_our_own_export_comes_back(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    append(folder, days(NOON, 1))
    assert main(["export"]) == 0
    file = table(tmp_path, capsys.readouterr().out)
    other = folder_in(tmp_path / "other")
    monkeypatch.setenv("TENDTUI_STATE", str(other.path))
    assert main(["import", file]) == 0
    (was,), (came,) = readings(folder), readings(other)
    assert (came.at, came.by, came.level_l, came.ph, came.flow_l_min) == (
        was.at, was.by, was.level_l, was.ph, was.flow_l_min,
    )  # fmt: skip


def test_a_comma_is_the_point_where_it_can_be_nothing_else(folder: Folder, tmp_path: Path) -> None:
    assert (
        main(["import", table(tmp_path, "Datum;Leitwert;pH\n1.2.2026;1,42;6,1\n2.2.2026;1,395;6,0\n")]) == 0
    )
    assert [(r.at.month, r.conductivity_ms_cm, r.ph) for r in readings(folder)] == [
        (2, 1.42, 6.1),
        (2, 1.395, 6.0),
    ]


def test_a_comma_that_can_be_two_things_is_asked_about(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, 'date;"EC"\n2026-02-01;1,420\n')
    assert main(["import", file]) == 2
    assert capsys.readouterr().err == (
        "tendtui: one thing has to be said with --answer 'decimal=WORD'. "
        "Is the comma in 1,420 the decimal point? WORD is comma, point.\n"
    )
    assert main(["import", file, "--answer", "decimal=comma"]) == 0
    assert readings(folder)[0].conductivity_ms_cm == 1.42


def test_a_day_that_can_be_two_is_asked_about(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, "date,ph\n3/2/2026,6.1\n")
    assert main(["import", file]) == 2
    assert "Which comes first in 3/2/2026?" in capsys.readouterr().err
    assert main(["import", file, "--answer", "dates=month-first"]) == 0
    assert readings(folder)[0].at.month == 3


def test_one_date_that_is_certain_decides_for_all(folder: Folder, tmp_path: Path) -> None:
    assert main(["import", table(tmp_path, "date,ph\n3/2/2026,6.1\n2/14/2026,6.0\n")]) == 0
    assert sorted(r.at.month for r in readings(folder)) == [2, 3]


def test_two_orders_of_dates_are_refused(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, "date,ph\n13/2/2026,6.1\n2/14/2026,6.0\n")
    assert main(["import", file]) == 2
    assert capsys.readouterr().err == (
        f"tendtui: {file}: Two orders of dates: 13/2/2026 in line 2, 2/14/2026 in line 3. "
        "Write all dates in one order, best like 2026-07-03, and import again.\n"
    )
    assert readings(folder) == []


@pytest.mark.parametrize(("answer", "stored"), [("uS/cm", 1.42), ("ppm500", 2.84), ("ppm700", 1420 / 700)])
def test_the_unit_of_large_numbers_is_asked(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str], answer: str, stored: float
) -> None:
    file = table(tmp_path, "date,EC\n2026-02-01,1420\n")
    assert main(["import", file]) == 2
    assert "In which unit is EC?" in capsys.readouterr().err
    assert main(["import", file, "--answer", f"unit.conductivity={answer}"]) == 0
    assert readings(folder)[0].conductivity_ms_cm == pytest.approx(stored, abs=1e-5)


def test_mixed_units_are_named_and_taken_by_size_when_told(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, "date,EC,water temp\n2026-02-01,1420,68\n2026-02-02,1.4,20\n")
    assert main(["import", file]) == 2
    assert "EC mixes numbers under 20 and far over it." in capsys.readouterr().err
    told = ["--answer", "unit.conductivity=by-size", "--answer", "unit.temperature=by-size"]
    assert main(["import", file, *told]) == 0
    assert [(r.conductivity_ms_cm, r.temperature_c) for r in readings(folder)] == [(1.42, 20.0), (1.4, 20.0)]


def test_a_unit_in_the_cell_wins(folder: Folder, tmp_path: Path) -> None:
    text = "date,EC (uS/cm),temperature_F\n2026-02-01,1420,68\n2026-02-02,1.4 mS/cm,20 C\n"
    assert main(["import", table(tmp_path, text)]) == 0
    assert [(r.conductivity_ms_cm, r.temperature_c) for r in readings(folder)] == [(1.42, 20.0), (1.4, 20.0)]


def test_an_unknown_column_is_asked_about(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = table(tmp_path, "date,ph,mood\n2026-02-01,6.1,good\n")
    assert main(["import", file]) == 2
    said = capsys.readouterr().err
    assert "What stands in the column mood? WORD is at, time, level" in said
    assert said.count("\n") == 1
    assert main(["import", file, "--answer", "column.mood=note"]) == 0
    assert main(["import", file, "--answer", "column.mood=wrong"]) == 2
    assert "wrong is no answer to column.mood" in capsys.readouterr().err


def test_lines_that_cannot_be_are_named_and_the_others_taken(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (
        "date,ph,level\n2026-02-01,61,40\n2026-02-30,6.1,40\n2027-01-01,6.1,40\n\n"
        "2026-02-02,six,\n2026-02-03,,\n2026-02-04,6.0,39\n"
    )
    assert main(["import", table(tmp_path, text)]) == 0
    assert capsys.readouterr().err.splitlines() == [
        "line 2 left out: ph: 61 can't be",
        "line 3 left out: 2026-02-30 is not a date",
        "line 4 left out: 2027-01-01 is in the future",
        "line 6 left out: ph: six is not a number",
        "line 7 left out: there is no reading in it",
    ]
    assert len(readings(folder)) == 1


def test_at_a_terminal_the_questions_are_asked(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Typed(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr("sys.stdin", Typed("9\n2\n"))
    assert main(["import", table(tmp_path, "date,ph\n3/2/2026,6.1\n")]) == 0
    assert "Which comes first in 3/2/2026?\n  1  the day\n  2  the month\n" in capsys.readouterr().err
    assert readings(folder)[0].at.month == 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "This is no table"),
        ("nothing here\n", "This is no table"),
        ("date,ph\n", "The table has no lines under its names"),
        ("ph,level\n6.1,40\n", "No column holds a date"),
    ],
)
def test_what_is_no_table_is_refused(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, said: str
) -> None:
    assert main(["import", table(tmp_path, text)]) == 2
    assert said in capsys.readouterr().err


def test_a_file_that_is_not_there(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", "no such"]) == 2
    assert capsys.readouterr().err == "tendtui: there is no file no such. Name the table to import.\n"


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_tables_in_other_encodings(folder: Folder, tmp_path: Path, encoding: str) -> None:
    assert main(["import", table(tmp_path, "date,ph,who\n2026-02-01,6.1,Jörg\n", encoding=encoding)]) == 0
    assert readings(folder)[0].by == "Jörg"
