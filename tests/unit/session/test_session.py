from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Event, Note, Plants, Poured, Reading, TaskDone
from tendtui.core.plants import standing
from tendtui.core.prompt import Kind
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.session.clock import FixedClock
from tendtui.session.session import Outcome, Session
from tendtui.store import log_recall
from tendtui.store.log_file import append, read_log
from tendtui.store.state_file import read_state
from tendtui.value import replace
from tests.support.folders import folder_in

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


class Ticking:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.at = NOON

    def now(self) -> datetime:
        return self.at

    def wait(self, **span: float) -> None:
        self.at += timedelta(**span)


@pytest.fixture
def clock() -> Ticking:
    return Ticking()


@pytest.fixture
def session(tmp_path: Path, clock: Ticking) -> Session:
    return Session(folder_in(tmp_path), clock=clock, by="Ines")


def again(session: Session) -> Session:
    """Open the same folder as a new run of the program would."""
    return Session(session.folder, clock=session.clock, by="Joss")


def key_of(outcome: Outcome) -> str:
    assert outcome.prompt is not None
    return outcome.prompt.question.key


def answer(outcome: Outcome, readings: dict[str, str]) -> str:
    """What a person with a card of readings types now."""
    assert outcome.prompt is not None
    question = outcome.prompt.question
    match question.kind:
        case Kind.NUMBER:
            name = question.key.rpartition(".")[2]
            if name == "poured":  # the first number of the sentence is the plan's amount
                return next(word for word in question.ask.split() if word.replace(".", "").isdigit())
            return readings.get(name, "2 L/min")
        case Kind.CHOICE:
            return "1"
        case Kind.TEXT:
            return question.expects[0] if question.expects else "words"
        case _:
            return ""


def walk(session: Session, outcome: Outcome, readings: dict[str, str], *, until: str = "") -> Outcome:
    """Answer until the walk of this kind is over."""
    for _n in range(200):
        if outcome.prompt is None or outcome.prompt.walk == until:
            return outcome
        question = outcome.prompt.question
        if question.until is not None:
            session.clock.at = max(session.clock.at, question.until)  # type: ignore[attr-defined]
        outcome = session.enter(outcome.prompt.walk, key=question.key, typed=answer(outcome, readings))
    raise AssertionError("the walk does not end")


CARD = {"level": "44", "conductivity": "1.62", "temperature": "20.5", "ph": "6.0"}


def test_a_confirmed_answer_is_on_disk_before_the_verb_returns(session: Session) -> None:
    outcome = session.start("round", by="Ines")
    session.enter("round", key=key_of(outcome), typed="44")
    (entry,) = read_state(session.folder).walks["round"].entries
    assert (entry.typed, entry.value, entry.by) == ("44", 44.0, "Ines")


def test_a_round_left_is_taken_up_at_the_same_question_by_another_person(session: Session) -> None:
    outcome = session.start("round", by="Ines")
    left_at = key_of(session.enter("round", key=key_of(outcome), typed="44"))
    other = again(session)
    assert key_of(other.start("round", by="Joss")) == left_at
    other.enter("round", key=left_at, typed="1.62")
    assert [e.by for e in read_state(session.folder).walks["round"].entries] == ["Ines", "Joss"]


def test_two_sessions_cannot_answer_the_same_question(session: Session) -> None:
    first = key_of(session.start("round", by="Ines"))
    other = again(session)
    other.start("round", by="Joss")
    other.enter("round", key=first, typed="44")
    with pytest.raises(OutOfTurnError, match="Somebody else"):
        session.enter("round", key=first, typed="45")
    assert [e.typed for e in read_state(session.folder).walks["round"].entries] == ["44"]


def test_a_round_becomes_one_reading_that_says_what_was_typed(session: Session) -> None:
    outcome = walk(session, session.start("round", by="Ines"), CARD, until="dose")
    assert outcome.prompt is not None
    (reading,) = (e for e in read_log(session.folder).events if isinstance(e, Reading))
    assert (reading.level_l, reading.conductivity_ms_cm, reading.ph, reading.temperature_c) == (
        44.0, 1.62, 6.0, 20.5,
    )  # fmt: skip
    assert reading.source == "round"


def test_a_whole_day_ends_with_nothing_open(session: Session) -> None:
    outcome = walk(session, session.start("round", by="Ines"), CARD)
    assert outcome.said
    assert not read_state(session.folder).walks


