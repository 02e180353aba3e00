"""Draws the pictures of the README from the demo: `python -m tests.support.make_pictures` writes them.

The same pages as on a screen of 80 by 24, as text: what stands in the README is what the program shows.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from tendtui.core.prompt import Kind, Prompt, Question
from tendtui.core.quantity import Quantity
from tendtui.session.demo import copy_demo
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.tui.commands import TODAY, WALK
from tendtui.tui.draw.sheet import Sheet, offered
from tendtui.tui.draw.today_sheet import TodayView, draw_today
from tendtui.tui.draw.walk_sheet import WalkView, draw_walk
from tendtui.value import replace
from tests.support.walker import Tick

__all__ = ["README", "pictures", "with_pictures"]

README = Path(__file__).parents[2] / "README.md"
WIDTH, HEIGHT = 79, 23
MORNING = datetime(2026, 11, 25, 7, 52, tzinfo=UTC)
BY = "Petra"
START, END = "<!-- pictures -->", "<!-- /pictures -->"


def pictures() -> str:
    """Give the block between the markers."""
    with TemporaryDirectory() as folder:
        clock = Tick(MORNING)
        session = Session(Folder(copy_demo(Path(folder) / "demo", MORNING)), clock=clock, by=BY)
        today = _today(session)
        round_page = _walked(session, clock, "round", lambda q: q.key.endswith(".roots"))
        dose = _walked(session, clock, "dose", lambda q: q.quantity is Quantity.LIQUID)
    parts = (
        ("Today's page of the demo rack, as it opens:", today),
        ("The round, at the roots of the first tier:", round_page),
        ("The dose, one step a screen:", dose),
    )
    return "\n".join(f"{told}\n\n```\n{text}\n```\n" for told, text in parts)


def with_pictures(readme: str) -> str:
    """Give the README with its pictures drawn anew."""
    before, _start, rest = readme.partition(START)
    _old, _end, after = rest.partition(END)
    return f"{before}{START}\n{pictures()}{END}{after}"


def _today(session: Session) -> str:
    view = TodayView(today=session.today(), show=session.rack.show, commands=offered(TODAY), signs="ascii")
    return _text(draw_today(view, WIDTH, HEIGHT))


def _walked(session: Session, clock: Tick, kind: str, stops: Callable[[Question], bool]) -> str:
    """Answer as on a good day until a question is one to show."""
    under_way = next((one for one in ("dose", "round") if one in session.state.walks), "round")
    outcome = session.start(under_way, by=BY)
    while (prompt := outcome.prompt) is not None:
        question = prompt.question
        if prompt.walk == kind and stops(question):
            return _text(draw_walk(_view(session, prompt, learner=kind == "round"), WIDTH, HEIGHT))
        clock.at += timedelta(seconds=20)
        if question.until is not None:
            clock.at = max(clock.at, question.until)
        outcome = session.enter(prompt.walk, key=question.key, typed=_answer(question))
    raise AssertionError(f"{kind} never came to the question to show")


def _view(session: Session, prompt: Prompt, *, learner: bool) -> WalkView:
    return WalkView(
        prompt=replace(prompt, said=""),
        by=BY,
        at=session.now(),
        learner=learner,
        commands=offered(c for c in WALK if c.name not in ("GoOn", "Same", "RedoPart")),
        signs="ascii",
    )


def _answer(question: Question) -> str:
    match question.kind:
        case Kind.PAUSE:
            return ""
        case Kind.CHOICE:
            return "1"
        case Kind.TEXT:
            return question.expects[0] if question.expects else "-"
    if question.quantity is Quantity.FLOW:
        return "3 L/min"
    said = {
        "level": "88",
        "poured": _planned(question),
        "conductivity": "1.27",
        "ph": "6.1",
        "temperature": "20.4",
    }
    return said[question.key.rpartition(".")[2]]


def _planned(question: Question) -> str:
    """Give the amount that the question asks for."""
    digits = [word for word in question.ask.split() if word.replace(".", "").isdigit()]
    return digits[0] if digits else ""


def _text(sheet: Sheet) -> str:
    return "\n".join(_rows(sheet))


def _rows(sheet: Sheet) -> Iterator[str]:
    rows = ["".join(text for text, _look in line).rstrip() for line in sheet.lines]
    if sheet.field is not None:
        row, at = f"{rows[sheet.field.row]:<{sheet.field.column + 1}}", sheet.field.column
        rows[sheet.field.row] = f"{row[:at]}_{row[at + 1 :]}"
    yield from rows


def main() -> int:
    """Write the README, or say whether it is up to date."""
    old = README.read_text(encoding="utf-8")
    new = with_pictures(old)
    if "--check" in sys.argv:
        return int(new != old)
    README.write_text(new, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
