"""Each task is due exactly once a period, whatever the clock does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendtui.core.due import Asked, TaskDue, due_tasks
from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.core.recurrence import read_cadence
from tendtui.core.slow_list import rules_of
from tendtui.core.task import Task
from tendtui.core.task_tables import read_tasks
from tests.support.slow_data import rack, slow_data

RULES = rules_of(slow_data())
BERLIN = ZoneInfo("Europe/Berlin")
NEW_YORK = ZoneInfo("America/New_York")
AUCKLAND = ZoneInfo("Pacific/Auckland")
SANTIAGO = ZoneInfo("America/Santiago")  # summer time begins at midnight there


def at(text: str, zone: tzinfo = UTC) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=zone)


def task(cadence: str = "weekly", **changes: object) -> Task:
    (made,) = read_tasks([{"id": "a-task", "what": "Do it", "cadence": cadence, **changes}])
    return made


def due_of(
    a_task: Task,
    now: datetime,
    *,
    done: datetime | None = None,
    events: Sequence[Event] = (),
    asked: Asked | None = None,
) -> TaskDue:
    remembered = {} if done is None else {a_task.id: done}
    wanted = {} if asked is None else {a_task.id: (asked,)}
    (found,) = due_tasks([a_task], rack(), events, remembered, now, rules=RULES, asked=wanted)
    return found


def done(when: datetime, seq: int = 1, outcome: str = "good", task_id: str = "a-task") -> TaskDone:
    return TaskDone(id=f"d{seq}", seq=seq, at=when, task=task_id, outcome=outcome)


def _moment(text: str) -> datetime:
    wall, zone = text.split()
    if zone[0] == "+":
        return at(wall, timezone(timedelta(hours=int(zone))))
    return at(wall, ZoneInfo(zone))


def _cases() -> list[tuple[str, str, datetime, datetime, datetime]]:
    path = Path(__file__).parents[2] / "data" / "clock_cases.txt"
    lines = [line for line in path.read_text("utf-8").splitlines() if not line.startswith("#")]
    rows = [[part.strip() for part in line.split("|")] for line in lines]
    return [(row[0], row[1], _moment(row[2]), _moment(row[3]), _moment(row[4])) for row in rows]


CLOCKS = _cases()


def test_there_are_at_least_24_clock_cases() -> None:
    assert len(CLOCKS) >= 24


@pytest.mark.parametrize(
    ("name", "cadence", "last", "before", "due"), CLOCKS, ids=[case[0] for case in CLOCKS]
)
def test_due_once_a_period(name: str, cadence: str, last: datetime, before: datetime, due: datetime) -> None:
    a_task = task(cadence)
    assert not due_of(a_task, before, done=last).is_due
    if "set back" in name:
        assert not due_of(a_task, due, done=last).is_due
        return
    assert due_of(a_task, due, done=last).is_due
    again = due_of(a_task, due + timedelta(minutes=5), done=due)
    assert not again.is_due, "done when due, it is quiet until the next period"
    assert again.due is not None
    assert again.due > due


@pytest.mark.parametrize("zone", [BERLIN, NEW_YORK, AUCKLAND, SANTIAGO, UTC])
@pytest.mark.parametrize(
    ("cadence", "most", "least"), [("daily", 366, 365), ("weekly", 53, 52), ("monthly", 12, 12)]
)
def test_done_whenever_due_for_a_year(zone: tzinfo, cadence: str, most: int, least: int) -> None:
    """Walk a year of mornings in each zone and do the task whenever it is due."""
    a_task, last, count = task(cadence), at("2026-01-31T08:00", zone), 0
    for day in range(1, 366):
        now = datetime(2026, 1, 31, 8, tzinfo=zone) + timedelta(days=day)  # wall time, so each day is a day
        if due_of(a_task, now, done=last).is_due:
            last, count = now, count + 1
    assert least <= count <= most


def test_a_machine_asleep_for_weeks_owes_the_task_once() -> None:
    a_task = task("daily")
    late = due_of(a_task, at("2026-06-30T08:00"), done=at("2026-06-01T08:00"))
    assert late.is_due
    assert late.due == at("2026-06-02T00:00")
    assert not due_of(a_task, at("2026-06-30T08:10"), done=at("2026-06-30T08:05")).is_due


def test_a_clock_years_ahead_does_not_silence_a_task_for_years() -> None:
    events = [done(at("2026-05-01T08:00"), 1), done(at("2030-05-08T08:00"), 2)]
    now = at("2026-05-09T08:00")
    found = due_of(task("weekly"), now, events=events, done=at("2030-05-08T08:00"))
    assert found.last_done == at("2026-05-01T08:00")
    assert found.is_due
    later = [*events, done(now, 3)]
    assert not due_of(task("weekly"), now, events=later, done=at("2030-05-08T08:00")).is_due


def test_what_a_wrong_clock_wrote_is_as_old_as_the_event_before_it() -> None:
    events = [Note(id="n", seq=5, at=at("2026-05-08T07:59"), text="x"), done(at("2030-01-01T00:00"), 6)]
    found = due_of(task("weekly"), at("2026-05-09T08:00"), events=events)
    assert found.last_done == at("2026-05-08T07:59")
    assert not found.is_due


def test_could_not_is_not_done() -> None:
    events = [done(at("2026-05-01T08:00"), 1), done(at("2026-05-08T08:00"), 2, outcome="could-not")]
    assert due_of(task("weekly"), at("2026-05-08T09:00"), events=events).is_due


def test_found_something_counts_as_done() -> None:
    events = [done(at("2026-05-08T08:00"), 2, outcome="found")]
    assert not due_of(task("weekly"), at("2026-05-09T09:00"), events=events).is_due


def test_never_done_waits_one_period_after_the_rack_began() -> None:
    events = [Note(id="n", seq=1, at=at("2026-05-01T08:00"), text="first water")]
    assert due_of(task("weekly"), at("2026-05-03T08:00"), events=events).due == at("2026-05-08T00:00")


def test_never_done_waits_a_month_at_most() -> None:
    events = [Note(id="n", seq=1, at=at("2026-05-31T08:00"), text="first water")]
    assert due_of(task("yearly"), at("2026-06-03T08:00"), events=events).due == at("2026-06-30T00:00")


def test_first_now_is_due_on_the_first_day() -> None:
    assert due_of(task("monthly", first="now"), at("2026-05-03T08:00")).is_due


def test_first_time_is_due_until_done_and_never_again() -> None:
    a_task, now = task("first-time"), at("2026-05-03T08:00")
    assert due_of(a_task, now).is_due
    assert due_of(a_task, now + timedelta(days=999), done=now).due is None


@pytest.mark.parametrize("about", ["power-cut", "leak", "holiday"])
def test_a_happening_makes_it_due_at_once_and_once(about: str) -> None:
    a_task, when = task("event", on=[about]), at("2026-05-03T08:00")
    events: list[Event] = [Note(id="n", seq=3, at=when, text="lights out", about=about)]
    found = due_of(a_task, when, events=events)
    assert found.due == when
    assert found.is_due
    assert "after" in found.because
    assert not due_of(a_task, when, events=[*events, done(when + timedelta(minutes=1), 4)]).is_due


def test_an_event_task_is_never_due_by_itself() -> None:
    assert due_of(task("event", on=["leak"]), at("2026-05-03T08:00")).due is None


def test_a_new_meter_is_checked() -> None:
    events = [
        done(at("2026-05-02T08:00"), 1),
        Renewed(id="r", seq=2, at=at("2026-05-03T08:00"), what="meter.ph"),
    ]
    assert due_of(task("yearly", on=["new-meter"]), at("2026-05-03T09:00"), events=events).is_due


def test_an_emptied_tier_is_a_crop_change() -> None:
    moved = Plants(id="p1", seq=1, at=at("2026-05-01T08:00"), act="move", crop="basil", count=4, tier="Top")
    some = Plants(id="p2", seq=2, at=at("2026-05-02T08:00"), act="pull", crop="basil", count=3, tier="Top")
    rest = Plants(id="p3", seq=3, at=at("2026-05-03T08:00"), act="pull", crop="basil", count=1, tier="Top")
    now = at("2026-05-03T09:00")
    assert due_of(task("crop-change"), now, events=[moved, some]).due is None
    assert due_of(task("crop-change"), now, events=[moved, some, rest]).is_due


def test_litres_topped_up_make_it_due() -> None:
    a_task = task("yearly", after_tanks=1.0)
    events: list[Event] = [done(at("2026-05-01T08:00"), 1)]
    events += [
        Poured(id=f"w{n}", seq=n, at=at(f"2026-05-0{n}T09:00"), what="water", litres=25.0)
        for n in range(2, 5)
    ]
    assert not due_of(a_task, at("2026-05-03T23:00"), events=events[:3]).is_due
    found = due_of(a_task, at("2026-05-04T23:00"), events=events)
    assert found.due == at("2026-05-04T09:00"), "75 of 60 litres on that day"
    assert found.because == "75 litres of water added since"


@pytest.mark.parametrize(("temperature_c", "is_due"), [(25.0, True), (21.0, False)])
def test_heat_shortens_the_cadence(temperature_c: float, is_due: bool) -> None:
    a_task = task("weekly", hot="daily")
    events = [
        Reading(id=f"r{n}", seq=n, at=at(f"2026-0{n}-01T08:00"), temperature_c=21.0) for n in range(1, 5)
    ]
    events.append(Reading(id="now", seq=9, at=at("2026-05-03T08:00"), temperature_c=temperature_c))
    assert due_of(a_task, at("2026-05-03T09:00"), done=at("2026-05-02T08:00"), events=events).is_due is is_due


def test_one_hot_spell_asks_once() -> None:
    a_task = task("yearly", on=["heat"])
    hot = [Reading(id=f"r{n}", seq=n, at=at(f"2026-05-0{n}T08:00"), temperature_c=25.5) for n in range(1, 5)]
    assert due_of(a_task, at("2026-05-02T08:00"), events=hot).is_due
    assert not due_of(a_task, at("2026-05-04T09:00"), done=at("2026-05-02T09:00"), events=hot).is_due


def test_what_counts_as_done_elsewhere_counts() -> None:
    a_task = task("daily", done_by=["reading:ph", "plants:sow", "change", "poured:water"])
    now = at("2026-05-03T20:00")
    for event in (
        Reading(id="r", seq=1, at=at("2026-05-03T08:00"), ph=6.0),
        Plants(id="p", seq=1, at=at("2026-05-03T08:00"), act="sow", crop="basil", count=4),
        Change(id="c", seq=1, at=at("2026-05-03T08:00")),
        Poured(id="w", seq=1, at=at("2026-05-03T08:00"), what="water", litres=2.0),
    ):
        assert due_of(a_task, now, events=[event]).last_done == at("2026-05-03T08:00")


def test_silenced_is_listed_and_never_due() -> None:
    found = due_of(task("daily", silenced="no lamps"), at("2026-05-03T08:00"), done=at("2026-01-01T08:00"))
    assert found.due is None
    assert not found.is_due
    assert "no lamps" in found.because


def test_another_part_may_ask_sooner_and_never_later() -> None:
    now = at("2026-05-03T08:00")
    soon, late = Asked(at=now, because="salts"), Asked(at=now + timedelta(days=99), because="salts")
    assert due_of(task("yearly"), now, done=at("2026-05-01T08:00"), asked=soon).is_due
    assert due_of(task("weekly"), now, done=at("2026-05-01T08:00"), asked=late).due == at("2026-05-08T00:00")


def test_what_still_stands_is_asked_again_the_day_after_somebody_said_that_it_is_done() -> None:
    asked = Asked(at=at("2026-05-01T08:00"), because="4 parsley, 93 days old")
    said = done(at("2026-05-03T08:00"))
    evening = due_of(task("event"), at("2026-05-03T20:00"), events=[said], asked=asked)
    assert not evening.is_due
    assert evening.due == at("2026-05-04T00:00")
    assert due_of(task("event"), at("2026-05-04T08:00"), events=[said], asked=asked).is_due
    gone = Asked(at=asked.at, because="thin", stands=False)
    assert due_of(task("event"), at("2026-05-04T08:00"), events=[said], asked=gone).due is None


def test_steps_of_change_day_are_due_with_the_change() -> None:
    tasks = read_tasks(
        [
            {"id": "change-water", "what": "Change", "cadence": "fortnightly", "done_by": ["change"]},
            {"id": "rinse", "what": "Rinse", "cadence": "change-day"},
        ]
    )
    events = [Change(id="c", seq=1, at=at("2026-05-01T08:00"))]
    dues = due_tasks(tasks, rack(), events, {}, at("2026-05-03T08:00"), rules=RULES)
    assert [due.due for due in dues] == [at("2026-05-15T00:00")] * 2


def test_a_long_overdue_trifle_stays_under_a_fresh_danger() -> None:
    now = at("2026-12-01T08:00")
    trifle = due_of(task("daily", severity="week"), now, done=at("2026-01-01T08:00"))
    danger = due_of(task("weekly", severity="stop"), now, done=at("2026-11-24T08:00"))
    assert trifle.is_due
    assert danger.is_due
    assert danger.score > trifle.score


def test_cadences_are_read_and_refused() -> None:
    assert read_cadence("every 14 days").days == 14
    assert read_cadence("2 months").months == 2
    assert read_cadence(" Every  week ").days == 7
    for wrong in (
        "sometimes",
        "every 0 days",
        "every -1 days",
        "every 1.5 weeks",
        "",
        "every 99999 days",
        "every ² days",
    ):
        with pytest.raises(ValueError, match=r"cadence|ten years"):
            read_cadence(wrong)


def test_a_leaving_list_after_yesterday_s_dose_is_no_round() -> None:
    daily = task("daily", done_by=["round"])
    left = Reading(id="r", seq=1, at=at("2026-11-26T07:45"), looks={"leaving.lid": "shut"}, source="round")
    walked = Reading(id="w", seq=2, at=at("2026-11-26T07:50"), looks={"Top.roots": "white"}, source="round")
    now = at("2026-11-26T08:00")
    assert due_of(daily, now, events=(left,)).last_done is None
    assert due_of(daily, now, events=(left, walked)).last_done == walked.at
