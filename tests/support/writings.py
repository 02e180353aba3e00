"""Everything that writes into a state folder, each with what was there before and what is there after."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from pathlib import Path

from tendtui.core.state import State
from tendtui.core.walk import Act, Entry, Walk
from tendtui.errors import StateError
from tendtui.store.archive import backup, contents, restore
from tendtui.store.check import check_folder
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, number, read_log
from tendtui.store.rack_file import edit_rack, install_rack, read_rack
from tendtui.store.state_file import open_state, read_state, write_state
from tendtui.value import replace, value_class
from tests.support.folders import NOON, RACK, folder_in, note, poured, reading

__all__ = ["WRITINGS", "View", "Writing", "begin", "errors_in", "look"]

LATER = NOON + timedelta(days=45)


@value_class(kw_only=False)
class View:
    """What a reader sees of a folder."""

    events: tuple[str, ...]
    state: State
    rack: str


@value_class(kw_only=False)
class Writing:
    """One thing that writes."""

    do: Callable[[Folder], object]
    atomic: bool = True
    """Whether a reader sees all of it or nothing; else doing it again finishes what was half done."""


def look(folder: Folder) -> View:
    """Read everything as the program does."""
    state = replace(read_state(folder), outbox=())
    try:
        rack = read_rack(folder).name
    except StateError:
        rack = ""
    return View(tuple(event.id for event in read_log(folder).all_events), state, rack)


def errors_in(folder: Folder) -> list[str]:
    """Give what the check finds wrong, but for a rack that isn't there yet."""
    found = check_folder(folder, now=LATER + timedelta(days=1)) if folder.path.exists() else ()
    return [str(f) for f in found if f.severity != "advice" and "the rack's file is missing" not in f.what]


def begin(path: Path) -> Folder:
    """Make a folder with a rack, a state and two events in it, and a backup beside it."""
    folder = folder_in(path)
    append(folder, [reading("old-1"), poured("old-2")])
    write_state(folder, State(done={"calibrate-ph": NOON}), was=None)
    source = folder_in(path / "elsewhere", rack=RACK.replace("Cellar stair", "Restored"))
    append(source, [note("restored")])
    backup(source, path / "copy.tar.gz", now=NOON)
    return folder


def _answer(folder: Folder) -> None:
    """Save an answer that makes two events, as a walk does: one commit, then the log."""
    state, was = open_state(folder)
    events = number(folder, [reading("new-1"), poured("new-2")], state=state)
    entry = Entry(
        key="level.now", act=Act.ANSWER, at=NOON, typed="44,5", value=44.5, events=("new-1", "new-2")
    )
    walk = Walk(kind="round", id="w", began=NOON, by="Ines", entries=(entry,))
    write_state(folder, replace(state, walks={"round": walk}, outbox=events), was=was)
    append(folder, events)


def _state(folder: Folder) -> None:
    state, was = open_state(folder)
    write_state(folder, replace(state, learned={"x": 1.0}), was=was)


WRITINGS: Mapping[str, Writing] = {
    "record": Writing(lambda folder: append(folder, [reading("new-1"), poured("new-2")])),
    "record in a new month": Writing(lambda folder: append(folder, [reading("new-1", at=LATER)])),
    "record in two months": Writing(
        lambda folder: append(folder, [reading("new-1"), poured("new-2", at=LATER), note("new-3", at=LATER)])
    ),
    "answer": Writing(_answer),
    "state": Writing(_state),
    "install": Writing(lambda folder: install_rack(folder, RACK.replace("Cellar stair", "New").encode())),
    "edit": Writing(lambda folder: edit_rack(folder, {"name": "Edited"})),
    "backup": Writing(lambda folder: backup(folder, folder.path.parent / "copy.tar.gz", now=NOON)),
    "restore": Writing(lambda folder: restore(folder, folder.path.parent / "copy.tar.gz"), atomic=False),
}


def kept_everywhere(folder: Folder, before: Mapping[str, bytes]) -> bool:
    """Say whether every file that was there still stands, in its place or kept."""
    there = {file.read_bytes() for file in folder.path.rglob("*") if file.is_file()}
    return set(before.values()) <= there


def files(folder: Folder) -> dict[str, bytes]:
    """Give the folder's files."""
    return contents(folder)
