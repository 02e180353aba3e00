"""Repairs: shown first, what is whole stays byte for byte, originals are kept, twice is once."""

from __future__ import annotations

import errno
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.event import TaskDone
from tendtui.core.state import Person, State
from tendtui.core.walk import Act, Entry, Walk
from tendtui.errors import ChangedError, HeldError, StateError
from tendtui.store.archive import backup
from tendtui.store.disk import Disk, use
from tendtui.store.folder import Folder
from tendtui.store.lock import claim
from tendtui.store.log_file import append, read_log
from tendtui.store.mend import mend, repairs_for
from tendtui.store.rack_file import install_rack, read_rack
from tendtui.store.state_file import open_state, read_state, write_state
from tendtui.value import replace
from tests.support.folders import NOON, RACK, days, folder_in, note, poured, reading, tree
from tests.support.mutations import mutations

MONTH = "log/2026-03.toml"


def mended(folder: Folder) -> list[str]:
    """Mend, and give what was said."""
    repairs = repairs_for(folder)
    mend(folder, repairs)
    assert repairs_for(folder) == ()
    return [f"{r.path.relative_to(folder.path).as_posix()}: {r.what}" for r in repairs]


def ids(folder: Folder) -> list[str]:
    return [event.id for event in read_log(folder).all_events]


def test_a_sound_folder_needs_nothing(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON, 5))
    write_state(folder, State(done={"x": NOON}), was=None)
    before = tree(folder.path)
    assert mended(folder) == []
    assert tree(folder.path) == before


def test_looking_changes_nothing(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON, 5))
    (folder.path / MONTH).write_bytes((folder.path / MONTH).read_bytes() + b"[[note")
    before = tree(folder.path)
    assert len(repairs_for(folder)) == 1
    assert tree(folder.path) == before


def test_a_spoilt_month_keeps_every_event_that_can_be_read(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [reading("a"), poured("b"), note("c")])
    path = folder.path / MONTH
    sound = path.read_bytes()
    spoilt = sound.replace(b"mL = 12.5", b"mL = '12,5'") + b"\0" * 300
    path.write_bytes(spoilt)
    assert mended(folder) == [
        "log/2026-03.toml: 2 events can be read and stay; "
        "what begins on these lines can't be read and is left out: 15"
    ]
    assert ids(folder) == ["a", "c"]
    assert (folder.log_dir / "2026-03.toml.kept-1").read_bytes() == spoilt


def test_what_is_lost_comes_out_of_the_last_backup(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a"), note("b"), note("other", at=NOON - timedelta(days=60))])
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    append(folder, [note("c")])
    path = folder.path / MONTH
    path.write_bytes(path.read_bytes().replace(b'id = "b"', b'id = "b'))
    (folder.log_dir / "2026-01.toml").unlink()
    assert mended(folder) == [
        "log/2026-01.toml: the month comes out of the last backup",
        "log/2026-03.toml: 2 events can be read and stay, 1 comes out of the last backup; "
        "what begins on these lines can't be read and is left out: 8",
    ]
    assert ids(folder) == ["other", "a", "b", "c"]


def test_an_empty_month_comes_back_whole(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON, 4))
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    before = read_log(folder)
    for spoilt in (b"", b"\0" * 4096, b"no toml at all"):
        (folder.path / MONTH).write_bytes(spoilt)
        mended(folder)
        assert read_log(folder) == before


