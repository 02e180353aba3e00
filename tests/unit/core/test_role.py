"""Who may do what: a newcomer pours water, the rest is held and the grower sees it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.cover import Cover, away_of
from tendtui.core.event import Change, Note, Poured, Reading
from tendtui.core.plan import AddWater, Amounts, Drain, Plan, Pour, Ranges, Read, Verdict, Wait
from tendtui.core.prompt import Kind
from tendtui.core.rack import Rack, Reservoir
from tendtui.core.role import (
    HELD,
    HELD_CHANGE,
    PUT_OFF,
    Act,
    Role,
    barred_for,
    held_dose,
    held_item,
    held_line,
    held_steps,
    may,
    put_off,
    role_of,
    safe_steps,
)
from tendtui.core.role_dose import HeldDoseScript
from tendtui.core.walk import Answers
from tendtui.errors import RefusedError
from tendtui.session.session import Session
from tendtui.store.folder import Folder
from tendtui.value import replace
from tests.support.folders import RACK, folder_in
from tests.support.walker import Tick, open_at, walk_through

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
TANK = Rack(
    name="r",
    reservoir=Reservoir(full_l=50.0, least_l=20.0),
    people=("Ines", "Joss"),
    roles={"Joss": "shown", "Kit": "grower", "Old": "captain"},
    phones={"Ines": "555 0100"},
)
PLAN = Plan(
    at=NOW,
    readings=Amounts(level_l=40.0, conductivity_ms_cm=0.9, ph=7.0),
    verdict=Verdict.CORRECT,
    reasons=("too weak",),
    steps=(
        AddWater(litres=8.0),
        Pour(what="Grow 1", ml=20.0),
        Drain(litres=2.0),
        Wait(minutes=15),
        Read(what=("ph",)),
    ),
    expect=Amounts(),
    range=Ranges(),
)


@pytest.mark.parametrize(
    ("by", "role"),
    [
        ("Ines", Role.GROWER),
        ("Joss", Role.SHOWN),
        ("Kit", Role.GROWER),
        ("Zoe", Role.NEWCOMER),
        ("", Role.GROWER),
        ("Old", Role.NEWCOMER),
    ],
)
def test_a_role_follows_from_the_rack(by: str, role: Role) -> None:
    assert role_of(TANK, by) is role


def test_where_nobody_is_named_everybody_is_the_grower() -> None:
    assert role_of(Rack(name="r", reservoir=TANK.reservoir), "Zoe") is Role.GROWER


@pytest.mark.parametrize("act", [Act.FEED, Act.ADJUST, Act.DRAIN, Act.CHANGE, Act.DESCRIBE])
def test_a_newcomer_never_doses_alone(act: Act) -> None:
    assert not may(Role.NEWCOMER, act)
    assert may(Role.GROWER, act)


def test_what_is_safe_and_what_is_held() -> None:
    assert held_steps(PLAN, Role.NEWCOMER) == (PLAN.steps[1], PLAN.steps[2])
    assert PLAN.steps[0] in safe_steps(PLAN, Role.NEWCOMER)
    assert held_steps(PLAN, Role.SHOWN) == ()


@pytest.mark.parametrize(
    ("role", "kind", "barred"),
    [
        (Role.NEWCOMER, "change", True),
        (Role.SHOWN, "change", True),
        (Role.GROWER, "change", False),
        (Role.NEWCOMER, "round", False),
        (Role.NEWCOMER, "dose", False),
        (Role.NEWCOMER, "practice", False),
        (Role.SHOWN, "jar", False),
        (Role.NEWCOMER, "cover", True),
    ],
)
def test_whole_walks_are_barred(role: Role, kind: str, barred: bool) -> None:
    assert (barred_for(role, kind) is not None) is barred


HELD_NOTE = Note(id="h", seq=1, at=NOW, by="Zoe", text="pour 20 mL of Grow 1", about=HELD)


def test_a_held_dose_is_the_first_thing_a_grower_sees() -> None:
    item = held_item([HELD_NOTE], TANK, role=Role.GROWER, now=NOW + timedelta(hours=8))
    assert item is not None
    assert (item.mark, item.opens) == ("[!]", "walk:dose")
    assert item.because == "Zoe, today 12:00: pour 20 mL of Grow 1"
    assert held_item([HELD_NOTE], TANK, role=Role.NEWCOMER, now=NOW) is None


@pytest.mark.parametrize(
    ("event", "waits"),
    [
        (Reading(id="x", seq=2, at=NOW, by="Zoe", source="round"), True),
        (Reading(id="x", seq=2, at=NOW, by="Ines", source="round"), False),
        (Reading(id="x", seq=2, at=NOW, by="Ines", source="record"), True),
        (Poured(id="x", seq=2, at=NOW, by="Ines", what="Grow 1", ml=20.0), False),
        (Poured(id="x", seq=2, at=NOW, by="Zoe", what="water", litres=3.0), True),
        (Change(id="x", seq=2, at=NOW, by="Ines"), False),
    ],
)
def test_a_held_dose_waits_until_a_grower_was_there(event: Reading | Poured | Change, waits: bool) -> None:
    assert (held_dose([HELD_NOTE, event], TANK) is not None) is waits


HELD_CHANGE_NOTE = replace(HELD_NOTE, text="the water is to be changed", about=HELD_CHANGE)


@pytest.mark.parametrize(
    ("event", "waits"),
    [
        (Reading(id="x", seq=2, at=NOW, by="Ines", source="round"), True),
        (Poured(id="x", seq=2, at=NOW, by="Ines", what="Grow 1", ml=20.0), True),
        (Change(id="x", seq=2, at=NOW, by="Ines"), False),
        (Note(id="x", seq=2, at=NOW, by="Ines", text="later", about=PUT_OFF), False),
    ],
)
def test_a_held_change_waits_for_a_change(event: Reading | Poured | Change | Note, waits: bool) -> None:
    assert (held_dose([HELD_CHANGE_NOTE, event], TANK) is not None) is waits


def test_a_held_change_opens_the_change_and_is_named_to_everybody() -> None:
    item = held_item([HELD_CHANGE_NOTE], TANK, role=Role.GROWER, now=NOW)
    assert item is not None
    assert (item.what, item.opens) == ("Change day was held for you", "walk:change")
    assert held_item([HELD_CHANGE_NOTE], TANK, role=Role.SHOWN, now=NOW) is None
    line = held_line([HELD_CHANGE_NOTE], TANK, role=Role.NEWCOMER, now=NOW)
    own = "[!] For the grower, not for you: the water is to be changed. Leave the water as it is."
    assert line == own + " (Kept by Zoe, today 12:00.)"
    assert held_line([HELD_CHANGE_NOTE], TANK, role=Role.GROWER, now=NOW) == ""


def test_a_change_put_off_is_known_until_the_change() -> None:
    later = Note(id="x", seq=2, at=NOW, by="Ines", text="later", about=PUT_OFF)
    found = put_off([later])
    assert found is not None
    assert (found.by, found.at) == ("Ines", NOW)
    assert put_off([later, Change(id="c", seq=3, at=NOW)]) is None


def test_the_water_never_goes_over_the_mark() -> None:
    assert HeldDoseScript(rack=TANK, plan=PLAN).water_l == 8.0
    assert HeldDoseScript(rack=TANK, plan=PLAN, bottle_l=4.0).water_l == 4.0
    assert HeldDoseScript(rack=TANK, plan=PLAN, bottle_l=40.0).water_l == 10.0


def test_an_unknown_level_gets_no_water() -> None:
    plan = Plan(
        at=NOW,
        readings=Amounts(),
        verdict=Verdict.CORRECT,
        reasons=(),
        steps=(AddWater(litres=8.0),),
        expect=Amounts(),
        range=Ranges(),
    )
    assert HeldDoseScript(rack=TANK, plan=plan).water_l == 0.0


def test_a_change_is_held_whole() -> None:
    plan = Plan(
        at=NOW,
        readings=Amounts(level_l=40.0),
        verdict=Verdict.CHANGE,
        reasons=("old",),
        steps=(),
        expect=Amounts(),
        range=Ranges(),
    )
    stops = HeldDoseScript(rack=TANK, plan=plan).stations(Answers())
    assert [stop.id for stop in stops] == ["held", "told"]
    assert any("the water is to be changed" in line for line in stops[0].questions[0].before)


@pytest.mark.parametrize(
    ("people", "heading"),
    [(("Ines", "Joss"), "For Ines"), (("Ines", "Kit"), "For the grower"), ((), "For the grower")],
)
def test_a_held_plan_is_headed_by_whom_it_is_for(people: tuple[str, ...], heading: str) -> None:
    rack = replace(TANK, people=people)
    (held, *_rest) = HeldDoseScript(rack=rack, plan=PLAN).stations(Answers())
    assert held.questions[0].place == heading
    only_water = replace(PLAN, steps=(AddWater(litres=8.0),), readings=Amounts(level_l=40.0))
    (held, *_rest) = HeldDoseScript(rack=rack, plan=only_water).stations(Answers())
    assert held.questions[0].place == "Today's water"


def test_the_grower_is_told_the_readings_and_asked_not_ordered() -> None:
    stops = HeldDoseScript(rack=TANK, plan=PLAN).stations(Answers())
    told = next(stop for stop in stops if stop.id == "told").questions[0].before
    assert told[0].startswith("Tell what you read: 40 litres, 0.90 mS/cm, pH 7.0,")
    assert told[1].startswith("The program reckons: pour 20 millilitres")
    assert told[1].endswith("Ask what is to be done.")


@pytest.mark.parametrize(("level_l", "water_l"), [(40.0, 0.0), (22.0, 5.5)])
def test_where_a_leak_is_suspected_only_the_pump_is_covered(level_l: float, water_l: float) -> None:
    # a quarter of the way from 20 to 50 litres is 27.5
    plan = replace(PLAN, readings=replace(PLAN.readings, level_l=level_l))
    leaking = HeldDoseScript(rack=TANK, plan=plan, leak=True)
    assert leaking.water_l == water_l
    said = leaking.stations(Answers())[0].questions[0].before
    assert said[0] == "[!] The readings speak of a leak. First the floor, by the drill Water on the floor."
    assert said[1] == "Ring the grower: Ines 555 0100."
    assert ("Add no water before the leak is found." in said) is (water_l == 0.0)
    assert not any("up to the full mark" in line for line in said)


def test_a_leak_that_the_round_told_holds_the_water(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    reading = {"level_l": 40.0, "conductivity_ms_cm": 1.6, "ph": 6.0, "temperature_c": 20.0}
    session.record_events([Reading(id="", seq=0, at=NOW, by="Zoe", **reading)])  # type: ignore[arg-type]  # floats
    clock.at += timedelta(minutes=1)
    told = "[!] Water leaves faster than the plants drink, and takes its salt along."
    shown = session.start("dose", by="Zoe", context={"signs": [told]}).prompt
    assert shown is not None
    assert any("Add no water before the leak is found" in line for line in shown.question.before)
    session.enter("dose", key="held.why", typed="")
    assert not [event for event in session.events if isinstance(event, Poured)]


PHONED = RACK.replace('usual = ["Ines", "Joss"]', 'usual = ["Ines", "Joss"]\nphones = { Ines = "555 0100" }')


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return folder_in(tmp_path, rack=PHONED)


def _read(session: Session) -> None:
    reading = Reading(
        id="",
        seq=0,
        at=session.now(),
        by="Zoe",
        level_l=40.0,
        conductivity_ms_cm=0.8,
        ph=7.4,
        temperature_c=20.0,
    )
    session.record_events([reading])


def _dose(session: Session, clock: Tick) -> tuple[str, ...]:
    answers = {
        "water.poured": "5",
        "told.told": "3",
        "read.conductivity": "0.8",
        "read.ph": "7.4",
        "read-1.conductivity": "0.8",
        "read-1.ph": "7.4",
    }
    seen, said = walk_through(session, "dose", answers, outcome=session.start("dose", by="Zoe"), clock=clock)
    for prompt in seen:
        assert prompt.question.key.partition(".")[0] in {"held", "water", "told", "wait", "read"}
    return said


def test_a_newcomer_pours_water_and_holds_the_rest(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _read(session)
    clock.at += timedelta(minutes=1)
    session.start("dose", by="Zoe")
    asked = session.resume("dose").prompt
    assert asked is not None
    assert any("Grow 1" in line for line in asked.question.before)
    _dose(session, clock)
    poured = [event for event in session.events if isinstance(event, Poured)]
    assert {event.what for event in poured} <= {"water"}
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert "Grow 1" in held.what
    assert held.by == "Zoe"
    assert "leaving" in session.state.walks


def test_a_newcomer_adds_no_water_to_a_weak_tank_but_covers_the_pump(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _read(session)  # 0.8 mS/cm, wanted is 1.3; 40 litres, the least mark is at 21
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    assert any("Add no water either" in line for line in shown.question.before)
    after = session.enter("dose", key="held.why", typed="").prompt
    assert after is not None
    assert after.question.key == "told.told"
    session.abandon("dose")
    low = Reading(id="", seq=0, at=session.now(), by="Zoe", level_l=19.0)
    session.record_events([low])
    clock.at += timedelta(minutes=1)
    session.start("dose", by="Zoe")
    asked = session.enter("dose", key="held.why", typed="").prompt
    assert asked is not None
    # a quarter of the way from 21 to 52: 28.5, so 9.5 litres
    assert asked.question.ask.startswith("Add 9.5 litres of plain water")


def test_a_newcomer_is_not_told_how_a_change_is_done(folder: Folder) -> None:
    text = folder.rack.read_text().replace("[target]", "[target]\nchange_every_days = 10")
    folder.rack.write_text(text)
    session, clock = open_at(folder, NOW)
    session.record_events([Change(id="", seq=0, at=NOW - timedelta(days=12), by="Ines", litres=40.0)])
    _read(session)
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    said = " ".join(shown.question.before)
    assert "That is for the grower: the water is to be changed." in said
    assert "Pump off" not in said
    session.enter("dose", key="held.why", typed="")
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert held.change
    assert session.today("Ines").left_open[0].what == "Change day was held for you"


def test_a_change_is_held_for_the_grower_also_by_somebody_who_was_shown(folder: Folder) -> None:
    text = folder.rack.read_text().replace("[target]", "[target]\nchange_every_days = 10")
    folder.rack.write_text(text.replace("phones = {", 'roles = { Joss = "shown" }\nphones = {'))
    session, clock = open_at(folder, NOW)
    session.record_events([Change(id="", seq=0, at=NOW - timedelta(days=12), by="Ines", litres=40.0)])
    _read(session)
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Joss").prompt
    assert shown is not None
    assert shown.question.key == "held.why"
    session.enter("dose", key="held.why", typed="")
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert held.change
    assert session.today("Ines").left_open[0].what == "Change day was held for you"


def test_a_change_that_comes_up_on_the_way_is_held_too(folder: Folder) -> None:
    text = folder.rack.read_text().replace("[target]", "[target]\nchange_above_mS_cm = 3.0")
    folder.rack.write_text(text.replace("phones = {", 'roles = { Joss = "shown" }\nphones = {'))
    session, clock = open_at(folder, NOW)
    _read(session)
    clock.at += timedelta(minutes=1)
    session.record_events([Poured(id="", seq=0, at=session.now(), by="Ines", what="Grow 1", ml=60.0)])
    clock.at += timedelta(minutes=50)
    prompt = session.start("dose", by="Joss").prompt
    for _turn in range(12):
        assert prompt is not None
        question = prompt.question
        if question.kind is Kind.CHOICE and any(choice.word == "now" for choice in question.choices):
            break
        clock.at = max(clock.at + timedelta(seconds=20), question.until or clock.at)
        typed = {"conductivity": "4.5", "ph": "6.0"}.get(question.key.rpartition(".")[2], "")
        prompt = session.enter("dose", key=question.key, typed=typed).prompt
    assert prompt is not None
    with pytest.raises(RefusedError, match="Changing the water is for the grower"):
        session.enter("dose", key=prompt.question.key, typed="1")
    session.enter("dose", key=prompt.question.key, typed="2")
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert (held.change, held.by) == (True, "Joss")
    assert "change" not in session.state.walks


def _poured_an_hour_ago(session: Session, clock: Tick) -> None:
    _read(session)
    clock.at += timedelta(minutes=5)
    session.record_events([Poured(id="", seq=0, at=session.now(), by="Ines", what="Grow 1", ml=60.0)])
    clock.at += timedelta(minutes=50)


def test_a_newcomer_reads_again_and_the_item_is_settled(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _poured_an_hour_ago(session, clock)
    assert any(item.what.startswith("Read again") for item in session.today("Zoe").due)
    session.start("dose", by="Zoe")
    asked = session.enter("dose", key="held.why", typed="").prompt
    assert asked is not None
    assert asked.question.key == "read.conductivity"  # 50 minutes are enough: no wait any more
    session.enter("dose", key="read.conductivity", typed="1.5")
    shown = session.enter("dose", key="read.ph", typed="6.0").prompt
    assert shown is not None
    assert (shown.walk, shown.question.key) == ("dose", "held-1.why")
    session.enter("dose", key="held-1.why", typed="")
    read = [event for event in session.events if isinstance(event, Reading) and event.source == "dose"]
    assert [(r.conductivity_ms_cm, r.ph, r.by) for r in read] == [(1.5, None, "Zoe"), (None, 6.0, "Zoe")]
    assert not any(item.what.startswith("Read again") for item in session.today("Zoe").due)


def test_a_newcomer_waits_where_it_has_not_mixed_yet(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _poured_an_hour_ago(session, clock)
    session.record_events([Poured(id="", seq=0, at=session.now(), by="Ines", what="Grow 2", ml=60.0)])
    clock.at += timedelta(minutes=5)
    session.start("dose", by="Zoe")
    asked = session.enter("dose", key="held.why", typed="").prompt
    assert asked is not None
    assert asked.question.until == NOW + timedelta(minutes=70)
    with pytest.raises(RefusedError, match="read at 13:10"):
        session.enter("dose", key="wait.wait", typed="")


def test_what_a_newcomers_reading_asks_for_is_held_too(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _poured_an_hour_ago(session, clock)
    session.start("dose", by="Zoe")
    session.enter("dose", key="held.why", typed="")
    session.enter("dose", key="read.conductivity", typed="0.9")
    shown = session.enter("dose", key="read.ph", typed="6.0").prompt
    assert shown is not None
    assert any("Grow 1" in line for line in shown.question.before)
    session.enter("dose", key="held-1.why", typed="")
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert "Grow 1" in held.what


def test_the_days_bottle_is_what_a_newcomer_pours_while_the_grower_is_away(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _read(session)
    cover = Cover(first=NOW.date(), last=NOW.date(), who="Zoe")
    session.change_state(lambda state: replace(state, away=away_of([cover])))
    clock.at += timedelta(minutes=1)
    session.start("dose", by="Zoe")
    outcome = session.enter("dose", key="held.why", typed="")
    assert outcome.prompt is not None
    assert outcome.prompt.question.ask.startswith("Pour today's bottle, about 3 litres.")
    assert outcome.prompt.question.key == "water.poured"


def test_where_no_feed_is_wanted_the_bottle_still_is(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    read = Reading(id="", seq=0, at=session.now(), by="Zoe", level_l=49.0, conductivity_ms_cm=1.6, ph=6.0)
    session.record_events([replace(read, temperature_c=20.0)])
    cover = Cover(first=NOW.date(), last=NOW.date(), who="Zoe")
    session.change_state(lambda state: replace(state, away=away_of([cover])))
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    said = " ".join(shown.question.before)
    assert "No feed and no acid is wanted today. What you can do now: today's bottle" in said
    assert "Nothing is to be poured" not in said


def test_a_newcomer_cannot_go_on_with_a_growers_dose(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    _read(session)
    clock.at += timedelta(minutes=1)
    session.start("dose", by="Ines")
    before = session.state.walks["dose"]
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    assert shown.question.before[0] == "Ines began this dose and has not finished it."
    with pytest.raises(RefusedError, match="for whoever began it"):
        session.enter("dose", key="others.dose", typed="")
    assert session.state.walks["dose"] == before
    again = session.start("dose", by="Ines").prompt
    assert again is not None
    assert again.question.key != "others.dose"


def test_a_newcomer_may_not_describe_the_rack_but_may_begin_the_first_one(folder: Folder) -> None:
    session, _clock = open_at(folder, NOW, by="Zoe")
    with pytest.raises(RefusedError, match="This is for the grower"):
        session.start("setup", by="Zoe")
    open_at(folder, NOW, by="Ines")[0].start("setup", by="Ines")
    folder.rack.unlink()
    folder.state.unlink()
    empty, _clock = open_at(folder, NOW, by="Zoe")
    assert empty.start("setup", by="Zoe").prompt is not None


def test_a_newcomer_is_told_who_poured_today_before_any_water(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    level = Reading(id="", seq=0, at=session.now(), by="Zoe", level_l=19.0, conductivity_ms_cm=1.6, ph=6.0)
    poured = Poured(id="", seq=0, at=session.now(), by="Joss", what="water", litres=2.0)
    session.record_events([poured])
    clock.at += timedelta(minutes=40)
    session.record_events([replace(level, at=session.now())])
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    assert (
        "Poured today: Joss 12:00 2 litres water. What follows comes on top of it." in shown.question.before
    )


def test_a_second_bottle_waits_for_its_own_day(folder: Folder) -> None:
    session, clock = open_at(folder, NOW)
    cover = Cover(first=NOW.date(), last=NOW.date(), who="Zoe")
    session.change_state(lambda state: replace(state, away=away_of([cover])))
    poured = Poured(id="", seq=0, at=session.now(), by="Joss", what="water", litres=3.0)
    session.record_events([poured])
    clock.at += timedelta(minutes=40)
    read = Reading(
        id="",
        seq=0,
        at=session.now(),
        by="Zoe",
        level_l=40.0,
        conductivity_ms_cm=1.6,
        ph=6.0,
        temperature_c=20.0,
    )
    session.record_events([read])
    clock.at += timedelta(minutes=1)
    shown = session.start("dose", by="Zoe").prompt
    assert shown is not None
    said = " ".join(shown.question.before)
    assert "Joss 12:00 3 litres water" in said
    assert "Today's bottle is poured already; the next one waits for its own day." in said
    after = session.enter("dose", key="held.why", typed="")
    assert after.prompt is None or after.prompt.question.key != "water.poured"


def test_a_newcomer_may_not_begin_a_change(folder: Folder) -> None:
    session, _clock = open_at(folder, NOW)
    with pytest.raises(RefusedError, match="This is for the grower"):
        session.start("change", by="Zoe")
