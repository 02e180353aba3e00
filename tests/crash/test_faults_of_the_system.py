"""Full disk, no permission, a fifo in a file's place: one line, the right exit status, nothing changed."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
import tomlkit

from tendtui.errors import StateError
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, read_log
from tendtui.store.state_file import open_state, write_state
from tests.support.children import DONE, child
from tests.support.folders import NOON, folder_in, note, tree
from tests.support.writings import WRITINGS, begin

NOBODY = 65534

LOADED = (tomlkit,)
"""What the program imports late; a test that gives up its rights may not reach the environment any more."""


@pytest.fixture
def open_place() -> Iterator[Path]:
    """Give a folder that another user can get to, unlike pytest's own."""
    with tempfile.TemporaryDirectory(prefix="tend-") as name:
        Path(name).chmod(0o755)
        yield Path(name)


def _refused(folder: Folder, name: str, words: str) -> None:
    with pytest.raises(StateError, match=words) as caught:
        WRITINGS[name].do(folder)
    assert caught.value.file is not None
    assert caught.value.exit_code == 3


@pytest.mark.parametrize("name", WRITINGS)
def test_a_full_disk_is_said_and_nothing_changes(tmp_path: Path, name: str) -> None:
    folder = begin(tmp_path)
    before = tree(folder.path)

    def work() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
        _refused(folder, name, "the disk is full")

    assert child(work) == DONE
    after = tree(folder.path)
    assert {file: data for file, data in after.items() if not file.startswith("kept-")} == before


@pytest.mark.parametrize("name", [name for name in WRITINGS if name != "backup"])
def test_a_folder_that_may_not_be_written_is_said(open_place: Path, name: str) -> None:
    folder = begin(open_place)
    for path in (open_place, *open_place.rglob("*")):
        os.chown(path, NOBODY if os.geteuid() == 0 else -1, -1)
        path.chmod(0o555 if path.is_dir() else 0o444)
    before = tree(folder.path)

    def work() -> None:
        if os.geteuid() == 0:
            os.setuid(NOBODY)
        _refused(folder, name, "can.t be (written|saved)")
        assert read_log(folder).events  # readers need no right to write

    status = child(work)
    for path in (open_place, *open_place.rglob("*")):
        path.chmod(0o755)
    assert status == DONE
    assert tree(folder.path) == before


def test_a_folder_that_may_not_be_read_is_said(open_place: Path) -> None:
    folder = begin(open_place)
    folder.rack.chmod(0)
    os.chown(open_place / "state", NOBODY if os.geteuid() == 0 else -1, -1)

    def work() -> None:
        if os.geteuid() == 0:
            os.setuid(NOBODY)
        from tendtui.store.rack_file import read_rack

        with pytest.raises(StateError, match="may not be read by you"):
            read_rack(folder)

    assert child(work) == DONE


def _called(folder: Folder, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "tendtui", *words],
        env={**os.environ, "TENDTUI_STATE": str(folder.path), "TENDTUI_NOW": NOON.isoformat()},
        capture_output=True,
        text=True,
        timeout=20,
        check=False,
    )


@pytest.mark.parametrize("kind", ["fifo", "folder"])
@pytest.mark.parametrize("file", ["rack.toml", "state.toml", "log/2026-03.toml"])
def test_something_else_in_a_files_place_never_hangs_the_program(
    tmp_path: Path, file: str, kind: str
) -> None:
    folder = folder_in(tmp_path)
    path = folder.path / file
    path.unlink(missing_ok=True)
    if kind == "fifo":
        os.mkfifo(path)
    else:
        path.mkdir()
    told = _called(folder, "check")
    assert told.returncode == 1
    assert f"{path}: wrong: something that isn't a file stands in its place." in told.stdout
    assert told.stderr == ""


def test_an_error_is_one_line_that_names_the_file(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    (folder.log_dir / "2026-03.toml").write_bytes(b"\0\0")
    told = _called(folder, "export")
    assert told.returncode == 3
    assert told.stdout == ""
    assert told.stderr == (
        f"tendtui: {folder.log_dir}/2026-03.toml:1: the file holds only zero bytes, so it is damaged. "
        "Put it back from a copy (tendtui restore), or move it away to begin anew.\n"
    )


def test_an_editor_that_saves_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, [note("a")])
    state, was = open_state(folder)
    folder.state.write_text("schema = 1\n[done]\n")
    with pytest.raises(StateError, match="changed by another program"):
        write_state(folder, state, was=was)
    assert folder.state.read_text() == "schema = 1\n[done]\n"
