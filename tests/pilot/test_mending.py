"""A refused answer, one Backspace too many, Esc and a letter at once, a text that is too long, waiting."""

from __future__ import annotations

import asyncio
import threading

import pytest
from textual import events

from tendtui.errors import RefusedError
from tests.support.fake_session import FakeOutcome, FakeSession
from tests.support.keyboard import open_app


async def test_a_digit_after_a_refusal_begins_anew() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "4L6")
        await at.sees("Type it anew, or mend it with Backspace.")
        await at.send("8")
        assert at.page.entry.text == "8"
        await at.send("0")
        assert at.page.entry.text == "80"


async def test_backspace_after_a_refusal_mends() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2", "46x")
        await at.send("\b")
        assert at.page.entry.text == "46"
        await at.send("5")
        assert at.page.entry.text == "465"


async def test_looking_round_does_not_forget_that_the_text_was_refused() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2", "4L6")
        await at.press("pagedown")
        await at.send("8")
        assert at.page.entry.text == "8"


async def test_a_command_works_right_after_a_refusal() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2", "4L6")
        await at.send("x")
        await at.sees("Why is it not done?")


async def test_another_name_takes_the_place_of_a_refused_one() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2", "6.1", "", "2.0", "1", "2.0", "1", "2.0", "1", "Feed B")
        await at.sees("Feed B is not Feed")
        await at.send("F")
        assert at.page.entry.text == "F"


async def test_a_long_note_that_was_refused_is_mended_not_replaced() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("n")
        await at.enter("leaf " * 110)
        await at.sees("more than the 500 that fit")
        assert len(at.page.entry.text) == 550
        await at.send("!")
        assert len(at.page.entry.text) == 551
        assert not desk.state.walks["round"].entries


async def test_what_finds_no_room_is_said_again_at_enter_and_nothing_is_cut() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("n")
        await at.sees("Your note")
        await at.send("a" * 1001 + "\n")
        await at.sees("Not all of it found room")
        assert not desk.state.walks["round"].entries
        await at.press("ctrl+u")
        assert at.page.entry.text == ""
        await at.enter("short")
        await at.sees("note: short")


async def test_ctrl_u_empties_the_field() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2")
        await at.send("12.5")
        await at.press("ctrl+u")
        assert at.page.entry.text == ""


async def test_one_backspace_too_many_stays_at_the_question_and_says_what_the_next_does() -> None:
    desk = FakeSession()
    async with open_app(desk, quiet_s=0.2) as at:
        await at.enter("2", "46")
        await at.sees("[>] 2 conductivity")
        await at.send("52\b\b\b\b\b")
        await at.sees("[>] 2 conductivity", "The field is empty. Backspace again: back one.")
        await asyncio.sleep(0.25)
        await at.send("\b")
        await at.sees("[>] 1 level", "Back at this one. Enter keeps its answer; a new one takes its place.")


async def test_a_backspace_held_down_goes_back_one_question_only() -> None:
    async with open_app(FakeSession(), quiet_s=0.2) as at:
        await at.enter("2", "46", "1.2")
        await at.sees("[>] 3 pH")
        await at.send("\b\b\b\b")
        await at.sees("[>] 2 conductivity")
        await at.settle()
        await at.sees("[>] 2 conductivity")


async def test_the_question_names_the_way_back() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2", "46")
        await at.sees("Backspace: back one")


async def test_letters_that_were_refused_are_not_called_nothing() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2", "ac")
        await at.sees("Nothing of that was taken: a number begins with a digit")


async def test_esc_and_a_letter_read_as_one_key_are_taken_as_both() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("x")
        await at.sees("Why is it not done?", "Esc back")
        at.app.post_message(events.Key("alt+n", "n"))
        await at.send("note; with ash")
        await at.sees("Your note")
        assert at.page.entry.text == "note; with ash"


async def test_the_footer_of_why_not_says_back() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2")
        await at.send("x")
        await at.sees("Why is it not done?", "Esc back")
        assert "pause" not in at.text.splitlines()[-1]


async def test_waiting_is_said_soon_and_enter_pressed_meanwhile_answers_nothing() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        desk.gate = threading.Event()
        await at.send("46\n")
        await asyncio.wait_for(at.until(lambda: "One moment .." in at.text), 0.35)
        await at.send("\n\n")
        desk.gate.set()
        await at.sees("[>] 2 conductivity")
        assert "Nothing was typed" not in at.text
        assert at.page.entry.is_open
        assert at.page.entry.text == ""


@pytest.mark.parametrize("optional", [True, False])
async def test_an_impatient_enter_is_never_taken_for_do_not_know(optional: bool) -> None:
    desk = FakeSession()
    entered: list[str] = []
    real = desk.enter

    def noted(kind: str, *, key: str, typed: str, same: bool = False) -> FakeOutcome:
        entered.append(typed)
        if not typed and not optional:
            raise RefusedError("Nothing was typed", "Type a number.")
        return real(kind, key=key, typed=typed, same=same)

    desk.enter = noted  # type: ignore[method-assign]  # to see what reaches the session
    async with open_app(desk) as at:
        await at.enter("2")
        desk.gate = threading.Event()
        await at.send("46\n")
        await at.sees("One moment ..")
        await at.send("\n")
        desk.gate.set()
        await at.sees("[>] 2 conductivity")
        await at.until(lambda: at.is_ready)
    assert entered == ["46"]
