"""state.toml: every field comes back, a changed or damaged file is never overwritten."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.state import Person, State
from tendtui.core.walk import Act, Entry, Walk
from tendtui.errors import ChangedError, StateError
from tendtui.store.folder import Folder
from tendtui.store.state_file import open_state, parse_state, read_state, state_bytes, write_state
from tendtui.store.state_table import encode_state
from tendtui.value import fields, replace
from tests.support.folders import NOON, folder_in, note, poured, reading, tree

ENTRY = Entry(
    key="Upper.flow",
    act=Act.ANSWER,
    at=NOON,
    by="Ines",
    typed="1,9",
    value=1.9,
    word="steady",
    text='words with a "quote"',
    first=0.19,
    doubt=True,
    look=True,
    same=True,
    events=("a-1", "a-2"),
)
WALK = Walk(
    kind="round",
    id="a",
    began=NOON,
    by="Ines",
    entries=(ENTRY, Entry(key="level.now", act=Act.UNDO, at=NOON, value=0.0)),
    context={"stations": ["level"], "deep": {"er": 1.5}},
)
STATE = State(
    walks={"round": WALK, "task:mop-up": Walk(kind="task:mop-up", id="b", began=NOON, by="")},
    outbox=(reading("a-1", seq=4), poured("a-2", seq=5), note("a-3", seq=6)),
    done={"calibrate-ph": NOON, "odd id": NOON + timedelta(days=1)},
    learned={"uptake_l_day": 1.25, "feeds": {"Grow 1": {"strength": 0.9}}},
    people={"Ines": Person(form="brief", clean_rounds=7), "[/]": Person()},
    away={"from": NOON, "who": ["Joss"]},
    extra={"future": {"x": 1}},
)


def test_the_whole_state_comes_back(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    write_state(folder, STATE, was=None)
    assert read_state(folder) == STATE


def test_an_empty_state_comes_back() -> None:
    assert parse_state(state_bytes(State()), file="state.toml") == State()


def test_a_missing_file_is_an_empty_state(tmp_path: Path) -> None:
    assert open_state(Folder(tmp_path)) == (State(), None)


def test_every_field_has_its_key() -> None:
    tables = encode_state(STATE)
    singular = {"walks": "walk", "people": "person", "extra": "future"}
    assert {singular.get(f.name, f.name) for f in fields(State)} <= set(tables)
    entry = tables["entry"][0]  # type: ignore[index]  # a list of tables
    assert set(entry) == {"walk", *(field.name for field in fields(Entry))}
    walk = tables["walk"][0]  # type: ignore[index]  # a list of tables
    assert set(walk) == {field.name for field in fields(Walk)} - {"entries"}
    person = tables["person"][0]  # type: ignore[index]  # a list of tables
    assert set(person) == {"name", *(field.name for field in fields(Person))}


def test_a_state_that_changed_underneath_is_not_overwritten(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    was = write_state(folder, STATE, was=None)
    theirs = write_state(folder, replace(STATE, done={}), was=was)
    with pytest.raises(ChangedError) as caught:
        write_state(folder, replace(STATE, learned={}), was=was)
    assert caught.value.exit_code == 3
    assert folder.state.read_bytes() == theirs


def test_a_newer_state_is_read_and_never_written(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    folder.state.write_text('schema = 2\n[done]\nx = 2026-01-01T00:00:00Z\n[new]\na = "kept"\n')
    state, was = open_state(folder)
    assert "x" in state.done
    with pytest.raises(StateError, match="only reads it"):
        write_state(folder, state, was=was)


def test_a_newer_state_that_is_not_understood_says_so() -> None:
    with pytest.raises(StateError, match="Bring tendtui up to date"):
        parse_state(b"schema = 2\n[[walk]]\nkind = 1\n", file="state.toml")


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[done]\nx = 1\n", 2, "x is not a date and time with offset"),
        ("[done]\nx = 2026-01-01T00:00:00\n", 2, "x is not a date and time with offset"),
        ("done = 1\n", 1, "done is no number"),
        ("[[walk]]\nkind = 'round'\n", 1, "walk.id is missing"),
        (
            "[[entry]]\nwalk = 'round'\nkey='a'\nact='answer'\nat=2026-01-01T00:00:00Z\n",
            2,
            "belongs to no walk",
        ),
        (
            "[[walk]]\nkind='r'\nid='i'\nbegan=2026-01-01T00:00:00Z\n[[entry]]\nwalk='r'\n",
            5,
            "entry.key is missing",
        ),
        (
            "[[walk]]\nkind='r'\nid='i'\nbegan=2026-01-01T00:00:00Z\n"
            "[[entry]]\nwalk='r'\nkey='k'\nact='jump'\nat=2026-01-01T00:00:00Z\n",
            8,
            "jump is not something that can be done",
        ),
        ("[[outbox]]\nid = 'x'\n", 1, "this is not a kind of event"),
        ("[[outbox]]\nkind = 'note'\nid = 'x'\n", 1, "outbox.seq is missing"),
        ("[[person]]\nform = 'brief'\n", 1, "person.name is missing"),
        ("[[person]]\nname = 'x'\nclean_rounds = 1.5\n", 3, "clean_rounds is not a whole number"),
        ("person = ['x']\n", 1, "person is a list"),
        ("away = 2026-01-01\n", 1, "away is a date or time"),
    ],
)
def test_a_damaged_state_names_its_line(text: str, line: int, words: str) -> None:
    with pytest.raises(StateError) as caught:
        parse_state(text.encode(), file="state.toml")
    assert words in str(caught.value)
    assert caught.value.line == line


def test_what_toml_cannot_hold_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    before = tree(folder.path)
    for learned in ({"x": float("nan")}, {"x": object()}):
        with pytest.raises(StateError, match="can't be kept"):
            write_state(folder, State(learned=learned), was=None)
    assert tree(folder.path) == before
