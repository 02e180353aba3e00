"""The fresh mix of a change day."""

from __future__ import annotations

import pytest

from tendtui.core.fresh_mix import fresh_mix
from tendtui.core.plan import AddWater, Pour
from tendtui.core.quantity import Quantity
from tendtui.core.tank import tank_now
from tendtui.value import replace
from tests.support.dose_case import NOW, RACK, bands, facts


def test_water_first_then_every_part_in_order() -> None:
    steps = fresh_mix(RACK, now=NOW, bands=bands(), facts=facts()).steps
    assert [type(step) for step in steps] == [AddWater, Pour, Pour]
    assert [step.what for step in steps if isinstance(step, Pour)] == ["Feed A", "Feed B"]


def test_each_stage_says_what_to_expect_and_the_last_is_in_the_band() -> None:
    stages = fresh_mix(RACK, now=NOW, bands=bands(), facts=facts()).stages
    strengths = [stage.expect.conductivity_ms_cm for stage in stages]
    assert strengths[0] == pytest.approx(0.30, abs=0.01)
    assert strengths[-1] == pytest.approx(1.6, abs=0.03)
    assert strengths == sorted(strengths)  # type: ignore[type-var]


def test_it_fits_under_the_full_mark() -> None:
    level = fresh_mix(RACK, now=NOW, bands=bands(), facts=facts()).stages[-1].expect.level_l
    assert level is not None
    assert 59.0 <= level <= 60.0


def test_the_acid_is_named_with_a_first_part() -> None:
    made = fresh_mix(RACK, now=NOW, bands=bands(), facts=facts())
    assert made.acid == "Acid"
    assert 0.0 < made.acid_first_ml <= 0.7 * made.acid_ml + 1e-9


def test_old_solution_in_the_pipes_saves_feed() -> None:
    given = {Quantity.LEVEL: 40.0, Quantity.CONDUCTIVITY: 1.6, Quantity.PH: 6.0}
    tank = tank_now((), RACK, NOW, given=given)
    kept = fresh_mix(RACK, now=NOW, bands=bands(), facts=facts(), tank=tank)
    bare = fresh_mix(
        replace(RACK, reservoir=replace(RACK.reservoir, full_l=78.0)), now=NOW, bands=bands(), facts=facts()
    )
    assert feed_of(kept) < feed_of(bare)


def feed_of(made: object) -> float:
    steps = made.steps  # type: ignore[attr-defined]
    return sum(step.ml or 0.0 for step in steps if isinstance(step, Pour))


def test_without_feed_there_is_only_water() -> None:
    made = fresh_mix(replace(RACK, feeds=()), now=NOW, bands=bands(), facts=facts())
    assert [type(step) for step in made.steps] == [AddWater]


def test_without_acid_none_is_named() -> None:
    assert fresh_mix(replace(RACK, adjusters=()), now=NOW, bands=bands(), facts=facts()).acid == ""
