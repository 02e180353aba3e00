"""Files are replaced whole or not at all, and say why not."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from tendtui.errors import ChangedError, StateError
from tendtui.store.atomic import (
    list_folder,
    make_folder,
    read_file,
    replace_file,
    replace_loosely,
    unless_changed,
)
from tendtui.store.disk import Disk, use


class Failing(Disk):
    """A disk on which one operation fails."""

    def __init__(self, operation: str, number: int) -> None:
        self.operation, self.number = operation, number

    def _maybe(self, operation: str) -> None:
        if operation == self.operation:
            raise OSError(self.number, os.strerror(self.number))

    def create(self, path: Path) -> int:
        self._maybe("create")
        return super().create(path)

    def write(self, fd: int, data: memoryview) -> int:
        self._maybe("write")
        return super().write(fd, data[:3])  # short writes are the rule here

    def sync(self, fd: int) -> None:
        self._maybe("sync")
        super().sync(fd)

    def rename(self, draft: Path, target: Path) -> None:
        self._maybe("rename")
        super().rename(draft, target)

    def sync_folder(self, path: Path) -> None:
        self._maybe("sync_folder")
        super().sync_folder(path)


def test_new_content_stands_and_only_the_user_may_read_it(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    replace_file(file, b"new")
    assert file.read_bytes() == b"new"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_a_short_write_is_gone_on_with(tmp_path: Path) -> None:
    use(Failing("none", 0))
    try:
        replace_file(tmp_path / "a", b"0123456789")
    finally:
        use(None)
    assert (tmp_path / "a").read_bytes() == b"0123456789"


@pytest.mark.parametrize("operation", ["create", "write", "sync", "rename"])
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "the disk is read-only"),
        (errno.EACCES, "you may not write there"),
        (errno.EIO, "Input/output error"),
        (errno.ENOENT, "its folder is gone"),
        (errno.EISDIR, "a folder stands in its place"),
    ],
)
def test_a_failed_save_leaves_the_old_content_and_no_draft(
    tmp_path: Path, operation: str, number: int, words: str
) -> None:
    file = tmp_path / "a"
    file.write_bytes(b"old")
    use(Failing(operation, number))
    try:
        with pytest.raises(StateError, match=words) as caught:
            replace_file(file, b"new content")
    finally:
        use(None)
    assert caught.value.file == str(file)
    assert "What was saved before stands." in str(caught.value)
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_folder_that_cannot_be_synced_is_a_failed_save(tmp_path: Path) -> None:
    use(Failing("sync_folder", errno.EIO))
    try:
        with pytest.raises(StateError):
            replace_file(tmp_path / "a", b"new")
    finally:
        use(None)


def test_what_can_be_made_again_is_saved_without_waiting(tmp_path: Path) -> None:
    use(Failing("sync", errno.EIO))
    try:
        replace_loosely(tmp_path / "a", b"new")
    finally:
        use(None)
    assert (tmp_path / "a").read_bytes() == b"new"


def test_an_interrupt_leaves_no_draft(tmp_path: Path) -> None:
    class Interrupted(Disk):
        def sync(self, fd: int) -> None:
            raise KeyboardInterrupt

    use(Interrupted())
    try:
        with pytest.raises(KeyboardInterrupt):
            replace_file(tmp_path / "a", b"new")
    finally:
        use(None)
    assert list(tmp_path.iterdir()) == []


def test_a_link_keeps_pointing_where_it_did(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "real" / "rack.toml").write_bytes(b"old")
    link = tmp_path / "rack.toml"
    link.symlink_to(tmp_path / "real" / "rack.toml")
    replace_file(link, b"new")
    assert link.is_symlink()
    assert (tmp_path / "real" / "rack.toml").read_bytes() == b"new"


def test_a_missing_file_is_none(tmp_path: Path) -> None:
    assert read_file(tmp_path / "a") is None


@pytest.mark.parametrize("kind", ["folder", "fifo", "device"])
def test_what_is_no_file_is_refused_at_once(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "state.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "fifo":
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/zero")
    with pytest.raises(StateError, match="isn't a file"):
        read_file(path)


def test_a_file_far_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 2_000_001)
    with pytest.raises(StateError, match="2 MB large"):
        read_file(tmp_path / "a", limit_bytes=2_000_000)


def test_a_path_through_a_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"")
    with pytest.raises(StateError, match="isn't a folder"):
        read_file(tmp_path / "a" / "b")


def test_a_file_that_may_not_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_args: object) -> int:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("tendtui.store.atomic.os.open", refuse)
    with pytest.raises(StateError, match="may not be read by you"):
        read_file(tmp_path / "a")


def test_a_fault_while_reading_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_args: object) -> bytes:
        raise OSError(errno.EIO, "Input/output error")

    (tmp_path / "a").write_bytes(b"x")
    monkeypatch.setattr("tendtui.store.atomic.os.read", fail)
    with pytest.raises(StateError, match=r"can't be read \(Input/output error\)"):
        read_file(tmp_path / "a")


def test_a_file_changed_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    file = tmp_path / "a"
    file.write_bytes(b"theirs")
    with pytest.raises(ChangedError, match="changed by another program"):
        unless_changed(file, b"read before", b"mine")
    assert file.read_bytes() == b"theirs"


def test_a_save_tried_again_is_fine(tmp_path: Path) -> None:
    file = tmp_path / "a"
    file.write_bytes(b"mine")
    unless_changed(file, b"read before", b"mine")
    assert file.read_bytes() == b"mine"


def test_folders_are_the_users_alone(tmp_path: Path) -> None:
    make_folder(tmp_path / "x" / "y")
    assert stat.S_IMODE((tmp_path / "x" / "y").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "x").stat().st_mode) == 0o700


def test_a_file_in_the_folders_place_is_named(tmp_path: Path) -> None:
    (tmp_path / "x").write_bytes(b"")
    with pytest.raises(StateError, match="it is not a folder"):
        make_folder(tmp_path / "x")
    with pytest.raises(StateError):
        make_folder(tmp_path / "x" / "y")


def test_a_folder_is_listed_by_name_and_a_missing_one_is_empty(tmp_path: Path) -> None:
    for name in ("b", "a"):
        (tmp_path / name).touch()
    assert [entry.name for entry in list_folder(tmp_path)] == ["a", "b"]
    assert list_folder(tmp_path / "none") == []
    with pytest.raises(StateError, match="can't be looked into"):
        list_folder(tmp_path / "a")


def test_a_listing_that_a_signal_interrupts_is_taken_up_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a").touch()
    calls: list[Path] = []
    real = os.scandir

    def once(path: Path) -> object:
        calls.append(path)
        if len(calls) == 1:
            raise InterruptedError
        return real(path)

    monkeypatch.setattr("tendtui.store.atomic.os.scandir", once)
    assert [entry.name for entry in list_folder(tmp_path)] == ["a"]
    assert len(calls) == 2


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP])
def test_a_mount_that_cannot_sync_a_folder_is_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    def refuse(_fd: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("tendtui.store.disk.os.fsync", refuse)
    Disk().sync_folder(tmp_path)


def test_another_fault_of_syncing_a_folder_is_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_fd: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr("tendtui.store.disk.os.fsync", refuse)
    with pytest.raises(OSError, match="Input/output"):
        Disk().sync_folder(tmp_path)
