"""Change day, walked from why now to the reading, interrupted and gated."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.bands import Bands, bands_of
from tendtui.core.change_said import ready_lines
from tendtui.core.change_script import change_script
from tendtui.core.change_walk import CLEANED, ChangeScript
from tendtui.core.crops import crops_from
from tendtui.core.dose import plan_dose
from tendtui.core.dose_facts import dose_facts
from tendtui.core.drain_sum import drain_sum
from tendtui.core.event import Change, Event, Poured, Reading, TaskDone, effective
from tendtui.core.finding_follow import stop_findings
from tendtui.core.plan import Wait
from tendtui.core.prompt import Question
from tendtui.core.rack import Adjuster, Rack, Reservoir
from tendtui.core.slow_list import slow_list
from tendtui.core.tank import tank_now
from tendtui.core.walk import Turn, Walk, enter, fold, here, prompt, skip
from tendtui.errors import RefusedError
from tendtui.value import replace
from tests.support.slow_data import rack, slow_data, table

BEGAN = datetime(2026, 5, 30, 9, tzinfo=UTC)
DATA = slow_data()
PAST: tuple[Event, ...] = (
    Change(id="c0", seq=1, at=BEGAN - timedelta(days=22), litres=60.0),
    Reading(
        id="r0",
        seq=2,
        at=BEGAN - timedelta(hours=2),
        level_l=48.0,
        conductivity_ms_cm=1.9,
        ph=6.3,
        temperature_c=21.0,
    ),
)


def bands(of: Rack) -> Bands:
    return bands_of(of, crops_from(table("crops")))


def script(
    events: Sequence[Event] = PAST, on: Rack | None = None, *, walk: Walk | None = None, now: datetime = BEGAN
) -> ChangeScript:
    the_rack = on or rack()
    return change_script(
        data=DATA,
        rack=the_rack,
        events=events,
        done={},
        walk=walk or Walk(kind="change", id="w", began=BEGAN, by="Mo"),
        now=now,
        bands=bands(the_rack),
        facts=dose_facts(table("feeds")),
    )


class ChangeDay:
    """A change day under way in a test."""

    def __init__(self, the_script: ChangeScript) -> None:
        self.script = the_script
        self.walk = Walk(kind="change", id="w", began=BEGAN, by="Mo")
        self.events: list[Event] = []
        self.now = BEGAN

    def key(self) -> str:
        place = here(self.walk, self.script)
        return "" if place is None else place[1].key

    def type(self, typed: str) -> Turn:
        self.now += timedelta(minutes=1)
        turn = enter(self.walk, self.script, key=self.key(), typed=typed, now=self.now, by="Mo")
        self.walk = turn.walk
        self.events += [replace(e, seq=10 + len(self.events) + n) for n, e in enumerate(turn.events)]
        prompt(self.walk, self.script)
        return turn

    def until(self, key: str) -> None:
        """Answer everything as it should be until this question is asked."""
        for _turn in range(200):
            if self.key() == key:
                return
            self.type(self.usual())
        raise AssertionError(f"{key} was never asked; at {self.key()}")

    def usual(self) -> str:
        place = here(self.walk, self.script)
        assert place is not None
        question = place[1]
        if question.until is not None:
            self.now = max(self.now, question.until)
        planned = dict(question.facts).get("planned", "")
        amounts = {"drain.litres": "48", "fill.litres": "59", "read.level": "58", "read.conductivity": "1.6"}
        amounts |= {"read.ph": "6.6", "read.temperature": "20"}
        match question.kind.value:
            case "choice":
                return "1"
            case "pause":
                return ""
            case "text":
                return question.expects[0]
            case _:
                return amounts.get(question.key, planned)


def walked(day: ChangeDay) -> tuple[Event, ...]:
    while day.key():
        day.type(day.usual())
    finish = day.script.finish(day.walk, fold(day.walk.entries), day.now)
    return effective(
        [*PAST, *day.events, *(replace(e, id=f"f{n}", seq=900 + n) for n, e in enumerate(finish.events))]
    )


def test_it_begins_with_why_now() -> None:
    shown = prompt(ChangeDay(script()).walk, script())
    assert shown is not None
    assert shown.question.before == ("- 22 days since the change, 21 wanted",)


def test_where_no_rule_asks_it_says_how_far_they_are() -> None:
    soon = (
        Change(id="c1", seq=5, at=BEGAN - timedelta(days=3), litres=60.0),
        Poured(id="w1", seq=6, at=BEGAN - timedelta(days=1), what="water", litres=12.0),
    )
    shown = prompt(ChangeDay(script((*PAST, *soon))).walk, script((*PAST, *soon)))
    assert shown is not None
    none, water, days = shown.question.before
    assert none.startswith("No rule asks for it today")
    # 60 L and 2 x 4.65 L in the pipes; water of 0.3 mS/cm weighs 0.3 / 0.5: 69.3 / 0.6 = 115.5 L
    assert (
        water
        == "- 12 litres of water added since the change; with such water about 116 litres ask for the next"
    )
    assert days == "- 3 of 21 days"
    bare = prompt(ChangeDay(script(())).walk, script(()))
    assert bare is not None
    assert len(bare.question.before) == 1, "nothing was ever filled in"


def test_have_ready_names_litres_bottles_loads_and_where_the_old_water_goes() -> None:
    day = ChangeDay(script())
    day.until("have.read")
    shown = prompt(day.walk, day.script)
    assert shown is not None
    told = " ".join(shown.question.before)
    for words in (
        "Out: 48 litres from the reservoir. In: 59.5 litres of source water",
        "The pipes keep about",
        "mL of Feed A",
        "mL of Feed B",
        "6 loads of 10 litres each way (10 kg each",
        "storm drain",
    ):
        assert words in told


def test_the_drain_back_sum_stands_before_the_plugs_come_out() -> None:
    day = ChangeDay(script())
    day.until("back.read")
    asked = [q.key for s in day.script.stations(fold(())) for q in s.questions]
    stops = ("test-plug-in-trip-switch.state", "unplug-before-water.state")
    assert all(asked.index("back.read") < asked.index(key) < asked.index("drain.litres") for key in stops)
    shown = prompt(day.walk, day.script)
    assert shown is not None
    told = " ".join(shown.question.before)
    for words in (
        "Top holds",
        "run back",
        "room for 32 litres up to the brim",
        "4 hours with water up to the lip",
    ):
        assert words in told


def test_every_step_without_flow_says_how_long_the_plants_stand() -> None:
    day = ChangeDay(script())
    day.until("small-loads.state")
    stopped = day.now
    for key in ("drain.litres", "clean-air-stones.state", "fill.litres", "pour.1.amount"):
        day.until(key)
        shown = prompt(day.walk, day.script)
        assert shown is not None
        told = dict(shown.question.facts)["plants without flow"]
        assert f"since {stopped:%H:%M}" in told
        assert f"good until about {stopped + timedelta(minutes=240):%H:%M}" in told


def test_a_whole_change_day_resets_what_it_should_and_nothing_else() -> None:
    day = ChangeDay(script())
    log = walked(day)
    new = [event for event in log if event.at > BEGAN]
    assert sum(isinstance(event, Change) for event in new) == 1
    done = {event.task for event in new if isinstance(event, TaskDone)}
    slow = slow_list(DATA, rack(), PAST, {}, BEGAN)
    of_change_day = {due.task.id for due in slow.dues if due.task.cadence.trigger == "change-day"}
    assert done <= of_change_day | set(CLEANED)
    assert {
        *CLEANED,
        "rinse-prefilter",
        "unplug-before-water",
        "old-water-away",
        "before-plugging-in",
    } <= done
    poured = [(event.what, event.litres or event.ml) for event in new if isinstance(event, Poured)]
    assert poured[:2] == [("drained", 48.0), ("water", 59.0)]
    assert [what for what, _amount in poured[2:]] == ["Feed A", "Feed B"]
    before = {due.task.id: due for due in slow.dues}
    after = {due.task.id: due for due in slow_list(DATA, rack(), log, {}, day.now).dues}
    moved = {task for task, due in after.items() if due.last_done != before[task].last_done}
    reading_tasks = {
        "read-level",
        "read-meters",
        "check-strength",
        "check-ph",
        "top-up",
        "level-between-marks",
    }
    assert moved == done | {"change-water"} | reading_tasks
    assert after["change-water"].due == datetime(2026, 6, 20, tzinfo=UTC), "21 days from today"
    tank = tank_now(log, rack(), day.now)
    assert tank.level is not None
    assert tank.level.value == 58.0
    assert tank.water_since_change_l() == 0.0


def test_stones_left_out_stay_due_and_a_nicked_cord_gets_its_follow_up() -> None:
    day = ChangeDay(script())
    day.until("clean-air-stones.state")
    day.walk = skip(day.walk, day.script, key=day.key(), reason="no-time", now=day.now, by="Mo").walk
    assert day.key() == "clean-pump.state"
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert "plug in" not in shown.question.how, "the reservoir is empty"
    day.type("2 cord is nicked")
    (found,) = [e for e in day.events if isinstance(e, TaskDone) and e.task in CLEANED]
    assert (found.task, found.outcome, found.text) == ("clean-pump", "found", "cord is nicked")


def test_left_without_flow_todays_page_can_say_how_long() -> None:
    day = ChangeDay(script())
    assert day.script.without_flow(fold(day.walk.entries)) == ()
    day.until("fill.litres")
    ((name, told),) = day.script.without_flow(fold(day.walk.entries))
    assert name == "plants without flow"
    assert "good until about" in told
    day.until("start.watch")
    assert day.script.without_flow(fold(day.walk.entries)) == (), "the pump runs again"


def test_it_hands_over_to_the_dose_after_the_reading() -> None:
    day = ChangeDay(script())
    walked(day)
    finish = day.script.finish(day.walk, fold(day.walk.entries), day.now)
    assert finish.then == "dose"


def test_amounts_follow_the_water_really_filled_in() -> None:
    day = ChangeDay(script())
    day.until("fill.litres")
    day.type("59")
    day.until("pour.1.amount")
    whole = float(day.usual())
    other = ChangeDay(script())
    other.until("fill.litres")
    other.type("40")
    other.until("pour.1.amount")
    assert float(other.usual()) == pytest.approx(whole * 40 / 59, abs=1.0)


def test_a_refill_that_cannot_be_is_refused() -> None:
    day = ChangeDay(script())
    day.until("fill.litres")
    for typed, words in (("600", "holds 80"), ("12", "draws air")):
        with pytest.raises(RefusedError, match=words):
            day.type(typed)


def test_a_wrong_bottle_is_not_taken() -> None:
    day = ChangeDay(script())
    day.until("pour.1.name")
    with pytest.raises(RefusedError):
        day.type("Feed B")


def test_an_amount_far_from_the_plan_is_keyed_twice() -> None:
    day = ChangeDay(script())
    day.until("pour.1.amount")
    planned = float(day.usual())
    turn = day.type(str(planned * 10))
    assert "Key once more" in turn.notice
    assert not [e for e in day.events if isinstance(e, Poured) and e.what == "Feed A"]
    day.type(str(planned))
    (poured,) = [e for e in day.events if isinstance(e, Poured) and e.what == "Feed A"]
    assert poured.ml == planned


def test_a_failed_stop_check_is_a_gate_until_it_is_put_right() -> None:
    day = ChangeDay(script())
    day.until("before-plugging-in.state")
    day.type("2 plug is damp")
    assert stop_findings(day.events)
    day.type("")
    assert day.key() == "before-plugging-in.right"
    assert not any(s.id == "start" for s in day.script.stations(fold(day.walk.entries)))
    day.type("1 dried it, new plug")
    assert not stop_findings(day.events)
    assert day.key() == "start.watch"


def test_interrupted_anywhere_it_goes_on_at_the_same_question() -> None:
    day = ChangeDay(script())
    for _turn in range(60):
        if not day.key():
            break
        fresh = script([*PAST, *day.events])
        place = here(day.walk, fresh)
        assert place is not None
        assert place[1].key == day.key(), "made anew from disk, the walk stands where it stood"
        day.type(day.usual())


def test_without_a_feed_the_dose_works_the_bottles_out() -> None:
    bare = rack(feeds=())
    day = ChangeDay(script(on=bare))
    keys = [q.key for s in day.script.stations(fold(())) for q in s.questions]
    assert not any(key.startswith("pour.") for key in keys)


def test_a_second_keying_near_the_first_is_believed() -> None:
    day = ChangeDay(script())
    day.until("pour.1.amount")
    far = str(float(day.usual()) * 2)
    day.type(far)
    turn = day.type(far)
    assert "taken as true" in turn.notice
    assert [e.ml for e in day.events if isinstance(e, Poured) and e.what == "Feed A"] == [float(far)]


def test_a_slip_in_the_reading_is_compared_by_the_meter() -> None:
    day = ChangeDay(script())
    day.until("read.ph")
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert day.script.near(shown.question, 6.5, 6.5)
    assert not day.script.near(shown.question, 6.5, 4.5)


def test_a_room_too_small_is_told_before_the_pump_stops() -> None:
    tight = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=49.0))
    told = " ".join(drain_sum(tight, level_l=48.0))
    assert "[!] Not enough: drain" in told
    unknown = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0))
    assert "The brim is not in the settings" in " ".join(drain_sum(unknown, level_l=None))
    roomy = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=58.0))
    assert "stay beside it with towels" in " ".join(drain_sum(roomy, level_l=48.0))


def test_nothing_read_hands_nothing_over() -> None:
    day = ChangeDay(script())
    day.until("read.level")
    while day.key():
        left = skip(day.walk, day.script, key=day.key(), reason="no-tool", now=day.now, by="Mo")
        day.walk = left.walk
    finish = day.script.finish(day.walk, fold(day.walk.entries), day.now)
    assert finish.then is None
    assert finish.events == ()


def test_without_a_mix_the_litres_are_still_named() -> None:
    lines = ready_lines(rack(), None, level_l=None)
    assert lines[0].endswith("In: 60 litres of source water, room-warm, up to the full mark.")
    assert "The bottles follow from the plan after the refill." in lines


def test_bleach_is_spoken_of_only_where_somebody_cleans_with_it() -> None:
    day = ChangeDay(script())
    day.until("bleach-alone.wanted")
    day.type("1")
    done = day.events[-1]
    assert isinstance(done, TaskDone)
    assert done.text == "there is none here"
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert {row.name: row.found for row in shown.rows}["Do you clean with bleach today?"] == "no"
    assert not any("bleach-alone" in q.key for q in asked_from_here(day))
    other = ChangeDay(script())
    other.until("bleach-alone.wanted")
    other.type("2")
    assert other.key() == "bleach-alone.state"


def asked_from_here(day: ChangeDay) -> list[Question]:
    answers = fold(day.walk.entries)
    asked = [q for s in day.script.stations(answers) for q in s.questions]
    return [q for q in asked if not answers.done(q.key)]


def test_another_bottle_is_promised_only_where_one_follows() -> None:
    day = ChangeDay(script())
    day.until("goggles-before-caps.state")
    stirs = [q.ask for q in asked_from_here(day) if q.key.endswith(".stir")]
    assert len(stirs) == 2
    assert ["Then the next" in ask for ask in stirs] == [True, False]


def test_each_bottle_is_one_sequence_and_no_bottle_is_spoken_of_before_its_amount() -> None:
    day = ChangeDay(script())
    day.until("goggles-before-caps.state")
    keys = [q.key for q in asked_from_here(day)]
    bottles = [f"pour.{n}.{part}" for n in (1, 2) for part in ("name", "amount", "stir")]
    assert keys[1:8] == [*bottles, "one-bottle-at-a-time.state"]
    day.until("pour.1.name")
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert "Bottle 1 of 2: " in shown.question.before[0]
    assert "millilitres" in shown.question.before[0]


def test_acid_is_spoken_of_only_after_a_reading_that_wants_it() -> None:
    on = rack(adjusters=(Adjuster(name="Down", direction="down", reagent="nitric acid", percent_w_w=5.0),))
    day = ChangeDay(script(on=on))
    day.until("have.read")
    shown = prompt(day.walk, day.script)
    assert shown is not None
    (line,) = [line for line in shown.question.before if "Down" in line]
    assert not any(sign.isdigit() for sign in line)
    day.until("read.ph")
    assert not any("acid" in q.key for s in day.script.stations(fold(())) for q in s.questions)
    good = ChangeDay(script(on=on))
    good.until("read.ph")
    good.walk, good.now = day.walk, day.now
    good.type("6.0")
    if good.key() == "read.ph":
        good.type("6.0")
    day.type("6.6")
    if day.key() == "read.ph":
        day.type("6.6")
    assert "acid-into-water.state" in [q.key for q in asked_from_here(day)]
    assert "acid-into-water.state" not in [q.key for q in asked_from_here(good)]


@pytest.mark.parametrize(
    ("key", "typed"), [("read.level", "5"), ("read.conductivity", "4.5"), ("read.ph", "9.1")]
)
def test_a_reading_far_from_the_mix_is_measured_twice_and_kept_with_its_doubt(key: str, typed: str) -> None:
    day = ChangeDay(script())
    day.until(key)
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert "expected" in dict(shown.question.facts)
    turn = day.type(typed)
    assert turn.notice.startswith("[!]")
    assert day.key() == key
    day.type({"read.level": "30", "read.conductivity": "3.9", "read.ph": "8.2"}[key])
    while day.key():
        day.type(day.usual())
    finish = day.script.finish(day.walk, fold(day.walk.entries), day.now)
    reading = finish.events[0]
    assert isinstance(reading, Reading)
    name = key.removeprefix("read.")
    assert reading.doubt == (name,)
    assert reading.first[name] == float(typed)


def test_a_level_that_the_reservoir_cannot_hold_is_refused() -> None:
    day = ChangeDay(script())
    day.until("read.level")
    with pytest.raises(RefusedError, match="can't be"):
        day.type("300")


def test_what_is_expected_follows_what_was_really_poured() -> None:
    weak, strong = ChangeDay(script()), ChangeDay(script())
    for day, share in ((weak, 0.5), (strong, 1.0)):
        for key in ("pour.1.amount", "pour.2.amount"):
            day.until(key)
            typed = str(float(day.usual()) * share)
            day.type(typed)
            if day.key() == key:
                day.type(typed)
        day.until("read.conductivity")
    told = [
        dict(shown.question.facts)["expected"]
        for day in (weak, strong)
        if (shown := prompt(day.walk, day.script))
    ]
    assert float(told[0].split()[0]) < float(told[1].split()[0]) - 0.3


def test_the_wait_ends_at_its_time_or_by_x() -> None:
    day = ChangeDay(script())
    day.until("start.wait")
    with pytest.raises(RefusedError, match="If you can't wait, press x"):
        day.type("")
    day.walk = skip(day.walk, day.script, key=day.key(), reason="no-time", now=day.now, by="Mo").walk
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert shown.question.key == "read.level"
    assert "it may not be mixed yet" in shown.question.before[0]


def test_change_day_and_the_dose_give_the_same_amounts_and_minutes() -> None:
    of = rack(adjusters=(), target=replace(rack().target, change_every_days=20))
    plan = plan_dose(
        of, tank_now(PAST, of, BEGAN), now=BEGAN, bands=bands(of), facts=dose_facts(table("feeds"))
    )
    assert plan.verdict.value == "change"
    mix = script(on=of).mix
    assert mix is not None
    assert mix.steps == plan.steps[:-2]
    (wait,) = [step.minutes for step in plan.steps if isinstance(step, Wait)]
    day = ChangeDay(script(on=of))
    day.until("before-plugging-in.state")
    day.type("1")
    plugged = day.now
    day.until("start.wait")
    shown = prompt(day.walk, day.script)
    assert shown is not None
    assert shown.question.until == plugged + timedelta(minutes=wait)


def test_pipes_full_of_strong_solution_are_rinsed_before_the_refill() -> None:
    strong = (
        *PAST[:1],
        Reading(id="r1", seq=3, at=BEGAN - timedelta(hours=1), level_l=48.0, conductivity_ms_cm=6.0, ph=6.0),
    )
    long = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=80.0, pipes_l=40.0))
    day = ChangeDay(script(strong, long))
    assert day.script.mix is not None
    assert [type(step).__name__ for step in day.script.mix.steps][:5] == [
        "Drain", "AddWater", "Wait", "Drain", "AddWater",
    ]  # fmt: skip
    day.until("rinse.litres")
    for typed in ("60", "", "60"):
        day.type(typed)
    assert day.key() == "fill.litres"
    assert [(e.what, e.litres) for e in day.events if isinstance(e, Poured)] == [
        ("drained", 48.0), ("water", 60.0), ("drained", 60.0),
    ]  # fmt: skip


def test_left_between_the_label_and_the_mark_it_asks_whether_any_went_in() -> None:
    day = ChangeDay(script())
    day.until("pour.1.amount")
    resumed = Walk(
        kind="change", id="w", began=BEGAN, by="Mo", context={"resumed_at": day.now + timedelta(minutes=3)}
    )
    day.script = script(walk=resumed, now=day.now + timedelta(minutes=3))
    assert day.key() == "pour.1.any"
    day.type("2")
    assert [e.what for e in day.events if isinstance(e, Poured)][-1] == "Feed A"
    assert day.key() == "pour.1.stir"


def test_a_rack_without_an_air_stone_is_asked_for_none() -> None:
    still = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=80.0, aerated=False))
    keys = [q.key for s in script(on=still).stations(fold(())) for q in s.questions]
    assert "clean-air-stones.state" not in keys
    assert "clean-air-stones.state" in [q.key for s in script().stations(fold(())) for q in s.questions]
