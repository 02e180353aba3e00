"""A stop finding raised, barring, and cleared; change day interrupted twice; tasks counted once."""

from __future__ import annotations

import errno
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Change, TaskDone
from tendtui.core.finding_follow import stop_findings
from tendtui.errors import RefusedError, StateError
from tendtui.session.clock import FixedClock
from tendtui.session.knowledge import slow_list_of
from tendtui.session.session import Outcome, Session
from tendtui.session.status_now import status_now
from tendtui.session.tasks_done import log_done
from tendtui.store.disk import Disk, use
from tests.support.folders import folder_in


class Ticking:
    def __init__(self) -> None:
        self.at = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)

    def now(self) -> datetime:
        self.at += timedelta(seconds=30)
        return self.at


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session(folder_in(tmp_path), clock=Ticking(), by="Ines")


def again(session: Session) -> Session:
    """Open the same folder as a new run of the program would."""
    return Session(session.folder, clock=session.clock, by="Joss")


def key_of(outcome: Outcome) -> str:
    return "" if outcome.prompt is None else outcome.prompt.question.key


def usual(outcome: Outcome) -> str:
    assert outcome.prompt is not None
    question = outcome.prompt.question
    typed = {"drain.litres": "44", "fill.litres": "50", "read.level": "50", "read.conductivity": "1.6"}
    typed |= {"read.ph": "6.4", "read.temperature": "20"}
    match question.kind.value:
        case "choice":
            return "1"
        case "text":
            return question.expects[0]
        case "number":
            return typed.get(question.key) or dict(question.facts)["planned"]
        case _:
            return ""


def test_a_stop_is_raised_bars_the_round_and_is_cleared(session: Session) -> None:
    outcome = session.start("task:test-trip-switch", by="Ines")
    while key_of(outcome) != "result.outcome":
        outcome = session.enter("task:test-trip-switch", key=key_of(outcome), typed=usual(outcome))
    session.enter("task:test-trip-switch", key="result.outcome", typed="2 stays on")
    # the walk is left at the STOP page; the bar stands all the same, in every later run
    later = again(session)
    assert [finding.what for finding in stop_findings(later.events)] == ["stays on"]
    assert [item.what for item in later.today().stop]
    for kind in ("round", "task:clean-pump", "change"):
        with pytest.raises(RefusedError, match="stays on"):
            later.start(kind, by="Joss")
    outcome = later.start("task:follow-test-trip-switch", by="Joss")
    outcome = later.enter(
        "task:follow-test-trip-switch", key=key_of(outcome), typed="1 electrician fitted a new one"
    )
    later.enter("task:follow-test-trip-switch", key=key_of(outcome), typed="1")
    assert not stop_findings(again(later).events)
    assert not later.today().stop
    assert again(later).start("round", by="Joss").prompt is not None


def test_a_round_under_way_is_not_taken_up_under_a_stop(session: Session) -> None:
    session.start("round", by="Ines")
    found = TaskDone(
        id="", seq=0, at=session.now(), task="cool-plugs", outcome="found", text="hot plug", severity="stop"
    )
    session.record_events([found])
    later = again(session)
    with pytest.raises(RefusedError, match="hot plug"):
        later.start("round", by="Joss")
    closed = TaskDone(
        id="", seq=0, at=session.now(), task="follow-cool-plugs", outcome="closed", text="replaced"
    )
    later.record_events([closed])
    assert again(later).start("round", by="Joss").prompt is not None


def test_a_clock_that_stands_still_confuses_no_walk(tmp_path: Path) -> None:
    """Under TENDTUI_NOW everything happens in one moment."""
    session = Session(folder_in(tmp_path), clock=FixedClock(datetime(2026, 3, 14, 9, tzinfo=UTC)), by="Ines")
    kind = "task:safety-daily"
    outcome = session.start(kind, by="Ines")
    asked = []
    while outcome.prompt is not None:
        asked.append(key_of(outcome))
        outcome = again(session).enter(kind, key=key_of(outcome), typed="1")
    assert len(asked) == len(set(asked)) > 5
    outcome = session.start("task:smoke-alarm", by="Ines")
    while key_of(outcome) != "result.outcome":
        outcome = session.enter("task:smoke-alarm", key=key_of(outcome), typed="")
    session.enter("task:smoke-alarm", key="result.outcome", typed="2 weak")
    outcome = again(session).start("task:follow-smoke-alarm", by="Joss")
    assert key_of(outcome) == "follow.done"


def test_change_day_interrupted_twice_is_one_change(session: Session) -> None:
    outcome = session.start("change", by="Ines")
    for turn in range(80):
        if outcome.prompt is None or outcome.prompt.walk != "change":
            break
        if turn in (5, 15):
            key, session = key_of(outcome), again(session)
            outcome = session.resume("change")
            assert key_of(outcome) == key
        until = None if outcome.prompt is None else outcome.prompt.question.until
        if until is not None and isinstance(session.clock, Ticking):
            session.clock.at = until
        outcome = session.enter("change", key=key_of(outcome), typed=usual(outcome))
    assert outcome.prompt is not None
    assert outcome.prompt.walk == "dose", "the pH is the dose's business"
    log = again(session).events
    assert sum(isinstance(event, Change) for event in log) == 1
    ticked = [event.task for event in log if isinstance(event, TaskDone)]
    assert len(ticked) == len(set(ticked))
    due = {due.task.id: due for due in slow_list_of(again(session)).dues}
    assert due["change-water"].last_done is not None
    assert due["rinse-prefilter"].last_done is not None
    assert due["clean-pump"].last_done is not None, "its impeller was brushed in the walk"
    assert due["calibrate-ph"].last_done is None, "only what belongs to the change is reset"


