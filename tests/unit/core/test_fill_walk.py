"""The first fill, walked through the engine."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path

import pytest

from tendtui.core.event import Change, Note, Poured, Reading, TaskDone
from tendtui.core.fill_walk import FillScript
from tendtui.core.rack import Feed, Rack, Reservoir, Tier
from tendtui.core.setup_fill import weight_said
from tendtui.core.setup_toml import rack_toml
from tendtui.core.walk import Finish, Walk, enter, fold, here, prompt
from tendtui.core.walk_value import Answer
from tendtui.errors import RefusedError
from tendtui.store.folder import Folder
from tendtui.store.rack_file import edit_rack, install_rack
from tendtui.value import replace
from tests.support.setup_data import ASKS, NOW

TIER = Tier(name="Top", pipe_inside_mm=80.0, length_m=1.6, outlet_height_mm=45.0)
RACK = Rack(
    name="Attic",
    reservoir=Reservoir(full_l=60.0, least_l=25.0),
    tiers=(TIER, replace(TIER, name="Low", length_m=2.0)),
    feeds=(Feed(name="A", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),),
)
GOOD: Mapping[str, str] = {
    "fill.ready": "",
    "fill.weight": "1",
    "fill.full": "62",
    "fill.flow": "1",
    "fill.pipes": "12",
    "fill.leak": "1",
    "fill.mend": "",
    "fill.leak2": "1",
    "fill.stop": "",
    "fill.stopped": "64",
    "fill.room": "1",
    "fill.stands": "1",
    "fill.gurgle": "",
    "fill.brim": "80",
    "fill.marks": "1",
    "fill.conductivity": "0.3",
    "fill.ph": "7.4",
    "fill.temperature": "15",
    "fill.seen": "",
}


def _at(given: Mapping[str, str], key: str = "", rack: Rack = RACK) -> tuple[FillScript, Walk]:
    script, walk = FillScript(rack=rack, asks=ASKS), Walk(kind="fill", id="w", began=NOW, by="Ida")
    while (place := here(walk, script)) is not None and place[1].key != key:
        asked = place[1].key
        now = max(NOW + timedelta(minutes=len(walk.entries)), place[1].until or NOW)
        walk = enter(walk, script, key=asked, typed={**GOOD, **given}[asked], now=now, by="Ida").walk
    return script, walk


def test_dry_counts_after_a_quarter_of_an_hour_and_a_leak_at_once() -> None:
    script, walk = _at({}, "fill.leak")
    soon = walk.entries[-1].at + timedelta(minutes=2)
    with pytest.raises(RefusedError, match=r"It is \d\d:\d\d; look at \d\d:\d\d\. A leak is said at once"):
        enter(walk, script, key="fill.leak", typed="1", now=soon, by="Ida")
    assert enter(walk, script, key="fill.leak", typed="3", now=soon, by="Ida").walk.entries[-1].word == "runs"
    script, walk = _at({}, "fill.stopped")
    soon = walk.entries[-1].at + timedelta(minutes=2)
    with pytest.raises(RefusedError, match="look at"):
        enter(walk, script, key="fill.stopped", typed="66", now=soon, by="Ida")
    left_out = enter(walk, script, key="fill.stopped", typed="", now=soon, by="Ida").walk
    assert left_out.entries[-1].word == "unknown"


def test_without_a_known_brim_the_reservoir_is_weighed_at_its_full_mark() -> None:
    known = replace(RACK, reservoir=replace(RACK.reservoir, brim_l=80.0))
    assert "in the pipes, 80 kg in the reservoir" in weight_said(known)[0]
    unknown = replace(RACK, reservoir=replace(RACK.reservoir, brim_l=None))
    said = weight_said(unknown)[0]
    assert f"{RACK.reservoir.full_l:.0f} kg at the full mark, more to its brim" in said


def _finish(given: Mapping[str, str], rack: Rack = RACK) -> Finish:
    script, walk = _at(given, rack=rack)
    return script.finish(walk, fold(walk.entries), NOW)


def test_counted_litres_go_to_the_rack_file_and_the_first_feed_follows(tmp_path: Path) -> None:
    finish = _finish({})
    changes = finish.context["changes"]
    assert changes == {"reservoir.full_L": 62.0, "reservoir.pipes_L": 12.0, "reservoir.brim_L": 80.0}
    assert finish.then == "dose"
    folder = Folder(tmp_path)
    install_rack(folder, rack_toml(RACK).encode())
    assert edit_rack(folder, changes).reservoir.pipes_l == 12.0


def test_the_log_knows_the_water_and_what_it_is_like() -> None:
    note, change, poured, reading = _finish({}).events
    assert isinstance(note, Note)
    assert isinstance(change, Change)
    assert change.litres == 62.0
    assert isinstance(poured, Poured)
    assert (poured.what, poured.litres) == ("water", 74.0)
    assert isinstance(reading, Reading)
    assert (reading.level_l, reading.conductivity_ms_cm, reading.ph) == (62.0, 0.3, 7.4)


def test_walked_again_after_a_leak_its_water_is_logged_once() -> None:
    leaky = _finish({"fill.leak": "2", "fill.leak2": "3"})
    past = tuple(replace(event, id=f"e{n}", seq=n) for n, event in enumerate(leaky.events))
    for typed, logged in (("62", []), ("65", [("water", 3.0)]), ("60", [("drained", 2.0)])):
        script, walk = _at({"fill.full": typed})
        again = replace(script, past=past).finish(walk, fold(walk.entries), NOW).events
        assert [(e.what, e.litres) for e in again if isinstance(e, Poured)] == logged
        assert not any(isinstance(event, Change) for event in again)


def test_pipes_that_stand_full_from_last_time_are_not_counted_anew() -> None:
    past = tuple(replace(event, id=f"e{n}", seq=n) for n, event in enumerate(_finish({}).events))
    rack = replace(RACK, reservoir=replace(RACK.reservoir, pipes_l=12.0))
    script, walk = _at({}, "fill.pipes", rack)
    place = here(walk, replace(script, past=past))
    assert place is not None
    assert place[1].same == "12"


def test_filled_anew_after_it_was_emptied_or_fed_it_is_a_fill_of_its_own() -> None:
    first = _finish({}).events
    fed = Poured(id="f", seq=90, at=NOW, what="A", ml=30.0)
    emptied = Poured(id="d", seq=90, at=NOW, what="drained", litres=74.0)
    for last in (fed, emptied):
        script, walk = _at({})
        again = replace(script, past=(*first, last)).finish(walk, fold(walk.entries), NOW).events
        assert any(isinstance(event, Change) for event in again)


def test_counted_and_computed_litres_are_told_side_by_side() -> None:
    script, walk = _at({}, "fill.seen")
    shown = prompt(walk, script)
    assert shown is not None
    said = "\n".join(shown.question.before)
    # 45 mm in 80 mm: 1600 acos(-1/8) + 5 sqrt(1575) = 2912 mm2, times 3.6 m, and 0.85 L of hose
    assert "Pipes and hose: 12 litres counted, 11.3 litres computed." in said
    assert "2 litres ran back with the pump stopped" in said


def test_litres_far_apart_are_said_so() -> None:
    assert any("That is far apart" in line for line in _finish({"fill.pipes": "16"}).said)


def test_a_rack_that_may_not_bear_it_is_not_filled() -> None:
    finish = _finish({"fill.weight": "2"})
    assert finish.then is None
    assert "Don't fill it" in finish.said[0]
    assert "Not filled" in str(finish.events[0])


def test_the_weight_is_told_with_every_pipe_brim_full() -> None:
    script, walk = _at({}, "fill.weight")
    shown = prompt(walk, script)
    assert shown is not None
    assert shown.question.before == (
        "Pipes filled to the brim: 18 kg of water. The reservoir: 60 kg at the full mark, more to its brim, "
        "which isn't known.",
        "The heaviest tier is Low: 10 kg of water, pipe, pots and lamps not counted.",
    )


def test_a_leak_is_mended_and_watched_again() -> None:
    finish = _finish({"fill.leak": "2"})
    assert finish.then == "dose"


def test_no_feed_goes_into_a_rack_that_leaks() -> None:
    finish = _finish({"fill.leak": "2", "fill.leak2": "3"})
    assert finish.then is None
    assert not any(isinstance(event, Reading) for event in finish.events)
    assert "isn't tight yet" in " ".join(finish.said)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"fill.room": "3"}, "runs over when the pump stops"),
        ({"fill.stands": "2"}, "A tier emptied"),
    ],
)
def test_what_would_flood_or_starve_is_mended_first(given: Mapping[str, str], words: str) -> None:
    finish = _finish(given)
    assert finish.then is None
    assert words in " ".join(finish.said)


def test_little_room_is_said_and_does_not_stop_the_feed() -> None:
    finish = _finish({"fill.room": "2"})
    assert finish.then == "dose"
    assert "Little room is left" in " ".join(finish.said)


def test_without_a_feed_it_ends_after_the_water() -> None:
    finish = _finish({}, rack=replace(RACK, feeds=()))
    assert finish.then is None
    assert "describe the feed" in finish.said[-1]


def test_the_least_mark_keeps_clear_of_the_gurgle_and_is_never_lowered() -> None:
    higher = _finish({"fill.gurgle": "28"}).context["changes"]
    lower = _finish({"fill.gurgle": "10"}).context["changes"]
    assert isinstance(higher, dict)
    assert isinstance(lower, dict)
    assert higher["reservoir.least_L"] == 30.0
    assert "reservoir.least_L" not in lower


def test_a_brim_that_the_count_disproves_is_taken_out() -> None:
    rack = replace(RACK, reservoir=replace(RACK.reservoir, brim_l=61.0))
    changes = _finish({"fill.brim": ""}, rack=rack).context["changes"]
    assert isinstance(changes, dict)
    assert changes["reservoir.brim_L"] is None


def test_what_is_as_said_changes_nothing() -> None:
    given = {"fill.full": "60", "fill.brim": "", "fill.stopped": ""}
    rack = replace(RACK, reservoir=replace(RACK.reservoir, pipes_l=12.0))
    assert _finish(given, rack=rack).context == {}


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("fill.full", "25", "above the least mark"),
        ("fill.full", "0", "litres that went in"),
        ("fill.stopped", "50", "can't stand below the full mark"),
        ("fill.gurgle", "61", "can't be tended"),
        ("fill.brim", "62", "brim must lie above"),
    ],
)
def test_what_cannot_be_is_refused(key: str, typed: str, words: str) -> None:
    script, walk = _at({}, key)
    with pytest.raises(RefusedError, match=words):
        enter(walk, script, key=key, typed=typed, now=NOW + timedelta(hours=2), by="Ida")


def test_litres_that_are_not_those_of_the_mark_are_asked_twice_with_both_named() -> None:
    rack = replace(RACK, reservoir=Reservoir(full_l=30.0, least_l=12.0))
    script, walk = _at({}, "fill.full", rack)
    turn = enter(walk, script, key="fill.full", typed="35", now=NOW, by="Ida")
    assert "35 litres counted by the jug, but 30 litres said for the full mark." in turn.notice
    assert "fill.full" not in fold(turn.walk.entries).by_key
    near_it = enter(walk, script, key="fill.full", typed="32", now=NOW, by="Ida").walk
    assert fold(near_it.entries).value("fill.full") == 32.0


def test_its_water_bears_the_moment_it_was_typed_and_not_the_end() -> None:
    script, walk = _at({})
    answers = fold(walk.entries)
    logged = script.finish(walk, answers, NOW + timedelta(hours=3)).events
    water = [event.at for event in logged if isinstance(event, Change | Poured)]
    assert water == [answers.by_key["fill.pipes"].at] * 2


def test_checks_that_were_looked_at_are_logged_as_done() -> None:
    script, walk = _at({})
    script = replace(script, checks=("Earth pins whole",), check_ids=("earth-and-frame",))
    looked = {"yes": ["earth-and-frame"], "": []}
    for word, tasks in looked.items():
        said = Answer(word=word, reason="" if word else "later", at=NOW)
        answers = replace(fold(walk.entries), by_key={**fold(walk.entries).by_key, "fill.checked": said})
        logged = script.finish(walk, answers, NOW).events
        assert [event.task for event in logged if isinstance(event, TaskDone)] == tasks


@pytest.mark.parametrize(("key", "typed"), [("fill.full", "130"), ("fill.pipes", "4"), ("fill.ph", "3.9")])
def test_a_count_far_off_is_counted_again(key: str, typed: str) -> None:
    script, walk = _at({}, key)
    turn = enter(walk, script, key=key, typed=typed, now=NOW, by="Ida")
    assert turn.notice.startswith("[!]")
    place = here(turn.walk, script)
    assert place is not None
    assert place[1].key == key
    again = enter(turn.walk, script, key=key, typed=typed, now=NOW, by="Ida")
    assert fold(again.walk.entries).by_key[key].look


def test_the_watch_for_leaks_ends_at_a_clock_time() -> None:
    script, walk = _at({}, "fill.leak")
    shown = prompt(walk, script)
    assert shown is not None
    assert shown.question.until == walk.entries[-1].at + timedelta(minutes=15)


def test_the_plug_is_never_asked_for_without_its_caution() -> None:
    for key in ("fill.ready", "fill.flow", "fill.mend", "fill.stop", "fill.gurgle", "fill.marks"):
        assert ASKS[key].safety


def test_a_rack_without_tiers_can_be_filled() -> None:
    finish = _finish({"fill.pipes": "0.5"}, rack=replace(RACK, tiers=()))
    assert finish.then == "dose"


def test_the_list_tells_what_was_found() -> None:
    script, walk = _at({"fill.leak": "2"}, "fill.seen")
    shown = prompt(walk, script)
    assert shown is not None
    rows = {row.name: (row.mark, row.found) for row in shown.rows}
    assert rows["Litres by the jug"][1] == "62 litres, yes, at every outlet, 12 litres"
    assert rows["Leaks"][0] == "[!]"
