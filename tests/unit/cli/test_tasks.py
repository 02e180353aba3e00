from __future__ import annotations

from pathlib import Path

import pytest

from tendtui.core.event import Note
from tendtui.store.folder import Folder
from tendtui.store.log_file import read_log
from tests.support.calls import call
from tests.support.folders import folder_in, tree

Capture = pytest.CaptureFixture[str]

KEYS = ["id", "what", "place", "kind", "cadence", "due", "last_done", "severity", "who"]
KEYS += ["minutes", "source", "silenced"]


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T12:00:00+00:00")
    return folder_in(tmp_path).path


def rows(state: Path, capsys: Capture) -> dict[str, dict[str, object]]:
    listed = call(capsys, state, "tasks", "--json").table["tasks"]
    assert isinstance(listed, list)
    return {row["id"]: row for row in listed}


def test_every_row_has_every_key(state: Path, capsys: Capture) -> None:
    listed = rows(state, capsys)
    assert len(listed) > 90
    assert all(list(row) == KEYS for row in listed.values())


def test_done_moves_the_next_due_by_one_period(state: Path, capsys: Capture) -> None:
    assert call(capsys, state, "tasks", "--done", "calibrate-ph", "smoke-alarm", "--by", "Ines").status == 0
    listed = rows(state, capsys)
    assert listed["calibrate-ph"]["last_done"] == "2026-03-14T12:00:00+00:00"
    assert listed["calibrate-ph"]["due"] == "2026-03-21T00:00:00+00:00"
    assert listed["smoke-alarm"]["due"] == "2026-04-14T00:00:00+00:00"
    month = (state / "log" / "2026-03.toml").read_text(encoding="utf-8")
    assert month.count("[[task]]") == 2
    assert 'by = "Ines"' in month


def test_the_json_of_a_call_that_logs_shows_what_it_logged(state: Path, capsys: Capture) -> None:
    listed = call(capsys, state, "tasks", "--json", "--done", "calibrate-ph").table["tasks"]
    assert isinstance(listed, list)
    (row,) = [row for row in listed if row["id"] == "calibrate-ph"]
    assert row["last_done"] == "2026-03-14T12:00:00+00:00"


