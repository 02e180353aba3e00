"""The fresh mix of a change day."""

from __future__ import annotations

import pytest

from tendtui.core.fresh_mix import FreshMix, fresh_mix
from tendtui.core.plan import AddWater, Drain, Pour
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.tank import tank_now
from tendtui.value import replace
from tests.support.dose_case import NOW, RACK, bands, facts


def mix(rack: Rack = RACK) -> FreshMix:
    given = {Quantity.LEVEL: 40.0, Quantity.CONDUCTIVITY: 1.6, Quantity.PH: 6.0}
    return fresh_mix(rack, tank=tank_now((), rack, NOW, given=given), bands=bands(), facts=facts())


def test_water_first_then_every_part_in_order() -> None:
    steps = mix().steps
    assert [type(step) for step in steps] == [Drain, AddWater, Pour, Pour]
    assert [step.what for step in steps if isinstance(step, Pour)] == ["Feed A", "Feed B"]


def test_once_mixed_it_is_in_the_band_and_under_the_full_mark() -> None:
    made = mix()
    foreseen = made.foreseen(made.steps)
    assert foreseen.expect.conductivity_ms_cm == pytest.approx(1.6, abs=0.05)
    assert foreseen.range.conductivity_ms_cm is not None
    low, high = foreseen.range.conductivity_ms_cm
    assert 1.4 < low < 1.6 < high < 1.8
    assert foreseen.expect.level_l is not None
    assert 59.0 <= foreseen.expect.level_l <= 60.0


def test_the_ph_bottle_is_named_and_no_amount_before_the_reading() -> None:
    assert mix().ph_bottle == "Acid"


def test_old_solution_in_the_pipes_saves_feed() -> None:
    bare = replace(RACK, reservoir=replace(RACK.reservoir, full_l=78.0, pipes_l=0.0))
    assert feed_of(mix()) < feed_of(mix(bare))


def feed_of(made: object) -> float:
    steps = made.steps  # type: ignore[attr-defined]
    return sum(step.ml or 0.0 for step in steps if isinstance(step, Pour))


def test_without_feed_there_is_only_water() -> None:
    assert [type(step) for step in mix(replace(RACK, feeds=())).steps] == [Drain, AddWater]


def test_without_acid_none_is_named() -> None:
    assert mix(replace(RACK, adjusters=())).ph_bottle == ""
