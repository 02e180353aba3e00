"""Today's page, diary, lists, who, help, problems, the first run: by keyboard, with hostile names."""

from __future__ import annotations

import pytest

from tendtui.core.event import Note, Reading
from tendtui.core.state import Person, State
from tendtui.core.today import Item, Today
from tendtui.errors import StateError
from tendtui.tui.commands import groups
from tendtui.value import replace
from tests.support.fake_session import AT, NASTY, FakeSession, a_note, fake_rack
from tests.support.keyboard import open_app

SIZES = ((80, 24), (60, 20), (60, 16), (200, 60))


def a_reading() -> Reading:
    return Reading(id="r1", seq=2, at=AT, by=NASTY, level_l=46.0, ph=61.0, flow_l_min={NASTY: 2.0})


@pytest.mark.parametrize("size", SIZES)
async def test_every_page_opens_with_names_that_look_like_markup(size: tuple[int, int]) -> None:
    desk = FakeSession(events=(a_note(), a_reading()))
    async with open_app(desk, size=size) as at:
        await at.sees("TODAY", "Nothing is unsaved.")
        for key, words in (
            ("h", "DIARY"),
            ("l", "LISTS"),
            ("p", "PROBLEMS"),
            ("?", "HELP"),
            ("w", "WHO IS HERE"),
        ):
            await at.until(lambda: at.is_ready)
            await at.send(key)
            await at.sees(words)
            await at.press("pagedown", "pageup")
            await at.send("\x1b")
            await at.sees("TODAY")


async def test_digits_open_what_they_stand_before() -> None:
    async with open_app(FakeSession()) as at:
        await at.sees("1  Dose of", "2  Round", "3  Change day")
        await at.enter("9")
        await at.sees("There is no line 9 here.")
        await at.enter("2")
        await at.sees("ROUND")


async def test_the_rack_is_drawn_with_its_level_and_every_tier() -> None:
    async with open_app(FakeSession()) as at:
        await at.sees("46 litres", "full 60", "least 30", "2.0 L/min")


async def test_a_small_window_says_the_rack_in_lines() -> None:
    async with open_app(FakeSession(), size=(60, 20)) as at:
        await at.sees(f"{NASTY}.0", "reservoir", "46 litres")


async def test_the_diary_is_newest_first_and_filters_by_kind() -> None:
    desk = FakeSession(events=(a_note("older"), a_reading()))
    async with open_app(desk) as at:
        await at.send("h")
        await at.sees("everything, 2 entries")
        assert at.text.index("46 litres") < at.text.index("older")
        await at.send("f")
        await at.sees("readings, 1 entry")
        assert "older" not in at.text


async def test_a_typing_mistake_is_corrected_by_a_new_event() -> None:
    desk = FakeSession(events=(a_reading(),))
    async with open_app(desk) as at:
        await at.send("h")
        await at.enter("1")
        await at.sees("ENTRY", "Was something typed wrong?")
        await at.enter("2")
        await at.sees("pH: type what is right", "pH >")
        await at.enter("6,1")
        await at.sees("Corrected. Both are kept")
    (event,) = desk.events
    assert isinstance(event, Reading)
    assert (event.ph, event.level_l, event.replaces) == (6.1, 46.0, "r1")


async def test_a_refused_correction_changes_nothing_and_says_why() -> None:
    desk = FakeSession(events=(a_reading(),))
    async with open_app(desk) as at:
        await at.send("h")
        await at.enter("1", "2", "sour")
        assert at.page.notice
        assert desk.events == (a_reading(),)


async def test_a_name_that_is_not_usual_is_taken_as_typed() -> None:
    desk = FakeSession(by="")
    async with open_app(desk) as at:
        await at.enter("2")
        await at.sees("WHO IS HERE", "1  Mo")
        await at.enter("Kit [/]")
        await at.sees("ROUND", "Kit [/]")
        assert desk.by == "Kit [/]"


async def test_the_help_page_names_every_command() -> None:
    async with open_app(FakeSession(), size=(100, 120)) as at:
        await at.send("?")
        await at.sees("HELP")
        for _title, commands in groups():
            for command in commands:
                if command.told():
                    assert command.told()[:40] in at.text
                    assert command.all_keys().split(", ")[0] in at.text


