"""A whole round, its dose and the leaving list, line by line, in a real folder."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.cli.round_plain import CHAIN, PausedError, Talk
from tendtui.core.event import Poured, Reading
from tendtui.core.prompt import Kind, Prompt
from tendtui.core.quantity import Quantity
from tendtui.session.session import Session
from tendtui.store.log_file import read_log
from tests.support.folders import folder_in

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
CARD = {"level": "40", "conductivity": "1.05", "temperature": "20", "ph": "6.0", "flow": "2"}


class Minutes:
    """A clock that goes on by a minute at each look, and over waits."""

    at = NOON

    def now(self) -> datetime:
        self.at += timedelta(seconds=20)
        return self.at


class Keeper:
    """Somebody with a card of readings who pours what is asked and types what the meters should show."""

    def __init__(self, session: Session, clock: Minutes) -> None:
        self.session = session
        self.clock = clock
        self.typed: list[tuple[str, str]] = []

    def __call__(self) -> str:
        kind = next(kind for kind in CHAIN if kind in self.session.state.walks)
        prompt = self.session.resume(kind).prompt
        assert prompt is not None
        assert len(self.typed) < 150, f"no end in sight at {prompt.question.key}"
        answer = self.answer(prompt)
        self.typed.append((prompt.question.key, answer))
        return answer

    def answer(self, prompt: Prompt) -> str:
        question = prompt.question
        if question.until is not None:
            self.clock.at = max(self.clock.at, question.until)
        match question.kind:
            case Kind.PAUSE:
                return ""
            case Kind.TEXT:
                return question.expects[0].lower()
            case Kind.CHOICE:
                return question.choices[0].digit
            case Kind.NUMBER:
                return self.number(prompt)

    def number(self, prompt: Prompt) -> str:
        question = prompt.question
        if prompt.walk == "round":
            return CARD[question.key.rpartition(".")[2]]
        if question.quantity in (Quantity.CONDUCTIVITY, Quantity.PH):
            return {Quantity.CONDUCTIVITY: "1.6", Quantity.PH: "6.0"}[question.quantity]
        asked = re.search(r"[0-9]+(?:\.[0-9]+)?", question.ask)
        assert asked is not None, question.ask
        return asked[0]


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session(folder_in(tmp_path), clock=Minutes(), by="Ines")


def walked(session: Session, read: Callable[[], str]) -> int:
    talk = Talk(session=session, read=read)
    return talk.walk(talk.begin("Ines"))


@pytest.mark.slow
def test_a_whole_round_with_its_dose_ends_in_the_log(
    session: Session, capsys: pytest.CaptureFixture[str]
) -> None:
    assert isinstance(session.clock, Minutes)
    keeper = Keeper(session, session.clock)
    assert walked(session, keeper) == 0
    assert session.state.walks == {}
    log = read_log(session.folder)
    assert len({event.id for event in log.all_events}) == len(log.all_events)
    (first, *_others) = [e for e in log.events if isinstance(e, Reading)]
    assert (first.source, first.level_l, first.conductivity_ms_cm, first.ph) == ("round", 40.0, 1.05, 6.0)
    assert first.flow_l_min == {"Upper": 2.0, "Lower": 2.0}
    poured = [
        (key, typed) for key, typed in keeper.typed if "pour" in key and typed.replace(".", "").isdigit()
    ]
    logged = [e for e in log.events if isinstance(e, Poured)]
    assert len(logged) >= 2
    assert [f"{e.litres if e.ml is None else e.ml:g}" for e in logged] == [typed for _key, typed in poured]
    leaving = [e for e in log.events if isinstance(e, Reading) and "leaving.lid" in e.looks]
    assert len(leaving) == 1
    out = capsys.readouterr().out
    assert out.rstrip().endswith("Finished. Everything is saved.")
    for event in logged:
        assert "of water added." in out if event.what == "water" else f"millilitres of {event.what}." in out


@pytest.mark.slow
def test_stopped_at_any_line_it_is_taken_up_there(session: Session) -> None:
    """Each line is typed in a run of its own; the log is as if nobody had stopped."""
    assert isinstance(session.clock, Minutes)
    keeper = Keeper(session, session.clock)
    ended = False
    for _run in range(150):
        if ended:
            break
        lines = 1

        def one() -> str:
            nonlocal lines
            if lines == 0:
                raise EOFError
            lines -= 1
            return keeper()

        talk = Talk(session=session, read=one)
        with suppress(PausedError):
            ended = talk.walk(talk.begin("Ines")) == 0
        session.forget()
    assert ended
    log = read_log(session.folder)
    assert len({event.id for event in log.all_events}) == len(log.all_events)
    assert [e.source for e in log.events if isinstance(e, Reading)].count("round") == 2