def test_a_change_day_that_was_left_says_on_todays_page_how_long_the_plants_stand(session: Session) -> None:
    outcome = session.start("change", by="Ines")
    while key_of(outcome) != "drain.litres":
        outcome = session.enter("change", key=key_of(outcome), typed=usual(outcome))
    (left,) = again(session).today().left_open
    assert left.what == "Change day"
    assert "by Ines, drain; plants without flow since" in left.because
    assert "good until about" in left.because


def test_a_task_is_silenced_and_speaks_again_by_the_sessions_verbs(session: Session) -> None:
    session.silence_task("smoke-alarm", "none here yet")
    silenced = slow_list_of(again(session)).task("smoke-alarm")
    assert silenced is not None
    assert silenced.silenced == "none here yet"
    session.restore_task("smoke-alarm")
    spoken = slow_list_of(again(session)).task("smoke-alarm")
    assert spoken is not None
    assert not spoken.silenced


def test_a_burnt_plug_seen_on_a_round_bars_the_next_one_and_nothing_is_poured(session: Session) -> None:
    numbers = {"level": "45", "conductivity": "1.5", "temperature": "20", "ph": "6.0", "flow": "2"}
    outcome = session.start("round", by="Ines")
    while outcome.prompt is not None and outcome.prompt.walk == "round":
        question = outcome.prompt.question
        typed = (
            numbers.get(question.key.rpartition(".")[2])
            if question.kind.value == "number"
            else usual(outcome)
        )
        if question.key == "floor.sockets":
            typed = "3"
        outcome = session.enter("round", key=question.key, typed=typed or "")
    assert outcome.prompt is None  # no dose, no hands over the water
    assert "Nothing is poured" in outcome.said[-1]
    later = again(session)
    assert [item.what for item in later.today().stop] == ["sockets and cords: plug wet or burnt"]
    with pytest.raises(RefusedError, match="plug wet or burnt"):
        later.start("round", by="Joss")


@pytest.mark.parametrize("file", ["state.toml", "2026-03.toml"])
def test_tasks_logged_as_done_are_remembered_with_it_or_not_at_all(session: Session, file: str) -> None:
    class Full(Disk):
        def rename(self, draft: Path, target: Path) -> None:
            if target.name == file:
                raise OSError(errno.ENOSPC, "full")
            super().rename(draft, target)

    use(Full())
    try:
        log_done(session, ("change-water",))
        said = ""
    except StateError as fault:
        said = str(fault)
    finally:
        use(None)
    assert bool(said) == (file == "state.toml")
    seen = again(session)
    done = [event.task for event in seen.events if isinstance(event, TaskDone)]
    assert done == list(seen.state.done) == ([] if said else ["change-water"])
    assert any(isinstance(event, Change) for event in seen.events) != bool(said)


def test_an_empty_reservoir_is_no_fault_while_the_water_is_being_changed(session: Session) -> None:
    outcome = session.start("change", by="Ines")
    while key_of(outcome) != "clean.wipe":
        outcome = session.enter("change", key=key_of(outcome), typed=usual(outcome))
    wrong = [fault.what for fault in status_now(again(session)).wrong]
    assert "left open: Change day" in wrong
    assert not any("under the least mark" in what for what in wrong)


def test_todays_page_says_that_the_description_cannot_be_right(session: Session, tmp_path: Path) -> None:
    assert not any("rack.toml" in line for line in session.today().words)
    for path in tmp_path.rglob("rack.toml"):
        text = path.read_text()
        text = re.sub(r"circuit_amps = .*", "circuit_amps = 6.0", text)
        path.write_text(
            text + '\n[[task]]\nid = "glance"\ncadence = "now and then"\n'
            '\n[[device]]\nname = "Kiln"\nwatts = 3000.0\n'
        )
    (told,) = [line for line in again(session).today().words if "rack.toml" in line]
    assert told.startswith("[!] rack.toml: Kiln draws 13.0 A, more than the 6 A of its supply.")
    assert "1 more like it. Press p" in told


@pytest.mark.parametrize(
    ("kind", "by", "refused"),
    [
        ("task:check-strength", "Zoe", "This is for the grower"),
        ("task:check-ph", "Zoe", "This is for the grower"),
        ("task:calibrate-ph", "Joss", "This is for the grower"),
        ("task:outlet-screens", "Zoe", "This is for somebody who was shown how"),
        ("task:safety-first", "Zoe", "This is for the grower"),
        ("setup", "Zoe", "This is for the grower"),
        ("setup:feeds", "Zoe", "This is for the grower"),
        ("task:outlet-screens", "Joss", ""),
        ("task:check-ph", "Ines", ""),
        ("task:glance", "Zoe", ""),
        ("task:safety-weekly", "Zoe", ""),
        ("task:chemical-spill", "Zoe", ""),  # what to do when it has happened is for everybody
        ("task:water-at-a-plug", "Zoe", ""),
    ],
)
def test_a_task_is_begun_by_who_may_do_it(tmp_path: Path, kind: str, by: str, refused: str) -> None:
    folder = folder_in(tmp_path)
    folder.rack.write_text(
        folder.rack.read_text(encoding="utf-8").replace(
            "[people]", '[people.roles]\nJoss = "shown"\n[people.phones]\nInes = "555 0100"\n[people]', 1
        ),
        encoding="utf-8",
    )
    session = Session(folder, clock=Ticking())
    if not refused:
        session.start(kind, by=by)
        return
    with pytest.raises(RefusedError, match=refused) as told:
        session.start(kind, by=by)
    assert told.value.do == "Ring the grower: Ines 555 0100."
    assert kind not in session.state.walks
