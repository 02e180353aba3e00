"""A whole round in each language at 80 by 24, and in one whose sentences are forty percent longer."""

from __future__ import annotations

from collections.abc import Iterator
from gettext import GNUTranslations
from pathlib import Path

import pytest
from rich.cells import cell_len

from tendtui.core.event import Reading
from tendtui.core.prompt import Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.session.session import Session
from tendtui.store.log_file import read_log
from tendtui.tui.screens.walk import WalkPage
from tendtui.words import Translation, use
from tests.support.catalogue import LOCALE, NAME, languages
from tests.support.folders import NOON, folder_in
from tests.support.keyboard import Keyboard, open_app
from tests.support.longer_words import LongerWords
from tests.support.walker import open_at

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
