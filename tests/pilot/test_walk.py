"""A whole walk by keyboard, at the size of a terminal and of a small one."""

from __future__ import annotations

import asyncio
import threading

import pytest

from tendtui.core.event import Poured, Reading
from tendtui.core.state import State
from tendtui.errors import OutOfTurnError
from tests.support.fake_session import NASTY, FakeOutcome, FakeSession
from tests.support.keyboard import open_app

SIZES = ((80, 24), (80, 23), (60, 20))


@pytest.mark.parametrize("size", SIZES)
async def test_a_whole_walk_is_done_by_keyboard(size: tuple[int, int]) -> None:
    desk = FakeSession()
    async with open_app(desk, size=size) as at:
        await at.enter("2", "46", "1,20", "6.1", "")
        for _tier in desk.rack.tiers:
            await at.sees("How much water?")
            await at.enter("2.0", "1")
        await at.enter(f"Feed {NASTY}", "32.5")
        await at.sees("The round is finished.", f"Look at {NASTY} tomorrow.", "Enter go on   d emergency")
        await at.enter("")
        await at.sees("TODAY")
    reading, poured = (
        next(e for e in desk.events if isinstance(e, Reading)),
        next(e for e in desk.events if isinstance(e, Poured)),
    )
    assert (reading.level_l, reading.conductivity_ms_cm, reading.ph) == (46.0, 1.2, 6.1)
    assert (poured.what, poured.ml) == (f"Feed {NASTY}", 32.5)


@pytest.mark.parametrize("size", SIZES)
async def test_every_question_shows_its_words_its_choices_and_the_field(size: tuple[int, int]) -> None:
    desk = FakeSession()
    async with open_app(desk, size=size) as at:
        await at.enter("2", "46", "1.2", "6.1", "", "2.0")
        await at.sees(
            "What do you see?", "1  white or cream", "5  could not look", "your answer >", "Esc pause"
        )
        spot = at.page.sheet(*size).field
        assert spot is not None
        assert at.text.split("\n")[spot.row].ljust(80)[: spot.column].endswith("> ")


async def test_an_unusual_reading_is_asked_for_a_second_time() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2", "6.1", "", "0.2")
        await at.sees("That is a tenth of last time.", "first reading  0.2", "second reading")
        await at.enter("2.0")
        await at.sees("Both are kept.")


async def test_what_was_typed_ahead_never_becomes_a_second_reading() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2", "6.1", "")
        await at.send("0.2\n3\n")
        await at.sees("second reading")
        await at.until(lambda: at.is_ready)
        assert at.page.entry.text == ""
        assert desk.state.walks["round"].entries[-1].typed == "0.2"


async def test_a_refused_answer_stays_in_the_field_with_the_reason() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "4L6")
        assert at.page.entry.text == "4L6"
        assert desk.state.walks["round"].entries == ()
        assert at.page.notice


async def test_not_done_asks_why_and_keeps_the_reason() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("x")
        await at.sees("Why is it not done?", "3  no time")
        await at.enter("3")
        await at.sees("[-] 1 level")
        assert desk.state.walks["round"].entries[-1].word == "no-time"


async def test_the_last_reason_asks_for_words() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.press("f8")
        await at.enter("5", "the cat sat on it")
        await at.sees("[-] 1 level")
        entry = desk.state.walks["round"].entries[-1]
        assert (entry.word, entry.text) == ("other", "the cat sat on it")


async def test_esc_leaves_the_question_why_and_nothing_has_changed() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("x")
        await at.sees("Why is it not done?")
        await at.send("\x1b")
        await at.sees("Where does the water stand?")
        assert desk.state.walks["round"].entries == ()


async def test_a_note_takes_letters_and_is_shown_where_it_was_written() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("n")
        await at.enter("x n u ? = [/ A] 3")
        await at.sees("note: x n u ? = [/ A] 3")


async def test_undo_takes_the_last_answer_back_and_says_so() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46")
        await at.sees("[x] 1 level")
        await at.send("u")
        await at.sees("[>] 1 level", "Taken back: ")


async def test_backspace_in_an_empty_field_looks_back_and_enter_keeps_the_answer() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46")
        await at.send("\b")
        await at.sees("[>] 1 level", "answered")


async def test_same_goes_into_the_field_and_still_needs_enter() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("=")
        assert at.page.entry.text == "46"
        assert not desk.state.walks["round"].entries
        await at.enter("")
        assert desk.state.walks["round"].entries[-1].same


async def test_explain_swaps_the_form_for_one_question() -> None:
    desk = FakeSession()
    desk.set_form("Mo", "brief")
    async with open_app(desk) as at:
        await at.enter("2")
        assert "hold the probe still" not in at.text
        await at.send("?")
        await at.sees("hold the probe still")
        await at.enter("46")
        assert "hold the probe still" not in at.text


async def test_explain_takes_no_explanation_away_from_a_learner() -> None:
    async with open_app(FakeSession()) as at:
        await at.enter("2")
        await at.sees("hold the probe still")
        await at.send("?")
        await at.sees("This is all there is to say here", "hold the probe still")


async def test_a_stray_word_swaps_no_form_and_one_that_begins_with_the_key_says_so() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.sees("hold the probe still")
        await at.send("abc")
        await at.sees("is no command here")
        assert desk.person().form != "brief"
        await asyncio.sleep(0.6)
        await at.send("basil")
        await at.sees("From now on you are asked in few words", "is no command here")


