"""Doing a task, a group of checks, and following a finding up, key by key."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.event import Event, Note, Reading, TaskDone, effective
from tendtui.core.finding_follow import barred, open_findings, stop_findings
from tendtui.core.rack import Measuring, Meter, Rack, Source
from tendtui.core.slow_list import slow_list
from tendtui.core.task_script import task_script
from tendtui.core.walk import Script, Turn, Walk, enter, fold, here, note, prompt, skip, undo
from tendtui.errors import RefusedError
from tendtui.value import replace
from tests.support.slow_data import rack, slow_data

BEGAN = datetime(2026, 5, 3, 8, tzinfo=UTC)
DATA = slow_data()


class Doing:
    """A walk under way in a test, with the events it made."""

    def __init__(
        self, kind: str, *, events: Sequence[Event] = (), on: Rack | None = None, by: str = "Mo"
    ) -> None:
        self.rack = on or rack()
        self.walk = Walk(kind=kind, id="w", began=BEGAN, by=by)
        self.script: Script = task_script(self.walk, data=DATA, rack=self.rack, events=events, done={})
        self.events: list[Event] = list(events)
        self.now = BEGAN
        self.shown = prompt(self.walk, self.script)

    def key(self) -> str:
        place = here(self.walk, self.script)
        return "" if place is None else place[1].key

    def type(self, *typed: str) -> Turn:
        for text in typed:
            self.now += timedelta(seconds=20)
            turn = enter(self.walk, self.script, key=self.key(), typed=text, now=self.now, by="Mo")
            self._take(turn)
            self.shown = prompt(self.walk, self.script)
        return turn

    def before(self) -> str:
        return "" if self.shown is None else " ".join(self.shown.question.before)

    def asked(self) -> str:
        return "" if self.shown is None else self.shown.question.ask

    def undo(self) -> None:
        self.now += timedelta(seconds=20)
        self._take(undo(self.walk, self.script, now=self.now, by="Mo"))

    def said(self) -> str:
        finish = self.script.finish(self.walk, fold(self.walk.entries), self.now)
        return " ".join(finish.said)

    def live(self) -> tuple[Event, ...]:
        return effective(self.events)

    def _take(self, turn: Turn) -> None:
        self.walk = turn.walk
        self.events += [replace(event, seq=len(self.events) + n) for n, event in enumerate(turn.events)]


def steps_of(task_id: str) -> int:
    """Count the steps before the readings."""
    task = slow_list(DATA, rack(), (), {}, BEGAN).task(task_id)
    assert task is not None
    return len(task.how) if task.reads_after is None else task.reads_after


def test_hands_in_water_starts_with_plugs_out_and_dry_hands() -> None:
    doing = Doing("task:clean-pump")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    assert shown.question.key == "ready.state"
    assert any("off at the plug, hands dry" in line for line in shown.question.safety)


def test_acid_work_starts_with_goggles_and_never_bleach_after_acid() -> None:
    doing = Doing("task:descale-pump")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    lines = " ".join(shown.question.safety)
    for words in (
        "Goggles",
        "gloves",
        "window open",
        "Acid or alkali into water",
        "Never bleach with or after acid",
    ):
        assert words in lines


def test_not_possible_now_ends_the_walk_and_the_task_stays_due() -> None:
    doing = Doing("task:clean-pump")
    doing.type("2")
    assert doing.key() == ""
    (event,) = doing.live()
    assert isinstance(event, TaskDone)
    assert event.outcome == "could-not"
    assert "stays due" in doing.said()


def test_steps_are_ticked_one_at_a_time_then_the_result_is_logged() -> None:
    doing = Doing("task:clean-pump")
    doing.type("1", *[""] * steps_of("clean-pump"))
    assert doing.key() == "result.outcome"
    assert not doing.live(), "nothing is logged before the result"
    doing.type("1")
    (event,) = doing.live()
    assert isinstance(event, TaskDone)
    assert (event.task, event.outcome, event.by) == ("clean-pump", "good", "Mo")
    assert doing.key() == ""


def test_a_finding_wants_words_and_a_time_and_stays_open() -> None:
    doing = Doing("task:clean-pump")
    doing.type("1", *[""] * steps_of("clean-pump"))
    with pytest.raises(RefusedError, match="few words"):
        doing.type("2")
    turn = doing.type("2 scale on the impeller")
    assert doing.key() == "result.again"
    assert "throw it away" in doing.before()
    assert "throw it away" not in turn.notice, "it is said once"
    assert [finding.what for finding in open_findings(doing.live())] == ["scale on the impeller"]
    doing.type("3")
    (finding,) = open_findings(doing.live())
    assert finding.due == doing.now + timedelta(days=3)
    assert finding.severity == "today"


def test_a_finding_that_stands_alone_says_in_which_check_it_was_found() -> None:
    known = next(
        due.task for due in slow_list(DATA, rack(), (), {}, BEGAN).dues if due.task.id == "clean-pump"
    )
    found = TaskDone(id="t", seq=1, at=BEGAN, by="Mo", task=known.id, outcome="found", text="rattles")
    (told,) = open_findings([found], tasks=[known])
    assert told.said == "Pump: impeller, scale, cord: rattles"
    (round_finding,) = open_findings([replace(found, text="pump: rattles")], tasks=[known])
    assert round_finding.said == "pump: rattles", "the round has said where"
    (wordless,) = open_findings([replace(found, text="")], tasks=[known])
    assert wordless.said == "Pump: impeller, scale, cord"
    (unknown,) = open_findings([replace(found, text="")])
    assert unknown.said == "clean pump"


@pytest.mark.parametrize("task_id", ["sow-next", "move-up", "harvest"])
def test_a_task_of_plants_goes_on_to_say_which_and_how_many(task_id: str) -> None:
    doing = Doing(f"task:{task_id}")
    doing.type(*["1"] * (doing.key() == "ready.state"), *[""] * steps_of(task_id), "1")
    finish = doing.script.finish(doing.walk, fold(doing.walk.entries), doing.now)
    assert finish.then == "plants"
    assert "Until then it stays due" in finish.said[-1]
    known = {"sow-next": {"act": "sow"}, "move-up": {"act": "move"}, "harvest": {}}  # some are pulled
    assert finish.context == known[task_id]
    other = Doing(f"task:{task_id}")
    other.type(*["1"] * (other.key() == "ready.state"), *[""] * steps_of(task_id), "3 no time")
    assert other.script.finish(other.walk, fold(other.walk.entries), other.now).then is None


def test_changing_found_to_good_leaves_nothing_open() -> None:
    doing = Doing("task:clean-pump")
    doing.type("1", *[""] * steps_of("clean-pump"), "2 scale", "3")
    doing.undo()
    doing.undo()
    doing.type("1")
    assert open_findings(doing.live()) == ()


def test_buffers_give_slope_offset_drift_and_a_verdict() -> None:
    before = TaskDone(
        id="old", seq=0, at=BEGAN - timedelta(days=7), task="calibrate-ph", values={"offset_ph": 0.05}
    )
    doing = Doing("task:calibrate-ph", events=[before])
    doing.type(*[""] * steps_of("calibrate-ph"), "25", "7.10", "4.30")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    says = " ".join(shown.question.before)
    # (7.10 - 4.30) / (7.00 - 4.003) = 93.4 %; 0.10 x 59.16 mV = 5.9 mV; 0.10 - 0.05 = 0.05
    for words in ("93 percent", "+0.10 pH, +6 mV", "+0.05 pH", "Tired"):
        assert words in says
    doing.type("")
    assert "set the meter" in doing.asked(), "only after both were read"
    doing.type("", "", "1")
    done = doing.live()[-1]
    assert isinstance(done, TaskDone)
    assert done.values["buffer_7"] == 7.10
    assert done.values["slope_percent"] == pytest.approx(93.4, abs=0.1)
    assert done.values["offset_ph"] == pytest.approx(0.10, abs=0.001)


def test_a_buffer_far_off_is_read_again() -> None:
    doing = Doing("task:calibrate-ph")
    turn = doing.type(*[""] * steps_of("calibrate-ph"), "25", "4.0")
    assert "far from 7" in turn.notice
    assert doing.key() == "buffers.seven"


def test_the_standard_is_read_in_the_persons_unit() -> None:
    doing = Doing("task:calibrate-conductivity")
    doing.type(*[""] * steps_of("calibrate-conductivity"), "1490uS/cm")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    assert any("+5.4 percent" in line for line in shown.question.before)  # 1490 / 1413
    assert any("Clean" in line for line in shown.question.before)


def test_jug_and_seconds_at_each_outlet() -> None:
    doing = Doing("task:time-the-outlets", on=rack(measuring=Measuring(jug_l=0.5)))
    doing.type(*[""] * steps_of("time-the-outlets"), "15", "15", "20", "20")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    assert any("Low gives less than Top" in line for line in shown.question.before)
    doing.type("", "2 low is slow", "")
    done, flows = doing.live()[:2]
    assert isinstance(done, TaskDone)
    assert isinstance(flows, Reading)
    assert flows.flow_l_min == {"Top": pytest.approx(2.0), "Low": pytest.approx(1.5)}  # 60 x 0.5 / s
    assert flows.source == "task"
    assert done.values["flow.Low"] == pytest.approx(1.5)


def test_an_unknown_jug_is_asked_for_first() -> None:
    doing = Doing("task:time-the-outlets")
    doing.type(*[""] * steps_of("time-the-outlets"))
    assert doing.key() == "flow.jug"
    doing.type("1", "30", "30")
    assert doing.walk.entries[-1].value == pytest.approx(2.0)


def test_drops_become_alkalinity() -> None:
    doing = Doing("task:drop-test")
    doing.type("1", *[""] * steps_of("drop-test"), "5", "", "1")
    done = doing.live()[-1]
    assert isinstance(done, TaskDone)
    assert done.values["alkalinity_meq_l"] == pytest.approx(1.783, abs=0.01)


def test_checks_are_walked_together_and_logged_singly() -> None:
    doing = Doing("task:safety-daily")
    first = doing.key()
    assert first == "dry-floor-first.state"
    doing.type("1", "1", "3")
    assert [event.task for event in doing.live() if isinstance(event, TaskDone)] == [
        "dry-floor-first",
        "smell-and-listen",
    ]


def test_a_failed_stop_check_ends_the_walk_and_says_stop_first() -> None:
    doing = Doing("task:safety-daily")
    doing.type("2 puddle under the timer")
    shown = prompt(doing.walk, doing.script)
    assert shown is not None
    assert shown.question.ask == "STOP"
    assert shown.question.before[0].startswith("Stop.")
    assert "Open, repair or bypass nothing" in shown.question.safety[0]
    doing.type("")
    assert doing.key() == ""
    (stop,) = stop_findings(doing.live())
    assert stop.what == "puddle under the timer"


@pytest.fixture
def stopped() -> Event:
    return TaskDone(
        id="s",
        seq=1,
        at=BEGAN - timedelta(days=1),
        by="Ash",
        task="test-trip-switch",
        outcome="found",
        text="does not trip",
        severity="stop",
    )


@pytest.mark.parametrize(
    ("kind", "is_barred"),
    [
        ("round", True),
        ("dose", True),
        ("change", True),
        ("task:clean-pump", True),
        ("task:drop-test", True),
        ("task:harvest", True),
        ("task:roots-at-outlets", True),
        ("task:lamp-distance", True),
        ("task:dry-tissue-joints", False),  # how a leak is found
        ("task:safety-daily", False),
        ("task:seedling-tray", False),
        ("task:follow-test-trip-switch", False),
        ("practice", False),
        ("setup", False),
    ],
)
def test_a_stop_finding_bars_hands_in_the_water_and_in_the_rack(
    stopped: Event, kind: str, is_barred: bool
) -> None:
    slow = slow_list(DATA, rack(), [stopped], {}, BEGAN)
    bar = barred([stopped], kind, tasks=[due.task for due in slow.dues])
    assert (bar is not None) is is_barred
    if bar is not None:
        assert "does not trip" in bar[0]
        assert "Hands out of the water" in bar[1]


def test_a_stop_finding_is_closed_only_with_words_and_a_look(stopped: Event) -> None:
    doing = Doing("task:follow-test-trip-switch", events=[stopped])
    with pytest.raises(RefusedError, match="few words"):
        doing.type("1")
    doing.type("1 electrician fitted a new one")
    assert stop_findings(doing.live()), "saying so is not enough; somebody looks"
    doing.type("1")
    assert open_findings(doing.live()) == ()
    assert barred(doing.live(), "round") is None
    closed = doing.live()[-1]
    assert isinstance(closed, TaskDone)
    assert (closed.outcome, closed.text) == ("closed", "electrician fitted a new one")


def test_an_electrician_on_the_way_keeps_it_open(stopped: Event) -> None:
    doing = Doing("task:follow-test-trip-switch", events=[stopped])
    doing.type("2 firm called", "2")
    (still,) = open_findings(doing.live())
    assert still.severity == "stop"
    assert still.due == doing.now + timedelta(days=2)


STAFFED = rack(roles={"Ash": "shown"}, phones={"Mo": "555 0100"})


@pytest.mark.parametrize(
    ("task", "by", "closes"),
    [
        ("test-trip-switch", "Mo", True),
        ("test-trip-switch", "Ash", False),  # mains: the grower
        ("no-water-on-floor", "Ash", True),
        ("no-water-on-floor", "Zoe", False),
        ("smell-and-listen", "Zoe", False),
    ],
)
def test_a_stop_is_closed_by_who_may(stopped: Event, task: str, by: str, closes: bool) -> None:
    found = replace(stopped, task=task)
    doing = Doing(f"task:follow-{task}", events=[found], on=STAFFED, by=by)
    doing.type("1 it was dried and looked over", "1" if closes else "")
    assert (open_findings(doing.live()) == ()) is closes
    if not closes:
        (still,) = stop_findings(doing.live())
        assert still.texts[-1] == "it was dried and looked over"
        assert "Mo 555 0100" in doing.said()


@pytest.mark.parametrize("typed", ["1 1", "1 ok", "1 ..", "2 22"])
def test_a_digit_is_no_description_of_what_was_done(stopped: Event, typed: str) -> None:
    doing = Doing("task:follow-test-trip-switch", events=[stopped])
    with pytest.raises(RefusedError, match="Say it in words"):
        doing.type(typed)
    assert stop_findings(doing.live())


def test_a_newcomer_is_asked_of_a_group_what_everybody_may_do() -> None:
    asked = {
        by: [s.id for s in Doing("task:safety-weekly", on=STAFFED, by=by).script.stations(fold(()))]
        for by in ("Mo", "Zoe")
    }
    assert "look-over-leads" in asked["Mo"]
    assert "look-over-leads" not in asked["Zoe"]
    assert "drip-loops" in asked["Zoe"]


def test_a_later_good_does_not_close_a_finding(stopped: Event) -> None:
    good = TaskDone(id="g", seq=2, at=BEGAN, task="test-trip-switch", outcome="good")
    assert open_findings([stopped, good])


def test_an_unknown_task_is_refused_in_words() -> None:
    with pytest.raises(RefusedError, match="no task no-such"):
        Doing("task:no-such")


def test_silenced_tasks_are_not_asked_in_a_group() -> None:
    quiet = rack(extra={"task": [{"id": "smell-and-listen", "silenced": "no sense of smell"}]})
    doing = Doing("task:safety-daily", on=quiet)
    asked = [station.id for station in doing.script.stations(fold(()))]
    assert "smell-and-listen" not in asked
    assert "cool-plugs" in asked


def test_none_here_is_asked_once_and_not_every_quarter() -> None:
    doing = Doing("task:outdoor-supply")
    doing.type(*[""] * steps_of("outdoor-supply"))
    assert doing.key() == "result.outcome"
    doing.type("4")
    later = BEGAN + timedelta(days=200)
    (due,) = [
        d for d in slow_list(DATA, rack(), doing.live(), {}, later).dues if d.task.id == "outdoor-supply"
    ]
    assert due.last_done is not None
    assert due.due is None


# readings inside tasks


def test_a_meter_without_compensation_is_asked_for_the_temperature() -> None:
    doing = Doing("task:calibrate-conductivity", on=rack(meter=Meter(temperature_compensated=False)))
    doing.type(*[""] * steps_of("calibrate-conductivity"), "20", "1.28")
    assert "+0.2 percent" in doing.before()  # 1.280 against 1.277 mS/cm at 20 °C, scaled from the NIST column
    doing.type("", "1")
    done = doing.live()[-1]
    assert isinstance(done, TaskDone)
    assert done.values["error_percent"] == pytest.approx(0.23, abs=0.01)


def test_drift_of_the_conductivity_meter_is_told() -> None:
    old = TaskDone(
        id="o",
        seq=0,
        at=BEGAN - timedelta(days=30),
        task="calibrate-conductivity",
        values={"error_percent": -2.0},
    )
    doing = Doing("task:calibrate-conductivity", events=[old])
    doing.type(*[""] * steps_of("calibrate-conductivity"), "1.413")
    assert "Drift since the last check: +2.0 percent" in doing.before()


@pytest.mark.parametrize(
    ("known", "typed", "says"),
    [(0.3, "0.31", "As in the settings"), (0.3, "0.6", "It has changed"), (None, "0.6", "no figure yet")],
)
def test_the_source_water_is_set_against_the_settings(known: float | None, typed: str, says: str) -> None:
    doing = Doing("task:source-water", on=rack(source=Source(conductivity_ms_cm=known)))
    doing.type(*[""] * steps_of("source-water"), typed)
    assert says in doing.before()


@pytest.mark.parametrize(
    ("known", "says"), [(90.0, "give or take one drop"), (200.0, "Put the new figure"), (None, "Put the new")]
)
def test_drops_are_set_against_the_settings(known: float | None, says: str) -> None:
    doing = Doing("task:drop-test", on=rack(source=Source(alkalinity_mg_l_caco3=known)))
    doing.type("1", *[""] * steps_of("drop-test"), "5")  # 5 x 17.848 = 89 mg/L
    assert says in doing.before()
    assert "about 89 mg/L" in doing.before()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (
            ("50", "52"),
            "2 litres ran back. From the full mark it would rise to 62 litres; the brim is at 80 litres.",
        ),
        (("50", "66"), "Lower the full mark"),
        (("50", "75"), "a pipe siphons empty"),
    ],
)
def test_the_pump_off_test_tells_what_ran_back(typed: tuple[str, str], says: str) -> None:
    doing = Doing("task:pump-off-test")
    doing.type(*[""] * steps_of("pump-off-test"), *typed)
    assert says in doing.before()


def test_what_runs_back_is_said_before_the_pump_off_test_stops_the_pump() -> None:
    doing = Doing("task:pump-off-test")
    doing.type(*[""] * steps_of("pump-off-test"), "50")
    assert doing.asked().startswith("Pump off at the plug, with dry hands.")
    assert "When the pump stops about" in doing.before()
    assert "room for 30 litres up to the brim" in doing.before()  # brim 80, level 50
    doing.type("52", "")
    assert doing.asked().startswith("Mark the level STOPPED")


@pytest.mark.parametrize(
    ("seconds", "says"),
    [(("15", "15", "15", "15"), "All alike"), (("30", "30", "30", "30"), "All are down by a quarter")],
)
def test_outlets_are_set_against_each_other_and_last_time(seconds: tuple[str, ...], says: str) -> None:
    last = {"flow.Top": 2.0, "flow.Low": 2.0}
    old = TaskDone(id="o", seq=0, at=BEGAN - timedelta(days=7), task="time-the-outlets", values=last)
    doing = Doing("task:time-the-outlets", events=[old], on=rack(measuring=Measuring(jug_l=0.5)))
    doing.type(*[""] * steps_of("time-the-outlets"), *seconds)
    assert says in doing.before()
    assert doing.shown is not None
    assert not doing.script.judge(doing.shown.question, 1.0, fold(doing.walk.entries)).again


def timing(**flows: float) -> Doing:
    """Stand at the first outlet, with a jug of 3 litres; flows are those of last time."""
    last = {f"flow.{name}": flow for name, flow in flows.items()}
    old = TaskDone(id="o", seq=0, at=BEGAN - timedelta(days=7), task="time-the-outlets", values=last)
    doing = Doing("task:time-the-outlets", events=[old], on=rack(measuring=Measuring(jug_l=3.0)))
    doing.type(*[""] * steps_of("time-the-outlets"))
    return doing


def test_the_page_says_how_large_the_jug_is_and_how_long_it_took_last_time() -> None:
    doing = timing(Top=3.2, Low=3.2)
    assert doing.shown is not None
    assert doing.shown.question.facts == (
        ("jug", "3 litres"),
        ("last time", "56 seconds (3.2 litres a minute)"),
    )


def test_half_a_second_is_asked_about_and_stays_in_doubt() -> None:
    doing = timing(Top=3.2, Low=3.2)
    turn = doing.type("0.5")
    assert "That makes 360.0 litres a minute; last time it was 3.2" in turn.notice
    doing.type("0.5", "0.5", "0.5", "56", "56", "", "2 odd", "")
    flows = next(event for event in doing.live() if isinstance(event, Reading))
    assert flows.doubt == ("flow.Top",)


def test_where_nothing_was_timed_yet_a_flood_is_asked_about_too() -> None:
    assert "few pumps of such a rack" in timing().type("2").notice


def test_a_blocked_outlet_that_was_timed_twice_is_no_doubt() -> None:
    doing = timing(Top=3.2, Low=3.2)
    doing.type("56", "56")
    assert "last time it was 3.2" in doing.type("300").notice
    doing.type("300", "300", "300", "", "2 blocked", "")
    flows = next(event for event in doing.live() if isinstance(event, Reading))
    assert flows.doubt == ()


def test_all_alike_is_refused_where_the_timings_say_otherwise() -> None:
    doing = timing(Top=3.2, Low=3.2)
    doing.type("56", "56", "75", "75", "")
    with pytest.raises(RefusedError, match=r"Low gives less than Top above it.*Type 2 and what you see"):
        doing.type("1")
    doing.type("2 Low is slow", "")
    doing = timing(Top=3.2, Low=3.2)
    doing.type("56", "56", "56", "56", "")
    doing.type("1")


def test_two_timings_far_apart_want_a_third() -> None:
    doing = Doing("task:time-the-outlets", on=rack(measuring=Measuring(jug_l=0.5)))
    turn = doing.type(*[""] * steps_of("time-the-outlets"), "15", "30")
    assert "Time it a third time" in turn.notice
    doing.type("15.2")
    assert doing.key() == "flow.2a"


def test_readings_left_out_leave_nothing_to_judge() -> None:
    doing = Doing("task:calibrate-ph")
    doing.type(*[""] * steps_of("calibrate-ph"))
    for _turn in range(3):
        skipped = skip(doing.walk, doing.script, key=doing.key(), reason="no-tool", now=doing.now, by="Mo")
        doing.walk = skipped.walk
    doing.type("", "", "")
    doing.type("3 battery flat")
    done = doing.live()[-1]
    assert isinstance(done, TaskDone)
    assert (done.outcome, done.text, dict(done.values)) == ("could-not", "battery flat", {})


def test_what_is_still_open_is_said_before_the_steps() -> None:
    found = TaskDone(
        id="f", seq=1, at=BEGAN - timedelta(days=2), task="smoke-alarm", outcome="found", text="weak"
    )
    doing = Doing("task:calibrate-ph", events=[replace(found, task="calibrate-ph")])
    assert doing.key() == "open.finding"
    assert "weak" in doing.before()


def test_a_stop_result_ends_at_the_stop_page_with_hands_off() -> None:
    doing = Doing("task:test-trip-switch")
    turn = doing.type(*[""] * steps_of("test-trip-switch"), "2 stays on")
    assert doing.key() == "result.stop"
    assert doing.before().startswith("Stop.")
    assert not turn.notice, "it is said once"
    doing.type("")
    assert doing.key() == ""
    assert "It stays on today's page" in doing.said()


def test_notes_on_the_way_are_kept_with_the_tasks_name() -> None:
    doing = Doing("task:safety-daily")
    doing.walk = note(doing.walk, doing.script, text="plug moved", now=doing.now, by="Mo").walk
    while doing.key():
        doing.type("1")
    finish = doing.script.finish(doing.walk, fold(doing.walk.entries), doing.now)
    (kept,) = finish.events
    assert isinstance(kept, Note)
    assert kept.text.endswith(": plug moved")
    assert "checks good" in finish.said[0]


def test_checks_say_what_was_found_and_what_stays_due() -> None:
    doing = Doing("task:safety-weekly")
    kinds = {"damp": 0}
    while doing.key():
        weeks = doing.key() == "no-slime-no-light.state"
        kinds["damp"] += weeks
        doing.type("2 green rim" if weeks else "3")
    said = doing.said()
    assert kinds["damp"] == 1
    assert "green rim" in said
    assert "stay due" in said


@pytest.mark.parametrize("kind", ["task:smoke-alarm", "task:safety-daily", "task:follow-smoke-alarm"])
def test_every_task_walk_has_a_head_and_judges_no_words(kind: str) -> None:
    found = TaskDone(
        id="f", seq=1, at=BEGAN - timedelta(days=2), task="smoke-alarm", outcome="found", text="weak"
    )
    doing = Doing(kind, events=[found])
    assert doing.script.kind == kind
    assert doing.script.title.isupper()
    assert doing.shown is not None
    question = doing.shown.question
    assert not doing.script.judge(question, 1.0, fold(())).again
    assert doing.script.near(question, 1.0, 1.0)
    assert not doing.script.near(question, 1.0, 2.0)


def test_both_dangers_are_named_before_both_kinds_of_work() -> None:
    doing = Doing("task:descale-pump")
    assert doing.shown is not None
    assert "goggles" in doing.shown.question.choices[0].text
    assert "plugs out" in doing.shown.question.choices[0].text


def test_a_finding_without_its_task_can_still_be_closed() -> None:
    lost = TaskDone(
        id="f", seq=1, at=BEGAN - timedelta(days=2), task="gone-task", outcome="found", text="odd"
    )
    doing = Doing("task:follow-gone-task", events=[lost])
    doing.type("1 put back", "2", "")
    (still,) = open_findings(doing.live())
    assert still.due == doing.now + timedelta(days=1)
    again = Doing("task:follow-gone-task", events=[lost])
    again.type("1 put back", "1")
    assert "Closed" in again.said()
