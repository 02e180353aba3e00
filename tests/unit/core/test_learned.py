"""Lessons: near the truth, unmoved by a slip, the same when rebuilt, afresh with a new bottle."""

from __future__ import annotations

import random
import re
from datetime import UTC, datetime, timedelta
from math import exp, log

import pytest

from tendtui.core.dose_facts import DoseFacts, dose_facts
from tendtui.core.event import Change, Event, Poured, Reading, Renewed
from tendtui.core.figure import HELD, note_of
from tendtui.core.learn_course import course_of
from tendtui.core.learn_factor import Evidence, factor_from, robust_middle, weighted_median
from tendtui.core.learn_feed import pipes_evidence
from tendtui.core.learned import Learning, Pace, for_plan, learn, learn_lightly, lessons
from tendtui.core.learned_values import Factor
from tendtui.core.learned_words import learned_table, learning_from
from tendtui.core.rack import Show
from tendtui.core.salt import at_full_ms_cm, strongest_ms_cm
from tendtui.core.thirst import Thirst
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tests.support.quiet_tank import RACK, Season

START = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
LITRES = 90.0 + 36.0


@pytest.fixture(scope="module")
def facts() -> DoseFacts:
    return dose_facts(read_data("feeds"))


def at(day: float) -> datetime:
    return START + timedelta(days=day)


def fed(day: float, *, truth: float, seq: int, noise: float = 0.0, slip: float = 1.0) -> tuple[Event, ...]:
    """One feeding of 0.3 label strengths in a full tank: what it adds in truth is `truth` of the label's."""
    before, labels = 1.2, 0.2 * LITRES
    water = 0.18
    curve = 1.0 / 0.93
    unit = (water + 1.5) ** curve - water**curve
    litres = LITRES + labels * 5.0 / 1000.0
    after = ((before**curve * LITRES + truth * labels * unit) / litres) ** 0.93 + noise
    return (
        Reading(id=f"a{seq}", seq=seq, at=at(day), level_l=90.0, conductivity_ms_cm=before),
        Poured(id=f"b{seq}", seq=seq + 1, at=at(day + 0.01), what="A", ml=3.0 * labels),
        Poured(id=f"c{seq}", seq=seq + 2, at=at(day + 0.02), what="B", ml=2.0 * labels),
        Reading(id=f"d{seq}", seq=seq + 3, at=at(day + 0.03), conductivity_ms_cm=slip * round(after, 2)),
    )


def feedings(truth: float, count: int = 9, *, slip_at: int = -1) -> tuple[Event, ...]:
    rng = random.Random(5)
    events: list[Event] = [Change(id="change", seq=1, at=at(0))]
    for n in range(count):
        slip = 10.0 if n == slip_at else 1.0
        events += fed(3.0 * n + 1, truth=truth, seq=10 * n + 10, noise=rng.gauss(0, 0.006), slip=slip)
    return tuple(events)


# -------------------- one factor


def test_nothing_learned_is_one_and_as_unsure_as_before() -> None:
    factor = factor_from((), prior_spread=0.1)
    assert (round(factor.value, 9), factor.count) == (1.0, 0)
    assert factor.spread == pytest.approx(0.1, rel=0.05)


def test_nine_in_ten_ranges_hold_nine_in_ten() -> None:
    # 400 invented truths; the posterior of a normal law is known, so the share must be near 0.9
    rng, held = random.Random(1), 0
    for _n in range(400):
        truth = exp(rng.gauss(0, 0.1))
        told = [
            Evidence(measured=truth + rng.gauss(0, 0.06), spread=0.06, predict=lambda f: f) for _m in range(6)
        ]
        factor = factor_from(told, prior_spread=0.1)
        held += abs(log(truth / factor.value)) < 1.645 * factor.spread
    assert 0.85 <= held / 400 <= 0.97


