"""The power fails at any moment: no image that the disk may hold loses or reverts what was confirmed."""

from __future__ import annotations

import shutil
from pathlib import Path

from tendtui.core.walk import Act, Entry, Walk
from tendtui.store.disk import use
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, number, read_log
from tendtui.store.state_file import open_state, read_state, write_state
from tendtui.value import replace
from tests.support.faulty_disk import RecordingDisk
from tests.support.folders import LATEST, NOON, note, poured, reading
from tests.support.power_cut import Image, images
from tests.support.tally import count
from tests.support.writings import LATER, begin, errors_in


def _put(image: Image, path: Path) -> Folder:
    shutil.rmtree(path, ignore_errors=True)
    for name, data in image:
        file = path / Path(name).relative_to("/")
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)
    return Folder(path)


def _before(folder: Folder) -> dict[Path, bytes]:
    files = [f for f in folder.path.rglob("*") if f.is_file() and f.name not in (".lock", ".screen")]
    return {Path("/") / f.relative_to(folder.path): f.read_bytes() for f in files}


def _work(folder: Folder, confirmed: list[tuple[int, str]], disk: RecordingDisk) -> None:
    """A morning: four answers, each confirmed, two with events; a record; a correction in another month."""
    walk = Walk(kind="round", id="w", began=NOON, by="Ines")
    for n, events in enumerate(((), (reading("e1"), poured("e2")), (), (note("e3", at=LATER),))):
        state, was = open_state(folder)
        named = number(folder, events, state=state)
        entry = Entry(key=f"q{n}", act=Act.ANSWER, at=NOON, typed=str(n), events=tuple(e.id for e in named))
        walk = replace(walk, entries=(*walk.entries, entry))
        write_state(folder, replace(state, walks={"round": walk}, outbox=named), was=was)
        confirmed.append((len(disk.ops), f"q{n}"))
        append(folder, named)
        confirmed.extend((len(disk.ops), event.id) for event in named)
    append(folder, [note("e4"), note("e5", at=LATER)])
    confirmed.extend([(len(disk.ops), "e4"), (len(disk.ops), "e5")])


def test_no_image_of_a_power_cut_loses_what_was_confirmed(tmp_path: Path) -> None:
    folder = begin(tmp_path / "begun")
    before = _before(folder)
    confirmed: list[tuple[int, str]] = []
    disk = RecordingDisk()
    use(disk)
    try:
        _work(folder, confirmed, disk)
    finally:
        use(None)
    root = folder.path
    ops = [
        replace(
            op,
            path=Path("/") / op.path.relative_to(root),
            other=None if op.other is None else Path("/") / op.other.relative_to(root),
        )
        for op in disk.ops
    ]
    looked_at: dict[Image, set[str]] = {}
    tried = 0
    for done, image in images(before, ops):
        tried += 1
        if image not in looked_at:
            there = _put(image, tmp_path / "image")
            assert errors_in(there) == [], image
            seen = {event.id for event in read_log(there).all_events}
            seen |= {entry.key for walk in read_state(there).walks.values() for entry in walk.entries}
            looked_at[image] = seen
        missing = {name for when, name in confirmed if when <= done} - looked_at[image]
        assert not missing, (done, missing)
        assert {"old-1", "old-2"} <= looked_at[image]
    assert tried > 100
    count("power cuts: images tried", tried)
    count("power cuts: images that differ", len(looked_at))
    assert len(looked_at) > 50


def test_the_next_start_after_a_power_cut_can_write(tmp_path: Path) -> None:
    folder = begin(tmp_path / "begun")
    (folder.path / ".state.toml.draft").write_bytes(b"\0" * 100)
    folder.index.write_bytes(b"\0" * 100)
    append(folder, [note("after", at=LATEST)])
    assert "after" in {event.id for event in read_log(folder).events}
    assert list(folder.path.glob("*.draft")) == []


def test_the_model_finds_a_save_that_does_not_wait(tmp_path: Path) -> None:
    """The model itself: without the sync before the rename it shows an image that lost the file."""
    from tendtui.store.atomic import replace_file, replace_loosely

    for save, kept in ((replace_file, True), (replace_loosely, False)):
        file = tmp_path / save.__name__ / "a"
        file.parent.mkdir()
        file.write_bytes(b"old")
        disk = RecordingDisk()
        use(disk)
        try:
            save(file, b"new")
        finally:
            use(None)
        contents = {dict(image)[str(file)] for _count, image in images({file: b"old"}, disk.ops)}
        assert (contents <= {b"old", b"new"}) == kept
