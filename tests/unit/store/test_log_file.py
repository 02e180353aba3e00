"""The log: what goes in comes out, months only grow, all of a call or none of it."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.atomic import replace_file
from tendtui.store.disk import Disk, use
from tendtui.store.event_table import KINDS, encode_event
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, events_text, number, parse_month, read_log, read_month
from tendtui.store.log_index import survey
from tendtui.store.state_file import open_state, read_state, write_state
from tendtui.value import fields, replace
from tests.support.folders import NOON, days, folder_in, note, poured, reading, tree

EVERY: tuple[Event, ...] = (
    Reading(
        id="a",
        seq=1,
        at=NOON,
        by="Ines",
        replaces="z",
        extra={"mood": "good", "own": {"x": 1}},
        level_l=44.0,
        conductivity_ms_cm=1.42,
        ph=6.0,
        temperature_c=-1.5,
        alkalinity_meq_l=0.0,
        flow_l_min={"Upper [/]": 1.9},
        looks={"Upper.roots": "cream-firm"},
        not_done={"Lower.flow": "no-time"},
        doubt=("ph", "flow.Upper"),
        first={"ph": 9.0},
        same=("Upper.roots",),
        notes={"Upper": "a\nb"},
        source="round",
    ),
    Poured(id="b", seq=2, at=NOON, by="Ines", what="Grow 1", ml=0.0, planned=1.5),
    Poured(id="c", seq=3, at=NOON, what="Salt", g=2.5),
    Poured(id="d", seq=4, at=NOON, what="water", litres=3.0),
    Change(id="e", seq=5, at=NOON, litres=40.0, reason="21 days"),
    TaskDone(
        id="f",
        seq=6,
        at=NOON,
        task="calibrate-ph",
        outcome="found",
        text="slow",
        values={"buffer_7": 6.9},
        due=NOON + timedelta(days=2),
        severity="week",
    ),
    Note(id="g", seq=7, at=NOON, text="", about="leak"),
    Plants(id="h", seq=8, at=NOON, act="move", crop="chard", count=0, tier="Upper", stage="leaf"),
    Renewed(id="i", seq=9, at=NOON, what="meter.ph"),
)


def test_every_kind_of_event_comes_back(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    assert append(folder, EVERY) == EVERY
    assert read_log(folder).all_events == EVERY


@pytest.mark.parametrize("name", KINDS)
def test_every_field_of_an_event_has_its_key(name: str) -> None:
    kind = KINDS[name]
    shared = {field.name for field in fields(Event)}
    assert set(kind.columns) == {field.name for field in fields(kind.event)} - shared
    for event in EVERY:
        if type(event) is kind.event:
            given = [f for f in kind.columns if getattr(event, f) not in (None, (), {}, "")]
            assert {kind.columns[f].key for f in given} <= set(encode_event(event))


def test_a_month_looks_as_the_contract_shows() -> None:
    text = events_text([replace(reading("x", seq=41), by="Mo"), poured("y", seq=42)])
    table = tomllib.loads(text)
    assert list(table["reading"][0]) == [
        "id",
        "seq",
        "at",
        "by",
        "level_L",
        "ph",
        "doubt",
        "flow_L_min",
        "looks",
    ]
    assert table["reading"][0]["flow_L_min"] == {"Upper": 1.9, "Lower": 0.75}
    assert list(table["poured"][0]) == ["id", "seq", "at", "by", "what", "mL", "planned"]
    assert "at = 2026-03-14T12:00:00+00:00\n" in text


def test_numbers_rise_across_months(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a", at=NOON)])
    append(folder, [note("b", at=NOON - timedelta(days=300))])
    (last,) = append(folder, [note("c", at=NOON + timedelta(days=40))])
    assert last.seq == 3
    assert sorted(path.name for path in folder.log_dir.glob("*.toml")) == [
        "2025-05.toml",
        "2026-03.toml",
        "2026-04.toml",
    ]


def test_a_month_is_only_ever_added_to(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    by_hand = (
        b"schema = 1 # mine\nown = 'key'\n\n[[note]]\nid='h'\nseq=7\nat=2026-03-01T08:00:00Z\ntext='x' # y"
    )
    (folder.log_dir / "2026-03.toml").write_bytes(by_hand)
    (event,) = append(folder, [note("b")])
    assert event.seq == 8
    assert (folder.log_dir / "2026-03.toml").read_bytes().startswith(by_hand + b"\n[[note]]\n")
    assert [e.id for e in read_log(folder).events] == ["h", "b"]


def test_the_same_events_again_are_not_added_twice(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    first = append(folder, [reading("a"), poured("b")])
    data = (folder.log_dir / "2026-03.toml").read_bytes()
    assert append(folder, first) == first
    assert (folder.log_dir / "2026-03.toml").read_bytes() == data


def test_an_event_that_waits_and_is_handed_over_stands_once(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    waiting = note("one", seq=1)
    write_state(folder, State(outbox=(waiting,)), was=None)
    append(folder, [waiting])
    month = next(folder.log_dir.iterdir()).read_text(encoding="utf-8")
    assert month.count("[[note]]") == 1


def test_a_month_is_named_for_the_moments_own_offset(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    east = datetime(2026, 4, 1, 0, 30, tzinfo=timezone(timedelta(hours=13)))
    append(folder, [note("a", at=east)])
    assert (folder.log_dir / "2026-04.toml").exists()
    since = datetime(2026, 3, 31, 11, 0, tzinfo=UTC)  # half an hour before
    assert [event.id for event in read_log(folder, since=since).events] == ["a"]
    assert read_log(folder, since=since + timedelta(hours=1)).events == ()


def test_readers_sort_by_moment_then_number(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("late", at=NOON + timedelta(hours=1)), note("a"), note("b")])
    assert [event.id for event in read_log(folder).events] == ["a", "b", "late"]


def test_a_corrected_event_no_longer_counts_but_stays(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [reading("wrong")])
    append(folder, [replace(reading("right"), replaces="wrong")])
    log = read_log(folder)
    assert [event.id for event in log.events] == ["right"]
    assert [event.id for event in log.all_events] == ["wrong", "right"]


def test_a_correction_in_a_month_that_is_left_out_still_corrects(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [reading("wrong", at=NOON)])
    append(folder, [replace(reading("right", at=NOON - timedelta(days=60)), replaces="wrong")])
    assert read_log(folder, since=NOON - timedelta(days=1)).events == ()
    folder.index.unlink()
    assert read_log(folder, since=NOON - timedelta(days=1)).events == ()


def test_confirmed_events_count_before_they_reach_the_log(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    state = State(outbox=number(folder, [reading("a"), poured("b")], state=State()))
    write_state(folder, state, was=None)
    assert [(event.id, event.seq) for event in read_log(folder).events] == [("a", 1), ("b", 2)]
    (after,) = append(folder, [note("c")])
    assert after.seq == 3
    assert [event.id for event in read_month(folder.log_dir / "2026-03.toml").events] == ["a", "b", "c"]
    assert [event.id for event in read_log(folder).events] == ["a", "b", "c"]


def test_events_of_two_months_are_confirmed_by_one_rename(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)

    class Stopping(Disk):
        renames = 0

        def rename(self, draft: Path, target: Path) -> None:
            self.renames += 1
            if self.renames == 3:  # the state, one month, and not the other
                raise KeyboardInterrupt
            super().rename(draft, target)

    use(Stopping())
    try:
        with pytest.raises(KeyboardInterrupt):
            append(folder, [note("a"), note("b", at=NOON + timedelta(days=40))])
    finally:
        use(None)
    assert [event.id for event in read_log(folder).events] == ["a", "b"]
    append(folder, [note("c")])
    assert [event.id for event in read_log(folder, outbox=()).events] == ["a", "c", "b"]


def test_events_of_two_months_leave_nothing_waiting(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a"), note("b", at=NOON + timedelta(days=40))])
    assert read_state(folder).outbox == ()
    assert [event.id for event in read_log(folder, outbox=()).events] == ["a", "b"]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[[reading]]\nseq = 1\nat = 2026-03-01T08:00:00Z\n", 2, "reading.id is missing"),
        ("[[reading]]\nid = 'a'\nat = 2026-03-01T08:00:00Z\n", 2, "reading.seq is missing"),
        ("[[reading]]\nid = 'a'\nseq = 1\n", 2, "reading.at is missing"),
        ("[[reading]]\nid = 'a'\nseq = 1\nat = '2026-03-01'\n", 5, "at is not a date and time with offset"),
        (
            "[[reading]]\nid = 'a'\nseq = 1\nat = 2026-03-01T08:00:00Z\nph = '6,9'\n",
            6,
            "ph is words in quotes",
        ),
        ("[[reading]]\nid = 'a'\nseq = 1\nat = 2026-03-01T08:00:00Z\nph = 69\n", 6, "ph is 69"),
        (
            "[[reading]]\nid = 'a'\nseq = 1\nat = 2026-03-01T08:00:00Z\n[reading.first]\nx = true\n",
            7,
            "true or false",
        ),
        ("[[poured]]\nid = 'a'\nseq = 1\nat = 2026-03-01T08:00:00Z\nmL = 3.0\n", 2, "poured.what is missing"),
        ("[reading]\nid = 'a'\n", 2, "reading is a table"),
        ("note = 'a'\n", 2, "note is words in quotes"),
        ("[[note]]\nid = 'a'\nid = 'b'\n", 4, "can't be read"),
    ],
)
def test_a_damaged_month_names_its_line_and_stays(tmp_path: Path, text: str, line: int, words: str) -> None:
    folder = folder_in(tmp_path)
    path = folder.log_dir / "2026-03.toml"
    path.write_text("schema = 1\n" + text)
    before = tree(folder.path)
    for attempt in (lambda: read_log(folder), lambda: append(folder, [note("n")])):
        with pytest.raises(StateError) as caught:
            attempt()
        assert words in str(caught.value)
        assert (caught.value.file, caught.value.line) == (str(path), line)
    assert tree(folder.path) == before


def test_a_damaged_month_does_not_stop_another(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    (folder.log_dir / "2020-01.toml").write_bytes(b"\0\0\0")
    append(folder, [note("a")])
    assert [event.id for event in read_log(folder, since=NOON).events] == ["a"]


@pytest.mark.parametrize(
    "form",
    [
        "note = [{id = 'x', seq = 1, at = 2026-03-01T08:00:00Z, text = 'y'}]\n",
        "[own]\nnote = 1\n[[own.note2]]\n",
    ],
)
def test_nothing_is_added_where_it_would_not_be_read_back(tmp_path: Path, form: str) -> None:
    folder = folder_in(tmp_path)
    path = folder.log_dir / "2026-03.toml"
    path.write_text("schema = 1\n" + form)
    if form.startswith("note"):
        with pytest.raises(StateError, match="nothing can be added after"):
            append(folder, [note("a")])
        assert path.read_text() == "schema = 1\n" + form
    else:
        append(folder, [note("a")])
        assert [event.id for event in read_log(folder).events] == ["a"]


def test_a_newer_month_is_read_and_never_written(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    path = folder.log_dir / "2026-03.toml"
    path.write_text("schema = 2\n[[note]]\nid='a'\nseq=1\nat=2026-03-01T08:00:00Z\ntext='x'\n")
    log = read_log(folder)
    assert [event.id for event in log.events] == ["a"]
    assert "a newer tendtui wrote this file" in log.findings[0].what
    with pytest.raises(StateError, match="only reads it"):
        append(folder, [note("b")])
    path.write_text("schema = 2\n[[note]]\nid=1\n")
    with pytest.raises(StateError, match="Bring tendtui up to date"):
        read_log(folder)


def test_an_event_that_toml_cannot_hold_is_refused(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    with pytest.raises(StateError, match="can't be kept"):
        append(folder, [note("good"), replace(reading("a"), ph=float("nan"))])
    assert read_log(folder).events == ()


def test_copies_left_by_a_file_sync_are_counted_once(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a"), note("b")])
    path = folder.log_dir / "2026-03.toml"
    other = path.read_bytes().replace(b'"b"', b'"c"')
    (folder.log_dir / "2026-03 (someone's copy).toml").write_bytes(other)
    log = read_log(folder)
    assert sorted(event.id for event in log.events) == ["a", "b", "c"]
    assert "a file sync left this" in log.findings[0].what
    (folder.log_dir / "2026-03 (someone's copy).toml").write_bytes(b"[[")
    log = read_log(folder, since=NOON)
    assert [event.id for event in log.events] == ["a", "b"]
    assert "can't be read" in log.findings[0].what
    assert read_log(folder, since=NOON + timedelta(days=80)).findings == ()


def test_one_id_with_two_meanings_counts_once_and_is_told(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a", text="first")])
    path = folder.log_dir / "2026-03.toml"
    replace_file(path, path.read_bytes() + events_text([note("a", seq=2, text="second")]).encode())
    log = read_log(folder)
    assert [getattr(event, "text", "") for event in log.events] == ["first"]
    assert log.findings[0].what == "the id a stands twice with different words; the first counts"
    assert log.findings[0].line == 9


def test_the_index_is_only_a_memory(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON - timedelta(days=100), 100))
    facts = survey(folder)
    assert max(month.last_seq for month in facts.values()) == 200
    for spoilt in (
        "",
        "\0",
        "[month]\n",
        "month = 1\n",
        "[month]\na = 1\n",
        '[month]\n"2026-03.toml" = "x"\n',
    ):
        folder.index.write_text(spoilt)
        assert survey(folder) == facts
    folder.index.write_text('[month]\n"2026-03.toml" = "1 1 9000"\n')
    assert survey(folder) == facts
    folder.index.unlink()
    (event,) = append(folder, [note("z")])
    assert event.seq == 201


def test_a_month_changed_by_hand_is_looked_at_anew(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    path = folder.log_dir / "2026-03.toml"
    path.write_bytes(path.read_bytes().replace(b"seq = 1\n", b"seq = 77\n"))
    (event,) = append(folder, [note("b")])
    assert event.seq == 78


def test_a_file_in_the_place_of_the_logs_folder_is_named(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.log_dir.write_text("")
    with pytest.raises(StateError, match="can't be looked into"):
        read_log(folder)


def test_a_month_that_vanishes_while_reading_is_an_empty_one(tmp_path: Path) -> None:
    assert read_month(tmp_path / "2026-03.toml").events == ()


def test_the_log_is_read_as_tables_of_its_own_order(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [poured("a"), reading("b"), poured("c")])
    month, faults = parse_month(
        (folder.log_dir / "2026-03.toml").read_bytes(), folder.log_dir / "2026-03.toml"
    )
    assert [event.id for event in month.events] == ["a", "b", "c"]
    assert not faults.errors


def test_a_state_that_waits_is_left_as_it_is(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    write_state(folder, State(outbox=(note("a", seq=1),)), was=None)
    _state, was = open_state(folder)
    append(folder, [note("b")])
    assert open_state(folder)[1] == was
