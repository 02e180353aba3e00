from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tendtui.core.event import Change, Event, Note, Poured, Reading, Renewed, TaskDone
from tendtui.store.log_file import read_log
from tests.support.calls import Called, call
from tests.support.folders import folder_in, tree


def last(state: Path) -> Reading:
    found = events(state)[-1]
    assert isinstance(found, Reading)
    return found


Record = Callable[..., Called]

NOW = "2026-03-14T12:00:00+00:00"


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TENDTUI_NOW", NOW)
    return folder_in(tmp_path).path


@pytest.fixture
def record(state: Path, capsys: pytest.CaptureFixture[str]) -> Record:
    def made(*words: str) -> Called:
        return call(capsys, state, "record", *words)

    return made


def events(state: Path) -> tuple[Event, ...]:
    from tendtui.store.folder import Folder

    return read_log(Folder(state)).events


def test_readings_and_flows_of_a_call_are_one_event(record: Record, state: Path) -> None:
    assert record("level=44", "ph=6,2", "flow.Upper=1.9", "--by", "Joss").status == 0
    (reading,) = events(state)
    assert isinstance(reading, Reading)
    assert (reading.level_l, reading.ph, reading.flow_l_min, reading.by) == (
        44.0,
        6.2,
        {"Upper": 1.9},
        "Joss",
    )


def test_a_call_of_every_kind_shares_its_time_and_keeps_the_order_of_work(
    record: Record, state: Path
) -> None:
    words = ("note=refilled", "added_water=20", "poured.Grow 1=12.5", "changed=yes", "ph=6.1")
    assert record(*words, "--at", "2026-03-14T09:00+00:00").status == 0
    made = events(state)
    assert [type(event) for event in made] == [Reading, Change, Poured, Poured, Note]
    assert len({event.at for event in made}) == 1
    assert [event.seq for event in made] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("typed", "stored"),
    [("1.2mS/cm", 1.2), ("1200uS/cm", 1.2), ("600ppm", 1.2), ("840ppm700", 1.2), ("768ppm640", 1.2)],
)
def test_a_typed_unit_wins(record: Record, state: Path, typed: str, stored: float) -> None:
    assert record(f"conductivity={typed}").status == 0
    assert last(state).conductivity_ms_cm == pytest.approx(stored)


def test_a_name_may_be_typed_as_people_write_it(record: Record, state: Path) -> None:
    assert record("pH=6.1", "Level=40", "Poured.Grow 1=12.5").status == 0
    assert [event.what for event in events(state) if isinstance(event, Poured)] == ["Grow 1"]
    read = next(event for event in events(state) if isinstance(event, Reading))
    assert (read.ph, read.level_l) == (6.1, 40.0)
    assert record("pH=6.1", "ph=6.2").status == 2  # the same thing twice


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("poured.Gro 1=3", "Did you mean Grow 1?"),
        ("flow.Uper=3", "Did you mean Upper?"),
        ("levle=3", "Did you mean level?"),
        ("ph=15", "ph:"),
        ("level=500", "can't be"),
        ("changed=perhaps", "changed takes only yes"),
        ("ph", "has no ="),
        ("added_water=9999", "more than this rack holds"),
        ("added_water=-4", "What went out is: drained=4"),
        ("renewed=teapot", "no bottle or meter called"),
        ("ph=nan", "ph:"),
    ],
)
def test_what_cannot_be_taken_is_refused_in_one_line_and_nothing_is_logged(
    record: Record, state: Path, word: str, says: str
) -> None:
    before = tree(state)
    left = record("conductivity=1.4", word)
    assert left.status == 2
    assert says in left.err
    assert left.err.startswith("tendtui: ")
    assert left.err.count("\n") == 1
    assert tree(state) == before


def test_an_unusual_value_is_kept_with_a_doubt_and_one_line(record: Record, state: Path) -> None:
    record("ph=6.1", "--at", "2026-03-13T12:00+00:00")
    left = record("ph=8.4")
    assert left.status == 0
    assert left.err.count("\n") == 1
    assert last(state).doubt == ("ph",)


def test_a_second_reading_near_the_first_settles_a_doubt(record: Record, state: Path) -> None:
    record("ph=6.1", "--at", "2026-03-13T12:00+00:00")
    record("ph=8.4", "--at", "2026-03-14T11:50+00:00")
    left = record("ph=8.4")
    assert (left.err, last(state).doubt) == ("", ())


def test_a_value_outside_the_band_is_not_unusual(record: Record, state: Path) -> None:
    record("ph=6.1", "--at", "2026-03-13T12:00+00:00")
    assert record("ph=6.5").err == ""
    assert last(state).doubt == ()


def test_the_past_is_taken_and_the_future_refused(record: Record, state: Path) -> None:
    assert record("ph=6.1", "--at", "2025-12-31T23:00-05:00").status == 0
    assert [file.name for file in (state / "log").glob("*.toml")] == ["2025-12.toml"]
    left = record("ph=6.1", "--at", "2026-03-14T12:00:01+00:00")
    assert (left.status, "future" in left.err) == (2, True)


def test_a_new_bottle_is_an_event(record: Record, state: Path) -> None:
    assert record("renewed=Lowerer").status == 0
    made = events(state)[0]
    assert isinstance(made, Renewed)
    assert made.what == "Lowerer"


def test_without_a_rack_the_line_names_the_set_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, tmp_path / "none", "record", "ph=6.1")
    assert left.status == 3
    assert "tendtui setup" in left.err


