"""From an empty folder through the set-up into the first fill, and from there to the first feed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendtui.core.event import Change, Poured, Reading, TaskDone
from tendtui.core.setup_ask import ask_id
from tendtui.session.session import Outcome, Session
from tendtui.session.status_now import status_now
from tendtui.session.today_page import today_page
from tests.support.folders import folder_in
from tests.support.setup_data import FIRST

FILL = {
    "fill.ready": "",
    "fill.checked": "1",
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


def walked(session: Session, kind: str, given: dict[str, str], *, by: str = "Ida") -> Outcome:
    outcome = session.start(kind, by=by)
    while outcome.prompt is not None and outcome.prompt.walk == kind:
        key, until = outcome.prompt.question.key, outcome.prompt.question.until
        assert isinstance(session.clock, Ticking)
        session.clock.at = max(session.clock.at, until or session.clock.at)
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


def test_the_first_fill_waits_for_the_safety_checks_and_stays_on_today_s_page(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    walked(session, "setup", dict(FIRST))
    first = session.resume("fill").prompt
    assert first is not None
    session.enter("fill", key="fill.ready", typed="")
    asked = session.resume("fill").prompt
    assert asked is not None
    assert asked.question.key == "fill.checked"
    assert "A trip switch for people stands ahead of every socket of the rack" in asked.question.before
    outcome = session.enter("fill", key="fill.checked", typed="2")
    assert outcome.prompt is not None
    assert outcome.prompt.walk == "task:safety-first"
    assert "Don't plug anything in" in outcome.said[-1]
    page = today_page(session, "Ida")
    first_line = page.left_open[0]
    assert (first_line.what, first_line.opens, first_line.mark) == ("First fill", "walk:fill", "[!]")
    assert first_line.because == "Not filled: the safety checks before the first start come first."
    assert page.left_open[1].what == "Safety checks before the first start"
    assert walked(session, "fill", FILL).prompt is not None
    assert all(item.opens != "walk:fill" for item in today_page(session, "Ida").left_open)


def test_who_alone_is_named_in_the_set_up_did_the_first_fill_and_its_checks(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    walked(session, "setup", {**FIRST, "rack.people": "Ida", "feeds.count": "0"}, by="")
    walked(session, "fill", FILL, by="")
    logged = [e for e in session.events if isinstance(e, Poured | Change | Reading | TaskDone)]
    assert {event.by for event in logged} == {"Ida"}
    assert len([event for event in logged if isinstance(event, TaskDone)]) >= 5
    due = {item.id for item in status_now(session).due}
    assert not due & {event.task for event in logged if isinstance(event, TaskDone)}


def test_the_first_round_after_plain_water_waits_for_nothing(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    walked(session, "setup", {**FIRST, "feeds.count": "0"})
    now = session.now()
    for event in (
        Change(id="", seq=0, at=now, litres=60.0, reason="first fill"),
        Poured(id="", seq=0, at=now, what="water", litres=65.5),
    ):
        session.record_events((event,))
    assert not status_now(session).mixing
    outcome = session.start("round", by="Ida")
    typed = {"level": "60", "temperature": "20", "ph": "7.4", "conductivity": "0.3"}
    for _each in range(4):
        assert outcome.prompt is not None
        key = outcome.prompt.question.key
        outcome = session.enter("round", key=key, typed=typed.pop(key.split(".")[-1]))
        assert outcome.prompt is not None
        assert outcome.prompt.question.key != key
    assert not {"ph", "conductivity"} & set(typed)


def test_a_rack_that_may_be_too_heavy_is_not_forgotten(tmp_path: Path) -> None:
    session = Session(folder_in(tmp_path, rack=None), clock=Ticking())
    walked(session, "setup", dict(FIRST))
    walked(session, "fill", {**FILL, "fill.weight": "2"})
    line = today_page(session, "Ida").left_open[0]
    assert line.because == "Not filled: nobody is sure that it bears the weight."
