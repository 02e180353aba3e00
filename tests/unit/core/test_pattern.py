"""Each pattern fires on its own trouble and stays quiet on an ordinary season.

The seasons are invented (tests/support/quiet_tank.py); the thresholds are those of patterns.toml.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import cache

import pytest

from tendtui.core.band import Band
from tendtui.core.event import Change, Event, Poured, Reading, TaskDone
from tendtui.core.learn_course import course_of
from tendtui.core.learned import Learning, Pace
from tendtui.core.learned_values import MeterDoubt
from tendtui.core.meter_jump import jump_doubts
from tendtui.core.pattern import DETECTORS, GROUPS, Sign, patterns_from, signs, told_by_eyes
from tendtui.core.pattern_view import View
from tendtui.core.rack import Show
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tests.support.demo_tank import Tank
from tests.support.quiet_tank import RACK, START, Season

PATTERNS = patterns_from(read_data("patterns"))
ALARMS = [p.id for p in PATTERNS if p.alarm]
DAY = 25


def view(events: tuple[Event, ...], day: float, *, learning: Learning | None = None) -> View:
    now = START + timedelta(days=day, hours=6)
    return View(
        course=course_of(RACK, events, until=now),
        learning=learning or Learning(),
        now=now,
        conductivity=Band(low=1.3, high=1.7),
        ph=Band(low=5.6, high=6.5),
        temperature=Band(low=17.0, high=24.0),
    )


def speak(events: tuple[Event, ...], day: float, *, learning: Learning | None = None) -> dict[str, Sign]:
    return {sign.pattern.id: sign for sign in signs(view(events, day, learning=learning), PATTERNS)}


@cache
def quiet(seed: int = 3) -> tuple[Event, ...]:
    return Season(seed).run(45)


def at(day: float) -> datetime:
    return START + timedelta(days=day)


def more(events: tuple[Event, ...], *extra: Event) -> tuple[Event, ...]:
    return (*events, *extra)


def upto(day: float) -> tuple[Event, ...]:
    return tuple(e for e in quiet() if e.at <= at(day))


def looks(day: float, **words: str) -> Reading:
    named = {name.replace("__", "."): word for name, word in words.items()}
    return Reading(id=f"look{day}{words}", seq=9000 + int(day * 10), at=at(day), looks=named, source="round")


Shown = dict[str, float]


def only(day: int, change: Callable[[Shown], Shown]) -> Callable[[int, Shown], Shown]:
    return lambda today, shown: change(shown) if today == day else shown


# -------------------- the data itself


def test_every_row_can_be_read_and_its_test_is_there() -> None:
    assert len({p.id for p in PATTERNS}) == len(PATTERNS) >= 30
    assert {p.detect for p in PATTERNS} - {"person"} == set(DETECTORS)
    assert all(p.source and p.check and p.do and p.group in GROUPS for p in PATTERNS)


def test_what_only_eyes_can_tell_is_kept_apart() -> None:
    assert {p.id for p in told_by_eyes(PATTERNS)} == {
        "ph-jumps-after-mixing",
        "droop-at-one-hour",
        "cloud-after-mixing",
    }


# -------------------- staying quiet


@pytest.mark.parametrize("pattern", ALARMS)
def test_an_ordinary_season_is_quiet(pattern: str) -> None:
    for day in (12, 20, 28, 36, 44):
        assert pattern not in speak(quiet(), day)


@pytest.mark.slow
def test_at_most_one_false_word_in_ninety_quiet_days() -> None:
    seeds, words = 12, 0
    for seed in range(100, 100 + seeds):
        events, before = Season(seed).run(90), set[str]()
        for day in range(5, 91):
            now = {name for name, sign in speak(events, day).items() if sign.pattern.alarm}
            words += len(now - before)
            before = now
    assert words <= seeds


# -------------------- firing


def test_a_leak_is_named_within_two_days() -> None:
    for seed in (1, 2, 4):
        season = Season(seed, leak_l_day=lambda day: 5.0 if day >= DAY else 0.0)
        events = season.run(DAY + 3)
        assert any("leak" in speak(events, day) for day in (DAY + 1, DAY + 2))


def test_a_leak_says_how_many_litres_and_is_pressing() -> None:
    events = Season(2, leak_l_day=lambda day: 8.0 if day >= DAY else 0.0).run(DAY + 2)
    sign = speak(events, DAY + 2)["leak"]
    assert sign.severity == "stop"
    assert "litres went in" in sign.why


def with_looks(events: tuple[Event, ...], **words: str) -> tuple[Event, ...]:
    """Give the same with looks on the newest round."""
    newest = max(n for n, e in enumerate(events) if isinstance(e, Reading) and e.source == "round")
    named = {name.replace("__", "."): word for name, word in words.items()}
    return tuple(replace(e, looks=named) if n == newest else e for n, e in enumerate(events))


def test_water_that_left_a_dry_floor_stands_in_the_pipe_whose_outlet_is_weak() -> None:
    """Care of a small rack, section 4: level down, floor dry, one pipe deep is a blocked outlet."""
    gone = Season(2, leak_l_day=lambda day: 8.0 if day >= DAY else 0.0).run(DAY + 2)
    dry = with_looks(gone, floor__floor="tissue-dry", One__flow="smooth-stream", Two__flow="drops-or-nothing")
    sign = speak(dry, DAY + 2)["held-in-a-pipe"]
    assert sign.about == "Two"
    assert "litres went in" in sign.why
    assert "leak" not in speak(dry, DAY + 2)
    wet = with_looks(gone, floor__floor="puddle", Two__flow="drops-or-nothing")
    assert "leak" in speak(wet, DAY + 2)
    assert "held-in-a-pipe" not in speak(wet, DAY + 2)
    smooth = with_looks(gone, floor__floor="tissue-dry", Two__flow="smooth-stream")
    assert "leak" in speak(smooth, DAY + 2)
    assert "held-in-a-pipe" not in speak(smooth, DAY + 2)


def test_thirst_without_salt_going_is_not_a_leak() -> None:
    # a third of the tank's water alone is gone: strength rises by as much
    def dried(day: int, tank: Tank) -> None:
        if day == DAY:
            tank.level_l -= 14.0

    events = Season(2, unwritten=dried).run(DAY)
    found = speak(events, DAY)
    assert "leak" not in found
    assert "lost-but-kept-its-salt" in found


def test_water_that_nobody_wrote_is_named() -> None:
    events = Season(2, unwritten=lambda day, tank: tank.water(15.0) if day == DAY else None).run(DAY)
    assert "water-came-in" in speak(events, DAY)


def test_water_that_nobody_wrote_puts_no_blame_on_the_reading_before_it() -> None:
    # the day's own reading is doubted and not measured again; the next one stands high as well
    season = Season(2, unwritten=lambda day, tank: tank.water(15.0) if day == DAY else None)
    events = tuple(
        replace(e, doubt=("level",))
        if isinstance(e, Reading) and e.level_l and e.at.date() == at(DAY).date()
        else e
        for e in season.run(DAY + 1)
    )
    found = speak(events, DAY + 1)
    assert "water-came-in" in found
    assert "reading-off-both-sides" not in found


def test_feed_that_nobody_wrote_is_named() -> None:
    events = Season(2, unwritten=lambda day, tank: tank.feed(45.0, 30.0) if day == DAY else None).run(DAY)
    assert "strength-jump-nobody-made" in speak(events, DAY)


def test_a_strength_typed_too_low_is_named() -> None:
    low = only(DAY, lambda shown: {**shown, "conductivity_ms_cm": 1.05})
    assert "strength-drop-nobody-made" in speak(Season(2, typed=low).run(DAY), DAY)


def test_a_feeding_poured_twice_is_named() -> None:
    events = Season(2, written_twice=lambda day: 2.0 if day >= DAY else 1.0).run(DAY + 12)
    assert any("feed-added-too-much" in speak(events, day) for day in range(DAY, DAY + 12))


def test_a_feeding_that_never_went_in_is_named() -> None:
    events = Season(2, written_twice=lambda day: 0.0 if day >= DAY else 1.0).run(DAY + 12)
    assert any("feed-added-too-little" in speak(events, day) for day in range(DAY, DAY + 12))


def test_a_level_slip_is_named_once_the_next_day_fits() -> None:
    season = Season(2).run(DAY + 4)
    days = [e.at.date() for e in season if isinstance(e, Poured) and e.what == "water"]
    slip = next(
        e for e in season if isinstance(e, Reading) and e.at > at(DAY - 1) and e.at.date() not in days
    )
    events = tuple(replace(e, level_l=(e.level_l or 0.0) - 12.0) if e is slip else e for e in season)
    day = (slip.at - START) / timedelta(days=1)
    found = [speak(events, day + later) for later in (1.0, 2.0)]
    assert any("reading-off-both-sides" in words for words in found)
    assert not any("water-came-in" in words for words in found[1:])
    assert all("reading-off-both-sides" not in speak(season, day + later) for later in (1.0, 2.0))


def test_a_value_in_doubt_is_named_until_it_is_measured_again() -> None:
    odd = Reading(id="odd", seq=9000, at=at(20.1), ph=8.4, doubt=("ph",))
    assert "value-in-doubt" in speak(more(upto(20.05), odd), 20)
    again = Reading(id="again", seq=9001, at=at(20.2), ph=6.2)
    assert "value-in-doubt" not in speak(more(upto(20.05), odd, again), 20)


def ph_log(*steps: tuple[float, float], poured: dict[float, str] | None = None) -> tuple[Event, ...]:
    """A plain log of level, strength and pH by day, with pourings by day."""
    events: list[Event] = [Change(id="c", seq=1, at=at(0), litres=90.0)]
    for n, (day, ph) in enumerate(steps):
        events.append(
            Reading(
                id=f"r{n}",
                seq=10 + n,
                at=at(day),
                level_l=88.0,
                conductivity_ms_cm=1.50 + 0.01 * (n % 2),
                ph=ph,
                temperature_c=20.0,
                source="round",
            )
        )
    pours = (poured or {}).items()
    events += [Poured(id=f"p{d}", seq=500 + int(d * 10), at=at(d), what=what, ml=5.0) for d, what in pours]
    return tuple(events)


CALM = tuple((float(day), 6.0 + 0.1 * (day % 2)) for day in range(1, 20))


def test_a_jump_of_ph_with_nothing_added_points_to_the_meter() -> None:
    assert "ph-jump-nobody-made" in speak(ph_log(*CALM, (20.0, 7.1)), 20)
    assert "ph-jump-nobody-made" not in speak(ph_log(*CALM, (20.0, 6.4)), 20)


def twice(
    *, ph: float = 6.0, strength: float = 1.5, again: tuple[float, float] | None = None
) -> tuple[Event, ...]:
    """A round whose odd value was doubted, and the second reading five minutes later."""
    doubt = tuple(name for name, odd in (("ph", ph != 6.0), ("conductivity", strength != 1.5)) if odd)
    second_ph, second_strength = again or (ph, strength)
    first = Reading(
        id="odd", seq=800, at=at(20.0), level_l=88.0, conductivity_ms_cm=strength, ph=ph, doubt=doubt,
        temperature_c=20.0,
    )  # fmt: skip
    second = Reading(
        id="again", seq=801, at=at(20.004),
        ph=second_ph if "ph" in doubt else None,
        conductivity_ms_cm=second_strength if "conductivity" in doubt else None,
    )  # fmt: skip
    return (*ph_log(*CALM), first, second)


def test_a_jump_that_a_second_reading_confirms_points_to_the_meter_all_the_same() -> None:
    assert "ph-jump-nobody-made" in speak(twice(ph=7.2), 20)
    assert "ph-jump-nobody-made" not in speak(twice(ph=7.2, again=(6.1, 1.5)), 20)
    assert "strength-jump-nobody-made" in speak(twice(strength=1.85), 20)
    assert "strength-jump-nobody-made" not in speak(twice(strength=1.85, again=(6.0, 1.51)), 20)


def test_a_meter_found_good_after_the_jump_is_no_longer_suspected() -> None:
    good = TaskDone(id="t", seq=900, at=at(20.1), task="calibrate-ph", values={"offset_ph": 0.02})
    assert "ph-jump-nobody-made" not in speak((*twice(ph=7.2), good), 20)
    good = replace(good, values={"error_percent": 1.0})
    assert "strength-jump-nobody-made" not in speak((*twice(strength=1.85), good), 20)


def test_what_was_measured_twice_is_no_longer_in_doubt_and_counts_once() -> None:
    course = course_of(RACK, twice(ph=7.2, strength=1.85))
    assert course.rounds[-1].reading.id == "odd"
    assert (course.rounds[-1].ph, course.rounds[-1].conductivity_ms_cm) == (7.2, 1.85)
    assert course.rounds[-1].reading.doubt == ()
    slip = course_of(RACK, twice(ph=7.2, again=(6.1, 1.5)))
    assert slip.rounds[-1].ph is None


def test_a_level_read_twice_makes_one_round() -> None:
    first = Reading(id="odd", seq=800, at=at(20.0), level_l=60.0, conductivity_ms_cm=1.5, doubt=("level",))
    again = Reading(id="again", seq=801, at=at(20.004), level_l=60.5)
    course = course_of(RACK, (*ph_log(*CALM), first, again))
    assert [p.reading.id for p in course.rounds[-2:]] == ["r18", "odd"]
    assert course.points[-1].level_l == 60.5


def test_a_jump_after_acid_is_nobodys_fault() -> None:
    assert "ph-jump-nobody-made" not in speak(ph_log(*CALM, (20.0, 5.1), poured={19.5: "Down"}), 20)


def test_a_ph_that_never_moves_through_acid_points_to_the_bulb() -> None:
    stiff = tuple((float(day), 6.3) for day in range(10, 21))
    acid = {day + 0.5: "Down" for day in (12.0, 14.0, 16.0, 18.0)}
    assert "ph-stands-still" in speak(ph_log(*stiff, poured=acid), 20)
    assert "ph-stands-still" not in speak(ph_log(*stiff), 20)


def test_a_conductivity_that_never_moves_through_water_points_to_the_meter() -> None:
    events: list[Event] = [Change(id="c", seq=1, at=at(0), litres=90.0)]
    for day in range(10, 21):
        events.append(
            Reading(
                id=f"r{day}", seq=10 + day, at=at(day), level_l=84.0, conductivity_ms_cm=1.52, source="round"
            )
        )
        events.append(Poured(id=f"p{day}", seq=300 + day, at=at(day + 0.1), what="water", litres=4.0))
    assert "conductivity-stands-still" in speak(tuple(events), 20)
    dry = tuple(e for e in events if not isinstance(e, Poured))
    assert "conductivity-stands-still" not in speak(dry, 20)


def test_a_meter_off_in_its_buffer_is_named() -> None:
    off = TaskDone(
        id="t", seq=900, at=at(20), task="calibrate-ph", values={"offset_ph": 0.22, "slope_percent": 97.0}
    )
    assert "ph-meter-drifts" in speak(more(upto(20), off), 20)
    fine = replace(off, values={"offset_ph": 0.05, "slope_percent": 97.0})
    assert "ph-meter-drifts" not in speak(more(upto(20), fine), 20)


def test_ph_falling_by_itself_is_named() -> None:
    found = speak(ph_log(*CALM, (20.0, 5.6), (21.0, 5.2)), 21)
    assert "ph-falls-fast" in found
    assert "ph-falls-fast" not in speak(ph_log(*CALM, (20.0, 6.0), (21.0, 5.9)), 21)


def test_brown_roots_make_a_falling_ph_likely_decay() -> None:
    brown = looks(21.0, One__roots="brown-slimy")
    events = ph_log(*CALM, (20.0, 5.6))
    last = Reading(
        id="z",
        seq=400,
        at=at(21),
        level_l=88.0,
        conductivity_ms_cm=1.5,
        ph=5.2,
        looks=brown.looks,
        source="round",
    )
    found = speak(more(events, last), 21)
    assert found["ph-falls-fast"].sure == "high"
    assert "roots-turn" in found


def test_acid_and_alkali_in_turns_is_chasing() -> None:
    turns = {17.5: "Down", 18.5: "Up", 19.5: "Down"}
    assert "ph-chased" in speak(ph_log(*CALM, (20.0, 6.0), poured=turns), 20)
    same = {17.5: "Down", 18.5: "Down", 19.5: "Down"}
    assert "ph-chased" not in speak(ph_log(*CALM, (20.0, 6.0), poured=same), 20)


def test_ph_that_rises_with_each_top_up_is_said() -> None:
    steps, poured = [], {}
    events: list[Event] = []
    for n in range(8):
        day = 5.0 + 2 * n
        steps += [(day, 6.0), (day + 1.0, 6.4)]
        poured[day + 0.1] = "Down" if n % 9 == 8 else "water"
    events += [
        replace(event, ml=None, litres=6.0) if isinstance(event, Poured) else event
        for event in ph_log(*steps, poured=poured)
    ]
    assert "ph-rises-with-water" in speak(tuple(events), 20)
    assert "ph-rises-with-water" not in speak(ph_log(*CALM), 19)


def test_a_rack_that_one_visit_a_day_cannot_hold_is_told_so() -> None:
    steps = [s for n in range(9) for s in ((10.0 + n, 7.0), (10.2 + n, 6.0))]
    events = tuple(
        replace(e, level_l=None, source="dose") if isinstance(e, Reading) and e.ph == 6.0 else e
        for e in ph_log(*steps)
    )
    found = speak(events, 18.3)["one-visit-cannot-hold-it"]
    assert "phosphoric or nitric acid" in found.do
    assert "one-visit-cannot-hold-it" not in speak(ph_log(*CALM), 19)


def test_a_missing_bottle_is_named() -> None:
    low = ph_log(*((float(day), 5.0) for day in range(10, 20)))
    assert "no-bottle-for-that" not in speak(low, 19)
    bare = replace(view(low, 19), course=course_of(replace(RACK, adjusters=RACK.adjusters[:1]), low))
    assert "no-bottle-for-that" in {sign.pattern.id for sign in signs(bare, PATTERNS)}


@pytest.mark.parametrize(("pace", "name"), [(0.15, "ph-rises-by-itself"), (-0.12, "ph-sinks-by-itself")])
def test_a_steady_drift_is_said_and_never_raised(pace: float, name: str) -> None:
    learned = Learning(ph_day=Pace(value=pace, spread=0.05, count=20))
    found = speak(ph_log(*CALM), 19, learning=learned)
    assert name in found
    assert not found[name].pattern.alarm
    still = Learning(ph_day=Pace(value=0.01, spread=0.05, count=20))
    assert name not in speak(ph_log(*CALM), 19, learning=still)


def strength_log(*rows: tuple[float, float, float]) -> tuple[Event, ...]:
    """Day, level and strength, nothing added."""
    return (
        Change(id="c", seq=1, at=at(0), litres=90.0),
        *(
            Reading(
                id=f"r{n}",
                seq=10 + n,
                at=at(day),
                level_l=level,
                conductivity_ms_cm=ms,
                ph=6.0,
                source="round",
            )
            for n, (day, level, ms) in enumerate(rows)
        ),
    )


@pytest.mark.parametrize(
    ("step", "name"),
    [(0.04, "drinks-more-than-it-eats"), (-0.04, "eats-well"), (0.0, "in-step")],
)
def test_drinking_is_told_from_eating(step: float, name: str) -> None:
    rows = [(10.0 + n, 90.0 - 4.0 * n, 1.50 + step * n) for n in range(5)]
    found = speak(strength_log(*rows), 14)
    named = {"drinks-more-than-it-eats", "eats-well", "in-step"} & set(found)
    assert named == {name}


def test_salts_nobody_eats_are_named_after_a_week_on_water() -> None:
    events: list[Event] = []
    for n in range(12):
        day = 5.0 + n
        events.append(
            Reading(
                id=f"r{n}",
                seq=10 + 2 * n,
                at=at(day),
                level_l=86.0,
                conductivity_ms_cm=1.50 + 0.015 * n,
                ph=6.0,
                source="round",
            )
        )
        events.append(Poured(id=f"p{n}", seq=11 + 2 * n, at=at(day + 0.02), what="water", litres=4.0))
    assert "salts-nobody-eats" in speak(tuple(events), 16)
    flat = tuple(replace(e, conductivity_ms_cm=1.5) if isinstance(e, Reading) else e for e in events)
    assert "salts-nobody-eats" not in speak(flat, 16)


def test_heat_is_named() -> None:
    rows = [
        Reading(
            id=f"h{day}",
            seq=10 + day,
            at=at(day),
            level_l=88.0,
            temperature_c=20.0 if day < 20 else 25.5,
            source="round",
        )
        for day in range(8, 22)
    ]
    assert "heat" in speak(tuple(rows), 21)
    mild = tuple(replace(row, temperature_c=21.0) for row in rows)
    assert "heat" not in speak(mild, 21)


def test_drinking_far_less_on_three_days_is_named() -> None:
    def slower(day: int, shown: dict[str, float]) -> dict[str, float]:
        return shown

    season = Season(2, typed=slower)
    season.run(22)
    for group in season.tank.groups:
        group.cut = 0.3
    for day in range(23, 27):
        season.until(24.0 * day)
        season.round(day)
    assert "drinks-less" in speak(tuple(season.events), 26)


def closing(seed: int) -> tuple[Event, ...]:
    return Season(seed, closing=lambda day: min(0.5, max(0.0, (day - 21) / 7 * 0.08))).run(43)


@pytest.mark.slow
def test_a_closing_outlet_is_named_within_two_timings_of_its_beginning_to_show() -> None:
    named = 0
    for seed in range(10):
        events = closing(seed)
        timed = [e.at for e in events if isinstance(e, Reading) and e.flow_l_min and e.at > at(22)][:2]
        named += any("outlet-closing" in speak(events, (t - START) / timedelta(days=1)) for t in timed)
    assert named >= 9


def test_a_closing_outlet_names_its_tier_and_the_one_above() -> None:
    sign = speak(closing(2), 43)["outlet-closing"]
    assert sign.about == "Three"
    assert "Two gave" in sign.why


def test_all_outlets_weaker_points_to_the_pump_and_not_to_an_outlet() -> None:
    events = Season(2, pump=lambda day: 1.0 - min(0.4, max(0.0, (day - 21) / 7 * 0.09))).run(43)
    found = speak(events, 42)
    assert "all-outlets-down" in found
    assert "outlet-closing" not in found


def test_more_water_running_back_is_named() -> None:
    tests = [
        TaskDone(
            id=f"t{n}",
            seq=800 + n,
            at=at(5 + 7 * n),
            task="power-cut-drill",
            values={"level_running_l": 80.0, "level_stopped_l": 80.0 + rise},
        )
        for n, rise in enumerate((4.0, 4.2, 6.5))
    ]
    assert "more-runs-back" in speak(more(upto(20), *tests), 20)
    assert "more-runs-back" not in speak(more(upto(20), *tests[:2]), 20)


def test_a_noisy_pump_on_two_rounds_is_named() -> None:
    noisy = [looks(day, pump__pump="gurgle-rattle") for day in (19.1, 20.1)]
    assert "pump-sounds-wrong" in speak(more(upto(20), *noisy), 20)
    once = [looks(19.1, pump__pump="gurgle-rattle"), looks(20.1, pump__pump="steady-hum")]
    assert "pump-sounds-wrong" not in speak(more(upto(20), *once), 20)


def leaves(day: float, one: str, two: str, three: str, *, strength: float = 1.5) -> Reading:
    return Reading(
        id=f"leaf{day}",
        seq=900 + int(10 * day),
        at=at(day),
        level_l=88.0,
        conductivity_ms_cm=strength,
        ph=6.0,
        looks={"One.leaves": one, "Two.leaves": two, "Three.leaves": three},
        source="round",
    )


GREEN, PALE, LIMP = "green-upright", "pale-or-spotted", "limp-or-insects"


def test_pale_leaves_and_a_weak_tank_are_hunger() -> None:
    pair = [leaves(day, PALE, GREEN, GREEN, strength=1.1) for day in (19.0, 20.0)]
    assert "underfed" in speak(tuple(pair), 20)
    strong = [leaves(day, PALE, GREEN, GREEN) for day in (19.0, 20.0)]
    assert "underfed" not in speak(tuple(strong), 20)


def test_wrong_plants_at_right_numbers_ask_for_a_change() -> None:
    change = Change(id="c", seq=1, at=at(2), litres=90.0)
    rows = [leaves(day, PALE, GREEN, GREEN) for day in (18.0, 19.0, 20.0)]
    assert "right-numbers-wrong-plants" in speak((change, *rows), 20)
    assert "right-numbers-wrong-plants" not in speak((replace(change, at=at(15)), *rows), 20)


def test_one_limp_tier_is_its_water_and_all_limp_is_the_roots() -> None:
    one = [leaves(day, GREEN, LIMP, GREEN) for day in (19.0, 20.0)]
    assert "one-tier-droops" in speak(tuple(one), 20)
    every = [leaves(day, LIMP, LIMP, LIMP) for day in (19.0, 20.0)]
    found = speak(tuple(every), 20)
    assert "all-limp" in found
    assert "one-tier-droops" not in found


def test_roots_once_brown_or_thrice_tan_are_named() -> None:
    assert speak((looks(20.0, One__roots="brown-slimy"),), 20)["roots-turn"].severity == "today"
    tan = tuple(looks(day, One__roots="tan-firm") for day in (18.0, 19.0, 20.0))
    assert speak(tan, 20)["roots-turn"].severity == "week"
    assert "roots-turn" not in speak(tan[1:], 20)


def test_ph_down_with_strength_up_is_possible_trouble() -> None:
    rows = [
        Reading(
            id=f"d{n}",
            seq=n + 1,
            at=at(17 + n),
            level_l=88.0 - 3 * n,
            conductivity_ms_cm=1.5 + 0.08 * n,
            ph=6.3 - 0.15 * n,
            source="round",
        )
        for n in range(4)
    ]
    assert speak(tuple(rows), 20)["ph-down-strength-up"].sure == "low"
    steady = tuple(replace(row, ph=6.3) for row in rows)
    assert "ph-down-strength-up" not in speak(steady, 20)


# -------------------- order and belief


def test_the_most_pressing_stands_first_then_the_order_of_suspicion() -> None:
    off = TaskDone(
        id="t", seq=900, at=at(21), task="calibrate-ph", values={"offset_ph": 0.4, "slope_percent": 80.0}
    )
    every = [leaves(day, LIMP, LIMP, LIMP) for day in (20.0, 21.0)]
    found = signs(view((*ph_log(*CALM, (20.0, 5.6), (21.1, 5.2)), off, *every), 21), PATTERNS)
    ranks = [(not s.pattern.alarm, ("stop", "today", "week").index(s.severity)) for s in found]
    assert ranks == sorted(ranks)


def test_a_meter_in_doubt_weakens_what_rests_on_it() -> None:
    off = TaskDone(
        id="t", seq=900, at=at(21), task="calibrate-ph", values={"offset_ph": 0.4, "slope_percent": 97.0}
    )
    sure = speak(ph_log(*CALM, (20.0, 5.6), (21.0, 5.2)), 21)["ph-falls-fast"].sure
    weaker = speak(more(ph_log(*CALM, (20.0, 5.6), (21.0, 5.2)), off), 21)["ph-falls-fast"]
    assert (sure, weaker.sure) == ("medium", "low")
    assert "The meter itself is in doubt." in weaker.why


def test_what_is_said_names_a_quantity_as_people_do_and_only_where_it_must() -> None:
    jump = speak(twice(ph=7.2), 20)["ph-jump-nobody-made"]
    assert jump.what == "pH moved far in one step and nothing was added"
    odd = Reading(id="odd", seq=9000, at=at(20.1), conductivity_ms_cm=8.4, doubt=("conductivity",))
    doubt = speak(more(upto(20.05), odd), 20)["value-in-doubt"]
    assert doubt.what == "conductivity: An unusual reading was not measured twice"
    assert doubt.why.endswith("Sun 24 May: 8.40 mS/cm.")


def test_the_evidence_stands_in_the_persons_own_units() -> None:
    """25.5 °C are 77.9 °F, by definition."""
    theirs = replace(RACK, show=Show(conductivity="ppm500", temperature="F", volume="gal"))

    def told(events: tuple[Event, ...], day: float) -> str:
        seen = replace(view(events, day), course=course_of(theirs, events, until=at(day + 0.25)))
        return " ".join(sign.why for sign in signs(seen, PATTERNS))

    leak = told(Season(2, leak_l_day=lambda day: 8.0 if day >= DAY else 0.0).run(DAY + 2), DAY + 2)
    assert "US gallons went in" in leak
    assert "ppm (scale 500)" in leak
    hot = [
        Reading(
            id=f"h{day}", seq=10 + day, at=at(day), level_l=88.0, temperature_c=20.0 if day < 20 else 25.5
        )
        for day in range(8, 22)
    ]
    assert "77.9 °F; 68.0 °F last week." in told(tuple(hot), 21)
    for words in (leak, told(tuple(hot), 21), told(twice(strength=1.85), 20)):
        assert "litre" not in words
        assert "mS/cm" not in words
        assert "°C" not in words


# -------------------- trust


def test_a_jump_puts_its_meter_out_of_trust_until_a_check_or_a_pouring() -> None:
    def doubted(events: tuple[Event, ...]) -> dict[str, MeterDoubt]:
        return {doubt.meter: doubt for doubt in jump_doubts(view(events, 20), PATTERNS)}

    assert set(doubted(twice(ph=7.2))) == {"ph"}
    assert "buffer 7" in doubted(twice(ph=7.2))["ph"].said
    assert set(doubted(twice(strength=1.85))) == {"conductivity"}
    assert doubted(ph_log(*CALM, (20.0, 6.1))) == {}
    good = TaskDone(id="t", seq=900, at=at(20.1), task="calibrate-ph", values={"offset_ph": 0.02})
    assert doubted((*twice(ph=7.2), good)) == {}
    poured = Poured(id="p", seq=900, at=at(20.1), what="Down", ml=5.0)
    assert doubted((*twice(ph=7.2), poured, Reading(id="r", seq=901, at=at(20.2), ph=6.4))) == {}
