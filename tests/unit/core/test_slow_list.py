"""The packaged tasks, the grower's changes, what is pressing, and what can be wrong."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.card import cards
from tendtui.core.change_rules import at_full_ms_cm, change_asked, why_change
from tendtui.core.drill import drills
from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.meter_check import check_conductivity, check_ph
from tendtui.core.priority import few_that_matter, may_do
from tendtui.core.rack import Device, Mains, Place, Rack, Reservoir, Source, Tier
from tendtui.core.recurrence import cadence_words, read_cadence
from tendtui.core.region import read_regions, region_named
from tendtui.core.safety_load import load_findings, load_sums
from tendtui.core.safety_weight import weight_sums
from tendtui.core.slow_finding import slow_findings
from tendtui.core.slow_list import rules_of, slow_list, tasks_of
from tendtui.core.task import Task
from tendtui.core.task_tables import (
    packaged_tasks,
    read_own_tasks,
    read_tasks,
    with_restored,
    with_silenced,
)
from tendtui.value import replace
from tests.support.slow_data import rack, slow_data, table

DATA = slow_data()
NOW = datetime(2026, 5, 30, 8, tzinfo=UTC)
REGIONS = read_regions(table("regions"))
RULES = rules_of(DATA)
CHANGED = Change(id="c", seq=1, at=NOW - timedelta(days=10), litres=60.0)

LEFT_OUT: dict[str, str] = {}
"""Rows of the safety checks that are no task, with the reason; all of them fit."""


def _packaged() -> tuple[Task, ...]:
    tasks, _findings = tasks_of(DATA, rack())
    return tasks


def _reference_rows() -> list[dict[str, str]]:
    path = Path(__file__).parents[2] / "reference" / "data" / "safety_checks.csv"
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


SEVERITY = {"stop": "stop", "fix-today": "today", "fix-this-week": "week"}
CADENCE = {"after-event": "event"}


@pytest.mark.parametrize("row", _reference_rows(), ids=lambda row: row["id"])
def test_every_safety_check_is_on_the_list(row: dict[str, str]) -> None:
    """Severity, cadence and place as in the collected safety checks, each with its source."""
    if row["id"] in LEFT_OUT:
        pytest.fail(f"{row['id']} is left out: {LEFT_OUT[row['id']]}")
    (task,) = [task for task in _packaged() if task.row == row["id"]]
    assert task.severity == SEVERITY[row["severity"]]
    assert task.kind == CADENCE.get(row["cadence"], row["cadence"])
    assert task.place == row["place"]
    assert task.source
    assert task.known == row["how_known"]


ADULT_ONLY = {"CH10", "CH60", "CH61", "CH62", "CH63", "AE09", "RK02", "RK60", "EL31", "WT60"}
"""Source: the safety reference's list of what a stand-in doesn't do; all first-time rows belong to it too."""


def test_adults_only_rows_are_hidden_from_stand_ins() -> None:
    for task in _packaged():
        if task.row in ADULT_ONLY or task.row in {"FT01", "FT02", "FT03", "FT04", "FT05", "FT07"}:
            assert task.adult_only, task.id
            assert not may_do(task, "shown")
            assert may_do(task, "grower")


def test_every_task_can_be_followed() -> None:
    for task in _packaged():
        assert task.what, task.id
        assert task.how, task.id
        assert task.good, task.id
        assert task.if_not, task.id
        assert task.why, task.id
        assert task.source, task.id
        assert 0 < task.minutes <= 180, task.id


def test_ids_stay_lower_case_words_with_hyphens() -> None:
    for task in _packaged():
        assert all(part.isalpha() and part.islower() for part in task.id.split("-")), task.id


def test_meter_checks_begin_with_calibrate() -> None:
    checks = {task.id for task in _packaged() if {"buffers", "standard"} & set(task.reads)}
    assert checks == {"calibrate-ph", "calibrate-conductivity"}


def test_a_stop_check_says_stop_first() -> None:
    for task in _packaged():
        if task.severity == "stop":
            assert task.if_not.startswith("Stop."), task.id


def test_nobody_is_asked_to_open_or_bypass_mains() -> None:
    asking = ("open the socket", "open the plug", "repair the cable", "rewire", "bypass the")
    for task in _packaged():
        told = " ".join((*task.how, task.if_not)).casefold()
        assert not any(words in told for words in asking), task.id


def test_peroxide_is_never_dosed() -> None:
    for task in _packaged():
        for step in task.how:
            assert not ("peroxide" in step.casefold() and "add" in step.casefold().split()), task.id


# the grower's own tables


def test_a_grower_changes_adds_silences_and_restores() -> None:
    own = [
        {"id": "calibrate-ph", "cadence": "every 3 days"},
        {"id": "feed-the-fish", "what": "Feed the fish", "cadence": "daily", "who": "anyone"},
        {"id": "smoke-alarm", "silenced": "a firm does it"},
    ]
    tasks, findings = read_own_tasks(_packaged(), own)
    by_id = {task.id: task for task in tasks}
    assert findings == ()
    assert by_id["calibrate-ph"].cadence.days == 3
    assert by_id["calibrate-ph"].what.startswith("pH meter"), "what isn't named stays"
    assert by_id["feed-the-fish"].own
    assert by_id["smoke-alarm"].silenced == "a firm does it"
    restored, _findings = read_own_tasks(_packaged(), with_restored(own, "smoke-alarm"))
    assert not {task.id: task for task in restored}["smoke-alarm"].silenced


def test_silencing_needs_a_reason() -> None:
    with pytest.raises(ValueError, match="reason"):
        with_silenced(None, "smoke-alarm", "  ")
    assert with_silenced(None, "smoke-alarm", "a firm does it") == [
        {"id": "smoke-alarm", "silenced": "a firm does it"}
    ]


FAULTY: list[tuple[object, str]] = [
    ([{"id": "glance", "cadence": "sometimes"}], "task glance: sometimes is no cadence"),
    ([{"id": "a-b", "what": "x", "cadence": "daily"}] * 2, "two tasks have the id a-b"),
    ([{"id": "glance", "silenced": ""}], "silenced without a reason"),
    ([{"id": "glance", "silenced": True}], "silenced without a reason"),
    ([{"id": "Glance!"}], "no usable id"),
    ([{"what": "x", "cadence": "daily"}], "no usable id"),
    ([{"id": "new-one", "cadence": "daily"}], "doesn't say what to do"),
    ([{"id": "new-one", "what": "x"}], "doesn't say how often"),
    ([{"id": "glance", "who": "the cat"}], "who can't be the cat"),
    ([{"id": "glance", "severity": "soon"}], "severity can't be soon"),
    ([{"id": "glance", "minutes": -1}], "minutes is no number above zero"),
    ([{"id": "glance", "how": "look"}], "how is no list of texts"),
    ([{"id": "glance", "reads": ["tea leaves"]}], "reads something unknown"),
    ([7], "task 1 is not a table"),
    ("glance", "not a list of tables"),
]


@pytest.mark.parametrize(("own", "words"), FAULTY, ids=[words for _own, words in FAULTY])
def test_a_faulty_task_table_is_told_and_changes_nothing(own: object, words: str) -> None:
    tasks, findings = read_own_tasks(_packaged(), own)
    assert words in str(findings[0])
    assert findings[0].do
    if words != "two tasks have the id a-b":
        assert tasks == _packaged()


def test_every_packaged_table_is_right() -> None:
    """They are not looked over at each start."""
    tables = [task for name in ("tasks", "safety_checks") for task in table(name)["task"]]  # type: ignore[attr-defined]
    assert len(tables) > 50
    assert packaged_tasks(tables) == read_tasks(tables)


def test_a_packaged_table_that_is_wrong_is_not_read() -> None:
    with pytest.raises(ValueError, match="stands twice"):
        read_tasks([{"id": "a", "what": "x", "cadence": "daily"}] * 2)


# what is pressing


def test_a_new_rack_is_asked_a_few_things_not_a_hundred() -> None:
    slow = slow_list(DATA, rack(), (), {}, NOW)
    few = few_that_matter(slow.dues)
    assert 1 <= len(few) <= 4
    assert few[0].opens == "task:safety-first", "before the first start come its safety checks"
    assert few[0].because.startswith("6 checks")


def test_newcomers_are_not_offered_growers_tasks() -> None:
    slow = slow_list(DATA, rack(), [CHANGED], {}, NOW)
    ids = {task for line in few_that_matter(slow.dues, role="newcomer", most=99) for task in line.tasks}
    assert ids
    assert all(due.task.who == "anyone" for due in slow.dues if due.task.id in ids)


def test_what_the_round_does_is_not_asked_beside_it() -> None:
    slow = slow_list(DATA, rack(), (), {}, NOW + timedelta(days=3))
    ids = {task for line in few_that_matter(slow.dues, most=99) for task in line.tasks}
    assert "daily-round" in ids
    assert "read-level" not in ids
    assert "daily-round" not in {
        task for line in few_that_matter(slow.dues, most=99, without=["daily-round"]) for task in line.tasks
    }


# change day's rules


def _water(litres: float, *, days_ago: int) -> Poured:
    return Poured(
        id=f"w{days_ago}", seq=50 - days_ago, at=NOW - timedelta(days=days_ago), what="water", litres=litres
    )


def _reading(
    level_l: float,
    ms_cm: float,
    *,
    days_ago: int,
    looks: Mapping[str, str] | None = None,
    temperature_c: float | None = None,
) -> Reading:
    return Reading(
        id=f"r{days_ago}",
        seq=60 - days_ago,
        at=NOW - timedelta(days=days_ago),
        level_l=level_l,
        conductivity_ms_cm=ms_cm,
        looks=looks or {},
        temperature_c=temperature_c,
    )


@pytest.mark.parametrize(
    ("source_ms_cm", "litres", "speaks"),
    # tank: 60 L and about 8 L in the pipes; weight = source / 0.5, between 0.5 and 2
    [
        (0.5, 70.0, True),
        (0.5, 60.0, False),
        (0.1, 130.0, False),
        (0.1, 140.0, True),
        (1.0, 35.0, True),
        (None, 70.0, True),
    ],
)
def test_water_added_weighs_by_its_salts(source_ms_cm: float | None, litres: float, speaks: bool) -> None:
    of = rack(
        source=Source(conductivity_ms_cm=source_ms_cm),
        reservoir=Reservoir(full_l=60.0, least_l=30.0, pipes_l=8.0),
    )
    events: list[Event] = [CHANGED, _water(litres, days_ago=2)]
    rules = {rule.rule for rule in why_change(of, events, NOW, rules=RULES)}
    assert ("water" in rules) is speaks


def test_creep_on_water_alone_asks_for_a_change() -> None:
    events: list[Event] = [
        CHANGED,
        _reading(60, 1.6, days_ago=9),
        _water(10, days_ago=5),
        _reading(60, 1.9, days_ago=1),
    ]
    asked = change_asked(rack(), events, NOW, rules=RULES)
    assert asked is not None
    assert "rising on water alone" in asked.because
    fed = [*events[:3], Poured(id="f", seq=58, at=NOW - timedelta(days=2), what="Feed A", ml=50.0), events[3]]
    assert change_asked(rack(), fed, NOW, rules=RULES) is None


def test_the_change_limit_counts_at_the_full_mark() -> None:
    assert change_asked(rack(), [CHANGED, _reading(30, 3.4, days_ago=1)], NOW, rules=RULES) is None
    asked = change_asked(rack(), [CHANGED, _reading(60, 3.4, days_ago=1)], NOW, rules=RULES)
    assert asked is not None
    assert "over the change limit" in asked.because


def test_sick_roots_ask_for_a_change_for_three_days() -> None:
    sick = _reading(60, 1.6, days_ago=1, looks={"Top.roots": "brown-slimy"})
    old = _reading(60, 1.6, days_ago=5, looks={"Top.roots": "brown-slimy"})
    asked = change_asked(rack(), [CHANGED, sick], NOW, rules=RULES)
    assert asked is not None
    assert "roots in Top" in asked.because
    assert change_asked(rack(), [CHANGED, old], NOW, rules=RULES) is None


def test_sick_roots_that_somebody_said_ask_for_a_change_too() -> None:
    told = Note(id="n", seq=5, at=NOW - timedelta(days=1), text="bench stinks", about="roots")
    asked = change_asked(rack(), [CHANGED, told], NOW, rules=RULES)
    assert asked is not None
    assert asked.because == "brown, slimy roots"
    assert change_asked(rack(), [told, replace(CHANGED, at=NOW)], NOW, rules=RULES) is None


def test_strength_at_the_full_mark_is_a_salt_balance() -> None:
    # salt balance: (EC x litres + EC of water x litres missing) / litres at the full mark; 68 L with pipes
    of = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, pipes_l=8.0))
    assert at_full_ms_cm(of, level_l=40.0, conductivity_ms_cm=2.0) == pytest.approx(
        (2.0 * 48 + 0.3 * 20) / 68
    )


# meters


@pytest.mark.parametrize(
    ("seven", "four", "verdict"),
    # limits: 95 to 105 % good, under 85 % replace, beyond 30 mV replace: a meter maker's manual
    [
        (7.00, 4.00, "good"),
        (7.10, 4.30, "clean"),
        (7.30, 4.30, "clean"),
        (7.0, 4.6, "replace"),
        (7.6, 4.6, "replace"),
    ],
)
def test_ph_meter_verdicts(seven: float, four: float, verdict: str) -> None:
    assert check_ph(shown_7_ph=seven, shown_4_ph=four).verdict == verdict


def test_buffer_values_follow_the_temperature() -> None:
    # technical buffer 7.00 is 7.06 at 10 °C, phthalate 3.996: a meter maker's table and HJ 1147-2020
    cold = check_ph(shown_7_ph=7.06, shown_4_ph=3.996, temperature_c=10.0)
    assert cold.slope_percent == pytest.approx(100.0)
    assert cold.offset_ph == pytest.approx(0.0)


@pytest.mark.parametrize(("shown", "verdict"), [(1.413, "good"), (1.45, "adjust"), (1.30, "clean")])
def test_conductivity_meter_verdicts(shown: float, verdict: str) -> None:
    # 1413 µS/cm at 25 °C: 0.0100 mol/L potassium chloride; 2 and 5 percent: growers' guides
    assert check_conductivity(shown_ms_cm=shown).verdict == verdict


def test_a_meter_without_compensation_is_judged_at_its_temperature() -> None:
    # 1277 µS/cm at 20 °C: scaled from the NIST column
    assert check_conductivity(shown_ms_cm=1.277, temperature_c=20.0, compensated=False).verdict == "good"


# load, weight, region


def test_the_load_sum_names_its_source() -> None:
    (total,) = load_sums(
        rack(place=Place(region="US"), mains=Mains(volts=120.0, circuit_amps=15.0)),
        region_named("usa", REGIONS),
    )
    assert "185 W, 1.54 A at 120 V; limit 12.0 A" in total.shown
    assert total.verdict == "green"
    assert "NEC 210.19(A)" in total.source


BAD: list[tuple[Rack, str]] = [
    (
        rack(devices=(Device(name="Kiln", watts=3000.0),), mains=Mains(volts=230.0, circuit_amps=6.0)),
        "Kiln draws 13.0 A",
    ),
    (rack(mains=Mains(volts=120.0, circuit_amps=10.0), place=Place(region="UK")), "not what UK has"),
    (
        rack(
            devices=(Device(name="Lamp", watts=1500.0, count=2),),
            mains=Mains(volts=120.0, circuit_amps=30.0),
            place=Place(region="US"),
        ),
        "load is too much",
    ),
    (
        rack(tiers=(Tier(name="Huge", pipe_inside_mm=300.0, length_m=3.0, outlet_height_mm=200.0),)),
        "Huge holds 150.2 litres, more than the reservoir",
    ),
    (rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=60.5)), "run back when the pump stops"),
    (rack(extra={"task": [{"id": "glance", "cadence": "now and then"}]}), "now and then is no cadence"),
]


@pytest.mark.parametrize(("bad", "words"), BAD, ids=[words for _rack, words in BAD])
def test_what_cannot_be_is_found(bad: Rack, words: str) -> None:
    findings = slow_findings(DATA, bad)
    assert any(words in str(finding) for finding in findings), [str(finding) for finding in findings]
    assert all(finding.do for finding in findings)


def test_twelve_volts_are_told_before_any_sum() -> None:
    strange = rack(mains=Mains(volts=12.0, circuit_amps=10.0))
    (found,) = load_findings(strange, None)
    assert str(found).startswith("rack.toml: 12 volts is no mains voltage. Read it on a device's plate")
    assert slow_findings(DATA, strange) == (), "the reader of the file has told it already"


def test_a_good_rack_has_no_findings() -> None:
    assert slow_findings(DATA, rack(place=Place(region="UK"))) == ()


def test_a_poor_power_factor_counts() -> None:
    drivers = Device(name="Drivers", watts=60.0, count=8, power_factor=0.55)
    weak = rack(devices=(drivers,), mains=Mains(volts=120.0, circuit_amps=6.0))
    assert "7.3 A" in str(load_findings(weak, None)[0])


def test_a_timer_over_its_mark_is_red() -> None:
    lamps = Device(name="Lamps", watts=500.0, kind="light", timer_rating_a=2.0)
    _total, timer = load_sums(rack(devices=(lamps,)), None)
    assert timer.verdict == "red"
    assert "87 to 217 A at the first instant" in timer.shown  # 500 / 230 A x 40 and 100


def test_each_tiers_brim_full_weight_is_said() -> None:
    said = [total.shown for total in weight_sums(rack())]
    assert any("Top: 8 litres brim-full" in line for line in said)  # pi/4 x 0.8² dm² x 16 dm


SLOW_TRIP_TEST = {"task": [{"id": "test-trip-switch", "cadence": "every 6 months"}]}


@pytest.mark.parametrize("region", ["UK", "Atlantis", None])
def test_a_trip_test_as_often_as_the_region_asks_is_no_finding(region: str | None) -> None:
    found = slow_findings(DATA, rack(place=Place(region=region), extra=SLOW_TRIP_TEST))
    assert [finding.key for finding in found] == (["place.region"] if region == "Atlantis" else [])


def test_a_slower_trip_test_than_the_regions_is_advice() -> None:
    (advice,) = slow_findings(DATA, rack(place=Place(region="AU"), extra=SLOW_TRIP_TEST))
    assert advice.severity == "advice"
    assert "less often than usual in AU" in advice.what


def test_the_trip_switch_has_its_local_name() -> None:
    tasks, _findings = tasks_of(DATA, rack(place=Place(region="AU")))
    (trip,) = [task for task in tasks if task.id == "test-trip-switch"]
    assert "safety switch (30 mA or less)" in trip.how[0]


# drills and cards


def test_drills_are_printed_with_this_racks_own_figures() -> None:
    printed = drills(table("drills"), rack(phones={"Poison line": "555 0199"}), region_named("UK", REGIONS))
    told = " ".join(line for drill in printed for line in (drill.first, *drill.steps))
    for words in ("60 litres", "30 litres", "Top, Low", "Pump", "999 or 112", "555 0199", "22.5 litres"):
        assert words in told
    assert "{" not in told
    assert len({drill.key for drill in printed}) == len(printed) == 7


def test_a_bare_rack_can_be_drilled_too() -> None:
    bare = Rack(name="x", reservoir=Reservoir(full_l=20.0, least_l=8.0))
    assert all("{" not in step for drill in drills(table("drills"), bare) for step in drill.steps)


def test_cards_name_the_numbers() -> None:
    printed = cards(table("cards"), rack(), region_named("AU", REGIONS))
    told = " ".join(line for card in printed for line in card.lines)
    assert "000" in told
    assert "13 11 26" in told
    assert {"harvest", "change-day"} <= {card.id for card in printed}


# the rest of the words and edges


def test_a_driver_with_label_amps_counts_by_them() -> None:
    drivers = Device(name="Drivers", watts=60.0, amps=0.5, count=4)
    (total,) = load_sums(rack(devices=(drivers,)), None)
    assert "4 x Drivers 115 VA" in total.shown
    assert "2.00 A" in total.shown


def test_over_the_margin_is_amber_where_no_rule_stands() -> None:
    (total,) = load_sums(rack(devices=(Device(name="Lamps", watts=2100.0),)), region_named("UK", REGIONS))
    assert total.verdict == "amber"  # 9.1 A of 10 A
    assert "judgement" in total.source


def test_a_heater_is_sent_to_its_own_socket() -> None:
    heater = Device(name="Heater", watts=300.0, kind="heater")
    (total,) = load_sums(rack(devices=(heater,)), None)
    assert "socket of their own" in total.words


def test_a_pumps_timer_counts_as_a_motor() -> None:
    pump = Device(name="Pump", watts=46.0, kind="pump", timer_rating_a=2.0)
    _total, timer = load_sums(rack(devices=(pump,)), None)
    assert "1 A at the first instant" in timer.shown  # 0.2 A x 6


def test_without_mains_there_is_no_sum() -> None:
    assert load_sums(rack(mains=None), None) == ()
    assert load_findings(rack(mains=None), None) == ()


def test_a_tier_that_cannot_be_is_left_to_its_own_check() -> None:
    odd = rack(tiers=(Tier(name="Odd", pipe_inside_mm=80.0, length_m=1.0, outlet_height_mm=120.0),))
    assert slow_findings(DATA, odd) == ()


@pytest.mark.parametrize(
    ("cadence", "words"),
    [
        ("daily", "every day"),
        ("every 2 days", "every 2 days"),
        ("monthly", "every month"),
        ("every 2 months", "every 2 months"),
        ("yearly", "every year"),
        ("change-day", "at each change"),
    ],
)
def test_cadences_are_said(cadence: str, words: str) -> None:
    assert cadence_words(read_cadence(cadence)) == words


def test_a_pen_that_shows_no_ph_is_refused() -> None:
    with pytest.raises(ValueError, match="between 0 and 14"):
        check_ph(shown_7_ph=70.0, shown_4_ph=4.0)


def test_a_grower_can_weigh_and_count_tasks() -> None:
    own = [
        {
            "id": "glance",
            "risk": 9,
            "after_tanks": 0.5,
            "after_days": 2,
            "silenced": False,
            "adult_only": True,
        }
    ]
    tasks, findings = read_own_tasks(_packaged(), own)
    (glance,) = [task for task in tasks if task.id == "glance"]
    assert findings == ()
    assert (glance.risk, glance.after_tanks, glance.after_days, glance.adult_only) == (9.0, 0.5, 2, True)


def test_a_silenced_task_that_was_only_silenced_is_restored_whole() -> None:
    assert with_restored([{"id": "smoke-alarm", "silenced": "x"}], "smoke-alarm") == []
    assert with_silenced([{"id": "smoke-alarm", "cadence": "weekly"}], "smoke-alarm", "x") == [
        {"id": "smoke-alarm", "cadence": "weekly", "silenced": "x"}
    ]


def test_a_rack_without_air_is_not_asked_about_bubbles() -> None:
    still = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, aerated=False))
    ids = {due.task.id for due in slow_list(DATA, still, (), {}, NOW).dues}
    assert "look-at-air" not in ids
    assert slow_list(DATA, still, (), {}, NOW).task("calibrate-ph") is not None


def test_cold_water_shortens_too_and_old_weather_does_not_speak() -> None:
    cold = _reading(60, 1.6, days_ago=1, temperature_c=12.0)
    damp = next(
        d
        for d in slow_list(
            DATA, rack(), [CHANGED, cold], {"room-not-damp": NOW - timedelta(days=3)}, NOW
        ).dues
        if d.task.id == "room-not-damp"
    )
    assert damp.is_due
    old = _reading(60, 1.6, days_ago=6, temperature_c=12.0)
    damp = next(
        d
        for d in slow_list(DATA, rack(), [CHANGED, old], {"room-not-damp": NOW - timedelta(days=3)}, NOW).dues
        if d.task.id == "room-not-damp"
    )
    assert not damp.is_due


def test_topping_up_opens_the_dose_and_leads_to_no_bottle() -> None:
    task = slow_list(slow_data(), rack(), (), {}, NOW).task("top-up")
    assert task is not None
    assert (task.who, task.opens) == ("anyone", "walk:dose")
    assert "feed" not in " ".join(task.how).casefold()
    assert "Plain water only" in task.how[1]