def test_one_slip_among_ten_moves_it_by_less_than_a_hundredth() -> None:
    told = [Evidence(measured=0.9, spread=0.05, predict=lambda f: f) for _n in range(10)]
    slip = Evidence(measured=9.0, spread=0.05, predict=lambda f: f)
    clean = factor_from(told, prior_spread=0.1)
    dirty = factor_from([*told[:5], slip, *told[5:]], prior_spread=0.1)
    assert dirty.value == pytest.approx(clean.value, abs=0.01)


def test_it_follows_a_slow_change() -> None:
    told = [Evidence(measured=1.0 - 0.002 * n, spread=0.03, predict=lambda f: f) for n in range(150)]
    assert factor_from(told, prior_spread=0.2).value < 0.78  # the mean of all would be 0.85


def test_the_middle_of_coarse_figures_is_finer_than_their_step() -> None:
    values = [0.1, 0.0, 0.1, 0.2, 0.1, 0.0, 0.2, 0.1, 0.1, 0.1, 3.0]
    middle, spread = robust_middle(values, [1.0] * len(values))
    assert 0.08 < middle < 0.13
    assert spread < 0.5
    assert weighted_median(values, [1.0] * len(values)) == 0.1


def test_the_middle_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="no values"):
        weighted_median([], [])


# -------------------- feed


@pytest.mark.parametrize("truth", [0.8, 0.88, 1.0, 1.12])
def test_the_feeds_strength_is_found(truth: float) -> None:
    feed = learn_lightly(RACK, feedings(truth)).feed
    assert feed is not None
    assert feed.count == 9
    # the prior pulls towards the label by a little; nine pours must bring it within 3 %
    assert feed.value == pytest.approx(truth, rel=0.04)


def test_a_mistyped_strength_does_not_poison_the_feed() -> None:
    clean = learn_lightly(RACK, feedings(0.88)).feed
    dirty = learn_lightly(RACK, feedings(0.88, slip_at=4)).feed
    assert clean is not None
    assert dirty is not None
    assert dirty.value == pytest.approx(clean.value, abs=0.015)


def test_it_is_said_in_plain_words_with_its_count() -> None:
    told = lessons(RACK, learn_lightly(RACK, feedings(0.88)))
    assert re.fullmatch(
        r"This feed is about 1[12] % weaker than its label says; 9 pours. Give or take [2-5] %.", told[0]
    )


def test_one_part_alone_teaches_nothing_of_the_whole_feed() -> None:
    alone = tuple(e for e in feedings(0.88) if not (isinstance(e, Poured) and e.what == "B"))
    assert learn_lightly(RACK, alone).feed is None


def test_a_new_bottle_starts_afresh_and_the_old_is_kept_aside() -> None:
    new = Renewed(id="new", seq=9000, at=at(16.5), what="A")
    learning = learn_lightly(RACK, (*feedings(0.85), new))
    assert learning.feed is not None
    assert learning.feed.count == 3
    assert [(old.what, old.factor.count) for old in learning.aside] == [("A", 6)]
    assert lessons(RACK, learning)[-1] == (
        "Kept aside: A until 2026-05-20, 16 % weaker than its label; 6 pours."
    )


def test_a_new_bottle_without_a_pour_yet_is_as_its_label_says() -> None:
    new = Renewed(id="new", seq=9000, at=at(40), what="A")
    assert learn_lightly(RACK, (*feedings(0.85), new)).feed is None


def test_a_frozen_figure_stays_and_a_reset_one_is_learned_anew() -> None:
    held = Learning(feed=Factor(value=0.7, spread=0.02, count=4), frozen=("feed",))
    assert learn_lightly(RACK, feedings(0.9), kept=held).feed == held.feed
    reset = Learning(reset={"feed": at(16.5)})
    again = learn_lightly(RACK, feedings(0.9), kept=reset)
    assert again.feed is not None
    assert again.feed.count == 3


def test_a_figure_held_before_anything_was_learned_stays_as_the_label_says() -> None:
    held = Learning(frozen=("feed", "ph_day", "thirst"))
    learning = learn_lightly(RACK, Season(7).run(30), kept=held)
    assert (learning.feed, learning.ph_day, learning.thirst) == (None, None, None)
    assert learning.eaten_day is not None


