"""One file holds the whole folder; bringing it back loses nothing that stood there."""

from __future__ import annotations

import errno
import gzip
import hashlib
import io
import tarfile
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.errors import CallError, HeldError, StateError
from tendtui.store.archive import backup, contents, restore, unpack
from tendtui.store.copies import last_copy
from tendtui.store.disk import Disk, use
from tendtui.store.folder import Folder
from tendtui.store.lock import claim
from tendtui.store.log_file import append, read_log
from tests.support.folders import NOON, RACK, days, folder_in, note, tree


def _pack(members: dict[str, bytes], *, manifest: str | None = None, kind: bytes = tarfile.REGTYPE) -> bytes:
    if manifest is None:
        manifest = "schema = 1\n" + "".join(
            f"[[file]]\nname = '{name}'\nsha256 = '{hashlib.sha256(data).hexdigest()}'\n"
            for name, data in members.items()
        )
    raw = io.BytesIO()
    with tarfile.open(fileobj=raw, mode="w") as tar:
        for name, data in {"manifest.toml": manifest.encode(), **members}.items():
            about = tarfile.TarInfo(name)
            about.size = len(data)
            if name != "manifest.toml":
                about.type, about.linkname = kind, "/etc/passwd"
            tar.addfile(about, io.BytesIO(data))
    return gzip.compress(raw.getvalue())


def test_what_was_backed_up_comes_back_to_the_byte(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON - timedelta(days=40), 40))
    (folder.path / "rack.toml.kept-1").write_text("older")
    before = tree(folder.path)
    assert backup(folder, tmp_path / "b.tar.gz", now=NOON) == len(before)
    copy = last_copy(folder)
    assert copy is not None
    assert (copy.at, copy.file) == (NOON, str(tmp_path / "b.tar.gz"))
    other = Folder(tmp_path / "other")
    assert restore(other, tmp_path / "b.tar.gz") is None
    assert tree(other.path) == before
    assert (tmp_path / "b.tar.gz").stat().st_mode & 0o777 == 0o600


