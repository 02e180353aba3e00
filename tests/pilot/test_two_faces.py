"""The full screen and the plain mode are two faces of one walk: same answers, same diary, both ways."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.cli.round_plain import PausedError, Talk
from tendtui.core.event import Event, Poured, Reading
from tendtui.core.prompt import Prompt, Question
from tendtui.core.quantity import Quantity
from tendtui.session.session import Outcome, Session
from tendtui.store.folder import Folder
from tendtui.store.log_file import read_log
from tendtui.tui.screens.told import ToldPage
from tendtui.tui.screens.walk import WalkPage
from tendtui.value import fields
from tests.pilot.test_real_round import answer
from tests.support.demo_rack import NOW, demo_rack
from tests.support.keyboard import open_app
from tests.support.walker import Tick, open_at

MOST = 90
MIXED: Mapping[Quantity | None, str] = {Quantity.CONDUCTIVITY: "1.50", Quantity.PH: "6.0"}
"""What the meters show after the dose has mixed."""


class Asked(Talk):
    """The plain mode, which remembers what it asked last."""

    asked: Prompt | None = None

    def _asked(self, prompt: Prompt) -> Outcome:
        self.asked = prompt
        return super()._asked(prompt)


def opened(folder: Folder, at: Tick | None = None) -> tuple[Session, Tick]:
    session, clock = open_at(folder, NOW if at is None else at.at, by="Petra")
    return session, clock


def typed(question: Question, clock: Tick) -> str:
    """Give the answer of the person with the card, twenty seconds later or when the wait is over."""
    clock.at = max(clock.at + timedelta(seconds=20), question.until or clock.at)
    mixed = {} if question.key in ("conductivity.conductivity", "ph.ph") else MIXED
    if question.quantity is Quantity.FLOW:
        return "2.5 L/min"  # about as on the days before
    return mixed.get(question.quantity) or answer(question)


def in_plain(session: Session, clock: Tick, lines: int = MOST) -> int:
    """Walk line by line, so many lines at most; give how many it took."""
    taken = 0

    def read() -> str:
        nonlocal taken
        if taken == lines:
            raise EOFError
        taken += 1
        assert talk.asked is not None
        return typed(talk.asked.question, clock)

    talk = Asked(session=session, read=read)
    with suppress(PausedError):
        talk.walk(talk.begin("Petra"))
    session.let_go()
    return taken


async def on_screen(session: Session, clock: Tick, lines: int = MOST) -> int:
    """Walk in the full screen, so many answers at most; give how many it took."""
    taken = 0
    kind = next((kind for kind in ("leaving", "dose", "round") if kind in session.state.walks), "round")
    async with open_app(session, first=f"walk:{kind}") as at:
        await at.until(lambda: isinstance(at.page, WalkPage) and at.is_ready)
        while isinstance(page := at.page, WalkPage) and taken < lines:
            is_walk = page.aside is None
            key = page.question.key
            await at.enter(typed(page.question, clock) if is_walk else "")
            taken += is_walk
            assert not (isinstance(at.page, WalkPage) and is_walk and at.page.question.key == key), at.text
        assert taken == lines or isinstance(at.page, ToldPage), at.text
    session.let_go()
    return taken


def diary(folder: Folder) -> list[tuple[str, dict[str, object]]]:
    """Give what this walk logged, without what no person typed: ids and running numbers."""
    events = [event for event in read_log(folder).events if event.at >= NOW]
    return [(type(event).__name__, _told(event)) for event in events]


def _told(event: Event) -> dict[str, object]:
    left_out = ("id", "seq", "replaces")
    return {f.name: getattr(event, f.name) for f in fields(event) if f.name not in left_out}


def folder_at(path: Path) -> Folder:
    return Folder(demo_rack(path))


@pytest.mark.slow
async def test_the_same_answers_leave_the_same_diary_in_both_faces(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain, drawn = folder_at(tmp_path / "plain"), folder_at(tmp_path / "drawn")
    asked = in_plain(*opened(plain))
    assert await on_screen(*opened(drawn)) == asked
    assert diary(plain) == diary(drawn)
    logged = [event for event in read_log(plain).events if event.at >= NOW]
    assert sum(isinstance(event, Poured) for event in logged) >= 2
    assert sum(isinstance(event, Reading) for event in logged) >= 2
    assert "Finished. Everything is saved." in capsys.readouterr().out


@pytest.mark.slow
@pytest.mark.parametrize("lines", [7, 23])  # in the round; with the bottle in hand, before it is poured
@pytest.mark.parametrize("begun", ["plain", "drawn"])
async def test_a_round_begun_in_one_face_is_finished_in_the_other(
    tmp_path: Path, begun: str, lines: int
) -> None:
    folder, whole = folder_at(tmp_path / "handed"), folder_at(tmp_path / "whole")
    in_plain(*opened(whole))
    first, clock = opened(folder)
    if begun == "plain":
        in_plain(first, clock, lines)
        assert first.state.walks
        await on_screen(*opened(folder, clock))
    else:
        await on_screen(first, clock, lines)
        assert first.state.walks
        in_plain(*opened(folder, clock))
    assert _without_times(diary(folder)) == _without_times(diary(whole))


def _without_times(logged: list[tuple[str, dict[str, object]]]) -> list[tuple[str, dict[str, object]]]:
    """Leave the clock out: whoever takes it up may be asked one thing more."""
    return [(kind, {k: v for k, v in told.items() if k != "at"}) for kind, told in logged]
