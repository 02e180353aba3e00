"""The round: what is asked along the water, how it is judged, what it leaves in the log."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.band import Band
from tendtui.core.bands import bands_of
from tendtui.core.crops import crops_from
from tendtui.core.event import Event, Poured, Reading, TaskDone
from tendtui.core.habit import Habit
from tendtui.core.looks import round_words
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Device, Measuring, Meter, Rack, Reservoir, Show, Target, Tier
from tendtui.core.round import RoundScript, round_script
from tendtui.core.round_reading import round_reading
from tendtui.core.round_stations import round_stations
from tendtui.core.show import day_words
from tendtui.core.walk import Turn, Walk, enter, fold, here, note, prompt, skip, undo
from tendtui.core.walk_value import Answer, Answers
from tendtui.errors import RefusedError
from tendtui.value import replace

WORDS = round_words(tomllib.loads(Path("tendtui/data/round.toml").read_text(encoding="utf-8")))
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
DAY = timedelta(days=1)
TOP = Tier(name="Top", pipe_inside_mm=80, length_m=1.2, outlet_height_mm=50, crops=("basil",), plants=8)
LOW = replace(TOP, name="Low")
RACK = Rack(
    name="Porch",
    reservoir=Reservoir(full_l=60.0, least_l=30.0),
    tiers=(TOP, LOW),
    target=Target(conductivity_ms_cm=(1.4, 1.8), ph=(5.6, 6.2), temperature_c=(18.0, 23.0)),
    measuring=Measuring(jug_l=2.0),
)
YESTERDAY = Reading(
    id="r1",
    seq=1,
    at=NOW - DAY,
    level_l=47.0,
    conductivity_ms_cm=1.5,
    ph=6.0,
    temperature_c=20.0,
    flow_l_min={"Top": 2.0, "Low": 2.0},
    looks={"Top.roots": "tan-firm"},
)
WALK = Walk(kind="round", id="w", began=NOW, by="Mo")


def script(rack: Rack = RACK, events: Sequence[Event] = (YESTERDAY,)) -> RoundScript:
    return round_script(rack=rack, events=events, began=NOW, words=WORDS)


def asked(walk: Walk, by: RoundScript) -> Question | None:
    place = here(walk, by)
    return None if place is None else place[1]


def walked(by: RoundScript, typed: dict[str, str], *, walk: Walk = WALK) -> tuple[Walk, list[Turn]]:
    """Walk to the end: what `typed` says, else a good figure, the first answer, Enter at a pause."""
    good = {"level": "46", "conductivity": "1.5", "temperature": "20", "ph": "6.0", "flow": "60"}
    turns: list[Turn] = []
    while (question := asked(walk, by)) is not None:
        id_ = question.key.rpartition(".")[2]
        other = {Kind.CHOICE: "1", Kind.PAUSE: ""}.get(question.kind, good.get(id_, ""))
        at = NOW + timedelta(minutes=len(turns))
        turn = enter(walk, by, key=question.key, typed=typed.get(question.key, other), now=at, by="Mo")
        walk, turns = turn.walk, [*turns, turn]
    return walk, turns


def standing_at(key: str, by: RoundScript) -> Walk:
    """Answer what comes before a question, all at once."""
    walk, level = WALK, "46"
    while (question := asked(walk, by)) is not None and question.key != key:
        typed = {Kind.CHOICE: "1", Kind.PAUSE: ""}.get(question.kind, level)
        walk = enter(walk, by, key=question.key, typed=typed, now=NOW, by="Mo").walk
    return walk


def finished(by: RoundScript, typed: dict[str, str] | None = None) -> tuple[Reading, tuple[str, ...]]:
    walk, _turns = walked(by, typed or {})
    finish = by.finish(walk, fold(walk.entries), NOW + DAY)
    assert finish.then == "dose"
    (reading,) = finish.events
    assert isinstance(reading, Reading)
    return reading, finish.said


def newcomers() -> RoundScript:
    return round_script(rack=STAFFED, events=(YESTERDAY,), began=NOW, words=WORDS, by="Zoe")


STAFFED = replace(RACK, people=("Mo", "Ash"), roles={"Ash": "shown"})


@pytest.mark.parametrize(
    ("by", "first"), [("Zoe", "approach"), ("Ash", "approach"), ("Mo", "level"), ("", "level")]
)
def test_who_is_not_the_grower_looks_at_the_floor_before_anything(by: str, first: str) -> None:
    ordered = replace(STAFFED, extra={"round": {"order": ["level", "approach"]}})
    for rack in (STAFFED, ordered):
        stops = round_script(rack=rack, events=(YESTERDAY,), began=NOW, words=WORDS, by=by).stations(fold(()))
        assert stops[0].id == first
        assert len([stop for stop in stops if stop.id == "approach"]) == (first == "approach")


def test_water_on_the_floor_ends_the_round_before_it_begins() -> None:
    walk, turns = walked(newcomers(), {"approach.floor": "3"})
    assert [entry.key for entry in walk.entries] == ["approach.floor"]
    (found,) = turns[0].events
    assert isinstance(found, TaskDone)
    assert (found.task, found.severity) == ("no-water-on-floor", "stop")
    finish = newcomers().finish(walk, fold(walk.entries), NOW)
    assert finish.then is None
    assert finish.events == ()  # the round was not walked: it stays due
    assert finish.said == (
        "[!] Stop: water on the floor. The round begins once somebody has said what was done about it.",
    )


def test_a_damp_spot_is_kept_open_and_the_round_goes_on() -> None:
    reading, _said = finished(newcomers(), {"approach.floor": "2"})
    assert reading.looks["approach.floor"] == "damp"
    assert reading.level_l == 46.0


def question(by: RoundScript, key: str) -> Question:
    return next(q for stop in by.stops for q in stop.questions if q.key == key)


def test_the_round_follows_the_water() -> None:
    stations = script().stations(fold(()))
    assert [s.id for s in stations] == [
        "level",
        "conductivity",
        "ph",
        "pump",
        "pause-1",
        "Top",
        "Low",
        "pause-2",
        "floor",
    ]
    assert [q.key for s in stations for q in s.questions][:5] == [
        "level.level",
        "conductivity.conductivity",
        "conductivity.temperature",
        "ph.ph",
        "pump.pump",
    ]


@pytest.mark.parametrize("tiers", [0, 1, 2, 3, 7, 30])
def test_at_most_nine_questions_stand_between_two_pauses(tiers: int) -> None:
    rack = replace(RACK, tiers=tuple(replace(TOP, name=f"T{n}") for n in range(tiers)))
    run = longest = 0
    for station in script(rack).stations(fold(())):
        run = run + len(station.questions) if station.listed else 0
        longest = max(longest, run)
    assert 0 < longest <= 9


def test_the_household_can_change_the_order() -> None:
    rack = replace(RACK, extra={"round": {"order": ["floor", "Low", "pH"]}})
    assert [s.id for s in script(rack).stops] == [
        "floor",
        "Low",
        "ph",
        "level",
        "conductivity",
        "pump",
        "Top",
    ]


def test_a_rack_without_air_or_plants_is_not_asked_about_them() -> None:
    rack = replace(
        RACK,
        reservoir=replace(RACK.reservoir, aerated=False),
        tiers=(replace(TOP, crops=(), plants=0),),
    )
    keys = [q.key for s in script(rack).stops for q in s.questions]
    assert "pump.air" not in keys
    assert [key for key in keys if key.startswith("Top")] == ["Top.flow"]


def test_every_question_says_where_how_why_and_what_is_good() -> None:
    for stop in script(events=()).stops:
        for q in stop.questions:
            assert all((q.where, q.how, q.why, q.good, q.place, q.ask)), q.key
            assert "{" not in q.where + q.how + q.why + q.good + q.ask


def test_the_words_speak_in_the_persons_units() -> None:
    by = script(replace(RACK, show=Show(temperature="F", volume="gal")))
    assert "from 78.8 °F something" in question(by, "conductivity.temperature").good
    assert "about 1.1 US gallons a day" in question(by, "floor.floor").why


def test_every_look_has_three_graded_answers_then_else_then_could_not_look() -> None:
    for q in (q for s in script().stops for q in s.questions if q.kind is Kind.CHOICE):
        assert [c.digit for c in q.choices] == ["1", "2", "3", "4", "5"]
        assert [c.look for c in q.choices] == [False, True, True, True, False]
        assert (q.choices[3].ask_text, q.choices[4].skips) == (True, True)
        assert q.quiet


def test_the_last_value_and_the_wanted_band_stand_beside_the_field() -> None:
    by = script()
    assert question(by, "ph.ph").facts == (("last time", "6.0 (yesterday)"), ("wanted", "5.6 to 6.2"))
    assert question(by, "level.level").facts == (("last time", "47 (yesterday)"), ("marks", "30 to 60"))
    doubted = script(events=(replace(YESTERDAY, doubt=("ph",)),))
    assert question(doubted, "ph.ph").facts[0] == ("last time", "6.0 (yesterday) [!]")
    added = Poured(id="p", seq=2, at=NOW - DAY / 2, what="water", litres=10.0)
    topped = script(events=(YESTERDAY, added))
    assert question(topped, "level.level").facts[1] == ("with water added since", "57")
    drained = replace(added, what="drained", litres=0.5)
    lower = question(script(events=(YESTERDAY, drained)), "level.level").facts[1]
    assert lower[0] == "with what was drained since"


def test_same_as_last_is_never_offered_where_a_dose_is_computed_from_it() -> None:
    by = script(events=(replace(YESTERDAY, at=NOW - 8 * DAY),))
    offered = {q.key for s in by.stops for q in s.questions if q.same}
    assert offered == {"Top.flow", "Low.flow"}
    assert question(by, "Top.flow").same == "2.0 L/min"


@pytest.mark.parametrize(
    ("days", "looks", "doubt", "kind"),
    [
        (6, {}, (), Kind.CHOICE),
        (7, {}, (), Kind.NUMBER),
        (2, {"Top.flow": "smooth-stream"}, (), Kind.CHOICE),
        (2, {"Top.flow": "weak-or-gulping"}, (), Kind.NUMBER),
        (2, {}, ("flow.Top",), Kind.NUMBER),
    ],
)
def test_flow_is_timed_weekly_or_when_the_last_look_was_odd(
    days: int, looks: dict[str, str], doubt: tuple[str, ...], kind: Kind
) -> None:
    timed = replace(YESTERDAY, at=NOW - days * DAY, doubt=doubt)
    looked = Reading(id="r2", seq=2, at=NOW - DAY, looks=looks)
    assert question(script(events=(timed, looked)), "Top.flow").kind is kind


def test_flow_that_was_never_timed_is_timed() -> None:
    assert question(script(events=()), "Top.flow").kind is Kind.NUMBER


def test_flow_is_asked_in_seconds_for_the_jug_or_in_litres_a_minute() -> None:
    jug = question(script(events=()), "Top.flow")
    assert jug.ask == "Hold the 2 litre jug under its outlet. How many seconds until it is full?"
    assert (jug.jug_l, jug.unit) == (2.0, "seconds, or a number with L/min")
    cup = question(script(replace(RACK, measuring=Measuring()), events=()), "Top.flow")
    assert (cup.jug_l, cup.unit) == (None, "litres a minute")
    reading, _said = finished(script(events=()), {"Top.flow": "40", "Low.flow": "2.9 L/min"})
    assert reading.flow_l_min == {"Top": pytest.approx(3.0), "Low": pytest.approx(2.9)}


def test_last_time_and_usual_of_a_flow_are_said_in_what_is_asked() -> None:
    usual = Habit(quantity=Quantity.FLOW, last=2.0, usual=Band(low=1.5, high=2.4))
    timed = replace(YESTERDAY, at=NOW - 7 * DAY)
    by = replace(script(events=(timed,)).facts, habits={"flow.Top": usual})
    (tier,) = [stop for stop in round_stations(by) if stop.name == "Top"]
    (jug,) = [ask for ask in tier.questions if ask.key == "Top.flow"]
    # 60 s/min times 2 L over L/min: 60 s at 2.0, 50 s at 2.4, 80 s at 1.5
    when = day_words(timed.at, NOW)
    assert jug.facts == (
        ("last time", f"60 seconds, 2.0 litres a minute ({when})"),
        ("usual", "50 to 80 seconds"),
    )
    without = replace(by, rack=replace(RACK, measuring=Measuring()))
    (tier,) = [stop for stop in round_stations(without) if stop.name == "Top"]
    (cup,) = [ask for ask in tier.questions if ask.key == "Top.flow"]
    assert cup.facts == (
        ("last time", f"2.0 litres a minute ({when})"),
        ("usual", "1.5 to 2.4 litres a minute"),
    )


def test_a_jug_full_in_a_second_is_told_as_a_jug() -> None:
    by = script(events=(replace(YESTERDAY, at=NOW - 7 * DAY),))
    again = by.judge(question(by, "Top.flow"), 120.0, fold(())).again
    said = "The jug full in 1 second would be 120.0 litres a minute: type the seconds until the jug is full."
    assert again.startswith(said)
    assert "meter" not in again


def test_what_was_seen_last_time_is_said_after_the_look_and_not_before() -> None:
    by = script()
    roots = question(by, "Top.roots")
    assert not roots.facts
    assert roots.after == "Top, roots last time (yesterday): tan tips, still firm."


def test_a_round_leaves_one_reading_with_what_was_typed() -> None:
    reading, said = finished(
        script(),
        {
            "level.level": "44",
            "conductivity.conductivity": "1.30",
            "Top.roots": "2",
            "Low.leaves": "4 white fluff",
            "floor.floor": "5",
        },
    )
    assert (reading.level_l, reading.conductivity_ms_cm, reading.ph, reading.temperature_c) == (
        44,
        1.3,
        6.0,
        20.0,
    )
    assert reading.looks["Top.roots"] == "tan-firm"
    assert reading.looks["Low.leaves"] == "else"
    assert reading.notes == {"Low": "leaves: white fluff"}
    assert reading.not_done == {"floor.floor": "could-not-look"}
    assert (reading.source, reading.doubt, reading.by) == ("round", (), "Mo")
    assert "conductivity: 1.30 mS/cm, 20.0 °C" in said
    assert "1.30 mS/cm is below the band, 1.40 to 1.80." in said
    assert "[!] Top, roots: root tips tan" in said
    assert "[!] Low, leaves: white fluff" in said
    assert "Not done: floor (could not look)." in said


def test_the_reading_stands_at_its_first_figure_of_the_water() -> None:
    reading, _said = finished(script())
    assert reading.at == NOW


def test_unusual_values_are_kept_with_both_keyings() -> None:
    by = script()
    walk = WALK
    for key, typed in (
        ("level.level", "46"),
        ("conductivity.conductivity", "15.0"),
        ("conductivity.conductivity", "1.52"),
        ("conductivity.temperature", "20"),
        ("ph.ph", "8.4"),
        ("ph.ph", "9.0"),
    ):
        turn = enter(walk, by, key=key, typed=typed, now=NOW, by="Mo")
        walk = turn.walk
    assert turn.notice.startswith("[!] pH: two readings that don't agree.")
    walk, _turns = walked(by, {}, walk=walk)
    (reading,) = by.finish(walk, fold(walk.entries), NOW).events
    assert isinstance(reading, Reading)
    assert (reading.conductivity_ms_cm, reading.ph) == (1.52, 9.0)
    assert reading.first == {"conductivity": 15.0, "ph": 8.4}
    assert reading.doubt == ("ph",)
    assert (
        "[!] pH: two readings that don't agree; measure it again later."
        in by.finish(walk, fold(walk.entries), NOW).said
    )


def test_twice_the_same_is_true_and_marked() -> None:
    by = script()
    walk = WALK
    for key, typed in (
        ("level.level", "46"),
        ("conductivity.conductivity", "1.5"),
        ("conductivity.temperature", "20"),
        ("ph.ph", "7.4"),
        ("ph.ph", "7.4"),
    ):
        walk = enter(walk, by, key=key, typed=typed, now=NOW, by="Mo").walk
    walk, _turns = walked(by, {}, walk=walk)
    finish = by.finish(walk, fold(walk.entries), NOW)
    assert "[!] pH: unusual, and measured twice the same." in finish.said


def test_a_level_above_what_the_reservoir_holds_is_refused() -> None:
    with pytest.raises(RefusedError, match="can't be: the full mark is at 60 litres"):
        enter(WALK, script(), key="level.level", typed="470", now=NOW, by="Mo")


def test_a_pause_says_what_was_found_what_is_odd_and_what_is_open() -> None:
    by = script()
    walk = enter(WALK, by, key="level.level", typed="46", now=NOW, by="Mo").walk
    walk = enter(walk, by, key="conductivity.conductivity", typed="1.2", now=NOW, by="Mo").walk
    walk = skip(walk, by, key="conductivity.temperature", reason="no-tool", now=NOW, by="Mo").walk
    for key, typed in (("ph.ph", "6.0"), ("pump.pump", "2"), ("pump.air", "1")):
        walk = enter(walk, by, key=key, typed=typed, now=NOW, by="Mo").walk
    pause = asked(walk, by)
    assert pause is not None
    assert pause.before == (
        "level: 46 litres",
        "conductivity: 1.20 mS/cm",
        "pH: 6.0",
        "pump and air pump: pump noisy, fine bubbles",
        "1.20 mS/cm is below the band, 1.40 to 1.80.",
        "[!] pump: pump noisy",
        "Not done: temperature (the tool is missing or its battery is flat).",
    )


def test_an_outlet_that_gives_less_than_the_one_above_is_marked() -> None:
    by = script(events=())
    _walk, turns = walked(by, {"Top.flow": "60", "Low.flow": "90"})
    said = [turn.notice for turn in turns if "clearly less" in turn.notice]
    assert said == [
        "[!] Low gives clearly less than Top above it (2.0). Is this pipe filling, or wet outside?"
    ]


def test_a_meter_without_compensation_is_brought_to_25_degrees() -> None:
    rack = replace(RACK, meter=Meter(temperature_compensated=False))
    by = script(rack)
    assert [q.key for q in by.stops[1].questions] == ["conductivity.temperature", "conductivity.conductivity"]
    reading, _said = finished(by, {"conductivity.conductivity": "1.35"})
    assert reading.conductivity_ms_cm == pytest.approx(1.5)
    walk = enter(WALK, by, key="level.level", typed="46", now=NOW, by="Mo").walk
    walk = skip(walk, by, key="conductivity.temperature", reason="no-tool", now=NOW, by="Mo").walk
    walk, _turns = walked(by, {}, walk=walk)
    (bare,) = by.finish(walk, fold(walk.entries), NOW).events
    assert isinstance(bare, Reading)
    assert bare.doubt == ("conductivity",)


def test_nothing_read_is_a_round_too() -> None:
    by = script()
    walk = WALK
    while (q := asked(walk, by)) is not None:
        if q.kind is Kind.PAUSE:
            walk = enter(walk, by, key=q.key, typed="", now=NOW, by="Mo").walk
        else:
            walk = skip(walk, by, key=q.key, reason="other", text="on holiday", now=NOW, by="Mo").walk
    finish = by.finish(walk, fold(walk.entries), NOW + DAY)
    (reading,) = finish.events
    assert isinstance(reading, Reading)
    assert reading.at == NOW + DAY
    assert len(reading.not_done) == 15
    assert reading.notes["level"] == "level: on holiday"


def test_notes_of_the_stations_are_kept() -> None:
    by = script()
    walk = note(WALK, by, text="lid was off [/x]", now=NOW, by="Mo").walk
    walk, _turns = walked(by, {}, walk=walk)
    (reading,) = by.finish(walk, fold(walk.entries), NOW).events
    assert isinstance(reading, Reading)
    assert reading.notes == {"level": "lid was off [/x]"}


def test_a_tier_named_like_a_station_or_with_braces_keeps_its_own_place() -> None:
    rack = replace(RACK, tiers=(replace(TOP, name="level"), replace(TOP, name="{tier} [/]")))
    by = script(rack)
    assert [s.id for s in by.stops if s.section == "tiers"] == ["tier level", "{tier} [/]"]
    reading, _said = finished(by)
    assert set(reading.looks) > {"level.roots", "{tier} [/].roots"}


def test_a_household_that_is_asked_too_often_is_told_how_to_widen() -> None:
    events = [replace(YESTERDAY, id=f"r{n}", at=NOW - (30 - n) * DAY, first={"ph": 9.0}) for n in range(20)]
    _reading, said = finished(script(events=events))
    assert said[-1].startswith("More than one answer in ten was asked about lately.")
    wide = script(replace(RACK, extra={"round": {"widen": 2}}))
    assert wide.facts.habits["ph"].widen == 2.0
    assert script(replace(RACK, extra={"round": {"widen": "much"}})).facts.habits["ph"].widen == 1.0


def test_what_happens_during_the_round_does_not_change_what_is_asked() -> None:
    later = replace(YESTERDAY, id="r9", at=NOW + timedelta(minutes=3), flow_l_min={"Top": 1.0})
    assert script(events=(YESTERDAY, later)).stops == script().stops


def test_the_prompt_lists_the_stations_with_what_was_found() -> None:
    by = script()
    walk = enter(WALK, by, key="level.level", typed="44", now=NOW, by="Mo").walk
    shown = prompt(walk, by)
    assert shown is not None
    assert [row.name for row in shown.rows] == [
        "level",
        "conductivity",
        "pH",
        "pump and air pump",
        "Top",
        "Low",
        "return hose and leaks",
    ]
    assert shown.rows[0].found == "44 litres"


def test_what_the_crops_want_is_the_band_where_it_is_given() -> None:
    table = crops_from(tomllib.loads(Path("tendtui/data/crops.toml").read_text(encoding="utf-8")))
    bands = bands_of(replace(RACK, target=Target()), table)
    by = round_script(rack=RACK, events=(), began=NOW, words=WORDS, bands=bands)
    low, high = bands.ph.band.low, bands.ph.band.high
    assert question(by, "ph.ph").facts == (("wanted", f"{low:.1f} to {high:.1f}"),)


def test_what_is_no_quantity_is_not_judged() -> None:
    by = script()
    lone = replace(question(by, "ph.ph"), quantity=None)
    assert by.judge(lone, 99.0, fold(())).again == ""
    assert not by.near(lone, 1.0, 1.0)


def test_words_that_are_not_as_they_should_be_are_named() -> None:
    table = tomllib.loads(Path("tendtui/data/round.toml").read_text(encoding="utf-8"))
    with pytest.raises(TypeError, match="station is not a list"):
        round_words({**table, "station": 5})
    with pytest.raises(TypeError, match="'x' is not a table"):
        round_words({**table, "station": ["x"]})
    with pytest.raises(TypeError, match="'weekly' is not a number"):
        round_words({**table, "tier": {**table["tier"], "time_every_days": "weekly"}})


def test_every_station_says_where_its_advice_comes_from() -> None:
    assert all(len(station.source) > 20 for station in (*WORDS.stations, WORDS.tier))


# what is found on the way

TIMED_ALREADY = replace(YESTERDAY, looks={**YESTERDAY.looks, "Top.flow": "smooth-stream"})


def walked_to(by: RoundScript, key: str, typed: dict[str, str]) -> Walk:
    """Walk until a question is asked."""
    walk = WALK
    while (q := asked(walk, by)) is not None and q.key != key:
        plain = {Kind.CHOICE: "1", Kind.PAUSE: ""}.get(q.kind, "60")
        good = {"level.level": "46", "conductivity.conductivity": "1.5", "ph.ph": "6.0"}
        number = (good | {"conductivity.temperature": "20"}).get(q.key, plain)
        walk = enter(walk, by, key=q.key, typed=typed.get(q.key, number), now=NOW, by="Mo").walk
    assert q is not None
    return walk


def test_an_outlet_that_looks_weak_is_timed_in_the_same_round() -> None:
    by = script(events=(TIMED_ALREADY,))
    walk = walked_to(by, "Top.flow", {})
    turn = enter(walk, by, key="Top.flow", typed="2", now=NOW, by="Mo")
    assert "Next it is timed" in turn.notice
    now = asked(turn.walk, by)
    assert now is not None
    assert (now.key, now.quantity, now.jug_l) == ("Top.timed", Quantity.FLOW, 2.0)
    reading, _said = finished(by, {"Top.flow": "2", "Top.timed": "100"})
    assert reading.flow_l_min["Top"] == pytest.approx(1.2)
    assert reading.looks["Top.flow"] == "weak-or-gulping"
    good, _said = finished(by)
    assert "Top" not in good.flow_l_min


def test_a_timing_that_joins_moves_no_pause() -> None:
    rack = replace(RACK, tiers=tuple(replace(TOP, name=f"T{n}") for n in range(4)))
    flows = {f"T{n}": 2.0 for n in range(4)}
    by = script(rack, events=(replace(YESTERDAY, flow_l_min=flows),))
    before = [s.id for s in by.stations(fold(()))]
    walk, _turns = walked(by, {f"T{n}.flow": "2" for n in range(4)} | {f"T{n}.timed": "60" for n in range(4)})
    assert [s.id for s in by.stations(fold(walk.entries))] == before


@pytest.mark.parametrize(
    ("key", "typed", "task", "severity"),
    [
        ("Top.roots", "3", "roots-at-outlets", "today"),
        ("floor.floor", "2", "no-water-on-floor", "today"),
        ("floor.floor", "3", "no-water-on-floor", "stop"),
        ("floor.sockets", "3", "cool-plugs", "stop"),
        ("floor.sockets", "2", "drip-loops", "week"),
        ("pump.pump", "3", "pump-hums-water-returns", "today"),
    ],
)
def test_what_must_not_be_forgotten_opens_a_finding_at_once(
    key: str, typed: str, task: str, severity: str
) -> None:
    by = script()
    turn = enter(walked_to(by, key, {}), by, key=key, typed=typed, now=NOW, by="Mo")
    (found,) = turn.events
    assert isinstance(found, TaskDone)
    assert (found.task, found.outcome, found.severity, found.by) == (task, "found", severity, "Mo")
    assert found.text
    fine = enter(walked_to(by, key, {}), by, key=key, typed="1", now=NOW, by="Mo")
    assert fine.events == ()


def test_every_finding_of_the_round_is_followed_up_under_a_task_there_is() -> None:
    ids = {
        task["id"]
        for name in ("tasks", "safety_checks")
        for task in tomllib.loads(Path(f"tendtui/data/{name}.toml").read_text(encoding="utf-8"))["task"]
    }
    asks = [ask for station in WORDS.stations for ask in station.asks]
    asks += [ask.look or ask for ask in WORDS.tier.asks]
    followed = [seen for ask in asks for seen in ask.seen if seen.follow]
    assert followed
    assert {seen.follow for seen in followed} <= ids
    assert all(seen.look and seen.severity in ("stop", "today", "week") for seen in followed)


def test_after_a_stop_nothing_is_poured() -> None:
    by = script()
    walk, _turns = walked(by, {"floor.sockets": "3"})
    finish = by.finish(walk, fold(walk.entries), NOW)
    assert finish.then is None
    assert finish.said[-1].startswith("[!] Stop: plug wet or burnt. Nothing is poured")


def test_what_the_readings_say_together_is_said_at_the_end_and_goes_with_the_dose() -> None:
    seen: list[Reading] = []

    def signs(reading: Reading) -> tuple[tuple[str, str], ...]:
        seen.append(reading)
        return (("Less salt than expected", "Look for a leak."),)

    by = round_script(rack=RACK, events=(YESTERDAY,), began=NOW, words=WORDS, signs_with=signs)
    walk, _turns = walked(by, {})
    assert not seen  # asked at the end only: it is costly
    finish = by.finish(walk, fold(walk.entries), NOW)
    assert finish.said[-1] == "[!] Less salt than expected. Look for a leak."
    assert finish.context["signs"] == ["[!] Less salt than expected."]
    assert seen[0].level_l == 46.0


def test_bubbles_are_asked_for_only_where_air_is_pumped() -> None:
    def keys(rack: Rack) -> list[str]:
        return [q.key for s in script(rack).stops for q in s.questions]

    still = replace(RACK, reservoir=replace(RACK.reservoir, aerated=False))
    pumped = replace(still, devices=(Device(name="Air pump", watts=4.0),))
    assert "pump.air" not in keys(still)
    assert "pump.air" in keys(pumped)
    assert {s.id: s.name for s in script(still).stops}["pump"] == "pump"
    assert {s.id: s.name for s in script(pumped).stops}["pump"] == "pump and air pump"


def test_a_last_level_in_doubt_is_not_explained_by_water() -> None:
    doubtful = Reading(id="d", seq=2, at=NOW - timedelta(hours=2), level_l=12.5, doubt=("level",))
    facts = dict(question(script(events=(YESTERDAY, doubtful)), "level.level").facts)
    assert facts["last time"] == "12.5 (today) [!]"
    assert facts["last one without a doubt"] == "47"
    assert "with water added since" not in facts
    water = Poured(id="w", seq=2, at=NOW - timedelta(hours=2), what="water", litres=3.0)
    facts = dict(question(script(events=(YESTERDAY, water)), "level.level").facts)
    assert facts["with water added since"] == "50"


def test_the_last_value_says_on_which_side_of_the_dose_it_stood() -> None:
    after = Reading(
        id="a", seq=3, at=NOW - timedelta(hours=20), conductivity_ms_cm=1.6, ph=5.8, source="dose"
    )
    fed = Poured(id="f", seq=2, at=NOW - timedelta(hours=21), what="Feed", ml=20.0)
    by = script(events=(YESTERDAY, fed, after))
    assert dict(question(by, "ph.ph").facts)["last time"] == "5.8 (yesterday, after the dose)"


def test_what_was_answered_last_is_named_by_its_question() -> None:
    by = script()
    walk = walked_to(by, "ph.ph", {})
    shown = prompt(walk, by)
    assert shown is not None
    assert shown.recent == ("conductivity: 1.50 mS/cm", "temperature: 20.0 °C")
    turn = undo(walk, by, now=NOW, by="Mo")
    assert turn.said == "Taken back: temperature, 20.0 °C."


def test_what_was_just_poured_is_read_once_it_is_mixed() -> None:
    feed = Poured(id="p", seq=2, at=NOW - timedelta(minutes=4), what="Feed", ml=141.0)
    by = script(events=(YESTERDAY, feed))
    walk = standing_at("conductivity.conductivity", by)
    with pytest.raises(RefusedError, match=r"went in at 07:56.* It is 08:00; read at 08:11") as refused:
        enter(walk, by, key="conductivity.conductivity", typed="0.99", now=NOW, by="Mo")
    assert "press x" in str(refused.value)
    later = NOW + timedelta(minutes=11)
    assert enter(walk, by, key="conductivity.conductivity", typed="1.5", now=later, by="Mo").walk != walk


def test_what_was_drained_needs_no_mixing() -> None:
    drained = Poured(id="p", seq=2, at=NOW, what="drained", litres=2.0)
    by = script(events=(YESTERDAY, drained))
    walk = standing_at("conductivity.conductivity", by)
    assert enter(walk, by, key="conductivity.conductivity", typed="1.5", now=NOW, by="Mo").walk != walk


def test_a_reading_that_nothing_explains_is_read_twice_before_a_dose() -> None:
    by = replace(script(), doubts_with=lambda _reading: ("conductivity",))
    reading, _said = finished(by)
    assert reading.doubt == ("conductivity",)
    walk = standing_at("conductivity.conductivity", by)
    walk = enter(walk, by, key="conductivity.conductivity", typed="15", now=NOW, by="Mo").walk
    walk, _turns = walked(by, {}, walk=walk)  # the second reading, 1.5, counts
    (read,) = by.finish(walk, fold(walk.entries), NOW + DAY).events
    assert isinstance(read, Reading)
    assert (read.first, read.doubt) == ({"conductivity": 15.0}, ())


def test_a_bare_ppm_says_on_which_scale_it_was_read() -> None:
    by = script()
    walk = standing_at("conductivity.conductivity", by)
    turn = enter(walk, by, key="conductivity.conductivity", typed="750ppm", now=NOW, by="Mo")
    assert "750ppm on the scale of 500 is 1.50 mS/cm" in turn.notice
    said = enter(walk, by, key="conductivity.conductivity", typed="1050ppm700", now=NOW, by="Mo").notice
    assert "scale" not in said


def test_an_outlet_that_today_s_page_warns_of_is_timed_and_the_warning_stands_there() -> None:
    said = "An outlet gives less than the one above it, and less each time"
    by = round_script(rack=RACK, events=(YESTERDAY,), began=NOW, words=WORDS, warned={"Low": said})
    flows = {s.name: s.questions[0] for s in by.stops if s.section == "tiers"}
    assert (flows["Top"].kind, flows["Low"].kind) == (Kind.CHOICE, Kind.NUMBER)
    assert flows["Low"].facts[-1] == ("today's page", f"[!] {said}")


@pytest.mark.parametrize(("flow_l_min", "doubt"), [(180.0, ("flow.Top",)), (3.0, ())])
def test_a_flood_at_an_outlet_stays_in_doubt_however_often_it_is_typed(
    flow_l_min: float, doubt: tuple[str, ...]
) -> None:
    asked = Question(key="Top.timed", place="", ask="", kind=Kind.NUMBER, quantity=Quantity.FLOW)
    answers = Answers(by_key={"Top.timed": Answer(value=flow_l_min, first=flow_l_min, at=NOW)})
    stop = Station(id="Top", name="Top", questions=(asked,))
    reading = round_reading(WALK, (stop,), answers, meter=Meter(), now=NOW)
    assert (dict(reading.flow_l_min), reading.doubt) == ({"Top": flow_l_min}, doubt)