def test_restoring_over_a_changed_folder_keeps_what_stood_there(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    saved = contents(folder)
    append(folder, [note("b"), note("c", at=NOON + timedelta(days=50))])
    changed = contents(folder)
    kept = restore(folder, tmp_path / "b.tar.gz")
    assert contents(folder) == saved
    assert kept is not None
    assert contents(Folder(kept)) == changed
    assert [event.id for event in read_log(folder).events] == ["a"]
    assert restore(folder, tmp_path / "b.tar.gz") is None  # nothing differs, so nothing is kept again


def test_a_restore_stopped_anywhere_loses_nothing_and_can_be_finished(tmp_path: Path) -> None:
    class Stopping(Disk):
        left = 0

        def rename(self, draft: Path, target: Path) -> None:
            self.left -= 1
            if self.left < 0:
                raise KeyboardInterrupt
            super().rename(draft, target)

    source = folder_in(tmp_path / "source")
    append(source, days(NOON, 40))
    backup(source, tmp_path / "b.tar.gz", now=NOON)
    for step in range(12):
        folder = folder_in(tmp_path / str(step), rack=RACK + "# changed\n")
        append(folder, [note("mine")])
        mine = contents(folder)
        disk = Stopping()
        disk.left = step
        use(disk)
        try:
            restore(folder, tmp_path / "b.tar.gz")
            stopped = False
        except KeyboardInterrupt:
            stopped = True
        finally:
            use(None)
        everywhere = set(tree(folder.path).values())
        assert set(mine.values()) <= everywhere
        restore(folder, tmp_path / "b.tar.gz")
        assert contents(folder) == contents(source)
        assert set(mine.values()) <= set(tree(folder.path).values())
    assert not stopped  # the last round had steps enough


def test_a_backup_inside_the_folder_does_not_hold_itself(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    backup(folder, folder.path / "b.tar.gz", now=NOON)
    assert backup(folder, folder.path / "b.tar.gz", now=NOON) == 1
    assert set(unpack(folder.path / "b.tar.gz")) == {"rack.toml"}


def test_a_backup_never_replaces_something_else(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(CallError, match="isn't a backup"):
        backup(folder, tmp_path / "letter.txt", now=NOON)
    assert (tmp_path / "letter.txt").read_text() == "dear"


def test_nothing_to_back_up_is_said(tmp_path: Path) -> None:
    with pytest.raises(StateError, match="nothing to back up"):
        backup(Folder(tmp_path / "none"), tmp_path / "b.tar.gz", now=NOON)


def test_a_restore_waits_for_no_screen(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    mine = claim(folder, who="Ines")
    with pytest.raises(HeldError, match="Ines"):
        restore(folder, tmp_path / "b.tar.gz")
    mine.release()


HOSTILE = {
    "no gzip": b"letters",
    "empty": b"",
    "cut": gzip.compress(b"x" * 5000)[:20],
    "no list": gzip.compress(tarfile.TarInfo("rack.toml").tobuf() + b"\0" * 1024),
    "climbs": _pack({"../evil": b"x"}),
    "climbs in the log": _pack({"log/..": b"x"}),
    "absolute": _pack({"/tmp/evil": b"x"}),
    "deep": _pack({"a/b": b"x"}),
    "lock": _pack({".lock": b"x"}),
    "a log file": _pack({"log": b"x"}),
    "link": _pack({"rack.toml": b""}, kind=tarfile.SYMTYPE),
    "hard link": _pack({"rack.toml": b""}, kind=tarfile.LNKTYPE),
    "fifo": _pack({"rack.toml": b""}, kind=tarfile.FIFOTYPE),
    "unlisted": _pack({"rack.toml": b"x"}, manifest="schema = 1\n"),
    "other content": _pack(
        {"rack.toml": b"x"}, manifest="schema = 1\n[[file]]\nname = 'rack.toml'\nsha256 = 'y'\n"
    ),
    "odd list": _pack({"rack.toml": b"x"}, manifest="file = 1\n"),
    "list that is no list": _pack({"rack.toml": b"x"}, manifest="[["),
    "newer": _pack({"rack.toml": b"x"}, manifest="schema = 2\n"),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_what_is_no_whole_backup_changes_nothing(tmp_path: Path, kind: str) -> None:
    folder = folder_in(tmp_path)
    before = tree(tmp_path)
    file = tmp_path / "b.tar.gz"
    file.write_bytes(HOSTILE[kind])
    with pytest.raises(StateError) as caught:
        restore(folder, file)
    assert str(caught.value).startswith(f"{file}:")
    file.unlink()
    assert tree(tmp_path) == before


def test_a_missing_backup_is_named(tmp_path: Path) -> None:
    with pytest.raises(StateError, match="there is no such file"):
        restore(Folder(tmp_path / "s"), tmp_path / "none")


def test_a_bomb_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tendtui.store.archive._LARGEST", 1_000_000)
    (tmp_path / "b").write_bytes(gzip.compress(b"\0" * 3_000_000))
    with pytest.raises(StateError, match="can't be unpacked"):
        unpack(tmp_path / "b")


def test_a_file_in_the_folders_place_is_named(tmp_path: Path) -> None:
    (tmp_path / "s").write_text("")
    with pytest.raises(StateError, match="can't be looked into"):
        contents(Folder(tmp_path / "s"))


def test_a_file_that_cannot_be_moved_away_is_named(tmp_path: Path) -> None:
    class Stuck(Disk):
        def remove(self, path: Path) -> None:
            if path.suffix == ".toml":
                raise OSError(errno.EIO, "Input/output error")
            super().remove(path)

    folder = folder_in(tmp_path)
    backup(folder, tmp_path / "b.tar.gz", now=NOON)
    append(folder, [note("a")])
    use(Stuck())
    try:
        with pytest.raises(StateError, match="can't be moved away"):
            restore(folder, tmp_path / "b.tar.gz")
    finally:
        use(None)
    restore(folder, tmp_path / "b.tar.gz")
    assert set(contents(folder)) == {"rack.toml"}
