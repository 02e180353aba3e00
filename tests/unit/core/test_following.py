"""What comes next, and when."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Event, Note, Poured, Reading, TaskDone
from tendtui.core.role import HELD, PUT_OFF
from tendtui.core.walk import Walk
from tendtui.session.following import following_lines
from tendtui.session.scripts import Needs
from tendtui.session.session import Session
from tests.support.folders import folder_in
from tests.support.walker import open_at

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
ROUND = Reading(id="", seq=0, at=NOW - timedelta(minutes=30), by="Ines", level_l=44.0, ph=6.0, source="round")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    session, _clock = open_at(folder_in(tmp_path), NOW)
    return session


def lines(session: Session, *events: Event, by: str = "Ines") -> tuple[str, ...]:
    session.record_events(events)
    needs = Needs(
        walk=Walk(kind="leaving", id="w", began=NOW, by=by),
        rack=session.rack,
        events=session.events,
        state=session.state,
        now=NOW,
        done=session.last_done(),
    )
    return following_lines(needs)


def test_the_next_round_is_tomorrow(session: Session) -> None:
    assert lines(session, ROUND)[-1] == "Next round: tomorrow."


def test_what_was_poured_after_the_reading_is_to_be_read_today(session: Session) -> None:
    water = Poured(id="", seq=0, at=NOW - timedelta(minutes=5), what="water", litres=4.0)
    assert lines(session, ROUND, water)[0] == "Next, today: read again pH; today's page asks for it."


def test_what_is_held_and_put_off_is_said_to_whoever_leaves(session: Session) -> None:
    held = Note(id="", seq=0, at=NOW - timedelta(minutes=4), by="Zoe", text="pour 5 mL of Grow 1", about=HELD)
    off = Note(id="", seq=0, at=NOW - timedelta(minutes=9), by="Ines", text="later", about=PUT_OFF)
    said = lines(session, ROUND, off, held, by="Zoe")
    own = "For Ines or Joss, not for you: pour 5 mL of Grow 1. Leave the bottles shut."
    assert own in said
    assert "The grower reads first: pour 5 mL of Grow 1." in lines(session, ROUND, off, held, by="Ines")
    assert "Change day waits: put off by Ines." in said


def test_what_was_found_says_when_it_is_looked_at_again(session: Session) -> None:
    found = TaskDone(
        id="",
        seq=0,
        at=NOW - timedelta(minutes=9),
        task="drip-loops",
        outcome="found",
        text="sockets and cords: cord hangs wrong",
        severity="week",
        due=NOW + timedelta(days=7),
    )
    said = lines(session, ROUND, found)
    assert "Still open, look again Sat 21 Mar 12:00: sockets and cords: cord hangs wrong." in said