async def test_no_footer_has_more_than_six_keys() -> None:
    desk = FakeSession(stale=True)
    async with open_app(desk) as at:
        await at.enter("2", "46")
        await at.send("\x1b")
        await at.sees("TODAY")
        await at.enter("2")
        await at.sees("r redo part", "Esc pause")
        assert len([part for part in at.text.split("\n")[-1].split("   ") if part.strip()]) <= 6


async def test_findings_are_shown_with_file_line_and_what_to_do() -> None:
    async with open_app(FakeSession()) as at:
        await at.send("p")
        await at.sees("rack.toml:7", f"{NASTY} has no length. Write length_m.")


async def test_a_stop_stands_on_every_page() -> None:
    class Stopped(FakeSession):
        def today(self, by: str | None = None) -> Today:
            return replace(
                super().today(by), stop=(Item(what="Water near the plug", because="", opens="finding:1"),)
            )

    async with open_app(Stopped()) as at:
        await at.sees("STOP", "Water near the plug")
        await at.send("h")
        await at.sees("DIARY", "[!] STOP  Water near the plug")


async def test_the_first_run_offers_set_up_a_look_round_and_the_way_out() -> None:
    async with open_app(FakeSession(rack_of=None)) as at:
        await at.sees("describe your rack", "look round", "3  leave")
        await at.enter("2")
    assert at.app.return_value == "demo"


async def test_leaving_waits_for_a_save_under_way() -> None:
    import threading

    desk = FakeSession(gate=threading.Event())
    async with open_app(desk) as at:
        await at.enter("2")
        await at.send("46\n")
        at.app.leave()
        await at.settle()
        assert at.app.return_value is None
        assert at.app.is_running
        assert desk.gate is not None
        desk.gate.set()
        await at.until(lambda: not at.app.is_running or at.app.saving.locked() is False)
    assert desk.state.walks["round"].entries[-1].typed == "46"


async def test_an_empty_diary_says_so() -> None:
    async with open_app(FakeSession()) as at:
        await at.send("h")
        await at.sees("Nothing has been written yet.")


async def test_looking_past_the_end_of_the_diary_reads_on() -> None:
    desk = FakeSession(events=(a_reading(),), older=(a_note("a year ago"),))
    async with open_app(desk) as at:
        await at.send("h")
        await at.sees("1 entry")
        await at.press("pagedown")
        await at.sees("2 entries", "a year ago")


async def test_a_page_that_cannot_be_made_says_why_and_keeps_the_ways_out() -> None:
    class Broken(FakeSession):
        def today(self, by: str | None = None) -> Today:
            raise StateError("this is not TOML", "Mend line 3.", file="log/2026-11.toml", line=3)

    async with open_app(Broken()) as at:
        await at.sees("log/2026-11.toml:3: this is not TOML. Mend line 3.", "q leave")
        await at.send("p")
        await at.sees("PROBLEMS", "rack.toml:7")


async def test_a_folder_held_elsewhere_is_said_with_who_and_one_may_look() -> None:
    desk = FakeSession(held_by=f"Ash {NASTY} on tty7 since 07:40")
    async with open_app(desk) as at:
        await at.sees("A walk is open elsewhere: Ash", "Look only")
        await at.enter("2")
        await at.sees("NOT NOW", f"in use (Ash {NASTY} on tty7 since 07:40)", "You may look")
        await at.enter("")
        await at.send("h")
        await at.sees("DIARY")
        assert not desk.state.walks


async def test_few_words_are_chosen_once_for_all_and_back() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.sees("TODAY", "Round")
        await at.send("b")
        await at.sees("in few words")
        assert desk.person().form == "brief"
        await at.enter("2")
        await at.sees("Mo, brief")


