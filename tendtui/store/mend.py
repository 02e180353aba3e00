"""Repairs of damaged files from the log, the last good copies and what is still whole in them.

First a list of what would be done, each with its new bytes; then, if the person agrees, it is done.
Every original is kept beside its file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from tendtui.core.event import Event, TaskDone
from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.archive import unpack
from tendtui.store.atomic import list_folder, make_folder, read_file, remove_file, unless_changed
from tendtui.store.check import sync_copies
from tendtui.store.copies import last_copy
from tendtui.store.folder import Folder, month_name
from tendtui.store.lock import claim, write_lock
from tendtui.store.log_file import events_text, parse_month
from tendtui.store.log_index import month_files
from tendtui.store.migrate import is_older, upgraded
from tendtui.store.rack_file import keep_beside, parse_rack
from tendtui.store.salvage import Part, month_of, parts_of, salvage_month
from tendtui.store.schema import schema_in
from tendtui.store.state_file import parse_state, state_bytes
from tendtui.store.state_salvage import salvage_state
from tendtui.store.toml_read import SCHEMA
from tendtui.value import replace, value_class
from tendtui.words import _, n_

__all__ = ["Repair", "mend", "repairs_for"]


@value_class
class Repair:
    """One file and what it would become."""

    path: Path
    what: str
    """What would be done, a sentence."""
    was: bytes | None
    new: bytes | None
    """None: the file is only moved aside."""


def repairs_for(folder: Folder) -> tuple[Repair, ...]:
    """Give what can be mended; files in order, newer ones and those that nothing is known of are left out.

    Raises:
        StateError: If the folder can't be looked into.
    """
    copy = _last_good_copy(folder)
    months: dict[Path, Repair] = {}
    for path in month_files(folder):
        months |= _mend_month(path, copy.get(f"log/{path.name}"))
    months |= _missing_months(folder, copy)
    aside: list[Repair] = []
    for left in sync_copies(folder):
        aside += _merge(folder, left, months)
    state = _mend_state(folder, copy.get("state.toml"), _events_after(folder, months))
    rack = _mend_rack(folder, copy.get("rack.toml"))
    return (*(months[path] for path in sorted(months)), *state, *rack, *aside)


def mend(folder: Folder, repairs: Iterable[Repair]) -> tuple[Path, ...]:
    """Do the repairs and give where the originals are kept.

    Raises:
        HeldError: If a screen or another writer has the folder.
        ChangedError: If a file isn't what it was when the repairs were planned; it is left as it is.
        StateError: If one can't be written.
    """
    mine = claim(folder)
    try:
        with write_lock(folder):
            return tuple(kept for repair in repairs for kept in _do(repair))
    finally:
        mine.release()


def _do(repair: Repair) -> Iterable[Path]:
    kept = None if repair.was is None else keep_beside(repair.path, repair.was)
    if repair.new is not None:
        make_folder(repair.path.parent)
        unless_changed(repair.path, repair.was, repair.new)
    elif read_file(repair.path) == repair.was:
        remove_file(repair.path)
    return () if kept is None else (kept,)


def _last_good_copy(folder: Folder) -> Mapping[str, bytes]:
    copy = last_copy(folder)
    if copy is not None:
        with suppress(StateError):
            return unpack(Path(copy.file))
    return {}


def _bytes(path: Path) -> bytes | None:
    """Give a file's bytes; what isn't a file is nobody's to mend."""
    try:
        return read_file(path)
    except StateError:
        return None


def _is_sound_month(data: bytes, path: Path) -> bool:
    try:
        return not parse_month(data, path)[1].errors
    except StateError:
        return False


def _mend_month(path: Path, copy: bytes | None) -> dict[Path, Repair]:
    data = _bytes(path)
    if data is None or schema_in(data) > SCHEMA:
        return {}
    if _is_sound_month(data, path):
        return {path: _upgrade(path, data)} if is_older(data) else {}
    here = salvage_month(data, path)
    ids = {part.event.id for part in here.parts}
    more = [part for part in _parts(copy, path) if part.event.id not in ids]
    new = month_of([*here.parts, *more])
    return {
        path: Repair(path=path, what=_told(len(here.parts), len(more), here.lost_lines), was=data, new=new)
    }


def _told(stay: int, more: int, lost_lines: tuple[int, ...]) -> str:
    what = n_("{n} event can be read and stays", "{n} events can be read and stay", stay).format(n=stay)
    if more:
        from_copy = n_("{n} comes out of the last backup", "{n} come out of the last backup", more)
        what += ", " + from_copy.format(n=more)
    if lost_lines:
        lines = ", ".join(str(line) for line in lost_lines[:20])
        lost = _("what begins on these lines can't be read and is left out: {lines}")
        what += "; " + lost.format(lines=lines)
    return what


def _parts(data: bytes | None, path: Path) -> tuple[Part, ...]:
    return () if data is None else parts_of(data, path)


def _upgrade(path: Path, data: bytes) -> Repair:
    what = _("the file says which version it is of")
    return Repair(path=path, what=what, was=data, new=upgraded(data))