def test_what_a_day_has_taught_is_kept_when_it_ends(session: Session) -> None:
    walk(session, session.start("round", by="Ines"), CARD)
    last = [event for event in session.events if isinstance(event, Reading | Poured)][-1]
    assert read_state(session.folder).learned["upto"] == last.id


def test_an_event_reaches_the_log_even_if_the_log_could_not_be_written_at_first(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    weak = {**CARD, "conductivity": "0.9"}
    outcome = walk(session, session.start("round", by="Ines"), weak, until="dose")
    from tendtui.errors import StateError

    def full(*_args: object, **_more: object) -> None:
        raise StateError("the disk is full", file="log")

    with monkeypatch.context() as patched:
        patched.setattr("tendtui.session.saving.append", full)
        for _n in range(4):
            assert outcome.prompt is not None
            outcome = session.enter("dose", key=key_of(outcome), typed=answer(outcome, weak))
            if any(isinstance(e, Poured) for e in session.events):
                break
    assert session.troubles
    assert any(isinstance(e, Poured) for e in again(session).events)
    session.add_note("and on it goes")
    assert any(isinstance(e, Poured) for e in read_log(session.folder, outbox=()).events)


def test_undo_takes_back_what_was_logged_by_a_new_event(session: Session) -> None:
    weak = {**CARD, "conductivity": "0.9"}
    outcome = walk(session, session.start("round", by="Ines"), weak, until="dose")
    while not any(isinstance(e, Poured) for e in session.events):
        assert outcome.prompt is not None
        outcome = session.enter("dose", key=key_of(outcome), typed=answer(outcome, weak))
    made = next(e for e in session.events if isinstance(e, Poured))
    session.undo("dose")
    log = read_log(session.folder)
    assert made.id in {e.id for e in log.all_events}
    assert made.id not in {e.id for e in log.events}
    assert any(isinstance(e, Note) and e.replaces == made.id for e in log.events)


def test_an_event_can_be_corrected_and_taken_back(session: Session) -> None:
    session.record_events((Reading(id="", seq=0, at=NOON, by="Ines", ph=7.0),))
    (wrong,) = session.events
    session.correct(wrong.id, {"ph": "6.0"})
    (right,) = session.events
    assert isinstance(right, Reading)
    assert (right.ph, right.replaces, right.at) == (6.0, wrong.id, NOON)
    session.take_back(right.id)
    assert not any(isinstance(e, Reading) for e in session.events)
    with pytest.raises(RefusedError, match="no longer there"):
        session.correct(wrong.id, {"ph": "6.1"})


@pytest.mark.parametrize(
    ("wrong", "part", "typed", "words"),
    [
        (Reading(id="", seq=0, at=NOON, conductivity_ms_cm=1.2), "conductivity", "50", "living plants"),
        (Reading(id="", seq=0, at=NOON, level_l=40.0), "level", "1500", "can't be"),
        (
            Reading(id="", seq=0, at=NOON, flow_l_min={"Upper": 2.0}),
            "flow.Upper",
            "180",
            "the pump of such a rack",
        ),
        (Poured(id="", seq=0, at=NOON, what="Grow 1", ml=30.0), "amount", "99999", "full strength"),
    ],
)
def test_a_correction_that_is_hard_to_believe_takes_a_mark(
    session: Session, wrong: Event, part: str, typed: str, words: str
) -> None:
    session.record_events((wrong,))
    (kept,) = session.events
    with pytest.raises(RefusedError, match=words) as refused:
        session.correct(kept.id, {part: typed})
    assert "with ! after it" in str(refused.value)
    assert session.events == (kept,)
    session.correct(kept.id, {part: f"{typed}!"})
    (corrected,) = session.events
    assert corrected.replaces == kept.id


def test_clean_rounds_are_counted_and_start_anew_after_one_that_was_not(session: Session) -> None:
    walk(session, session.start("round", by="Ines"), CARD, until="dose")
    assert session.person("Ines").clean_rounds == 1
    session.abandon("dose")
    session.clock.wait(days=1)  # type: ignore[attr-defined]
    outcome = session.start("round", by="Ines")
    outcome = session.skip("round", key=key_of(outcome), reason="no-time")
    walk(session, outcome, CARD, until="dose")
    assert session.person("Ines").clean_rounds == 0


def test_a_clock_set_back_loses_nothing(session: Session, clock: Ticking) -> None:
    outcome = session.start("round", by="Ines")
    clock.wait(days=-365)
    walk(session, outcome, CARD, until="dose")
    assert any(isinstance(e, Reading) for e in read_log(session.folder).events)


def test_events_of_the_log_are_not_read_twice_for_a_save(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    outcome = session.start("round", by="Ines")
    _events = session.events
    reads: list[object] = []
    monkeypatch.setattr(log_recall, "read_month", lambda path: reads.append(path))
    session.enter("round", key=key_of(outcome), typed="44")
    assert reads == []


def test_whoever_is_not_usual_is_a_newcomer(session: Session) -> None:
    assert [session.role(name) for name in ("Ines", "Zoe", "")] == ["grower", "newcomer", "grower"]


def test_a_fixed_clock_stands_still() -> None:
    assert FixedClock(NOON).now() == NOON
    assert replace(Outcome(prompt=None), said=("x",)).said == ("x",)


def test_a_dose_left_before_anything_was_poured_gives_way_to_a_new_one(session: Session) -> None:
    weak = {**CARD, "conductivity": "0.9"}
    walk(session, session.start("round", by="Ines"), weak, until="dose")
    old = session.state.walks["dose"].id
    session.clock.wait(days=1)  # type: ignore[attr-defined]
    walk(session, session.start("round", by="Ines"), weak, until="dose")
    assert session.state.walks["dose"].id != old


def test_a_dose_left_between_label_and_amount_is_settled_before_a_new_one(session: Session) -> None:
    weak = {**CARD, "conductivity": "0.9"}
    outcome = walk(session, session.start("round", by="Ines"), weak, until="dose")
    while outcome.prompt is not None and not outcome.prompt.question.unsettled:
        outcome = session.enter("dose", key=key_of(outcome), typed=answer(outcome, weak))
    old = session.state.walks["dose"].id
    session.clock.wait(days=1)  # type: ignore[attr-defined]
    outcome = walk(session, session.start("round", by="Ines"), weak, until="dose")
    assert session.state.walks["dose"].id == old
    assert outcome.prompt is not None
    assert outcome.prompt.question.key.endswith(".any")


def test_a_mint_sown_over_a_year_ago_still_stands(session: Session) -> None:
    sown = Plants(
        id="mint", seq=0, at=NOON - timedelta(days=400), act="move", crop="mint", count=4, tier="Upper"
    )
    append(
        session.folder, (sown, replace(sown, id="b", at=NOON - timedelta(days=399), crop="basil", count=2))
    )
    assert [(batch.crop, batch.count) for batch in standing(session.events)] == [("mint", 4), ("basil", 2)]
    assert session.diary == ()
    assert [event.id for event in session.diary_before(NOON - timedelta(days=150))] == ["mint", "b"]


def test_a_stop_found_long_ago_still_bars(session: Session) -> None:
    found = TaskDone(
        id="stop",
        seq=0,
        at=NOON - timedelta(days=200),
        task="plugs",
        outcome="found",
        text="the plug is wet",
        severity="stop",
    )
    append(session.folder, (found,))
    with pytest.raises(RefusedError, match="the plug is wet"):
        session.start("round", by="Ines")
    closed = replace(found, id="closed", at=NOON - timedelta(days=1), task="follow-plugs", outcome="closed")
    session.record_events((closed,))
    assert session.start("round", by="Ines").prompt is not None


def test_a_task_done_long_ago_is_known_where_the_state_is_lost(session: Session) -> None:
    done = TaskDone(id="d", seq=0, at=NOON - timedelta(days=300), task="descale")
    append(session.folder, (done,))
    assert session.last_done() == {"descale": done.at}


def test_a_walk_that_was_only_looked_at_is_not_left_open(session: Session) -> None:
    for kind in ("happened", "round"):
        session.start(kind, by="Ines")
        session.leave(kind)
    assert set(session.state.walks) == {"round"}
    session.leave("round")
    outcome = session.start("happened", by="Ines")
    session.enter("happened", key=key_of(outcome), typed="1")
    begun = set(session.state.walks)
    session.leave("happened")
    assert set(session.state.walks) == begun
