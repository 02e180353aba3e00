"""A whole round in each language at 80 by 24, and in one whose sentences are forty percent longer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from gettext import GNUTranslations
from pathlib import Path

import pytest
from rich.cells import cell_len

from tendtui.core.event import Poured, Reading
from tendtui.core.prompt import Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.store.log_file import read_log
from tendtui.tui.screens.told import ToldPage
from tendtui.tui.screens.walk import WalkPage
from tendtui.words import Translation, use
from tests.support.catalogue import LOCALE, NAME, languages
from tests.support.demo_rack import NOW, demo_rack
from tests.support.folders import NOON, folder_in
from tests.support.keyboard import Keyboard, open_app
from tests.support.longer_words import LongerWords
from tests.support.walker import Tick, open_at

READ = {
    Quantity.LEVEL: "40",
    Quantity.CONDUCTIVITY: "1.6",
    Quantity.PH: "6.0",
    Quantity.TEMPERATURE: "20",
    Quantity.FLOW: "2",
}
SIZES = ((80, 24), (80, 23), (60, 20))


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    yield
    use(None)


def translation(language: str) -> Translation | None:
    if language == "longer":
        return LongerWords()
    if language == "en":
        return None
    with (LOCALE / language / "LC_MESSAGES" / f"{NAME}.mo").open("rb") as file:
        return GNUTranslations(file)


def answer(question: Question) -> str:
    if question.kind is Kind.PAUSE:
        return ""
    if question.kind is Kind.NUMBER and question.quantity is not None:
        return READ[question.quantity]
    return "1" if question.kind is Kind.CHOICE else "words"


def holds_together(at: Keyboard, width: int, height: int) -> None:
    """The page fits, its field and its way out are on it, and the question can be read."""
    rows = at.text.split("\n")
    assert len(rows) <= height
    assert max(cell_len(row) for row in rows) <= width, at.text
    assert "Esc" in rows[-1] or "Enter" in rows[-1], at.text
    assert any(">" in row for row in rows), at.text


async def walk_a_round(session: Session, size: tuple[int, int]) -> None:
    async with open_app(session, size=size, first="walk:round") as at:
        await at.until(lambda: isinstance(at.app.screen, WalkPage))
        for _turn in range(80):
            await at.until(lambda: at.is_ready)
            holds_together(at, *size)
            # the session is left alone here: a save may be under way, off the loop
            page = at.page
            if not isinstance(page, WalkPage) or page.prompt.walk != "round":
                return
            await at.enter(answer(page.question))
    raise AssertionError("the round does not end")


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("language", ["en", *languages(), "longer"])
async def test_a_whole_round_in_every_language(tmp_path: Path, language: str, size: tuple[int, int]) -> None:
    use(translation(language))
    session, _clock = open_at(folder_in(tmp_path), NOON, by="Ines")
    await walk_a_round(session, size)
    (read,) = [event for event in read_log(session.folder).events if isinstance(event, Reading)]
    assert (read.level_l, read.conductivity_ms_cm, read.ph) == (40.0, 1.6, 6.0)
    # what is stored is the answer's own word, in no language
    assert read.looks["pump.pump"] == "steady-hum"
    assert read.looks["Upper.roots"] == "cream-firm"


@pytest.mark.parametrize("key", ["l", "h", "?", "p", "w"])
@pytest.mark.parametrize("language", [*languages(), "longer"])
async def test_every_page_holds_in_every_language(tmp_path: Path, language: str, key: str) -> None:
    use(translation(language))
    session, _clock = open_at(folder_in(tmp_path), NOON, by="Ines")
    async with open_app(session) as at:
        await at.until(lambda: at.is_ready)
        holds_together(at, 80, 24)
        before = at.text
        await at.send(key)
        await at.until(lambda: at.text != before and at.is_ready)
        holds_together(at, 80, 24)


async def test_german_is_german_on_every_part_of_a_question(tmp_path: Path) -> None:
    use(translation("de"))
    session, _clock = open_at(folder_in(tmp_path), NOON, by="Ines")
    async with open_app(session, first="walk:round") as at:
        await at.sees("RUNDE", "Station 1 von", "Wie viel Wasser steht darin?", "Liter", "übernehmen")
        await at.enter("40")
        await at.sees("Was zeigt das Leitwertgerät?", "1,30 bis 1,90")


COVER = {
    "days.first": "2026-12-01",
    "days.last": "2026-12-14",
    "stand-in.who": "Wilhelmina",
    "stand-in.phone": "0491 570 157",
    "stand-in.depth": "3",
    "stand-in.bottles": "2",
}


def typed(question: Question, clock: Tick) -> str:
    """Give what fits any question of the demo rack, and wait where it says so."""
    clock.at = max(clock.at + timedelta(seconds=20), question.until or clock.at)
    if question.key in COVER:
        return COVER[question.key]
    if question.kind is Kind.TEXT:
        return question.expects[0] if question.expects else ""
    if question.kind is not Kind.NUMBER:
        return "" if question.kind is Kind.PAUSE else question.choices[0].digit
    weak = {"level": "80", "conductivity": "1.2", "temperature": "20.5", "ph": "6.9"}
    mixed = {"conductivity": "1.5", "ph": "6.0", "temperature": "20.5"}
    name = question.key.rpartition(".")[2]
    known = (weak if question.key.partition(".")[0] in ("level", "conductivity", "ph") else mixed).get(name)
    asked = re.search(r"[0-9]+(?:[.,][0-9]+)?", question.ask)
    return known or (asked[0] if asked else "3")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("start", "by"), [("round", "Petra"), ("round", "Zoe"), ("practice", "Zoe"), ("cover", "Petra")]
)
@pytest.mark.parametrize("language", [*languages(), "longer"])
async def test_round_dose_practice_and_cover_hold_to_their_end(
    tmp_path: Path, language: str, start: str, by: str
) -> None:
    size = (60, 20) if language == "longer" and start == "practice" else (80, 24)
    use(translation(language))
    session, clock = open_at(Folder(demo_rack(tmp_path / "state")), NOW, by=by)
    walks = []
    async with open_app(session, size=size, first=f"walk:{start}") as at:
        await at.until(lambda: isinstance(at.page, WalkPage))
        for _turn in range(140):
            await at.until(lambda: at.is_ready)
            holds_together(at, *size)
            page = at.page
            if not isinstance(page, WalkPage):
                break
            walks.append(page.prompt.walk)
            await at.enter(typed(page.question, clock) if page.aside is None else "")
        assert isinstance(at.page, ToldPage), at.text
    assert set(walks) == ({"round", "dose", "leaving"} if start == "round" else {start})
    poured = {event.what for event in session.events if isinstance(event, Poured) and event.at >= NOW}
    assert bool(poured - {"water"}) is ((start, by) == ("round", "Petra"))