def _missing_months(folder: Folder, copy: Mapping[str, bytes]) -> dict[Path, Repair]:
    """Bring back months that the last backup has and the folder hasn't: a log only ever grows."""
    there = {entry.name for entry in list_folder(folder.log_dir)}
    what = _("the month comes out of the last backup")
    names = [name.removeprefix("log/") for name in copy if name.startswith("log/") and name.endswith(".toml")]
    return {
        folder.log_dir / name: Repair(
            path=folder.log_dir / name, what=what, was=None, new=copy[f"log/{name}"]
        )
        for name in names
        if name not in there
    }


def _merge(folder: Folder, left: Path, months: dict[Path, Repair]) -> list[Repair]:
    """Bring the events of what a file sync left into their months, by id; then the file is moved aside.

    A copy of the rack's file that says something else is a person's to compare, and is left.
    """
    data = _bytes(left)
    if data is None or schema_in(data) > SCHEMA:
        return []
    if left.parent == folder.log_dir:
        parts = salvage_month(data, left).parts
        what = _("its events stand in their month; the file is moved aside")
    elif left.name.startswith("state"):
        waiting = salvage_state(data)[0].outbox
        parts = tuple(Part(event, events_text([event]).encode()) for event in waiting)
        what = _(
            "its events stand in their month; walks under way in it are not taken over; it is moved aside"
        )
    elif data == _bytes(folder.rack):
        parts = ()
        what = _("it says the same as {file} and is moved aside").format(file="rack.toml")
    else:
        return []
    for name in sorted({month_name(part.event.at) for part in parts}):
        _join(folder.log_dir / name, [p for p in parts if month_name(p.event.at) == name], left, months)
    return [Repair(path=left, what=what, was=data, new=None)]


def _join(path: Path, parts: list[Part], left: Path, months: dict[Path, Repair]) -> None:
    """Add to a month the events that it hasn't, on top of what is planned for it already."""
    planned = months.get(path)
    was = _bytes(path) if planned is None else planned.was
    base = was if planned is None else planned.new
    ids = {part.event.id for part in _parts(base, path)}
    more = [part for part in parts if part.event.id not in ids]
    if not more:
        return
    head = (base or f"schema = {SCHEMA}\n".encode()).rstrip(b"\n") + b"\n"
    what = n_("{n} event out of {file} joins it", "{n} events out of {file} join it", len(more))
    told = what.format(n=len(more), file=left.name)
    months[path] = Repair(
        path=path,
        what=told if planned is None else f"{planned.what}; {told}",
        was=was,
        new=head + b"".join(part.data for part in more),
    )


def _events_after(folder: Folder, months: Mapping[Path, Repair]) -> list[Event]:
    """Give the events of the log as it will be."""
    events: list[Event] = []
    for path in sorted({*month_files(folder), *months}):
        data = months[path].new if path in months else _bytes(path)
        with suppress(StateError):
            events += parse_month(data or b"", path)[0].events
    return events


def _mend_state(folder: Folder, copy: bytes | None, events: Iterable[Event]) -> list[Repair]:
    data = _bytes(folder.state)
    if data is None or schema_in(data) > SCHEMA:
        return []
    with suppress(StateError):
        parse_state(data, file=str(folder.state))
        return [_upgrade(folder.state, data)] if is_older(data) else []
    state, told = salvage_state(data)
    if state == State() and copy is not None:
        with suppress(StateError):
            kept = parse_state(copy, file="")
            state = State(people=kept.people, away=kept.away, learned=kept.learned, extra=kept.extra)
            told = _("likings and what was learned come out of the last backup")
    done = dict(state.done)
    for event in events:
        if isinstance(event, TaskDone) and event.outcome in ("good", "found"):
            done[event.task] = max(event.at, done.get(event.task, event.at))
    what = told + "; " + _("when each task was last done comes out of the log")
    return [Repair(path=folder.state, what=what, was=data, new=state_bytes(replace(state, done=done)))]


def _mend_rack(folder: Folder, copy: bytes | None) -> list[Repair]:
    data = _bytes(folder.rack)
    if data is not None and schema_in(data) > SCHEMA:
        return []
    if data is not None and parse_rack(data, file=folder.rack)[0] is not None:
        return [_upgrade(folder.rack, data)] if is_older(data) else []
    if folder.rack.exists() and data is None:
        return []
    for new, told in (*_kept_racks(folder), (copy, _("the last backup"))):
        if new is not None and parse_rack(new, file=folder.rack)[0] is not None:
            what = _("the rack comes out of {place}, as it was then").format(place=told)
            return [Repair(path=folder.rack, what=what, was=data, new=new)]
    return []


def _kept_racks(folder: Folder) -> list[tuple[bytes | None, str]]:
    """Give former racks, the newest first."""
    names = [e.name for e in list_folder(folder.path) if e.name.startswith("rack.toml.kept-")]
    names.sort(key=lambda name: (len(name), name), reverse=True)
    return [(_bytes(folder.path / name), name) for name in names]
