"""Spoilt files: a line and what to do, never a traceback, a hang or a changed byte."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.errors import RefusedError, StateError
from tendtui.store.check import check_folder
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, read_log
from tendtui.store.rack_file import edit_rack, install_rack, read_rack
from tendtui.store.state_file import open_state, write_state
from tests.support.folders import NOON, RACK, days, folder_in, note, tree
from tests.support.mutations import mutations
from tests.support.tally import count
from tests.unit.store.test_state_file import STATE

LONG = int(os.environ.get("TENDTUI_LONG") or 1)
FILES = ("rack.toml", "state.toml", "log/2026-03.toml")


@contextmanager
def within(seconds: int) -> Iterator[None]:
    """Turn a hang into a failure."""

    def ring(_number: int, _frame: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def _full(path: Path) -> Folder:
    folder = folder_in(path)
    append(folder, days(NOON, 6))
    write_state(folder, STATE, was=None)
    return folder


def _attempts(folder: Folder) -> tuple[Callable[[], object], ...]:
    def save() -> object:
        state, was = open_state(folder)
        return write_state(folder, state, was=was)

    return (
        lambda: read_rack(folder),
        lambda: read_log(folder),
        lambda: edit_rack(folder, {"reservoir.least_L": 20.0}),
        save,
        lambda: append(folder, [note("new", at=NOON + timedelta(hours=1))]),
    )


def _try(attempt: Callable[[], object]) -> StateError | RefusedError | None:
    try:
        attempt()
    except (StateError, RefusedError) as fault:
        return fault
    return None


def _survives(folder: Folder, file: str, spoilt: bytes) -> bool:
    """Read and write beside a spoilt file; give whether anybody refused it."""
    path = folder.path / file
    path.write_bytes(spoilt)
    for finding in check_folder(folder, now=NOON + timedelta(days=9)):
        assert finding.what
        assert finding.do
    assert path.read_bytes() == spoilt
    refused = False
    for attempt in _attempts(folder):
        before = tree(folder.path)
        fault = _try(attempt)
        after = tree(folder.path)
        if fault is None:
            grown = after["log/2026-03.toml"]
            assert grown.startswith(before["log/2026-03.toml"])
            continue
        refused = True
        assert fault.what
        assert str(fault).isprintable()
        assert after == before
    return refused


def _run(tmp_path: Path, file: str, many: int, seed: int) -> None:
    folder = _full(tmp_path)
    sound = tree(folder.path)
    refused = 0
    for spoilt in mutations(sound[file], many, seed=seed):
        for name, data in sound.items():
            (folder.path / name).write_bytes(data)
        with within(10):
            refused += _survives(folder, file, spoilt)
        count("files mutated")
    assert many * 0.3 < refused < many  # some were harmless, most were not


@pytest.mark.parametrize("file", FILES)
def test_fifty_spoilt_files_change_nothing(tmp_path: Path, file: str) -> None:
    _run(tmp_path, file, 52, seed=7)


@pytest.mark.slow
@pytest.mark.parametrize("file", FILES)
def test_a_thousand_spoilt_files_change_nothing(tmp_path: Path, file: str) -> None:
    _run(tmp_path, file, 350 * LONG, seed=20260314)


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\0" * 4096,
        b"\xef\xbb\xbf" + RACK.encode(),
        b"a = " + b"[" * 100_000,
        b"a." * 20_000 + b"b = 1\n",
    ],
    ids=["empty", "nul", "bom", "nested", "dotted"],
)
def test_damage_is_never_taken_for_no_data_yet(tmp_path: Path, file: str, data: bytes) -> None:
    folder = _full(tmp_path)
    (folder.path / file).write_bytes(data)
    with within(10):
        wrong = [f for f in check_folder(folder, now=NOON + timedelta(days=9)) if f.severity == "error"]
    assert [(f.file, f.line) for f in wrong][:1] == [(str(folder.path / file), 1)]


@pytest.mark.parametrize("file", FILES)
def test_ten_megabytes_are_refused_at_once(tmp_path: Path, file: str) -> None:
    folder = _full(tmp_path)
    (folder.path / file).write_bytes(b"# nothing\n" * 1_000_000)
    with within(2):
        found = check_folder(folder, now=NOON + timedelta(days=9))
    assert any("10 MB large" in finding.what for finding in found)


@pytest.mark.slow
def test_a_month_just_under_the_limit_does_not_hang(tmp_path: Path) -> None:
    folder = _full(tmp_path)
    for line in (b"a = 1\n", b"[a]\nb.c = [1, 2]\n", b"x" * 200 + b" = {a = 1}\n"):
        (folder.log_dir / "2026-03.toml").write_bytes(b"schema = 1\n" + line * (8_000_000 // len(line)))
        with within(60):
            assert _try(lambda: read_log(folder)) is not None


def test_a_rack_that_is_no_rack_is_never_installed(tmp_path: Path) -> None:
    folder = _full(tmp_path)
    before = tree(folder.path)
    for spoilt in mutations(RACK.encode(), 60, seed=3):
        with within(10):
            fault = _try(lambda spoilt=spoilt: install_rack(folder, spoilt))  # type: ignore[misc]
        if fault is None:
            assert folder.rack.read_bytes() == spoilt
            folder.rack.write_bytes(before["rack.toml"])
    after = tree(folder.path)
    assert {name: data for name, data in after.items() if ".kept-" not in name} == before
