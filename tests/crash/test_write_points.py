"""Stopped or failed at every single operation on the disk: the old state or the new, never less."""

from __future__ import annotations

import errno
import shutil
from pathlib import Path

import pytest

from tendtui.core.event import Note
from tendtui.errors import StateError
from tendtui.store.disk import use
from tendtui.store.folder import Folder
from tendtui.store.log_file import append
from tests.support.children import DONE, KILLED, child
from tests.support.faulty_disk import FailingDisk, RecordingDisk, StoppingDisk
from tests.support.folders import LATEST
from tests.support.tally import count
from tests.support.writings import WRITINGS, begin, errors_in, files, kept_everywhere, look


def _copy(begun: Folder, path: Path) -> Folder:
    shutil.copytree(begun.path.parent, path)
    return Folder(path / "state")


def _how_many(begun: Folder, path: Path, name: str) -> int:
    """Do it once undisturbed and give how many operations it takes."""
    disk = RecordingDisk()
    use(disk)
    try:
        WRITINGS[name].do(_copy(begun, path))
    finally:
        use(None)
    return len(disk.ops)


def _works_again(folder: Folder) -> None:
    """A next writer works and leaves no litter."""
    append(folder, [Note(id="after", seq=0, at=LATEST, text="works")])
    assert "after" in look(folder).events
    assert list(folder.path.rglob("*.draft")) == []


@pytest.mark.parametrize("how", ["half", "after"])  # half of what isn't a write is: before it
@pytest.mark.parametrize("name", WRITINGS)
def test_killed_at_any_point_the_old_or_the_new_stands(tmp_path: Path, name: str, how: str) -> None:
    begun = begin(tmp_path / "begun")
    before, old = look(begun), files(begun)
    many = _how_many(begun, tmp_path / "new", name)
    after = look(Folder(tmp_path / "new" / "state"))
    assert many >= 4
    for at in range(many):
        folder = _copy(begun, tmp_path / str(at))

        def work(folder: Folder = folder, at: int = at) -> None:
            use(StoppingDisk(at=at, how=how))
            WRITINGS[name].do(folder)

        assert child(work) == KILLED
        count("points struck: killed in the file layer")
        assert errors_in(folder) == []
        if WRITINGS[name].atomic:
            assert look(folder) in (before, after)
        assert kept_everywhere(folder, old) or look(folder) != before
        WRITINGS[name].do(folder)  # doing it again finishes it
        assert look(folder) == after
        _works_again(folder)


@pytest.mark.parametrize(("number", "for_good"), [(errno.EIO, False), (errno.ENOSPC, True)])
@pytest.mark.parametrize("name", WRITINGS)
def test_failed_at_any_point_it_says_so_and_nothing_is_lost(
    tmp_path: Path, name: str, for_good: bool, number: int
) -> None:
    begun = begin(tmp_path / "begun")
    before = look(begun)
    many = _how_many(begun, tmp_path / "new", name)
    after = look(Folder(tmp_path / "new" / "state"))
    for at in range(many):
        folder = _copy(begun, tmp_path / str(at))
        use(FailingDisk(at=at, number=number, for_good=for_good))
        count("points struck: failed in the file layer")
        try:
            WRITINGS[name].do(folder)
            said = ""
        except StateError as fault:
            said = str(fault)
        finally:
            use(None)
        assert errors_in(folder) == []
        if said:
            assert str(tmp_path) in said  # it names the file
            if WRITINGS[name].atomic:
                assert look(folder) in (before, after)
        else:  # what failed was only a memory that can be made again
            assert look(folder) == after
        WRITINGS[name].do(folder)  # a second try saves it
        assert look(folder) == after
        _works_again(folder)


def test_a_child_that_is_not_killed_ends_well() -> None:
    assert child(lambda: None) == DONE
