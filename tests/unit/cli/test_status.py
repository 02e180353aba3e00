from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Note
from tendtui.core.role import HELD, PUT_OFF
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tests.support.calls import Called, call
from tests.support.folders import folder_in
from tests.support.walker import open_at

KEYS = {
    "days_to_least_level", "days_to_conductivity_limit", "days_to_ph_limit", "days_to_change",
}  # fmt: skip


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T12:00:00+00:00")
    return folder_in(tmp_path).path


def wrong(left: Called) -> list[str]:
    rows = left.table["wrong"]
    assert isinstance(rows, list)
    return [row["what"] for row in rows]


def test_every_key_is_always_there(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, state, "status", "--json")
    table = left.table
    assert set(table) == {"schema", "at", "due", "wrong", "last", "forecast"}
    ahead, last = table["forecast"], table["last"]
    assert isinstance(ahead, dict)
    assert isinstance(last, dict)
    assert set(ahead) == KEYS | {f"{key}_range" for key in KEYS}
    assert set(last) == {"level_L", "conductivity_mS_cm", "ph", "temperature_C"}
    assert left.status == 1


def test_the_line_is_one_line(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, state, "status")
    assert left.out.count("\n") == 1
    assert left.out.startswith("Cellar stair: ")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("level=15",), "under the least mark"),
        (("level=54",), "over the full mark"),
        (("ph=6.8",), "pH 6.8 is above 5.7 to 6.3"),
        (("conductivity=1.0",), "1.00 mS/cm is below 1.30 to 1.90"),
    ],
)
def test_what_is_wrong_is_named(
    state: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
) -> None:
    call(capsys, state, "record", *words)
    assert any(says in what for what in wrong(call(capsys, state, "status", "--json")))


def test_a_reading_in_doubt_is_wrong_until_it_is_settled(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, state, "record", "ph=6.0", "--at", "2026-03-13T12:00+00:00")
    call(capsys, state, "record", "ph=8.2")
    assert any("in doubt" in what for what in wrong(call(capsys, state, "status", "--json")))
    call(capsys, state, "record", "ph=6.0")
    assert not any("in doubt" in what for what in wrong(call(capsys, state, "status", "--json")))


def test_something_poured_wants_reading(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call(capsys, state, "record", "ph=6.0", "conductivity=1.5", "--at", "2026-03-14T09:00+00:00")
    call(capsys, state, "record", "poured.Grow 1=10")
    assert any("not read since" in what for what in wrong(call(capsys, state, "status", "--json")))


NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)


def _session(state: Path) -> Session:
    session, _clock = open_at(Folder(state), NOW)
    return session


def test_the_line_counts_what_today_lists(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = call(capsys, state, "status").out
    due = _session(state).today("Ines").due
    assert f"{len(due)} due now: {'; '.join(item.what for item in due)}" in out
    rows = call(capsys, state, "status", "--json").table["due"]
    assert isinstance(rows, list)
    assert len(rows) > len(due)
    assert "under all tasks" in out


def test_faults_beyond_the_few_named_are_counted(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call(capsys, state, "record", "level=15", "ph=6.8", "conductivity=1.0", "temperature=20")
    session = _session(state)
    held = Note(id="", seq=0, at=NOW - timedelta(hours=1), by="Zoe", text="pour 5 mL of Grow 1", about=HELD)
    off = Note(id="", seq=0, at=NOW - timedelta(hours=2), by="Ines", text="later", about=PUT_OFF)
    session.record_events([off, held])
    many = wrong(call(capsys, state, "status", "--json"))
    out = call(capsys, state, "status").out
    assert f"{len(many)} things wrong: " in out
    assert f"; and {len(many) - 4} more" in out


def test_what_was_held_or_put_off_is_named_with_who_and_when(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session = _session(state)
    off = Note(id="", seq=0, at=NOW - timedelta(hours=2), by="Ines", text="later", about=PUT_OFF)
    held = Note(id="", seq=0, at=NOW - timedelta(hours=1), by="Zoe", text="pour 5 mL of Grow 1", about=HELD)
    session.record_events([off, held])
    rows = call(capsys, state, "status", "--json").table["wrong"]
    assert isinstance(rows, list)
    told = {row["what"]: row["why"] for row in rows}
    assert told["held for the grower: pour 5 mL of Grow 1"] == "by Zoe, today 11:00"
    assert told["the change of the solution was put off"] == "by Ines, today 10:00"
    today = session.today("Ines")
    assert today.left_open[0].because.startswith("Zoe, today 11:00")
    change = next(item for item in today.due if item.opens == "walk:change")
    assert (change.what, change.because) == ("Change day", "put off by Ines, today 10:00")
    said = "not for you: pour 5 mL of Grow 1. Leave the bottles shut. (Kept by Zoe, today 11:00.)"
    assert any(said in line for line in session.today("Zoe").words)


def test_the_newest_figures_say_that_they_stand_after_the_dose(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, state, "record", "ph=6.4", "conductivity=1.5", "--at", "2026-03-14T09:00+00:00")
    call(capsys, state, "record", "added_water=3", "--at", "2026-03-14T09:10+00:00")
    assert "today 09:00, before the dose: " in call(capsys, state, "status").out


def test_whoever_may_not_do_all_of_it_is_told_that_there_is_more(state: Path) -> None:
    session = _session(state)
    (line,) = [line for line in session.today("Zoe").words if line.startswith("Listed is what you may do")]
    assert "more tasks are due" in line
    assert not any(line.startswith("Listed is") for line in session.today("Ines").words)


def test_a_level_that_was_worked_out_is_called_so_and_stands_on_no_side_of_a_dose(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, state, "record", "level=44", "conductivity=1.6", "ph=6.0", "--at", "2026-03-14T11:00+00:00")
    call(capsys, state, "record", "added_water=5", "--at", "2026-03-14T11:20+00:00")
    said = call(capsys, state, "status").out
    assert "before the dose: 1.60 mS/cm, pH 6.0; now 49 litres, worked out" in said


def test_a_leak_that_was_said_is_a_stop_in_the_line_and_by_name(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = call(capsys, state, "record", "happened=leak", "--by", "Zoe").out
    assert "No puddles, drips or trailing hoses: something was found" in kept
    left = call(capsys, state, "status")
    assert left.status == 1
    assert "STOP: Water on the floor, a drip, or something to trip on: the leak" in left.out
    named = call(capsys, state, "status", "--json").table["wrong"]
    assert isinstance(named, list)
    assert [row["severity"] for row in named if row["what"].endswith("the leak")] == ["stop"]


def test_waiting_for_what_was_poured_to_mix_is_nothing_wrong(
    state: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    call(capsys, state, "record", "level=44", "conductivity=1.6", "ph=6.0", "--at", "2026-03-14T11:00+00:00")
    call(capsys, state, "record", "added_water=5", "--at", "2026-03-14T11:50+00:00")
    said = call(capsys, state, "status").out
    assert "Something went in at 11:50, and isn't mixed before 12:05." in said
    assert "not read since" not in said
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T12:10:00+00:00")
    assert "not read since something went in" in call(capsys, state, "status").out
