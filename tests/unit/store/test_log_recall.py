"""What is kept of the log only saves reading it: with it, without it, or with it spoilt, the same is seen."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Change, Event, Note, Plants, TaskDone
from tendtui.store.folder import Folder
from tendtui.store.log_file import append, earlier_events, read_log
from tendtui.store.log_memory import read_memory
from tendtui.value import replace
from tests.support.folders import NOON, days, folder_in, note

SINCE = NOON - timedelta(days=150)
MINT = Plants(id="mint", seq=0, at=NOON - timedelta(days=400), act="sow", crop="mint", count=4)
STOP = TaskDone(
    id="stop",
    seq=0,
    at=NOON - timedelta(days=200),
    task="plugs",
    outcome="found",
    text="wet",
    severity="stop",
)


def seen(folder: Folder) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    log = read_log(folder, since=SINCE)
    return log.lasting, log.events


def unaided(folder: Folder) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    kept = folder.memory.read_bytes()
    folder.memory.unlink()
    found = seen(folder)
    folder.memory.write_bytes(kept)
    return found


@pytest.fixture
def years(tmp_path: Path) -> Folder:
    """Two years of log, of which something was kept."""
    folder = folder_in(tmp_path)
    append(folder, days(NOON - timedelta(days=730), 720))
    append(folder, (MINT, STOP))
    return folder


def test_what_was_kept_gives_what_the_files_hold(years: Folder) -> None:
    assert len(read_memory(years).months) == 7
    lasting, events = seen(years)
    assert [event.id for event in lasting] == ["mint", "stop"]
    assert len(events) == 2 * 140
    assert (lasting, events) == unaided(years)


def test_what_comes_after_is_seen_with_what_was_kept(years: Folder) -> None:
    kept = years.memory.read_bytes()
    append(years, (note("new"), Change(id="c", seq=0, at=NOON)))
    assert years.memory.read_bytes() == kept
    assert [event.id for event in seen(years)[1]][-2:] == ["new", "c"]
    assert seen(years) == unaided(years)


def by_hand_in_a_new_month(folder: Folder) -> None:
    path = folder.log_dir / "2026-02.toml"
    path.write_bytes(path.read_bytes().replace(b"ph = 6.1", b"ph = 6.2"))


def by_hand_in_an_old_month(folder: Folder) -> None:
    path = folder.log_dir / "2025-02.toml"
    path.write_bytes(path.read_bytes().replace(b'crop = "mint"', b'crop = "dill"') + b"\n")


def an_old_month_is_gone(folder: Folder) -> None:
    (folder.log_dir / "2025-02.toml").unlink()


def a_month_is_cut_short(folder: Folder) -> None:
    path = folder.log_dir / "2026-02.toml"
    data = path.read_bytes()
    path.write_bytes(data[: data.index(b"[[", len(data) // 2)])


def an_old_event_is_taken_back(folder: Folder) -> None:
    append(folder, (Note(id="n", seq=0, at=STOP.at, text="taken back", replaces="stop"),))


def an_old_event_is_taken_back_today(folder: Folder) -> None:
    append(folder, (Note(id="n", seq=0, at=NOON, text="taken back", replaces="stop"),))


def an_old_event_is_corrected(folder: Folder) -> None:
    append(folder, (replace(MINT, id="m", count=2, replaces="mint"),))


def a_sync_leaves_a_copy(folder: Folder) -> None:
    name = folder.log_dir / "2025-02.toml"
    text = name.read_text().replace('id = "mint"', 'id = "mint-2"')
    name.with_name("2025-02 (conflict).toml").write_text(text)


CHANGES = (
    by_hand_in_a_new_month,
    by_hand_in_an_old_month,
    an_old_month_is_gone,
    a_month_is_cut_short,
    an_old_event_is_taken_back,
    an_old_event_is_taken_back_today,
    an_old_event_is_corrected,
    a_sync_leaves_a_copy,
)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_a_log_changed_underneath_is_read_anew(years: Folder, change: Callable[[Folder], None]) -> None:
    before = seen(years)
    change(years)
    assert seen(years) != before
    assert seen(years) == unaided(years)
    append(years, days(NOON, 40))
    assert seen(years) == unaided(years)


def test_anything_odd_about_it_and_it_is_not_believed(years: Folder) -> None:
    true, kept = unaided(years), years.memory.read_bytes()
    for spoilt in (
        b"",
        b"\0" * 100,
        kept[:-1],
        kept[: len(kept) // 2],
        kept[:-9] + b"x" + kept[-8:],
        b"a\nb",
    ):
        years.memory.write_bytes(spoilt)
        assert read_memory(years).months == {}
        assert seen(years) == true


def test_a_damaged_month_of_old_does_not_stop_today(years: Folder) -> None:
    (years.log_dir / "2025-03.toml").write_bytes(b"[[plants]]\nnonsense\n")
    assert [event.id for event in seen(years)[0]] == ["mint", "stop"]


def test_reading_writes_nothing(years: Folder) -> None:
    years.memory.unlink()
    seen(years)
    assert not years.memory.exists()


def test_a_small_log_keeps_nothing_beside_it(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(folder, days(NOON, 5))
    assert not folder.memory.exists()


def test_the_diary_goes_on_over_a_pause_to_its_beginning(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    append(
        folder, (note("first", at=NOON - timedelta(days=900)), note("later", at=NOON - timedelta(days=20)))
    )
    reach = timedelta(days=150)
    found = earlier_events(folder, NOON, reach=reach, outbox=())
    assert [event.id for event in found] == ["later"]
    found = earlier_events(folder, found[0].at, reach=reach, outbox=())
    assert [event.id for event in found] == ["first"]
    assert earlier_events(folder, found[0].at, reach=reach, outbox=()) == ()
