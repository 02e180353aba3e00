"""The entry field: what it takes, what it refuses in words, what a letter means."""

from __future__ import annotations

import pytest
from textual import events

from tendtui.tui.screens.today import TodayPage
from tendtui.tui.widgets.ask import Ask, Takes
from tests.support.fake_session import FakeSession
from tests.support.keyboard import open_app


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ("12,5", "12,5"),
        (".5", ".5"),
        ("5.", "5."),
        ("840ppm500", "840ppm500"),
        ("70F", "70F"),
        ("1.2 mS", "1.2 mS"),
        ("1.2.3", "1.23"),
        ("46x", "46x"),
        ("\u0664\u0666", ""),
        ("k", ""),
        ("4;6", "46"),
        ("46\b\b7", "7"),
    ],
)
async def test_the_field_holds_exactly_what_it_takes(keys: str, text: str) -> None:
    async with open_app(FakeSession(), first="walk:round") as at:
        await at.sees("How")
        await at.send(keys)
        assert at.page.entry.text == text


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("1.2.", "There is a point already; one is enough."),
        ("\u0664", "Only the digits 0 to 9 are taken here."),
        ("k", "k is no command here; a number begins with a digit."),
        ("4;", "; is not part of a number."),
        ("1" * 25, "The field is full: 24 signs at most."),
    ],
)
async def test_a_refused_key_is_refused_in_words(keys: str, words: str) -> None:
    async with open_app(FakeSession(), first="walk:round") as at:
        await at.sees("How")
        await at.send(keys)
        await at.sees(words)


@pytest.mark.parametrize(
    ("pasted", "text"),
    [("1.42\n", "1.42"), ("1.42\n6.1", ""), ("1" * 200, ""), ("[/]", ""), ("\x1b[2J", ""), ("", "")],
)
async def test_a_paste_is_one_number_or_nothing(pasted: str, text: str) -> None:
    async with open_app(FakeSession(), first="walk:round") as at:
        await at.sees("How")
        at.page.entry.post_message(events.Paste(pasted))
        await at.settle()
        assert at.page.entry.text == text
        if not text:
            await at.sees("What was pasted was not taken")


async def test_a_number_typed_at_a_list_is_not_cut_to_another_answer_unseen() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("1.2")
        await at.press("enter")
        await at.sees("Not all that was typed was taken: 12 stands there")
        assert at.page.entry.text == "12"
        await at.send("\b\b2")
        await at.press("enter")
        await at.sees("How")


async def test_a_number_typed_on_a_page_to_be_read_is_not_lost_unseen() -> None:
    async with open_app(FakeSession(), first="walk:round") as at:
        await at.sees("How")
        at.page.entry.ask(Ask(key="pause", takes=Takes.NOTHING))
        await at.send("1.20")
        await at.press("enter")
        await at.sees("The number was not taken: none is asked here. Enter goes on.")


async def test_the_other_enter_is_enter_too() -> None:
    desk = FakeSession()
    async with open_app(desk, first="walk:round") as at:
        await at.sees("How")
        await at.send("46")
        await at.press("ctrl+j")
        await at.sees("[x] 1 level")


async def test_letters_are_words_in_a_field_of_words() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("n")
        await at.sees("Your note")
        await at.send("xnu?=q")
        assert at.page.entry.text == "xnu?=q"


async def test_the_terminals_cursor_stands_behind_what_was_typed() -> None:
    async with open_app(FakeSession(), first="walk:round") as at:
        await at.sees("How")
        spot = at.page.sheet(80, 24).field
        assert spot is not None
        await at.send("46")
        assert tuple(at.app.cursor_position) == (spot.column + 2, spot.row)


async def test_a_covered_page_that_changes_leaves_the_cursor_where_it_is() -> None:
    async with open_app(FakeSession()) as at:
        await at.sees("TODAY", "Round")
        await at.enter("2")
        await at.sees("How")
        stood = at.app.cursor_position
        covered = at.app.screen_stack[0]
        assert isinstance(covered, TodayPage)
        covered.refresh_values()
        await at.until(lambda: covered.entry.is_open)
        await at.settle()
        assert at.app.cursor_position == stood
