"""What the program writes is for its user's eyes alone."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from tendtui.store.folder import Folder
from tendtui.store.log_file import append
from tendtui.store.rack_file import install_rack
from tests.support.folders import RACK, note
from tests.support.writings import WRITINGS, begin


def _open_to_others(path: Path) -> list[str]:
    return [
        str(found.relative_to(path))
        for found in (path, *path.rglob("*"))
        if stat.S_IMODE(found.lstat().st_mode) & 0o077
    ]


def test_a_new_folder_is_closed_to_others_whatever_the_umask(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        folder = Folder(tmp_path / "a" / "state")
        install_rack(folder, RACK.encode())
        append(folder, [note("a")])
    finally:
        os.umask(before)
    assert _open_to_others(tmp_path / "a") == []


@pytest.mark.parametrize("name", WRITINGS)
def test_every_file_written_is_closed_to_others(tmp_path: Path, name: str) -> None:
    folder = begin(tmp_path)
    for path in (folder.path, *folder.path.rglob("*")):
        path.chmod(0o700 if path.is_dir() else 0o600)
    before = os.umask(0)
    try:
        WRITINGS[name].do(folder)
    finally:
        os.umask(before)
    assert _open_to_others(folder.path) == []
    assert stat.S_IMODE((tmp_path / "copy.tar.gz").stat().st_mode) == 0o600