def test_done_in_years_past_the_logs_window_is_remembered(
    state: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    call(capsys, state, "tasks", "--done", "trip-switch-ahead", "inspection-in-date")
    monkeypatch.setenv("TENDTUI_NOW", "2027-01-14T12:00:00+00:00")
    listed = rows(state, capsys)
    assert listed["trip-switch-ahead"]["due"] is None, "once is once"
    assert listed["inspection-in-date"]["due"] == "2027-03-14T00:00:00+00:00"


@pytest.mark.parametrize(
    ("task_id", "says"),
    [
        ("calibrat-ph", "Did you mean calibrate-ph?"),
        ("safety-daily", "is a list of checks, not a task"),
        ("follow-calibrate-ph", "closed by saying what was done"),
    ],
)
def test_an_id_that_is_not_on_the_list_logs_nothing(
    state: Path, capsys: Capture, task_id: str, says: str
) -> None:
    before = tree(state)
    left = call(capsys, state, "tasks", "--done", "smoke-alarm", task_id)
    assert left.status == 2
    assert says in left.err
    assert tree(state) == before


def test_change_day_done_is_a_change(state: Path, capsys: Capture) -> None:
    call(capsys, state, "tasks", "--done", "change-water")
    assert "[[change]]" in (state / "log" / "2026-03.toml").read_text(encoding="utf-8")


def test_the_growers_tables_count_and_their_faults_are_told(state: Path, capsys: Capture) -> None:
    silenced = '\n[[task]]\nid = "smoke-alarm"\nsilenced = "a firm does it"\n'
    faulty = '\n[[task]]\nid = "glance"\ncadence = "often"\n'
    rack = state / "rack.toml"
    rack.write_text(rack.read_text(encoding="utf-8") + silenced + faulty, encoding="utf-8")
    assert rows(state, capsys)["smoke-alarm"]["silenced"] == "a firm does it"
    printed = call(capsys, state, "tasks").out
    assert "[-] Smoke alarm sounds" in printed
    assert "task glance: often is no cadence" in printed


def test_the_lists_and_the_json_agree(state: Path, capsys: Capture) -> None:
    printed = call(capsys, state, "tasks").out
    for task_id, row in rows(state, capsys).items():
        assert f"{task_id}: " in printed
        assert str(row["what"]) in printed


def test_without_a_rack_the_way_is_named(tmp_path: Path, capsys: Capture) -> None:
    left = call(capsys, folder_in(tmp_path, rack=None).path, "tasks")
    assert left.status == 3
    assert "tendtui setup" in left.err


def test_what_was_found_stands_on_top(state: Path, capsys: Capture) -> None:
    month = state / "log" / "2026-03.toml"
    found = 'id = "f1"\nseq = 1\nat = 2026-03-14T08:00:00+00:00\nby = "Ines"\ntask = "clean-pump"\n'
    found += 'outcome = "found"\ntext = "scale"\nseverity = "today"\n'
    month.write_text("schema = 1\n[[task]]\n" + found, encoding="utf-8")
    printed = call(capsys, state, "tasks").out
    assert printed.startswith("[!] open: Pump: impeller, scale, cord: scale (follow-clean-pump)")


# silencing


def test_a_task_is_silenced_for_a_reason_and_restored(state: Path, capsys: Capture) -> None:
    before = (state / "rack.toml").read_text()
    left = call(
        capsys, state, "tasks", "--silence", "smoke-alarm", "--reason", "none here yet", "--by", "Ines"
    )
    assert (left.status, left.err) == (0, "")
    assert left.out.startswith("Silenced: ")
    row = rows(state, capsys)["smoke-alarm"]
    assert (row["silenced"], row["due"]) == ("none here yet", None)
    assert "# a note of the owner's" in (state / "rack.toml").read_text()
    back = call(capsys, state, "tasks", "--restore", "smoke-alarm", "--by", "Ines")
    assert back.out.startswith("Speaks again: ")
    assert not rows(state, capsys)["smoke-alarm"]["silenced"]
    after = (state / "rack.toml").read_text()
    assert after.strip() == before.strip()


def test_what_else_was_changed_of_a_task_stays(state: Path, capsys: Capture) -> None:
    file = state / "rack.toml"
    own = '\n[[task]]\nid = "smoke-alarm"\ncadence = "every 20 days"\n'
    file.write_text(file.read_text() + own)
    call(capsys, state, "tasks", "--silence", "smoke-alarm", "--reason", "away")
    assert rows(state, capsys)["smoke-alarm"]["silenced"] == "away"
    call(capsys, state, "tasks", "--restore", "smoke-alarm")
    row = rows(state, capsys)["smoke-alarm"]
    assert not row["silenced"]
    assert "20" in str(row["cadence"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--silence", "smoke-alarm"), "a task is silenced for a reason"),
        (("--silence", "smoke-alrm", "--reason", "x"), "Did you mean smoke-alarm?"),
        (("--restore", "smoke-alarm"), "smoke-alarm is not silenced"),
        (("--reason", "x"), "--reason goes with --silence ID"),
        (("--silence", "smoke-alarm", "--reason", "x", "--by", "Zoe"), "for the grower to say"),
    ],
)
def test_silencing_is_refused_in_a_line(
    state: Path, capsys: Capture, words: tuple[str, ...], says: str
) -> None:
    before = (state / "rack.toml").read_bytes()
    left = call(capsys, state, "tasks", *words)
    assert left.status != 0
    assert says in left.err
    assert left.err.count("\n") == 1
    assert (state / "rack.toml").read_bytes() == before


def test_the_diary_says_who_silenced_it(state: Path, capsys: Capture) -> None:
    call(capsys, state, "tasks", "--silence", "smoke-alarm", "--reason", "none here", "--by", "Ines")
    (note,) = read_log(Folder(state)).events
    assert isinstance(note, Note)
    assert note.by == "Ines"
    assert note.text.endswith(": none here")


def test_a_task_that_comes_for_the_first_time_says_that_it_was_never_done(
    state: Path, capsys: Capture
) -> None:
    assert call(capsys, state, "record", "level=40", "ph=6.0").status == 0
    assert "due tomorrow, never done so far" in call(capsys, state, "tasks").out