def test_a_new_bottle_ends_what_was_held_of_the_old() -> None:
    held = Learning(feed=Factor(value=0.7, spread=0.02, count=4), frozen=("feed", "pipes"))
    note = note_of(HELD, "feed", at=at(10), by="Mo")
    before = Renewed(id="before", seq=8000, at=at(9), what="A")
    after = Renewed(id="after", seq=9000, at=at(16.5), what="A")
    kept = learn_lightly(RACK, (*feedings(0.9), note, before), kept=held)
    assert (kept.feed, kept.frozen) == (held.feed, ("feed", "pipes"))
    anew = learn_lightly(RACK, (*feedings(0.9), note, after), kept=held)
    assert anew.feed is not None
    assert (anew.feed.count, anew.frozen) == (3, ("pipes",))


def test_water_alone_tells_the_litres_in_the_pipes() -> None:
    # 45 litres stand there in truth, 36 are believed; a dilution by 12 litres of 0.18
    events: list[Event] = []
    for n in range(12):
        before = 1.6
        after = (before ** (1 / 0.93) * (78.0 + 45.0) + 0.18 ** (1 / 0.93) * 12.0) / (78.0 + 57.0)
        events += [
            Reading(id=f"a{n}", seq=3 * n, at=at(n), level_l=78.0, conductivity_ms_cm=before),
            Poured(id=f"b{n}", seq=3 * n + 1, at=at(n + 0.01), what="water", litres=12.0),
            Reading(id=f"c{n}", seq=3 * n + 2, at=at(n + 0.03), conductivity_ms_cm=round(after**0.93, 3)),
        ]
    course = course_of(RACK, events)
    pipes = factor_from([a.evidence for a in pipes_evidence(course)], prior_spread=0.2)
    assert pipes.value == pytest.approx(45.0 / 36.0, rel=0.08)


# -------------------- acid, drift


def portions(facts: DoseFacts, *, needs: float) -> tuple[Event, ...]:
    """Ten portions of a bottle that is weaker than printed by `needs`, answered by the chemistry itself."""
    from tendtui.chemistry import Solution

    start = Solution.at_ph(
        6.5,
        {"NO3": 9.0, "K": 5.0, "Ca": 3.0, "Mg": 1.0, "P": 1.2, "SO4": 1.0},
        temperature_c=20.0,
        pco2_atm=7e-4,
    )
    mol_l = 1.152
    events: list[Event] = [Change(id="change", seq=1, at=at(0))]
    for n in range(10):
        ml = 16.0 + 0.5 * n
        after = start.with_added("HNO3", ml * mol_l / needs / LITRES).ph
        events += [
            Reading(
                id=f"a{n}",
                seq=3 * n + 2,
                at=at(2 * n + 1),
                level_l=90.0,
                conductivity_ms_cm=1.5,
                ph=6.5,
                temperature_c=20.0,
            ),
            Poured(id=f"b{n}", seq=3 * n + 3, at=at(2 * n + 1.01), what="Down", ml=ml),
            Reading(id=f"c{n}", seq=3 * n + 4, at=at(2 * n + 1.03), ph=round(after, 1)),
        ]
    return tuple(events)


def test_a_weaker_bottle_needs_more(facts: DoseFacts) -> None:
    right = learn(RACK, portions(facts, needs=1.0), facts).response["Down"]
    weak = learn(RACK, portions(facts, needs=1.5), facts).response["Down"]
    assert weak.count == 10
    assert weak.value / right.value == pytest.approx(1.5, rel=0.2)
    assert weak.spread < 0.15


def test_a_bottle_of_unknown_strength_is_found_as_well(facts: DoseFacts) -> None:
    unknown = replace(RACK.adjusters[0], percent_w_w=None)
    rack = replace(RACK, adjusters=(unknown,))
    told = learn(rack, portions(facts, needs=1.0), facts).response["Down"]
    # 7 % where 30 % is taken: nearly five times as much is needed
    assert told.value == pytest.approx(5.14, rel=0.35)


