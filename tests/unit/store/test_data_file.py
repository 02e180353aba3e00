"""The facts that come with the package can all be read."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tendtui.store import data_file
from tendtui.store.data_file import data_names, data_text, read_data


@pytest.mark.parametrize("name", data_names())
def test_every_file_of_facts_can_be_read(name: str) -> None:
    assert read_data(name)
    assert read_data(name) is read_data(name)


def test_a_name_that_is_none_is_an_error() -> None:
    with pytest.raises(FileNotFoundError):
        read_data("none")


@pytest.mark.parametrize("name", data_names())
def test_what_python_keeps_of_a_file_is_what_the_file_says(name: str) -> None:
    assert read_data(name) == tomllib.loads(data_text(f"{name}.toml"))
    read_data.cache_clear()
    assert read_data(name) == tomllib.loads(data_text(f"{name}.toml"))


def test_a_changed_file_is_read_anew_and_a_place_that_takes_nothing_is_fine(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(data_file, "_PLACE", tmp_path)
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    file = tmp_path / "own.toml"
    file.write_text("day = 2026-03-14\n[deep]\nx = [1, 2.5]\n")
    first = data_file.read_data.__wrapped__("own")
    assert data_file.read_data.__wrapped__("own") == first == tomllib.loads(file.read_text())
    kept = tmp_path / "__pycache__"
    assert [path.name.partition(".")[0] for path in kept.iterdir()] == ["own"]
    file.write_text("day = 2026-03-15\n")
    assert data_file.read_data.__wrapped__("own") == tomllib.loads(file.read_text())
    for path in kept.iterdir():
        path.unlink()
    kept.rmdir()
    kept.write_text("in the way")
    assert data_file.read_data.__wrapped__("own") == tomllib.loads(file.read_text())
