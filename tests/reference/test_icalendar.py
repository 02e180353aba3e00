"""The calendar read by an independent parser, and held to RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest

from tendtui.cli.main import main
from tendtui.core.calendar_text import CalendarEntry, calendar_text
from tendtui.value import replace
from tests.support.folders import NOON, RACK, folder_in

NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


def entry(**changed: object) -> CalendarEntry:
    plain = CalendarEntry(uid="a@b", day=date(2026, 3, 20), summary="Rinse the screens")
    return replace(plain, **changed)


def read_in(text: str) -> Any:  # the parser's own values are unions of some thirty kinds
    return icalendar.Calendar.from_ical(text)


def printed(
    arguments: list[str],
    path: Path,
    now: datetime,
    patch: pytest.MonkeyPatch,
    read: pytest.CaptureFixture[str],
) -> Any:
    patch.setenv("TENDTUI_STATE", str(path))
    patch.setenv("TENDTUI_NOW", now.isoformat())
    assert main(["calendar", *arguments]) == 0
    return read_in(read.readouterr().out)


def test_every_line_is_folded_at_75_octets_and_ended_by_crlf() -> None:
    # RFC 5545, section 3.1
    text = calendar_text([entry(summary="Wärmflasche – " * 20)], name="Süd", now=NOW)
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    (event,) = read_in(text).walk("VEVENT")
    assert event["SUMMARY"] == "Wärmflasche – " * 20


@pytest.mark.parametrize(
    "words",
    ["a, b; c", "back\\slash \\n", "two\nlines", "END:VEVENT\r\nBEGIN:VEVENT", "semi;colon:and,comma"],
)
def test_text_comes_back_as_it_was(words: str) -> None:
    # RFC 5545, section 3.3.11
    text = calendar_text([entry(description=words, summary="x")], name="n", now=NOW)
    (event,) = read_in(text).walk("VEVENT")
    assert event["DESCRIPTION"] == words.replace("\r\n", "\n")


def test_control_characters_are_left_out() -> None:
    assert "\x1b" not in calendar_text([entry(summary="\x1b[31mred")], name="\x07", now=NOW)


def test_what_the_standard_requires_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # RFC 5545, sections 3.6 (PRODID, VERSION), 3.6.1 (UID, DTSTAMP, DTSTART once each)
    found = printed([], folder_in(tmp_path).path, NOON, monkeypatch, capsys)
    assert found["VERSION"] == "2.0"
    assert "PRODID" in found
    events = found.walk("VEVENT")
    assert len(events) > 10
    assert not found.errors
    for event in events:
        assert not event.errors
        assert event["DTSTAMP"].dt == NOON
        assert type(event["DTSTART"].dt) is date
        assert event["DTSTART"].dt >= NOON.date()
    assert len({event["UID"] for event in events}) == len(events)


def test_read_in_again_it_updates_and_doubles_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder_in(tmp_path).path
    kept = {str(e["UID"]): e for e in printed([], path, NOON, monkeypatch, capsys).walk("VEVENT")}
    later = NOON + timedelta(days=2)
    again = {str(e["UID"]): e for e in printed([], path, later, monkeypatch, capsys).walk("VEVENT")}
    assert set(kept) == set(again)
    for uid, event in again.items():
        assert int(event["SEQUENCE"]) > int(kept[uid]["SEQUENCE"])
        assert event["LAST-MODIFIED"].dt > kept[uid]["LAST-MODIFIED"].dt


def test_two_racks_never_share_an_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    one, other = folder_in(tmp_path / "1"), folder_in(tmp_path / "2", rack=RACK.replace("Cellar", "Attic"))
    uids = [
        {str(e["UID"]) for e in printed([], folder.path, NOON, monkeypatch, capsys).walk("VEVENT")}
        for folder in (one, other)
    ]
    assert not uids[0] & uids[1]


def test_as_to_dos_and_without_the_daily_ones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder_in(tmp_path).path
    found = printed(["--todo", "--no-daily"], path, NOON, monkeypatch, capsys)
    assert not found.walk("VEVENT")
    todos = found.walk("VTODO")
    assert todos
    assert all(type(todo["DUE"].dt) is date for todo in todos)
    assert "daily" not in {todo["CATEGORIES"].to_ical().decode() for todo in todos}


def test_a_few_entries_stand_for_all_that_is_walked_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody keeps a calendar of eighty entries: the round is one, and so is each group of checks."""
    path = folder_in(tmp_path).path
    every = printed([], path, NOON, monkeypatch, capsys).walk("VEVENT")
    few = printed(["--few"], path, NOON, monkeypatch, capsys).walk("VEVENT")
    said = [str(event["SUMMARY"]) for event in few]
    assert len(few) < len(every) / 2
    assert said.count("The round") == said.count("Safety look") == 1
    assert "Water first, then acid or alkali, slowly" not in said  # a step of change day
    (look,) = (event for event in few if event["SUMMARY"] == "Safety look")
    assert "Floor, hands and shoes dry" in str(look["DESCRIPTION"])
    assert len({str(event["UID"]) for event in few}) == len(few)