def test_what_was_kept_is_said_in_one_line(record: Record) -> None:
    left = record("temperature=70F", "ph=6,3", "poured.Grow 1=12.5", "note=all well")
    assert left.err == ""
    assert (
        left.out == "Kept, today 12:00: pH 6.3, 21.1 °C; poured Grow 1: 12.5 millilitres; note: all well.\n"
    )
    assert record("ph=99").out == ""


BARE = "\n[meter]\ntemperature_compensated = false\n"


def _bare(state: Path) -> None:
    file = state / "rack.toml"
    file.write_text(file.read_text() + BARE)


def test_a_bare_meter_is_brought_to_25_degrees(record: Record, state: Path) -> None:
    """2 % a degree, five degrees below: 1.3 / 0.9 (linear compensation, ISO 7888)."""
    _bare(state)
    assert record("conductivity=1.3", "temperature=20").status == 0
    assert last(state).conductivity_ms_cm == pytest.approx(1.3 / 0.9, rel=0.01)
    assert last(state).doubt == ()


def test_a_temperature_of_the_same_day_stands_in(record: Record, state: Path) -> None:
    _bare(state)
    record("temperature=20", "--at", "2026-03-14T07:00+00:00")
    assert record("conductivity=1.3").status == 0
    assert last(state).conductivity_ms_cm == pytest.approx(1.3 / 0.9, rel=0.01)


def test_a_bare_meter_without_a_temperature_leaves_a_doubt(record: Record, state: Path) -> None:
    _bare(state)
    left = record("conductivity=1.5")
    assert left.status == 0
    assert "doesn't reckon with the temperature" in left.err
    assert last(state).conductivity_ms_cm == 1.5
    assert "conductivity" in last(state).doubt


def test_a_leak_that_is_said_raises_a_stop(record: Record, state: Path) -> None:
    assert record("happened=leak", "note=under the lower tier").status == 0
    note, stop = events(state)
    assert isinstance(note, Note)
    assert isinstance(stop, TaskDone)
    assert (stop.task, stop.outcome, stop.severity) == ("no-water-on-floor", "found", "stop")
    assert stop.text == "under the lower tier"


def test_a_happening_is_said_and_makes_its_tasks_due(record: Record, state: Path) -> None:
    assert record("happened=power cut", "note=an hour, from six").status == 0
    (noted,) = events(state)
    assert isinstance(noted, Note)
    assert (noted.about, noted.text) == ("power-cut", "an hour, from six")
    assert record("happened=holiday").status == 0
    refused = record("happened=power-cuts")
    assert refused.status == 2
    assert "Did you mean power-cut?" in refused.err
    assert len(events(state)) == 2


def test_a_pour_beyond_the_label_for_all_the_water_is_kept_and_asked_about(
    record: Record, state: Path
) -> None:
    left = record("poured.Grow 1=645")
    assert left.status == 0
    assert "645 millilitres of Grow 1 is more than the label's full strength" in left.err
    assert "Is the point where you want it? It is kept" in left.err
    assert left.err.count("\n") == 1
    (poured,) = events(state)
    assert isinstance(poured, Poured)
    assert poured.ml == 645.0
    assert record("poured.Grow 2=64.5").err == ""


def test_a_first_pour_of_a_bottle_is_judged_by_the_litres(record: Record) -> None:
    assert "is much for" in record("poured.Lowerer=300").err


def test_ten_times_what_ever_went_in_of_a_bottle_is_asked_about(record: Record) -> None:
    record("poured.Lowerer=6", "--at", "2026-03-13T12:00+00:00")
    assert "60 millilitres of Lowerer: the most so far was 6 millilitres" in record("poured.Lowerer=60").err


def test_what_is_read_while_it_mixes_is_kept_with_a_mark_and_planned_on_by_nobody(
    record: Record, state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record("level=44", "conductivity=1.6", "ph=7.2", "--at", "2026-03-14T11:40+00:00")
    record("poured.Lowerer=6", "--at", "2026-03-14T11:55+00:00")
    early = record("ph=6.0", "--at", "2026-03-14T12:00+00:00")
    assert early.status == 0
    assert "Something went in at 11:55, and isn't mixed before 12:10. It is kept with a mark" in early.err
    assert last(state).unmixed == ("ph",)
    planned = json.loads(call(capsys, state, "dose", "--json").out)
    assert [step["do"] for step in planned["steps"]] == ["wait", "read"]
    assert planned["readings"]["ph"] == 7.2


@pytest.mark.parametrize(
    ("words", "at"),
    [
        (("ph=6.0",), "11:55"),  # written down with it: no earlier
        (("ph=6.0",), "12:09"),  # as a wall clock says it
        (("level=44", "temperature=21"), "12:00"),
    ],
)
def test_what_is_mixed_or_needs_no_mixing_bears_no_mark(
    record: Record, state: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], at: str
) -> None:
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T13:00:00+00:00")
    record("poured.Lowerer=6", "--at", "2026-03-14T11:55+00:00")
    record(*words, "--at", f"2026-03-14T{at}+00:00")
    assert last(state).unmixed == ()


def test_what_was_drained_needs_no_mixing(record: Record, state: Path) -> None:
    record("drained=5", "--at", "2026-03-14T11:55+00:00")
    record("ph=6.0")
    assert last(state).unmixed == ()


def test_a_bare_ppm_is_read_on_the_meters_scale_and_said(record: Record, state: Path) -> None:
    said = record("conductivity=840ppm")
    assert "on the scale of 500 is 1.68 mS/cm; if the meter has another, type ppm640 or ppm700." in said.out
    assert last(state).conductivity_ms_cm == pytest.approx(1.68)
    assert "scale" not in record("conductivity=840ppm500").out
    assert "scale" not in record("conductivity=1.68").out