def test_copies_of_a_file_sync_are_brought_together_by_id(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a"), note("b")])
    data = (folder.path / MONTH).read_bytes()
    one, two = folder.log_dir / "2026-03 (one).toml", folder.log_dir / "2026-03 (two).toml"
    one.write_bytes(data.replace(b'"b"', b'"c"'))
    two.write_bytes(data.replace(b'"a"', b'"d"').replace(b'"b"', b'"c"') + b"# and a comment\n")
    said = mended(folder)
    assert said[0] == "log/2026-03.toml: 1 event out of 2026-03 (one).toml joins it; " + (
        "1 event out of 2026-03 (two).toml joins it"
    )
    assert sorted(ids(folder)) == ["a", "b", "c", "d"]
    assert (folder.path / MONTH).read_bytes().startswith(data)
    assert not one.exists()
    assert Path(f"{one}.kept-1").exists()
    assert read_log(folder).findings == ()


def test_a_copy_without_its_month_becomes_it(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    (folder.path / MONTH).rename(folder.log_dir / "2026-03-copy.toml")
    mended(folder)
    assert ids(folder) == ["a"]
    assert (folder.path / MONTH).exists()


def test_a_copy_joins_a_month_that_is_mended_too(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a"), note("b")])
    data = (folder.path / MONTH).read_bytes()
    (folder.log_dir / "2026-03 (copy).toml").write_bytes(data.replace(b'"a"', b'"c"'))
    (folder.path / MONTH).write_bytes(data.replace(b'id = "b"', b'id = "b'))
    mended(folder)
    assert sorted(ids(folder)) == ["a", "b", "c"]


def test_events_that_wait_in_a_copy_of_the_state_join_the_log(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    write_state(folder, State(outbox=(note("b", seq=2),)), was=None)
    folder.state.rename(folder.path / "state-copy.toml")
    mended(folder)
    assert ids(folder) == ["a", "b"]


def test_copies_of_the_rack_are_moved_aside_only_if_they_say_the_same(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    (folder.path / "rack-same.toml").write_text(RACK)
    (folder.path / "rack-other.toml").write_text(RACK + "# other\n")
    assert mended(folder) == ["rack-same.toml: it says the same as rack.toml and is moved aside"]
    assert (folder.path / "rack-other.toml").exists()


def _walk(kind: str) -> Walk:
    entries = tuple(Entry(key=f"q{n}", act=Act.ANSWER, at=NOON, typed=str(n)) for n in range(3))
    return Walk(kind=kind, id=kind, began=NOON, by="Ines", entries=entries)


def test_a_spoilt_state_keeps_what_is_whole_and_asks_no_pouring_twice(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    at = NOON + timedelta(days=2)
    append(
        folder,
        [TaskDone(id="t", seq=0, at=at, task="calibrate-ph"), TaskDone(id="u", seq=0, at=NOON, task="u")],
    )
    state = State(
        walks={"round": _walk("round"), "dose": _walk("dose")},
        outbox=(note("waits", seq=3),),
        done={"calibrate-ph": NOON, "u": at},
        people={"Ines": Person(form="brief")},
    )
    data = write_state(folder, state, was=None)
    folder.state.write_bytes(data.replace(b'typed = "1"', b"typed = 1", 1))
    (said,) = mended(folder)
    assert "all but 1 of its tables stay; a dose or task under way begins anew" in said
    now = read_state(folder)
    assert set(now.walks) == {"round"}
    assert [entry.key for entry in now.walks["round"].entries] == ["q0", "q2"]
    assert now.outbox == state.outbox
    assert now.people == state.people
    assert now.done == {"calibrate-ph": at, "u": at}


def test_a_state_of_which_nothing_is_left_is_made_again(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [TaskDone(id="t", seq=0, at=NOON, task="calibrate-ph")])
    state = State(people={"Ines": Person(form="brief")}, walks={"dose": _walk("dose")}, learned={"x": 1.0})
    write_state(folder, state, was=None)
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    for spoilt in (b"", b"\0" * 4096):
        folder.state.write_bytes(spoilt)
        mended(folder)
        made = read_state(folder)
        assert made == replace(state, walks={}, done={"calibrate-ph": NOON})


def test_a_spoilt_state_without_a_backup_begins_anew_from_the_log(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [TaskDone(id="t", seq=0, at=NOON, task="calibrate-ph")])
    folder.state.write_bytes(b"\0")
    mended(folder)
    assert read_state(folder) == State(done={"calibrate-ph": NOON})


def test_a_lost_rack_comes_out_of_the_newest_one_kept_that_can_be(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    install_rack(folder, RACK.replace("Cellar stair", "Second").encode())
    install_rack(folder, RACK.replace("Cellar stair", "Third").encode())
    (folder.path / "rack.toml.kept-3").write_bytes(b"\0")
    folder.rack.write_bytes(b"")
    assert mended(folder) == ["rack.toml: the rack comes out of rack.toml.kept-2, as it was then"]
    assert read_rack(folder).name == "Second"


def test_a_lost_rack_comes_out_of_the_backup(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    folder.rack.unlink()
    mended(folder)
    assert folder.rack.read_text() == RACK


def test_what_nothing_is_known_of_is_left(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("52.0", "2.0"))
    folder.state.mkdir()
    (folder.log_dir / "2026-03.toml").write_text("schema = 2\n[[note]]\nid = 1\n")
    (folder.log_dir / "2026-03 (copy).toml").write_text("schema = 2\n[[note]]\nid = 1\n")
    assert repairs_for(folder) == ()
    folder.state.rmdir()
    folder.state.write_text("schema = 2\n[done]\nx = 1\n")
    folder.rack.write_text("schema = 2\n")
    assert repairs_for(folder) == ()
    folder.rack.unlink()
    folder.rack.mkdir()
    assert repairs_for(folder) == ()


def test_files_that_name_no_version_get_one(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("schema = 1\n", ""))
    append(folder, [note("a")])
    write_state(folder, State(done={"x": NOON}), was=None)
    for path in (folder.path / MONTH, folder.state):
        path.write_bytes(path.read_bytes().replace(b"schema = 1\n", b""))
    assert len(mended(folder)) == 3
    for path in (folder.rack, folder.path / MONTH, folder.state):
        assert b"schema = 1\n" in path.read_bytes()
    assert "# a note of the owner's" in folder.rack.read_text()


def test_a_file_changed_since_the_repair_was_shown_is_left(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    path = folder.path / MONTH
    path.write_bytes(path.read_bytes() + b"[[note")
    repairs = repairs_for(folder)
    path.write_bytes(b"schema = 1\n# mended by hand\n")
    with pytest.raises(ChangedError):
        mend(folder, repairs)
    assert path.read_bytes() == b"schema = 1\n# mended by hand\n"


def test_a_copy_changed_since_is_not_moved_aside(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    copy = folder.path / "rack-copy.toml"
    copy.write_text(RACK)
    repairs = repairs_for(folder)
    copy.write_text(RACK + "# more\n")
    mend(folder, repairs)
    assert copy.read_text() == RACK + "# more\n"


def test_a_copy_that_cannot_be_removed_is_named(tmp_path: Path) -> None:
    class Stuck(Disk):
        def remove(self, path: Path) -> None:
            raise OSError(errno.EIO, "Input/output error")

    folder = folder_in(tmp_path)
    (folder.path / "rack-copy.toml").write_text(RACK)
    repairs = repairs_for(folder)
    use(Stuck())
    try:
        with pytest.raises(StateError, match="can't be moved away"):
            mend(folder, repairs)
    finally:
        use(None)


def test_a_copy_that_says_nothing_new_is_only_moved_aside(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    before = (folder.path / MONTH).read_bytes()
    (folder.log_dir / "2026-03 (copy).toml").write_bytes(before)
    assert [said.partition(":")[0] for said in mended(folder)] == ["log/2026-03 (copy).toml"]
    assert (folder.path / MONTH).read_bytes() == before


def test_an_open_screen_is_not_mended_under(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    mine = claim(folder)
    with pytest.raises(HeldError):
        mend(folder, ())
    mine.release()


@pytest.mark.parametrize("file", ["state.toml", MONTH])
def test_whatever_is_spoilt_can_be_worked_with_afterwards(tmp_path: Path, file: str) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON, 4))
    write_state(folder, State(walks={"round": _walk("round")}, outbox=(note("waits", seq=99),)), was=None)
    sound = tree(folder.path)
    for spoilt in mutations(sound[file], 52, seed=11):
        for name, data in sound.items():
            (folder.path / name).write_bytes(data)
        (folder.path / file).write_bytes(spoilt)
        if b"schema = 2" in spoilt:
            continue
        repairs = repairs_for(folder)
        mend(folder, repairs)
        state, was = open_state(folder)
        write_state(folder, state, was=was)
        append(folder, [note("after")])
        assert "after" in ids(folder)
        for repair in repairs:
            kept = repair.path.parent.glob(f"{repair.path.name}.kept-*")
            assert repair.was in [path.read_bytes() for path in kept]