def test_a_new_ph_meter_forgets_the_answers_of_the_old_and_keeps_them_aside(facts: DoseFacts) -> None:
    new = Renewed(id="new", seq=9000, at=at(30), what="meter.ph")
    learning = learn(RACK, (*portions(facts, needs=1.5), new), facts)
    assert learning.response == {}
    assert [(old.what, old.figure, old.factor.count) for old in learning.aside] == [
        ("meter.ph", "response.Down", 10)
    ]
    assert re.fullmatch(
        r"Kept aside: pH meter until 2026-06-03, \d+ % more was needed than the chemistry says; 10 pours.",
        lessons(RACK, learning)[-1],
    )


def test_ph_that_climbs_by_itself_is_measured(facts: DoseFacts) -> None:
    events = tuple(
        Reading(
            id=f"r{n}",
            seq=n + 1,
            at=at(n),
            level_l=88.0,
            conductivity_ms_cm=1.5,
            ph=round(5.6 + 0.08 * n, 2),
            temperature_c=20.0,
        )
        for n in range(9)
    )
    pace = learn(RACK, events, facts).ph_day
    assert pace is not None
    assert pace.value == pytest.approx(0.08, abs=0.02)
    assert for_plan(Learning(ph_day=pace)).drift_ph_day == pace.value


def test_a_rebuild_from_the_log_gives_the_same(facts: DoseFacts) -> None:
    events = Season(7).run(40)
    half = learn(RACK, events[: len(events) // 2], facts)
    on = learn(RACK, events, facts, kept=half)
    assert learn(RACK, tuple(reversed(events)), facts) == on


def test_the_state_holds_every_figure_and_gives_it_back(facts: DoseFacts) -> None:
    learning = replace(
        learn(RACK, (*feedings(0.9), Renewed(id="n", seq=9000, at=at(16.5), what="B")), facts),
        response={"Down": Factor(value=1.2, spread=0.05, count=7)},
        ph_day=Pace(value=0.1, spread=0.05, count=12),
        frozen=("feed",),
        reset={"pipes": at(3)},
    )
    assert learning_from(learned_table(learning)) == learning


def test_thirst_is_told_by_the_persons_own_degree() -> None:
    thirst = Thirst(factor=1.5, per_degree=0.09, spread=0.2, count=20)
    assert "9 % more for each degree" in lessons(RACK, Learning(thirst=thirst))[0]
    theirs = replace(RACK, show=Show(temperature="F"))
    assert "5 % more for each degree" in lessons(theirs, Learning(thirst=thirst))[0]


def test_a_damaged_table_is_left_out_and_not_fatal() -> None:
    broken = {"feed": "nonsense", "response": {"Down": {"value": "x"}}, "aside": 3, "thirst": {"factor": 1.0}}
    assert learning_from(broken) == Learning()


# -------------------- salt


def test_strength_at_the_full_mark_is_a_mixing_sum() -> None:
    # 60 L of 1.5 and 30 L of 0.3 are 90 L of 1.1: plain proportion
    full = at_full_ms_cm(conductivity_ms_cm=1.5, level_l=60.0, full_l=90.0, pipes_l=0.0, source_ms_cm=0.3)
    assert full == pytest.approx(1.1)


def test_thirst_alone_can_at_worst_double_the_strength_of_half_a_tank() -> None:
    assert strongest_ms_cm(conductivity_ms_cm=1.2, litres_l=100.0, left_l=50.0) == pytest.approx(2.4)


def test_a_tank_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="full mark"):
        at_full_ms_cm(conductivity_ms_cm=1.0, level_l=0.0, full_l=0.0, pipes_l=0.0, source_ms_cm=0.2)
    with pytest.raises(ValueError, match="left"):
        strongest_ms_cm(conductivity_ms_cm=1.0, litres_l=10.0, left_l=0.0)
