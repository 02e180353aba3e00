"""The leaving list."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Event, Poured, Reading
from tendtui.core.leaving import LeavingScript, leaving_script
from tendtui.core.looks import round_words
from tendtui.core.prompt import Question
from tendtui.core.rack import Rack, Reservoir, Tier
from tendtui.core.walk import Finish, Walk, enter, fold, here, note, prompt, skip
from tendtui.errors import RefusedError
from tendtui.value import replace

WORDS = round_words(tomllib.loads(Path("tendtui/data/round.toml").read_text(encoding="utf-8")))
NOW = datetime(2026, 11, 25, 8, 30, tzinfo=UTC)
ROUND = NOW - timedelta(minutes=30)
RACK = Rack(name="Porch", reservoir=Reservoir(full_l=60.0, least_l=30.0))
WALK = Walk(kind="leaving", id="w", began=NOW, by="Mo")


def poured(minute: int, what: str, **amount: float) -> Poured:
    return Poured(id=f"p{minute}", seq=minute, at=ROUND + timedelta(minutes=minute), what=what, **amount)  # type: ignore[arg-type]


EVENTS: tuple[Event, ...] = (
    Poured(id="old", seq=0, at=ROUND - timedelta(days=1), what="Acid", ml=3.0),
    Reading(id="r", seq=1, at=ROUND, level_l=44.0, conductivity_ms_cm=1.2, ph=6.4),
    poured(5, "water", litres=10.0),
    poured(6, "drained", litres=1.0),
    poured(7, "Feed A", ml=32.5),
    poured(8, "Dry feed", g=1.0),
    Reading(id="r2", seq=9, at=ROUND + timedelta(minutes=25), conductivity_ms_cm=1.48, source="dose"),
)


def script(events: tuple[Event, ...] = EVENTS) -> LeavingScript:
    return leaving_script(
        rack=RACK,
        events=events,
        began=NOW,
        words=WORDS,
        context={"round_began": ROUND},
        following=lambda: ("Next round: tomorrow.",),
    )


def finished(typed: dict[str, str], by: LeavingScript) -> Finish:
    walk = WALK
    while (place := here(walk, by)) is not None:
        key = place[1].key
        walk = enter(walk, by, key=key, typed=typed.get(key, "1"), now=NOW, by="Mo").walk
    return by.finish(walk, fold(walk.entries), NOW)


def test_five_things_are_looked_at_and_none_is_ticked_beforehand() -> None:
    stations = script().stations(fold(()))
    assert [s.id for s in stations] == ["lid", "caps", "pump", "meter", "hands"]
    asked: list[Question] = [q for s in stations for q in s.questions]
    assert all(q.quiet and q.where and q.how and q.why and q.good and not q.same for q in asked)
    assert fold(WALK.entries).by_key == {}


def test_the_end_says_what_was_found_done_and_comes_next() -> None:
    finish = finished({"lid.seen": "2", "meter.seen": "5"}, script())
    assert finish.said == (
        "Found: 44 litres, 1.20 mS/cm, pH 6.4.",
        "Read at the end: 1.48 mS/cm.",
        "Done 08:05: 10 litres of water added.",
        "Done 08:06: 1 litre drained.",
        "Done 08:07: 32.5 millilitres of Feed A.",
        "Done 08:08: 1 gram of Dry feed.",
        "[!] lid: lid does not close",
        "[!] meter cap: not looked at",
        "Next round: tomorrow.",
    )
    assert finish.then is None


def test_the_looks_are_logged() -> None:
    finish = finished({"lid.seen": "4 cracked", "hands.seen": "5"}, script())
    (reading,) = finish.events
    assert isinstance(reading, Reading)
    assert reading.looks == {
        "leaving.lid": "else",
        "leaving.caps": "all-back",
        "leaving.pump": "running",
        "leaving.meter": "capped",
    }
    assert reading.not_done == {"leaving.hands": "could-not-look"}
    assert reading.notes == {"leaving.lid": "cracked"}
    assert "[!] lid: cracked" in finish.said


def test_no_bottle_used_is_not_believed_where_one_was() -> None:
    by = script()
    walk = enter(WALK, by, key="lid.seen", typed="1", now=NOW, by="Mo").walk
    with pytest.raises(RefusedError, match=r"Poured from today: Feed A, Dry feed\. Look"):
        enter(walk, by, key="caps.seen", typed="2", now=NOW, by="Mo")
    quiet = script(events=())
    assert (
        enter(walk, quiet, key="caps.seen", typed="2", now=NOW, by="Mo").walk.entries[-1].word == "not-used"
    )


def test_what_the_round_leaves_to_look_at_is_said_again() -> None:
    odd = Reading(
        id="r",
        seq=1,
        at=ROUND,
        ph=9.0,
        doubt=("ph", "flow.Top"),
        looks={
            "Top.roots": "tan-firm",
            "Top.leaves": "green-upright",
            "pump.air": "else",
            "Top.smell": "old",
        },
        not_done={"floor.sockets": "no-time", "Top.flow": "no-tool"},
    )
    rack = replace(RACK, tiers=(Tier(name="Top", pipe_inside_mm=80, length_m=1, outlet_height_mm=50),))
    by = leaving_script(rack=rack, events=(odd,), began=NOW, words=WORDS, context={})
    assert finished({}, by).said[2:] == (
        "Next, before anything is poured: measure again pH; Top, flow.",
        "Next, on tomorrow's round: look again at Top, roots; bubbles.",
        "Left out today, asked again on the next round: sockets and cords; Top, flow.",
    )


def test_nothing_poured_is_said() -> None:
    assert finished({}, script(events=())).said == ("Done: nothing was poured.", "Next round: tomorrow.")


def test_without_a_begin_the_last_hours_count() -> None:
    by = leaving_script(rack=RACK, events=EVENTS, began=NOW, words=WORDS, context={})
    assert [event.id for event in by.today] == [event.id for event in EVENTS[1:]]


def test_notes_and_things_left_out_are_kept() -> None:
    by = script()
    walk = note(WALK, by, text="hinge loose", now=NOW, by="Mo").walk
    walk = skip(walk, by, key="lid.seen", reason="no-time", now=NOW, by="Mo").walk
    shown = prompt(walk, by)
    assert shown is not None
    assert (shown.title, shown.rows[0].found) == ("BEFORE YOU LEAVE", "not looked at")
    while (place := here(walk, by)) is not None:
        walk = enter(walk, by, key=place[1].key, typed="1", now=NOW, by="Mo").walk
    (reading,) = by.finish(walk, fold(walk.entries), NOW).events
    assert isinstance(reading, Reading)
    assert reading.notes == {"leaving.lid": "hinge loose"}


def test_there_is_no_number_to_judge() -> None:
    by = script()
    (asked, *_rest) = (q for s in by.stations(fold(())) for q in s.questions)
    assert by.judge(asked, 1.0, fold(())).again == ""
    assert by.near(asked, 1.0, 1.0)
    assert by.found(by.stations(fold(()))[0], fold(())) == ""
    assert by.meter == RACK.meter


def test_a_doubt_that_a_later_reading_settled_is_not_asked_for_again() -> None:
    doubted = Reading(id="a", seq=1, at=ROUND, conductivity_ms_cm=1.15, ph=6.9, doubt=("conductivity", "ph"))
    again = Reading(id="b", seq=2, at=ROUND + timedelta(minutes=9), conductivity_ms_cm=1.15, source="dose")
    said = finished({}, script((doubted, again))).said
    assert "Next, before anything is poured: measure again pH." in said


def test_a_sign_that_the_day_settled_is_not_said_at_its_end() -> None:
    by = replace(script(), signs=("[!] Odd.", "[!] Still odd."), signs_now=lambda: ("[!] Still odd.",))
    said = finished({}, by).said
    assert "[!] Still odd." in said
    assert "[!] Odd." not in said


def test_what_a_dose_read_last_is_no_find_and_what_the_round_read_is_no_end() -> None:
    late = Reading(id="a", seq=1, at=ROUND, conductivity_ms_cm=1.48, ph=6.1, source="dose")
    walked = Reading(id="b", seq=2, at=ROUND + timedelta(minutes=9), level_l=88.5, ph=6.2, source="round")
    said = finished({}, script((late, walked))).said
    assert said[:2] == ("Found: 88.5 litres, pH 6.2.", "Read at the end: 1.48 mS/cm, pH 6.1.")
