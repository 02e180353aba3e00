"""check, backup, restore, export and setup --from, as they are called."""

from __future__ import annotations

import csv
import io
import json
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.core.event import Reading
from tendtui.store.folder import Folder
from tendtui.store.log_file import append
from tests.support.folders import NOON, RACK, days, folder_in, note, reading, tree


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folder:
    made = folder_in(tmp_path)
    monkeypatch.setenv("TENDTUI_STATE", str(made.path))
    monkeypatch.setenv("TENDTUI_NOW", (NOON + timedelta(days=1)).isoformat())
    return made


def test_a_sound_folder_passes_the_check(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == f"Every file in {folder.path} is in order."


def test_a_fault_is_printed_with_its_place(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    folder.rack.write_text(RACK.replace("52.0", "5.0"))
    assert main(["check"]) == 1
    out = capsys.readouterr().out
    assert out.startswith(f"{folder.rack}:5: wrong: the full mark (5 L) is not above the least mark (21 L). ")
    assert out.endswith(f"1 thing needs doing in {folder.path}.\n")


def test_the_check_as_json(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    folder.state.write_bytes(b"")
    assert main(["check", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"schema", "at", "findings"}
    assert (told["schema"], told["at"]) == (1, "2026-03-15T12:00:00+00:00")
    first = told["findings"][0]
    assert set(first) == {"file", "line", "key", "what", "do", "severity"}
    assert (first["file"], first["line"], first["severity"]) == (str(folder.state), 1, "error")


@pytest.mark.parametrize("command", [["check"], ["export"], ["backup", "x.tar.gz"]])
def test_without_a_rack_the_set_up_or_the_folder_is_named(
    command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main([*command, "--state", str(tmp_path / "none")]) == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"tendtui: {tmp_path}/none")
    assert said.err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_rack_is_installed_and_the_former_kept(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = tmp_path / "mine.toml"
    new.write_text(RACK.replace("Cellar stair", "Attic [/]") + "[mesuring]\nx = 1\n")
    assert main(["setup", "--from", str(new)]) == 0
    said = capsys.readouterr()
    assert said.out == (
        f"Attic [/] is set up in {folder.path}.\nThe former rack.toml is kept as {folder.rack}.kept-1.\n"
    )
    assert said.err == ""
    assert folder.rack.read_bytes() == new.read_bytes()


def test_what_is_odd_is_told_and_does_not_stop_the_set_up(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = tmp_path / "mine.toml"
    new.write_text(RACK.replace("volts = 230.0", "volts = 23.0"))
    assert main(["setup", "--from", str(new)]) == 0
    assert capsys.readouterr().err.startswith(f"tendtui: {new}:54: 23 V is not what a house has. ")


def test_a_rack_that_cannot_be_is_not_installed(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = tree(folder.path)
    new = tmp_path / "mine.toml"
    new.write_text(RACK.replace("52.0", "5.0").replace("[5.7, 6.3]", "[6.3, 5.7]"))
    assert main(["setup", "--from", str(new)]) == 3
    said = capsys.readouterr().err
    assert said.startswith(f"tendtui: {new}:5: the full mark (5 L) is not above the least mark (21 L). ")
    assert said.endswith("Look at line 15 too.\n")
    assert tree(folder.path) == before


def test_a_file_that_is_not_there_is_a_wrong_call(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["setup", "--from", "no such"]) == 2
    assert capsys.readouterr().err == "tendtui: there is no file no such. Name the rack.toml to install.\n"


def test_backup_and_restore(folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    append(folder, [note("a")])
    file = tmp_path / "copy.tar.gz"
    assert main(["backup", str(file)]) == 0
    assert capsys.readouterr().out == f"2 files saved in {file}.\n"
    before = tree(folder.path)
    append(folder, [note("b")])
    assert main(["restore", str(file)]) == 0
    assert capsys.readouterr().out == (
        f"{folder.path} is as the backup holds it.\nWhat stood there is kept in {folder.path}/kept-1.\n"
    )
    after = tree(folder.path)
    assert {name: data for name, data in after.items() if not name.startswith("kept-1/")} == before
    assert main(["restore", str(file)]) == 0
    assert "kept" not in capsys.readouterr().out


def test_readings_as_csv(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    append(folder, [*days(NOON, 2), note("x")])
    assert main(["export"]) == 0
    plain = capsys.readouterr().out
    rows = list(csv.DictReader(io.StringIO(plain)))
    assert [(row["id"], row["ph"], row["flow.Upper"], row["doubt"]) for row in rows] == [
        ("r0", "6.1", "1.9", "ph"),
        ("r1", "6.1", "1.9", "ph"),
    ]
    assert rows[0]["at"] == "2026-03-14T12:00:00+00:00"
    assert rows[0]["conductivity_mS_cm"] == ""
    assert main(["export", "--csv"]) == 0
    assert capsys.readouterr().out == plain


def test_no_cell_is_a_formula_and_none_speaks_to_the_terminal(
    folder: Folder, capsys: pytest.CaptureFixture[str]
) -> None:
    odd = Reading(
        id="=1+1",
        seq=0,
        at=NOON,
        by='=HYPERLINK("http://x")',
        temperature_c=-1.5,
        flow_l_min={"\x1b[31m": 1.0},
        notes={"Upper": "@SUM(1)", "Lower": "-2\t\x1b]0;x\x07", "level": "+1"},
    )
    append(folder, [odd])
    assert main(["export"]) == 0
    out = capsys.readouterr().out
    (row,) = csv.DictReader(io.StringIO(out))
    assert (row["id"], row["by"]) == ("'=1+1", '\'=HYPERLINK("http://x")')
    assert (row["notes.Upper"], row["notes.level"]) == ("'@SUM(1)", "'+1")
    assert row["temperature_C"] == "-1.5"  # a number is no formula
    assert "\x1b" not in out
    assert "\x07" not in out


def test_readings_as_json_lines(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    append(folder, [reading("a"), note("x")])
    assert main(["export", "--jsonl"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    told = json.loads(line)
    assert (told["id"], told["seq"], told["at"], told["level_L"]) == (
        "a",
        1,
        "2026-03-14T12:00:00+00:00",
        44.5,
    )
    assert told["flow_L_min"] == {"Upper": 1.9, "Lower": 0.75}


def test_a_log_is_exported_beside_a_broken_rack(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    append(folder, [reading("a")])
    folder.rack.write_bytes(b"\0")
    assert main(["export"]) == 0
    assert "a,1,2026" in capsys.readouterr().out


def _spoil(folder: Folder) -> bytes:
    append(folder, [note("a"), note("b")])
    path = folder.log_dir / "2026-03.toml"
    path.write_bytes(path.read_bytes().replace(b'id = "b"', b'id = "b'))
    return path.read_bytes()


def test_mending_is_shown_and_not_done_where_nobody_can_be_asked(
    folder: Folder, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    spoilt = _spoil(folder)
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    assert main(["check", "--mend"]) == 1
    said = capsys.readouterr()
    assert f"{folder.log_dir}/2026-03.toml: 1 event can be read and stays; " in said.err
    assert "tendtui check --mend --yes does it" in said.err
    assert (folder.log_dir / "2026-03.toml").read_bytes() == spoilt


class _Person(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("answer", "status"), [("yes\n", 0), ("no\n", 1), ("", 1)])
def test_a_person_is_asked_before_anything_is_mended(
    folder: Folder,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    answer: str,
    status: int,
) -> None:
    spoilt = _spoil(folder)
    monkeypatch.setattr("sys.stdin", _Person(answer))
    assert main(["check", "--mend"]) == status
    err = capsys.readouterr().err
    assert ("Nothing was changed." in err) == bool(status)
    assert ((folder.log_dir / "2026-03.toml").read_bytes() == spoilt) == bool(status)


def test_mending_without_asking(folder: Folder, capsys: pytest.CaptureFixture[str]) -> None:
    spoilt = _spoil(folder)
    assert main(["check", "--mend", "--yes", "--json"]) == 0
    said = capsys.readouterr()
    assert json.loads(said.out)["schema"] == 1
    kept = folder.log_dir / "2026-03.toml.kept-1"
    assert said.err.endswith(f"The original is kept as {kept}.\n")
    assert kept.read_bytes() == spoilt
    assert main(["check", "--mend"]) == 0
    assert capsys.readouterr().err == "There is nothing that can be mended here.\n"
