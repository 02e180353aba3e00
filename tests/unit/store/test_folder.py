"""Where the state folder is."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from tendtui.store.folder import Folder, find_folder, month_name


def test_the_option_comes_first_then_the_environment_then_the_platform(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TENDTUI_STATE", str(tmp_path / "env"))
    assert find_folder(str(tmp_path / "option")) == tmp_path / "option"
    assert find_folder(None) == tmp_path / "env"
    monkeypatch.delenv("TENDTUI_STATE")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    assert find_folder(None).name == "tendtui"
    assert find_folder(None).is_relative_to(tmp_path)


def test_a_relative_folder_stays_where_it_was_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert find_folder("shed") == tmp_path / "shed"
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    assert find_folder("~/shed") == tmp_path / "home" / "shed"


def test_a_month_is_that_of_the_moment_in_its_own_offset() -> None:
    late = datetime(2026, 11, 30, 23, 30, tzinfo=timezone(timedelta(hours=-8)))
    assert month_name(late) == "2026-11.toml"
    assert Folder(Path("s")).month(late) == Path("s/log/2026-11.toml")
