"""Older files are brought up step by step, the original kept, and twice is once."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from pathlib import Path

import pytest

from tendtui.errors import StateError
from tendtui.store.migrate import STEPS, Step, is_older, upgrade_file, upgraded
from tendtui.store.toml_read import SCHEMA

OLD = b"# mine\nname = 'x'   # why\n\n[reservoir]\nfull = 60.0   # litres\n"


def _from_1_to_2(table: MutableMapping[str, object]) -> None:
    table["schema"] = 2
    reservoir = table["reservoir"]
    assert isinstance(reservoir, MutableMapping)
    reservoir["full_L"] = reservoir.pop("full")


LATER: Mapping[int, Step] = {**STEPS, 1: _from_1_to_2}


def test_there_is_a_step_from_every_version() -> None:
    assert sorted(STEPS) == list(range(SCHEMA))


def test_steps_follow_each_other_and_comments_stay() -> None:
    new = upgraded(OLD, steps=LATER, to=2)
    assert b"schema = 2" in new
    assert b"full_L = 60.0" in new
    assert b"# mine\nname = 'x'   # why\n" in new
    assert upgraded(new, steps=LATER, to=2) == new
    assert not is_older(upgraded(OLD))


def test_a_file_is_upgraded_once_and_its_original_kept(tmp_path: Path) -> None:
    path = tmp_path / "rack.toml"
    path.write_bytes(OLD)
    kept = upgrade_file(path)
    assert kept is not None
    assert kept.read_bytes() == OLD
    new = path.read_bytes()
    assert upgrade_file(path) is None
    assert path.read_bytes() == new
    assert sorted(p.name for p in tmp_path.iterdir()) == ["rack.toml", "rack.toml.kept-1"]


def test_a_newer_file_and_a_missing_one_are_left(tmp_path: Path) -> None:
    path = tmp_path / "rack.toml"
    assert upgrade_file(path) is None
    path.write_bytes(b"schema = 99\n")
    assert upgrade_file(path) is None
    assert path.read_bytes() == b"schema = 99\n"


def test_a_damaged_file_is_named_and_not_upgraded(tmp_path: Path) -> None:
    path = tmp_path / "rack.toml"
    path.write_bytes(b"name = \n")
    with pytest.raises(StateError, match="can't be read"):
        upgrade_file(path)
    assert path.read_bytes() == b"name = \n"
