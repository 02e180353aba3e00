"""From an empty folder through the set-up into the first fill, and from there to the first feed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendtui.core.event import Change, Poured
from tendtui.core.setup_ask import ask_id
from tendtui.session.session import Outcome, Session
from tests.support.folders import folder_in
from tests.support.setup_data import FIRST

FILL = {
    "fill.ready": "",
    "fill.weight": "1",
    "fill.full": "62",
    "fill.flow": "1",
    "fill.pipes": "5.5",
    "fill.leak": "1",
    "fill.stop": "",
    "fill.stopped": "",
    "fill.room": "1",
    "fill.stands": "1",
    "fill.gurgle": "",
    "fill.brim": "80",
    "fill.marks": "1",
    "fill.conductivity": "0.3",
    "fill.ph": "7.4",
    "fill.temperature": "20",
    "fill.seen": "",
}


class Ticking:
    def __init__(self) -> None:
        self.at = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)

    def now(self) -> datetime:
        self.at += timedelta(seconds=30)
        return self.at


def walked(session: Session, kind: str, given: dict[str, str]) -> Outcome:
    outcome = session.start(kind, by="Ida")
    while outcome.prompt is not None and outcome.prompt.walk == kind:
        key = outcome.prompt.question.key
        typed = given.get(key, given.get(ask_id(key), ""))
        outcome = session.enter(kind, key=key, typed=typed)
    return outcome


def test_a_rack_that_was_never_filled_goes_on_to_its_first_fill_and_feed(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    outcome = walked(session, "setup", dict(FIRST))
    assert outcome.prompt is not None
    assert outcome.prompt.walk == "fill"
    assert session.rack.name == "Attic rack"
    outcome = walked(session, "fill", FILL)
    assert outcome.prompt is not None
    assert outcome.prompt.walk == "dose"
    assert (session.rack.reservoir.full_l, session.rack.reservoir.pipes_l) == (62.0, 5.5)
    again = Session(session.folder, clock=session.clock, by="Bo")
    assert [e.litres for e in again.events if isinstance(e, Poured)] == [67.5]
    assert sum(isinstance(e, Change) for e in again.events) == 1
    assert set(again.state.walks) == {"dose"}


def test_a_rack_that_runs_already_is_written_and_ends_there(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    outcome = walked(session, "setup", {**FIRST, "welcome.state": "2"})
    assert outcome.prompt is None
    assert session.rack.reservoir.full_l == 60.0
