"""Pages as values: they fit, keep the question in view, and say in ASCII what they draw in blocks."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tendtui.core import walk as engine
from tendtui.core.prompt import Prompt
from tendtui.core.today import Item
from tendtui.core.walk import Walk
from tendtui.tui.commands import (
    ASIDE,
    DIARY,
    EVENT,
    HELP,
    LISTS,
    NOTE,
    PROBLEMS,
    TASKS,
    TAUGHT,
    TODAY,
    TOLD,
    TRENDS,
    WALK,
    groups,
    key_table,
)
from tendtui.tui.draw.rack_picture import rack_picture
from tendtui.tui.draw.sheet import Sheet, footer, offered
from tendtui.tui.draw.today_sheet import TodayView, draw_today
from tendtui.tui.draw.walk_sheet import WalkView, draw_walk
from tendtui.tui.line import Line, plain, width_of
from tendtui.tui.screens.help import help_lines
from tendtui.value import replace
from tendtui.words import use
from tests.support.fake_session import AT, FakeScript, FakeSession, fake_rack

SIZES = ((60, 16), (60, 20), (79, 23), (80, 24), (120, 40), (200, 60))


class Longer:
    """A language whose every sentence is at least 40 % longer; placeholders stay."""

    def gettext(self, message: str) -> str:
        return message + " " + "ijs" * (1 + len(message) * 4 // 30)

    def ngettext(self, one: str, many: str, n: int) -> str:
        return self.gettext(one if n == 1 else many)


@contextmanager
def longer_words() -> Iterator[None]:
    use(Longer())
    try:
        yield
    finally:
        use(None)


def prompts(tiers: int = 3) -> Iterator[Prompt]:
    """Give the prompts of a whole walk, one after another."""
    script = FakeScript(rack=fake_rack(tiers))
    walk = Walk(kind="round", id="w", began=AT, by="Mo")
    answers = {"number": "2.0", "choice": "1", "pause": "", "text": script.rack.feeds[0].name}
    while (prompt := engine.prompt(walk, script)) is not None:
        yield prompt
        typed = answers[prompt.question.kind.value]
        walk = engine.enter(walk, script, key=prompt.question.key, typed=typed, now=AT, by="Mo").walk


def view_of(prompt: Prompt, *, learner: bool = True) -> WalkView:
    return WalkView(prompt=prompt, by="Mo", at=AT, learner=learner, commands=offered(WALK[1:]), notice="")


def words(lines: tuple[Line, ...]) -> str:
    return "\n".join(plain(line) for line in lines)


def fits(sheet: Sheet, width: int, height: int) -> None:
    assert len(sheet.lines) == height
    assert max(width_of(line) for line in sheet.lines) <= width
    assert sheet.field is not None
    assert sheet.field.row < height
    assert sheet.field.column + sheet.field.width <= width
    assert words(sheet.lines).split("\n")[sheet.field.row].ljust(width)[: sheet.field.column].endswith("> ")


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("learner", [True, False])
def test_every_question_of_a_walk_fits_with_its_choices_in_view(
    width: int, height: int, learner: bool
) -> None:
    for prompt in prompts():
        sheet = draw_walk(view_of(prompt, learner=learner), width, height)
        fits(sheet, width, height)
        for choice in prompt.question.choices:
            assert f"{choice.digit}  {choice.text[:20]}" in words(sheet.lines)


@pytest.mark.parametrize(("width", "height"), SIZES[1:])
def test_words_40_percent_longer_still_leave_the_field_and_the_way_out(width: int, height: int) -> None:
    with longer_words():
        for prompt in prompts():
            sheet = draw_walk(view_of(prompt), width, height)
            fits(sheet, width, height)
            assert "Esc" in plain(sheet.lines[-1])
        assert max(width_of(line) for line in help_lines(width)) <= width


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("tiers", [1, 3, 30])
def test_safety_lines_stand_on_a_pour_in_the_brief_form_too(width: int, height: int, tiers: int) -> None:
    *_before, name, pour = prompts(tiers)
    assert "Gloves and glasses on." in words(draw_walk(view_of(name, learner=False), width, height).lines)
    shown = words(draw_walk(view_of(pour, learner=False), width, height).lines)
    assert "Cap on before you touch the next one." in shown


def test_looking_down_shows_what_did_not_fit() -> None:
    prompt = next(iter(prompts()))
    long = replace(
        prompt, question=replace(prompt.question, before=tuple(f"sentence {n}" for n in range(40)))
    )
    seen = "".join(
        words(draw_walk(replace(view_of(long), scroll=scroll), 60, 20).lines) for scroll in range(-60, 61, 5)
    )
    assert all(f"sentence {n}" in seen for n in range(40))


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("signs", ["ascii", "lines", "shades", "blocks"])
def test_todays_page_fits_and_numbers_what_opens(width: int, height: int, signs: str) -> None:
    today = FakeSession().today()
    view = TodayView(today=today, show=FakeSession().rack.show, commands=offered(TODAY), signs=signs)
    sheet = draw_today(view, width, height)
    fits(sheet, width, height)
    assert "1  Dose of" in words(sheet.lines)
    assert "46 litres" in words(sheet.lines)
    if signs == "ascii":
        assert words(sheet.lines).isascii()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_page_with_too_much_on_it_says_that_there_is_more(width: int, height: int) -> None:
    today = FakeSession().today()
    due = tuple(Item(what=f"Task {n}", because="x" * 50, opens="walk:x") for n in range(60))
    view = TodayView(today=replace(today, due=due), show=FakeSession().rack.show, commands=offered(TODAY))
    sheet = draw_today(view, width, height)
    fits(sheet, width, height)
    assert "more below" in words(sheet.lines)
    bottom = draw_today(replace(view, scroll=sheet.scrolls[1]), width, height)
    assert "LAST ROUND" in words(bottom.lines)


@pytest.mark.parametrize("signs", ["ascii", "lines", "shades", "blocks"])
@pytest.mark.parametrize("level_l", [None, 0.0, 29.0, 46.0, 60.0, 75.0])
def test_the_picture_stays_inside_its_place(signs: str, level_l: float | None) -> None:
    today = replace(FakeSession().today(), level_l=level_l)
    for width in range(26, 80, 7):
        for height in (3, 8, 14, 19, 36):
            lines = rack_picture(today, show=FakeSession().rack.show, width=width, height=height, signs=signs)
            assert len(lines) <= height
            assert max((width_of(line) for line in lines), default=0) <= width


def test_the_water_stands_higher_in_a_fuller_reservoir() -> None:
    def rows_of_water(level_l: float) -> int:
        today = replace(FakeSession().today(), level_l=level_l, tiers=())
        lines = rack_picture(today, show=FakeSession().rack.show, width=40, height=10, signs="ascii")
        return sum("~" in plain(line) for line in lines)

    heights = [rows_of_water(level) for level in (0, 15, 30, 45, 60)]
    assert heights == sorted(heights)
    assert heights[0] == 0 < heights[-1]


def test_a_footer_names_at_most_six_keys_and_always_the_last() -> None:
    for _title, commands in groups():
        for width in (60, 80):
            shown = plain(footer(offered(commands), width))
            assert width_of(footer(offered(commands), width)) <= width
            assert shown.rstrip().endswith(offered(commands)[-1][1])


def test_every_key_does_one_thing_on_its_page() -> None:
    for _title, commands in groups():
        keys = [key for command in commands for key in (*command.keys, *command.letters)]
        assert len(keys) == len(set(keys))


def test_no_command_needs_a_key_that_terminals_cannot_tell_apart_or_keep() -> None:
    taken = {"ctrl+i", "ctrl+j", "ctrl+m", "ctrl+h", "ctrl+b", "ctrl+a", "ctrl+s"}
    for _title, commands in groups():
        for command in commands:
            assert not taken & set(command.keys)
            assert not any(key.startswith("alt+") for key in command.keys)


def test_the_readme_holds_the_table_of_keys() -> None:
    readme = Path(__file__).parents[3] / "README.md"
    assert key_table() in readme.read_text("utf-8")


@pytest.mark.parametrize("width", [60, 80])
def test_the_way_to_the_drills_stands_in_every_footer(width: int) -> None:
    pages = (WALK, ASIDE, TODAY, LISTS, DIARY, TRENDS, TAUGHT, EVENT, PROBLEMS, TASKS, TOLD, NOTE, HELP)
    for page in pages:
        shown = [c for c in page if c.name not in ("GoOn", "BackToQuestion", "RedoPart", "Same")]
        assert "d emergency" in plain(footer(offered(shown), width))
    assert "F9 emergency" in plain(
        footer(offered(WALK, words=True), width)
    )  # in a field of words d is a letter
