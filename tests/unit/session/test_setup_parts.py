"""A part of the set-up that was left for later: on today's page, walked alone, written down."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.core.today_made import walk_name
from tendtui.errors import RefusedError
from tendtui.session.clock import FixedClock
from tendtui.session.session import Session
from tests.support.folders import NOON, folder_in, note


def session_in(folder: Path) -> Session:
    return Session(folder_in(folder), clock=FixedClock(datetime(2026, 6, 20, 9, tzinfo=UTC)), by="Ines")


def test_the_brim_is_asked_for_before_the_pump_off_test_and_written_to_the_rack(tmp_path: Path) -> None:
    session = session_in(tmp_path)
    session.record_events([note("n", at=NOON)])
    assert "walk:setup:brim" in [item.opens for item in session.today().due]
    outcome = session.start("setup:brim", by="Ines")
    assert outcome.prompt is not None
    assert outcome.prompt.question.key == "reservoir.brim"
    session.enter("setup:brim", key="reservoir.brim", typed="66")
    session.enter("setup:brim", key="edit.write", typed="")
    assert session.rack.reservoir.brim_l == 66.0
    assert "# a note of the owner's" in session.folder.rack.read_text(encoding="utf-8")
    assert "walk:setup:brim" not in [item.opens for item in session.today().due]


def test_a_part_left_open_has_the_set_ups_name() -> None:
    assert walk_name("setup:brim") == walk_name("setup")


def test_describing_is_the_growers(tmp_path: Path) -> None:
    with pytest.raises(RefusedError, match="for the grower"):
        session_in(tmp_path).start("setup:brim", by="Bo")
