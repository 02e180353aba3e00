"""Pouring a plan step by step."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.dose_walk import DoseScript, dose_script
from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.event_words import event_line
from tendtui.core.prompt import Kind, Prompt
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Feed, Meter
from tendtui.core.role import PUT_OFF
from tendtui.core.tank import tank_now
from tendtui.core.walk import enter, skip, undo
from tendtui.core.walk_fold import fold, here
from tendtui.core.walk_prompt import prompt
from tendtui.core.walk_value import Walk
from tendtui.errors import RefusedError
from tendtui.value import replace
from tests.support.dose_case import NOW, RACK, bands, facts

WEAK = {"level_l": 47.0, "conductivity_ms_cm": 1.21, "ph": 6.0, "temperature_c": 21.0}
SOUR = {"level_l": 58.0, "conductivity_ms_cm": 1.6, "ph": 6.9, "temperature_c": 21.0}
FINE = {"level_l": 58.0, "conductivity_ms_cm": 1.6, "ph": 5.9, "temperature_c": 21.0}


class Rounds:
    """A dose walk that a test types into."""

    def __init__(
        self, values: dict[str, float], *, past: tuple[Event, ...] = (), rack: object = RACK
    ) -> None:
        first = Reading(id="r", seq=1, at=NOW - timedelta(minutes=6), by="Mo", source="round", **values)  # type: ignore[arg-type]
        self.events: list[Event] = [*past, first]
        self.walk = Walk(kind="dose", id="w", began=NOW, by="Mo")
        self.at = NOW
        self.rack = RACK if rack is RACK else rack

    @property
    def script(self) -> DoseScript:
        return dose_script(
            rack=self.rack,  # type: ignore[arg-type]
            events=self.events,
            walk=self.walk,
            now=self.at,
            bands=bands(),
            facts=facts(),
        )

    @property
    def asked(self) -> Prompt:
        shown = prompt(self.walk, self.script)
        assert shown is not None
        return shown

    def type(self, typed: str, *, minutes: float = 1.0) -> tuple[Event, ...]:
        self.at += timedelta(minutes=minutes)
        turn = enter(self.walk, self.script, key=self.asked.question.key, typed=typed, now=self.at, by="Ash")
        self.walk = turn.walk
        self.events += turn.events
        self.notice = turn.notice
        return turn.events

    def leave_out(self) -> None:
        self.at += timedelta(minutes=1)
        key = self.asked.question.key
        self.walk = skip(self.walk, self.script, key=key, reason="no-time", now=self.at, by="Ash").walk

    def over(self) -> bool:
        return here(self.walk, self.script) is None


def test_a_leave_plan_is_one_pause() -> None:
    walk = Rounds(FINE)
    assert walk.asked.question.kind is Kind.PAUSE
    assert "Leave it" in walk.asked.question.before[0]
    walk.type("")
    assert walk.over()
    assert walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at).then == "leaving"


def test_a_page_that_says_read_again_says_where_the_number_is_asked() -> None:
    walk = Rounds({"conductivity_ms_cm": 1.2, "ph": 6.9})
    assert walk.asked.question.place == "Read again"
    assert walk.asked.question.ask == "Type nothing yet: the number is asked on the next page."
    walk.type("")
    assert walk.asked.question.kind is Kind.NUMBER


def test_the_pause_says_why_what_to_expect_and_who_poured_today() -> None:
    past = Poured(id="p", seq=0, at=NOW - timedelta(hours=1), by="Ash", what="water", litres=2.0)
    said = " ".join(Rounds(WEAK, past=(past,)).asked.question.before)
    assert "1.21 mS/cm" in said
    assert "nine times in ten" in said
    assert "Ash 07:12 2 litres water" in said


def test_each_amount_is_logged_at_once_with_what_was_planned() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    (water,) = walk.type("12.5")
    assert water == Poured(id=water.id, seq=0, at=walk.at, by="Ash", what="water", litres=12.5, planned=12.5)
    walk.type("feed a")
    planned = float(walk.asked.question.ask.split()[1])
    (feed,) = walk.type(f"{planned:g}")
    assert isinstance(feed, Poured)
    assert (feed.what, feed.ml, feed.planned) == ("Feed A", planned, planned)


def test_the_wrong_bottle_is_refused() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    walk.type("12.5")
    with pytest.raises(RefusedError, match="is not Feed A"):
        walk.type("Feed B")


def test_enter_alone_accepts_no_amount() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    with pytest.raises(RefusedError):
        walk.type("")


def test_another_amount_is_keyed_twice_and_says_the_factor() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    walk.type("12.5")
    walk.type("Feed A")
    planned = float(walk.asked.question.ask.split()[1])
    assert walk.type(f"{planned / 2:g}") == ()
    assert "0.5 times" in walk.notice
    (feed,) = walk.type(f"{planned / 2:g}")
    assert isinstance(feed, Poured)
    assert feed.ml == planned / 2


def test_the_next_part_follows_what_really_went_in() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    walk.type("12.5")
    walk.type("Feed A")
    planned = float(walk.asked.question.ask.split()[1])
    walk.type("20")
    walk.type("20")
    walk.type("Feed B")
    assert float(walk.asked.question.ask.split()[1]) == pytest.approx(20.0, abs=0.5)
    assert planned > 40.0


def test_less_water_means_less_feed() -> None:
    def feed_after(litres: str) -> float:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type(litres)
        if walk.asked.question.key.endswith("0.poured"):
            walk.type(litres)
        walk.type("Feed A")
        return float(walk.asked.question.ask.split()[1])

    assert feed_after("5") < 0.9 * feed_after("12.5")


def brimful_and_weak() -> Rounds:
    brimful = replace(RACK, reservoir=replace(RACK.reservoir, full_l=35.0, least_l=15.0))
    weak = {"level_l": 35.0, "conductivity_ms_cm": 1.2, "ph": 6.0, "temperature_c": 21.0}
    walk = Rounds(weak, rack=brimful)
    walk.type("")
    assert walk.asked.question.ask.startswith("Drain 0.5 litres")
    return walk


def test_more_drained_means_less_feed_by_the_litres_that_are_left() -> None:
    """18 litres stand in the pipes: 45.5 litres in all are brought up, not 52.5."""

    def feed_after(litres: str) -> float:
        walk = brimful_and_weak()
        walk.type(litres)
        if walk.asked.question.place == "Drain":
            walk.type(litres)
        walk.type("Feed A")
        return float(walk.asked.question.ask.split()[1])

    assert feed_after("7.5") == pytest.approx(feed_after("0.5") * 45.5 / 52.5, abs=0.6)


def test_after_another_amount_drained_the_page_gives_what_is_expected_now() -> None:
    walk = brimful_and_weak()
    before = walk.asked.question.before[-1]
    walk.type("7.5")
    walk.type("7.5")
    said = walk.asked.question.before[-1]
    assert said.startswith("After all steps 27.5 litres; 1.59 mS/cm")
    assert before.startswith("After all steps 1.60 mS/cm")


def test_the_wait_is_a_clock_time_and_holds() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    walk.type(walk.asked.question.ask.split()[1])
    until = walk.asked.question.until
    assert until is not None
    assert timedelta(minutes=15) <= until - walk.at <= timedelta(minutes=16)
    assert until.second == 0
    with pytest.raises(RefusedError, match="read at"):
        walk.type("")
    walk.type("", minutes=20)
    assert walk.asked.question.key.endswith(".conductivity")


def test_a_wait_cut_short_says_so_at_the_reading() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    walk.type(walk.asked.question.ask.split()[1])
    walk.leave_out()
    assert "nothing is poured on it" in walk.asked.question.before[0]


def pour_acid(walk: Rounds) -> float:
    walk.type("")
    walk.type("Acid")
    amount = float(walk.asked.question.ask.split()[1])
    walk.type(f"{amount:g}")
    walk.type("", minutes=20)
    return amount


def test_the_next_portion_comes_from_the_new_reading_until_it_is_left() -> None:
    walk = Rounds(SOUR)
    first = pour_acid(walk)
    (conductivity,) = walk.type("1.61")
    assert isinstance(conductivity, Reading)
    assert conductivity.source == "dose"
    walk.type("6.4")
    second = pour_acid(walk)
    assert second <= first
    walk.type("1.61")
    walk.type("5.9")
    assert "Leave it" in walk.asked.question.before[0]
    walk.type("")
    assert walk.over()
    finish = walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at)
    assert sum(line.startswith("pour Acid") for line in finish.said) == 2


def test_a_reading_far_from_the_expected_is_taken_twice() -> None:
    walk = Rounds(SOUR)
    pour_acid(walk)
    walk.type("1.61")
    assert walk.type("4.2") == ()
    assert "far from what was expected" in walk.notice


def test_nothing_poured_ends_without_a_reading() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    walk.type("0")
    walk.type("0")
    assert walk.over()


def test_a_bottle_left_out_ends_it_too() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.leave_out()
    assert walk.over()


def test_a_part_left_out_takes_the_other_parts_with_it() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    walk.type("12.5")
    walk.leave_out()  # Feed A: the tool is missing
    assert walk.asked.question.until is not None


def test_a_reading_left_out_ends_the_walk() -> None:
    walk = Rounds(SOUR)
    pour_acid(walk)
    walk.type("1.61")
    walk.leave_out()
    assert walk.over()


class TestLeftBetweenLabelAndMark:
    def left(self) -> Rounds:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type("12.5")
        walk.type("Feed A")
        walk.at += timedelta(minutes=30)
        return walk

    def test_it_first_asks_whether_any_went_in(self) -> None:
        walk = self.left()
        assert [choice.word for choice in walk.asked.question.choices] == ["none", "all", "part", "unknown"]

    def test_a_short_gap_in_one_run_asks_nothing(self) -> None:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type("12.5")
        walk.type("Feed A")
        assert walk.asked.question.kind is Kind.NUMBER

    def test_a_short_gap_between_two_runs_asks(self) -> None:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type("12.5")
        walk.type("Feed A")
        resumed: dict[str, object] = {"resumed_at": walk.at + timedelta(seconds=40)}
        walk.walk = replace(walk.walk, context=resumed)
        assert walk.asked.question.kind is Kind.CHOICE

    def test_all_is_logged_as_planned(self) -> None:
        walk = self.left()
        (feed,) = walk.type("2")
        assert isinstance(feed, Poured)
        assert feed.ml == feed.planned
        assert walk.asked.question.place == "Feed B"

    @pytest.mark.parametrize("answer", ["1", "3"])
    def test_none_and_part_ask_for_the_amount(self, answer: str) -> None:
        walk = self.left()
        assert walk.type(answer) == ()
        assert walk.asked.question.key.endswith(".poured")

    def test_dont_know_reads_before_anything_more(self) -> None:
        walk = self.left()
        (note,) = walk.type("4")
        assert isinstance(note, Note)
        assert walk.asked.question.until is not None


def test_undo_takes_the_pour_out_of_the_diary_and_asks_again() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    (water,) = walk.type("12.5")
    turn = undo(walk.walk, walk.script, now=walk.at, by="Ash")
    assert turn.events[0].replaces == water.id
    walk.walk = turn.walk
    assert walk.asked.question.place == "Water"


def test_the_same_answers_give_the_same_questions() -> None:
    walk = Rounds(SOUR)
    pour_acid(walk)
    later = dose_script(
        rack=RACK,
        events=walk.events,
        walk=walk.walk,
        now=walk.at + timedelta(hours=1),
        bands=bands(),
        facts=facts(),
    )
    assert prompt(walk.walk, later) == walk.asked


def test_a_change_is_offered_now_or_later() -> None:
    walk = Rounds(SOUR | {"conductivity_ms_cm": 5.5})
    assert [choice.word for choice in walk.asked.question.choices] == ["now", "later"]
    walk.type("1")
    assert walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at).then == "change"


def test_a_change_put_off_is_logged_and_the_rest_is_still_offered() -> None:
    rack = replace(RACK, target=replace(RACK.target, change_every_days=10))
    change = Change(id="c", seq=0, at=NOW - timedelta(days=12), litres=40.0)
    walk = Rounds(WEAK, past=(change,), rack=rack)
    assert walk.asked.question.choices
    assert walk.asked.question.safety[0].startswith("Pump off")
    assert not any("Pump off" in line for line in walk.asked.question.before)
    (note,) = walk.type("2")
    assert isinstance(note, Note)
    assert note.about == PUT_OFF
    assert walk.asked.question.key == "1-why.why"
    assert "Correct it." in walk.asked.question.before
    walk.type("")
    assert walk.asked.question.place == "Water"


def test_a_meter_without_compensation_is_brought_to_25_degrees() -> None:
    rack = replace(RACK, meter=Meter(temperature_compensated=False))
    walk = Rounds(SOUR | {"temperature_c": 15.0}, rack=rack)
    pour_acid(walk)
    (reading,) = walk.type("1.3")
    assert isinstance(reading, Reading)
    # 2 % a degree, ten degrees: 1.3 / 0.8
    assert reading.conductivity_ms_cm == pytest.approx(1.3 / 0.8, rel=0.02)


def test_water_no_reservoir_holds_is_refused() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    with pytest.raises(RefusedError, match="can't take or give"):
        walk.type("120")


def test_solution_is_drained_and_replaced_step_by_step() -> None:
    walk = Rounds(FINE | {"conductivity_ms_cm": 2.3})
    walk.type("")
    drained = walk.asked.question.ask.split()[1]
    (out,) = walk.type(drained)
    assert isinstance(out, Poured)
    assert (out.what, out.litres) == ("drained", float(drained))
    (water,) = walk.type(walk.asked.question.ask.split()[1])
    assert isinstance(water, Poured)
    assert water.what == "water"
    assert walk.asked.question.until is not None


def test_a_powder_is_logged_in_grams_and_its_tool_named() -> None:
    feeds = (Feed(name="Salts", label_g_per_l=1.2, label_conductivity_ms_cm=1.5),)
    walk = Rounds(FINE | {"conductivity_ms_cm": 1.2}, rack=replace(RACK, feeds=feeds))
    walk.type("")
    walk.type("Salts")
    assert "scale" in walk.asked.question.how
    (salts,) = walk.type(walk.asked.question.ask.split()[1])
    assert isinstance(salts, Poured)
    assert salts.ml is None
    assert salts.g == salts.planned


def poured() -> Rounds:
    """Pour acid, and stand at the wait."""
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    walk.type(walk.asked.question.ask.split()[1])
    return walk


def too_early() -> Rounds:
    """Pour acid, leave the wait out, and read at once."""
    walk = poured()
    walk.leave_out()
    walk.type("1.6")
    walk.type("6.8")
    return walk


def test_what_is_read_before_it_is_mixed_is_marked_and_nothing_is_poured_on_it() -> None:
    walk = too_early()
    marked = [e.unmixed for e in walk.events if isinstance(e, Reading) and e.source == "dose"]
    assert marked == [("conductivity",), ("ph",)]
    steps = walk.script.plan(fold(walk.walk.entries)).steps
    assert [type(step).__name__ for step in steps] == ["Wait", "Read"]
    assert "let it mix" in " ".join(walk.asked.question.before)


def test_the_clock_of_a_wait_that_was_left_out_stays_the_same() -> None:
    walk = poured()
    until = walk.asked.question.until
    walk.leave_out()
    walk.type("1.6")
    walk.type("6.8")
    walk.type("")
    assert until is not None
    assert walk.asked.question.until == until
    walk.type("", minutes=20)
    walk.type("1.6")
    walk.type("6.4")
    assert walk.script.plan(fold(walk.walk.entries)).readings.ph == 6.4


def test_the_log_alone_gives_the_same_wait() -> None:
    walk = too_early()
    found = tank_now(walk.events, RACK, walk.at)
    assert found.unread == (Quantity.CONDUCTIVITY, Quantity.PH)
    assert found.ph is not None
    assert found.ph.value == SOUR["ph"]


def test_a_wait_that_was_left_out_and_yet_kept_marks_nothing() -> None:
    walk = poured()
    walk.leave_out()
    walk.type("1.6", minutes=16)
    walk.type("6.4")
    assert not any(e.unmixed for e in walk.events if isinstance(e, Reading))
    assert walk.script.plan(fold(walk.walk.entries)).readings.ph == 6.4


def test_too_much_of_one_part_takes_the_other_along_as_far_as_the_band_reaches() -> None:
    def second_after(share: float) -> tuple[float, float]:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type("12.5")
        walk.type("Feed A")
        planned = float(walk.asked.question.ask.split()[1])
        for _keying in range(2):
            walk.type(f"{share * planned:g}")
        walk.type("Feed B")
        return planned, float(walk.asked.question.ask.split()[1])

    planned, second = second_after(1.2)
    assert second == pytest.approx(1.2 * planned, abs=0.5)
    planned, second = second_after(3.0)
    assert planned < second < 2.0 * planned


def test_what_to_expect_follows_what_really_went_in() -> None:
    def expected(share: float) -> float:
        walk = Rounds(WEAK)
        walk.type("")
        walk.type("12.5")
        for bottle in ("Feed A", "Feed B"):
            walk.type(bottle)
            planned = float(walk.asked.question.ask.split()[1])
            walk.type(f"{share * planned:g}")
            if walk.asked.question.key.endswith(".poured"):
                walk.type(f"{share * planned:g}")
            share = 1.0
        walk.type("", minutes=20)
        return float(dict(walk.asked.question.facts)["expected"].split()[0])

    low = [expected(share) for share in (0.6, 1.0, 1.2)]
    assert low[0] < low[1] < low[2]


def test_a_page_under_way_promises_nothing_that_was_not_poured() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    promised = walk.asked.question.before[-1]
    walk.type("12.5")
    walk.type("Feed A")
    walk.type("20")
    walk.type("20")
    said = " ".join(walk.asked.question.before)
    assert promised.startswith("After all steps 1.60 mS/cm")
    assert promised not in said
    assert "After all steps 59.5 litres; 1.26 mS/cm" in said
    assert "reckoned anew" in said


def test_the_page_says_why_also_in_brief_form() -> None:
    said = next(line for line in Rounds(SOUR).asked.question.before if line.startswith("Why: "))
    assert "pH 6.9 is over the wanted 5.6 to 6.2." in said


def test_what_was_left_out_is_said_at_the_end_and_stands_in_the_diary() -> None:
    walk = poured()
    walk.leave_out()
    walk.leave_out()
    walk.leave_out()
    assert walk.over()
    end = walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at)
    left = [said for said in end.said if said.startswith("Not done: ")]
    assert [said.split(" (")[0] for said in left] == ["Not done: wait until 08:30", "Not done: read again"]
    (note,) = end.events
    assert isinstance(note, Note)
    assert note.text == " ".join(left)


def test_nothing_left_out_leaves_no_note() -> None:
    walk = Rounds(FINE)
    walk.type("")
    assert walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at).events == ()


def test_a_reading_of_the_next_morning_is_not_held_against_what_was_expected() -> None:
    walk = poured()
    walk.type("", minutes=20)
    assert walk.asked.question.facts
    walk.at += timedelta(hours=17)
    assert not walk.asked.question.facts
    assert "hours ago" in walk.asked.question.before[0]
    walk.type("1.6")
    assert [e.ph for e in walk.type("6.8") if isinstance(e, Reading)] == [6.8]


def test_a_too_early_reading_is_called_so_at_the_end() -> None:
    walk = too_early()
    said = walk.script.finish(walk.walk, fold(walk.walk.entries), walk.at).said
    assert any("pH 6.8, before it was mixed" in line for line in said)


def test_a_plan_of_yesterday_is_not_begun_any_more() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    with pytest.raises(RefusedError, match="The plan is of yesterday 08:12: too old to pour by"):
        walk.type("Acid", minutes=18 * 60 + 300)
    walk.leave_out()
    assert walk.over()


def test_one_that_was_begun_goes_on() -> None:
    walk = Rounds(WEAK)
    walk.type("")
    walk.type("12.5")
    assert walk.type("Feed A", minutes=18 * 60) == ()


def test_what_is_drained_comes_out_and_makes_room() -> None:
    walk = Rounds(WEAK | {"conductivity_ms_cm": 2.6, "level_l": 59.0, "ph": 6.0})
    walk.type("")
    asked = walk.asked.question
    assert "makes room" in asked.why
    walk.type("1")
    assert "what really came out" in walk.notice


def test_two_amounts_that_differ_are_both_kept_and_marked() -> None:
    walk = Rounds(SOUR)
    walk.type("")
    walk.type("Acid")
    assert walk.type("9000") == ()
    (acid,) = walk.type("40")
    assert isinstance(acid, Poured)
    assert (acid.ml, acid.typed_first, acid.doubt) == (40.0, 9000.0, ("amount",))
    assert "two amounts that don't agree" in walk.notice
    assert event_line(acid, RACK.show, {}).startswith("[!] poured Acid: 40 millilitres")


def test_an_amount_typed_once_bears_no_mark() -> None:
    walk = poured()
    (acid,) = (event for event in walk.events if isinstance(event, Poured))
    assert (acid.typed_first, acid.doubt) == (None, ())