async def test_the_first_set_up_goes_on_to_the_first_round_and_then_to_todays_page() -> None:
    desk = FakeSession(rack_of=None, numbers_only=1)
    rack = fake_rack()
    desk.rack_for_walks = rack
    async with open_app(desk) as at:
        await at.enter("1")
        await at.sees("reading 0")
        desk.rack_of = rack
        await at.enter("2.0")
        await at.sees("FINISHED")
        await at.enter("")
        await at.sees("ROUND", "[>] 1 reading 0")
        await at.send("\x1b")
        await at.sees("TODAY", "DUE NOW")
        await at.enter("2")
        await at.sees("ROUND")
        await at.send("\x1b")
        await at.sees("TODAY", "DUE NOW")


async def test_a_set_up_under_way_is_named_on_the_first_page_and_gone_on_with() -> None:
    desk = FakeSession(rack_of=None, numbers_only=2)
    desk.rack_for_walks = fake_rack()
    async with open_app(desk) as at:
        await at.enter("1", "2.0")
        await at.sees("[>] 2 reading 1")
        await at.send("\x1b")
        await at.sees("WELCOME", "A set-up is under way, begun", "by Mo.", "1  go on with the set-up")
        assert "No rack is described" not in at.text
        await at.enter("1")
        await at.sees("[>] 2 reading 1")


async def test_a_note_for_the_diary_is_written_from_todays_page() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("n")
        await at.sees("NOTE", "for the diary")
        await at.enter(f"neighbours' cat, {NASTY}")
        await at.sees("TODAY", "The note stands in the diary.")
    (note,) = desk.events
    assert isinstance(note, Note)
    assert note.text == f"neighbours' cat, {NASTY}"


async def test_plants_are_one_key_from_todays_page() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("g")
        await at.until(lambda: "plants" in desk.state.walks)


async def test_people_who_wrote_in_the_diary_are_offered_by_name() -> None:
    desk = FakeSession(events=(replace(a_note(), by="Robin"),))
    async with open_app(desk) as at:
        await at.until(lambda: at.is_ready)
        await at.send("w")
        await at.sees("WHO IS HERE", "1  Mo", "3  Robin")
        await at.enter("3")
        await at.sees("TODAY")
    assert desk.by == "Robin"


async def test_after_five_clean_rounds_fewer_words_are_offered_and_never_forced() -> None:
    desk = FakeSession(numbers_only=1)
    desk.state = State(people={"Mo": Person(clean_rounds=5)})
    async with open_app(desk) as at:
        await at.enter("2", "2.0")
        await at.sees("FINISHED", "AN OFFER", "b fewer words")
        assert desk.person().form == "learner"
        await at.send("b")
        await at.sees("From now on you are asked in few words")
        assert desk.person().form == "brief"
        assert "AN OFFER" not in at.text
        await at.enter("")
        await at.sees("TODAY")


async def test_the_form_is_swapped_for_good_from_any_question() -> None:
    desk = FakeSession()
    async with open_app(desk) as at:
        await at.enter("2")
        await at.sees("hold the probe still")
        await at.send("b")
        await at.sees("in few words")
        assert "hold the probe still" not in at.text
        assert desk.person().form == "brief"


async def test_a_long_entry_is_wrapped_and_the_entries_are_counted_not_the_lines() -> None:
    notes = tuple(
        replace(a_note(f"a note that is long {'and long ' * 12}end {n}"), id=f"n{n}") for n in range(9)
    )
    async with open_app(FakeSession(events=notes)) as at:
        await at.until(lambda: at.is_ready)
        await at.send("h")
        await at.sees("everything, 9 entries", "end 8", "entries 1 to ", " of 9: PageUp")


async def test_looks_are_read_in_the_words_of_the_round() -> None:
    event = replace(a_reading(), looks={"pump.pump": "steady-hum"})
    async with open_app(FakeSession(events=(event,)), size=(100, 40)) as at:
        await at.until(lambda: at.is_ready)
        await at.send("h")
        await at.enter("1")
        await at.sees("ENTRY", f"flow at {NASTY}", "hum")
        assert "steady-hum" not in at.text


async def test_who_describes_the_rack_says_who_they_are_first() -> None:
    async with open_app(FakeSession(by=""), first="walk:setup") as at:
        await at.sees("WHO IS HERE", "1  Mo")
