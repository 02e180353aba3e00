"""Killed, failed or interrupted at the system calls themselves, where `strace` can do it."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tendtui.store.folder import Folder
from tendtui.store.log_file import read_log
from tendtui.value import replace
from tests.support.folders import LATEST, RACK, folder_in
from tests.support.tally import count
from tests.support.writings import begin, errors_in, look

ROOT = Path(__file__).parents[2]
WRITER = str(Path(__file__).parent / "many_notes.py")
CALLS = ("openat", "write", "fsync", "close", "rename", "flock", "unlink", "mkdir", "ftruncate", "pwrite64")


def _strace_works() -> bool:
    if shutil.which("strace") is None:
        return False
    tried = subprocess.run(["strace", "-o", "/dev/null", "true"], capture_output=True, check=False)
    return tried.returncode == 0


pytestmark = pytest.mark.skipif(not _strace_works(), reason="strace can't trace here")


def _paths(folder: Folder) -> list[str]:
    names = [folder.path, folder.log_dir, folder.lock, folder.index, folder.log_dir / "2026-03.toml"]
    drafts = [folder.log_dir / ".2026-03.toml.draft", folder.log_dir / "..index.draft"]
    return [word for path in (*names, *drafts) for word in ("-P", str(path))]


def _struck(folder: Folder, call: str, what: str, when: int, trace: Path) -> tuple[int, set[str], str]:
    """Write two notes, striking at one system call; give the status, what was confirmed, what was said."""
    inject = f"inject={call}:{what}:when={when}"
    tracing = ["strace", "-qq", "-o", str(trace), *_paths(folder), "-e", f"trace={call}", "-e", inject]
    ran = subprocess.run(
        [*tracing, sys.executable, WRITER, str(folder.path), "n", "2"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    return ran.returncode, set(ran.stdout.split()), ran.stderr


def _strikes(tmp_path: Path, call: str, what: str) -> Iterator[tuple[Folder, int, set[str], str]]:
    """Strike at the first, second, … such call on the folder, until one run has no more of them."""
    for when in range(1, 100):
        folder = folder_in(tmp_path / f"{call}-{when}")
        trace = tmp_path / "trace"
        status, confirmed, said = _struck(folder, call, what, when, trace)
        if "INJECTED" not in trace.read_text() and "SIGKILL" not in trace.read_text():
            assert (status, len(confirmed)) == (0, 2)
            return
        count(f"points struck: {'killed' if 'KILL' in what else 'failed'} at a system call")
        yield folder, status, confirmed, said
    raise AssertionError("it never ends")


def _holds(folder: Folder, confirmed: set[str]) -> None:
    assert errors_in(folder) == []
    there = {event.id for event in read_log(folder).events}
    assert confirmed <= there
    assert there - confirmed <= {f"n-{len(confirmed)}"}  # at most the one that was under way


def _kills(tmp_path: Path, call: str) -> int:
    struck = 0
    for folder, status, confirmed, _said in _strikes(tmp_path, call, "signal=KILL"):
        assert status in (-signal.SIGKILL, 128 + signal.SIGKILL)
        _holds(folder, confirmed)
        struck += 1
    return struck


def test_killed_at_each_rename_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    assert _kills(tmp_path, "rename") == 4  # two months' renames, two of the index


@pytest.mark.slow
@pytest.mark.parametrize("call", CALLS)
def test_killed_at_each_system_call_nothing_confirmed_is_lost(tmp_path: Path, call: str) -> None:
    struck = _kills(tmp_path, call)
    assert struck >= 2 or call in ("unlink", "mkdir")


@pytest.mark.slow
@pytest.mark.parametrize("call", ["openat", "write", "fsync", "rename"])
@pytest.mark.parametrize("number", ["EIO", "ENOSPC"])
def test_failed_at_each_system_call_nothing_confirmed_is_lost(tmp_path: Path, call: str, number: str) -> None:
    struck = 0
    for folder, status, confirmed, said in _strikes(tmp_path, call, f"error={number}"):
        _holds(folder, confirmed)
        assert status == 0 or "StateError" in said
        struck += 1
    assert struck >= 2


@pytest.mark.slow
@pytest.mark.parametrize("call", ["openat", "write", "fsync", "flock"])
def test_an_interrupted_call_is_taken_up_again(tmp_path: Path, call: str) -> None:
    for folder, status, confirmed, said in _strikes(tmp_path, call, "error=EINTR"):
        assert (status, confirmed, said) == (0, {"n-0", "n-1"}, "")
        _holds(folder, confirmed)


COMMANDS: dict[str, list[str]] = {
    "record": ["record", "level=40", "ph=6.0", "poured.Grow 1=5", "--by", "Ines"],
    "tasks": ["tasks", "--done", "clean-pump-strainer"],
    "setup": ["setup", "--from", "new.toml"],
    "backup": ["backup", "copy.tar.gz"],
    "restore": ["restore", "copy.tar.gz"],
}


def _called(place: Path, name: str, tracing: list[str]) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TENDTUI_STATE": str(place / "state")}
    return subprocess.run(
        [*tracing, sys.executable, "-m", "tendtui", *COMMANDS[name]],
        cwd=place,
        env={**env, "TENDTUI_NOW": LATEST.isoformat(), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def _seen(place: Path) -> tuple[int, object, str]:
    """Give what a reader sees, without ids, which are new at every call.

    When tasks were last done is left out too: it follows from the log, which is written first.
    """
    view = look(Folder(place / "state"))
    return len(view.events), replace(view.state, done={}), view.rack


def _known_task(place: Path) -> str:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TENDTUI_STATE": str(place / "state")}
    told = subprocess.run(
        [sys.executable, "-m", "tendtui", "tasks", "--json"],
        env=env,
        cwd=place,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    return str(json.loads(told.stdout)["tasks"][0]["id"])


@pytest.mark.slow
@pytest.mark.parametrize("call", ["openat", "write", "fsync", "rename"])
@pytest.mark.parametrize("name", COMMANDS)
def test_every_writing_command_killed_at_each_system_call(tmp_path: Path, name: str, call: str) -> None:
    begin(tmp_path / "begun")
    (tmp_path / "begun" / "new.toml").write_text(RACK.replace("Cellar stair", "New"))
    COMMANDS["tasks"][-1] = _known_task(tmp_path / "begun")
    before = _seen(tmp_path / "begun")
    shutil.copytree(tmp_path / "begun", tmp_path / "new")
    assert _called(tmp_path / "new", name, []).returncode == 0
    after = _seen(tmp_path / "new")
    for when in range(1, 200):
        place = tmp_path / str(when)
        shutil.copytree(tmp_path / "begun", place)
        trace = tmp_path / "trace"
        files = [
            place / "state",
            *(place / "state").rglob("*"),
            place / "copy.tar.gz",
            place / ".copy.tar.gz.draft",
        ]
        drafts = [path.with_name(f".{path.name}.draft") for path in files]
        paths = [word for path in (*files, *drafts) for word in ("-P", str(path))]
        inject = f"inject={call}:signal=KILL:when={when}"
        tracing = ["strace", "-f", "-qq", "-o", str(trace), *paths, "-e", f"trace={call}", "-e", inject]
        ran = _called(place, name, tracing)
        if "SIGKILL" not in trace.read_text():
            assert ran.returncode == 0
            assert when > 1
            return
        count("points struck: a command killed at a system call")
        folder = Folder(place / "state")
        assert errors_in(folder) == []
        if name != "restore":
            assert _seen(place) in (before, after)
        assert _called(place, name, []).returncode == 0  # the next start works
        assert list(place.rglob("*.draft")) == []
    raise AssertionError("it never ends")
