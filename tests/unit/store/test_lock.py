"""One writer and one screen at a time; who waits is told who holds it."""

from __future__ import annotations

import fcntl
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tendtui.errors import HeldError, StateError
from tendtui.store.folder import Folder
from tendtui.store.lock import Holder, claim, holder, terminal_name, write_lock

HOLD = """
import sys, pathlib
from tendtui.store.folder import Folder
from tendtui.store.lock import claim, write_lock
folder = Folder(pathlib.Path(sys.argv[1]))
if sys.argv[2] == "claim":
    kept = claim(folder, who="Ines")
    print("held", flush=True); sys.stdin.read()
else:
    with write_lock(folder, who="Ines"):
        print("held", flush=True); sys.stdin.read()
"""


@contextmanager
def held_elsewhere(folder: Folder, how: str) -> Iterator[None]:
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(folder.path), how], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdin is not None
        assert other.stdout is not None
        try:
            assert other.stdout.readline() == b"held\n"
            yield
        finally:
            other.stdin.close()


def test_a_second_writer_is_told_who_holds_the_folder(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    with (
        held_elsewhere(folder, "lock"),
        pytest.raises(HeldError, match=r"in use \(Ines, since 20\d\d-") as caught,
        write_lock(folder, wait_s=0.05),
    ):
        pass
    assert caught.value.exit_code == 4


def test_a_writer_waits_its_turn(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    order: list[str] = []
    with held_elsewhere(folder, "lock"):

        def wait() -> None:
            with write_lock(folder, wait_s=8):
                order.append("second")

        waiting = threading.Thread(target=wait)
        waiting.start()
        order.append("first")
    waiting.join(8)
    assert order == ["first", "second"]


def test_the_lock_may_be_taken_inside_itself(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    with write_lock(folder), write_lock(folder, wait_s=0):
        pass
    fd = os.open(folder.lock, os.O_RDWR)
    fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)  # free again
    os.close(fd)


def test_another_thread_of_the_same_program_waits_too(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    refused: list[HeldError] = []

    def attempt() -> None:
        try:
            with write_lock(folder, wait_s=0.02):
                pass
        except HeldError as fault:
            refused.append(fault)

    with write_lock(folder):
        other = threading.Thread(target=attempt)
        other.start()
        other.join()
    assert len(refused) == 1


def test_a_lock_file_left_behind_holds_nothing(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.lock.write_text("somebody\n1\nsomewhere\n")
    with write_lock(folder, wait_s=0):
        pass


def test_a_writer_clears_drafts_that_a_stopped_one_left(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.log_dir.mkdir()
    for left in (folder.path / ".state.toml.draft", folder.log_dir / ".2026-03.toml.draft"):
        left.write_text("half")
    with write_lock(folder):
        pass
    assert list(tmp_path.rglob("*.draft")) == []


def test_a_second_screen_is_told_who_since_when_and_where(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    assert holder(folder) is None
    with held_elsewhere(folder, "claim"):
        by = holder(folder)
        assert by is not None
        assert (by.who, by.where.split()[0]) == ("Ines", os.uname().nodename)
        assert by.since is not None
        assert by.process > 0
        with pytest.raises(HeldError, match="Ines, since"):
            claim(folder, who="Joss")
        with write_lock(folder, wait_s=0):  # a screen does not stop `record`
            pass
    assert holder(folder) is None


def test_a_claim_can_be_let_go_of(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    mine = claim(folder, who="Ines")
    mine.release()
    mine.release()
    claim(folder, who="Joss").release()


def test_looking_at_a_claim_disturbs_nobody(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    claim(folder).release()
    before = folder.claim.read_bytes()
    for _n in range(20):
        assert holder(folder) is None
    assert folder.claim.read_bytes() == before


def test_words_in_the_lock_file_cannot_reach_the_terminal(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "s")
    mine = claim(folder)
    folder.claim.write_bytes(b"\x1b[31mred\xff\nnot a number\n\x07there\n")
    by = holder(folder)
    assert by is not None
    assert "\x1b" not in str(by)
    assert "\x07" not in str(by)
    assert by.process == 0
    mine.release()


def test_a_holder_of_whom_nothing_is_known_is_named_all_the_same() -> None:
    assert str(Holder()) == "another tendtui"


def test_a_disk_that_cannot_lock_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import errno

    def no_locks(_fd: int, _how: int) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("tendtui.store.lock.fcntl.flock", no_locks)
    with pytest.raises(StateError, match="can't lock files"), write_lock(Folder(tmp_path)):
        pass


def test_a_folder_in_the_locks_place_is_named(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.lock.mkdir()
    with pytest.raises(StateError, match="can't be written"), write_lock(folder):
        pass


def test_a_pane_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TMUX_PANE", "%3")
    assert "tmux %3" in terminal_name()
    monkeypatch.delenv("TMUX_PANE")
    monkeypatch.setenv("STY", "41.shed")
    assert "screen 41.shed" in terminal_name()


def test_the_terminal_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tendtui.store.lock.os.ttyname", lambda _fd: "/dev/pts/7")
    assert "pts/7" in terminal_name()


def test_a_claim_whose_file_cannot_be_read_is_still_a_claim(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    mine = claim(folder)
    folder.claim.unlink()
    os.mkfifo(folder.claim)
    with pytest.raises(HeldError, match="another tendtui"):
        raise_held(folder)
    mine.release()


def raise_held(folder: Folder) -> None:
    """Ask for the claim while a fifo in its place is held."""
    fd = os.open(folder.claim, os.O_RDWR)
    fcntl.flock(fd, fcntl.LOCK_EX)
    try:
        claim(folder)
    finally:
        os.close(fd)


def test_a_folder_that_cannot_be_listed_stops_no_writer(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    folder.log_dir.write_text("")
    with write_lock(folder):
        pass