async def test_a_pause_keeps_everything_and_the_walk_is_taken_up_at_the_same_question() -> None:
    desk = FakeSession(stale=True)
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2")
        await at.send("\x1b")
        await at.sees("TODAY")
        await at.enter("2")
        await at.sees(
            "[>] 3 pH", "Taken up again after 22 minutes; Mo began it at 07:52.", "46", "r measures"
        )
        await at.send("r")
        await at.sees("[>] 1 level")


async def test_looking_further_down_changes_nothing() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("4")
        await at.press("pagedown", "pageup")
        assert at.page.entry.text == "4"
        assert desk.state.walks["round"].entries == ()


async def test_something_else_is_asked_in_words() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2", "6.1", "", "2.0", "4")
        await at.sees("Something else")
        await at.enter("")
        await at.sees("Type a few words, then Enter.")
        await at.enter("green fur")
        assert desk.state.walks["round"].entries[-1].text == "green fur"


async def test_what_is_typed_while_a_walk_opens_is_its_first_answer() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("2\n46\n")
        await at.until(lambda: bool(desk.state.walks["round"].entries))
        assert desk.state.walks["round"].entries[0].value == 46.0


async def test_keys_reach_the_field_that_lost_the_focus() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.sees("your answer >")
        at.page.entry.blur()  # as the library does to a field that was out of sight for a moment
        await at.until(lambda: at.page.focused is None)
        await at.enter("46")
        assert desk.state.walks["round"].entries[-1].value == 46.0


async def test_the_wrong_bottle_is_refused_in_words() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46", "1.2", "6.1", "", "2.0", "1", "2.0", "1", "2.0", "1", "Feed B")
        await at.sees("Feed B is not Feed")
        assert not any(isinstance(event, Poured) for event in desk.events)


async def test_a_failed_save_stays_until_answered_and_a_second_try_saves() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2", "46")
        desk.fail = 2
        await at.enter("1.2")
        await at.sees("NOT SAVED", "state.toml: the disk is full. Make room and try again.", "try again")
        await at.enter("1")
        await at.sees("NOT SAVED")
        await at.enter("1")
        await at.sees("[x] 2 conductivity")
        assert [entry.typed for entry in desk.state.walks["round"].entries] == ["46", "1.2"]


async def test_going_back_from_a_failed_save_leaves_the_answer_in_its_field() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        desk.fail = 1
        await at.enter("46")
        await at.enter("2")
        await at.sees("Where does the water stand?", "the disk is full")
        assert at.page.entry.text == "46"


@pytest.mark.parametrize("tiers", [0, 1, 30])
@pytest.mark.parametrize("size", SIZES)
async def test_any_number_of_tiers_leaves_the_question_in_view(tiers: int, size: tuple[int, int]) -> None:
    from tests.support.fake_session import fake_rack

    desk = FakeSession(rack_of=fake_rack(tiers))
    async with open_app(desk, size=size, first="walk:round") as at:
        await at.sees("Where does the water stand?", "your answer >", "Esc pause")


async def test_a_window_too_small_offers_plain_mode_and_keeps_the_walk() -> None:
    desk = FakeSession()
    async with open_app(desk, size=(40, 12)) as at:
        await at.sees("or press p then Enter")
        await at.enter("p")
    assert at.app.return_value == "plain"


async def test_a_slow_answer_says_that_it_is_at_work_and_then_goes_on() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        desk.gate = threading.Event()
        await at.send("46\n")
        await at.sees("One moment ..")
        desk.gate.set()
        await at.sees("[x] 1 level")
        assert "One moment" not in at.text


async def test_a_wide_window_shows_the_rack_beside_the_question_with_the_tier_marked() -> None:
    async with open_app(FakeSession(), size=(130, 40)) as at:
        await at.enter("2", "46", "1.2", "6.1", "")
        await at.sees("the rack as last read", "46 litres", "[>] pump [/ A]")
        spot = at.page.sheet(130, 40).field
        assert spot is not None
        assert at.text.split("\n")[spot.row][: spot.column].endswith("> ")


async def test_a_walk_that_another_hand_moved_on_is_shown_where_it_stands() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        desk.enter("round", key="level.value", typed="44")
        await at.enter("46")
        await at.sees("[>] 2 conductivity")
        assert [entry.typed for entry in desk.state.walks["round"].entries] == ["44"]


async def test_a_walk_that_another_hand_ended_leads_back_to_todays_page() -> None:
    class Ended(FakeSession):
        def resume(self, kind: str) -> FakeOutcome:
            if not self.state.walks:
                raise OutOfTurnError("This walk is no longer open", "Go back to today's page.")
            return super().resume(kind)

    desk = Ended()
    async with open_app(desk) as at:
        await at.enter("2")

        def gone(*_args: object, **_names: object) -> FakeOutcome:
            desk.state = State()
            raise OutOfTurnError("level.value is not the question asked now", "Nothing was changed.")

        desk.enter = gone  # type: ignore[method-assign]  # another process did it
        await at.enter("46")
        await at.sees("TODAY", "This walk is no longer open.")


async def test_a_sign_is_no_name() -> None:
    async with open_app(FakeSession()) as at:
        await at.until(lambda: at.is_ready)
        await at.send("w")
        await at.sees("WHO IS HERE")
        await at.enter("?")
        await at.sees("? is no name.", "WHO IS HERE")
