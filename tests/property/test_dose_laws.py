"""Laws that hold for every plan: caps, marks, multiples, order."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tendtui.core.measured_amount import rounded_down, rounded_up
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Read, Verdict
from tendtui.core.rack import Measuring, Reservoir, Source
from tendtui.core.uncertainty import nine_in_ten, quantile
from tendtui.value import replace
from tests.support.dose_case import RACK, levels, plan

LEVELS = st.floats(5.0, 66.0).map(lambda value: round(value, 1))
STRENGTHS = st.floats(0.3, 4.0).map(lambda value: round(value, 2))
PHS = st.floats(4.1, 8.6).map(lambda value: round(value, 1))
MARKS = st.sampled_from([0.1, 0.5, 1.0, 2.5])
WATER_MARKS = st.sampled_from([0.25, 0.5, 1.0])


@settings(max_examples=40, deadline=None)
@given(level=LEVELS, conductivity=STRENGTHS, ph=PHS, mark=MARKS, water_mark=WATER_MARKS)
def test_a_plan_keeps_to_marks_multiples_and_order(
    level: float, conductivity: float, ph: float, mark: float, water_mark: float
) -> None:
    rack = replace(RACK, measuring=Measuring(liquid_ml=mark, water_l=water_mark))
    made = plan(rack, level=level, conductivity=conductivity, ph=ph, temperature=20.0)
    keeps_to_the_marks(made, level, rack.reservoir)
    for step in made.steps:
        match step:
            case Pour(ml=ml):
                assert ml is not None
                assert ml > 0.0
                assert is_multiple(ml, mark)
            case AddWater(litres=litres) | Drain(litres=litres) if made.verdict is not Verdict.CHANGE:
                assert litres > 0.0
                assert is_multiple(litres, water_mark)
            case _:
                pass
    assert sum(isinstance(step, Read) for step in made.steps) <= 1
    if made.steps:
        assert isinstance(made.steps[-1], Read)


def keeps_to_the_marks(made: Plan, level: float, reservoir: Reservoir) -> None:
    if made.verdict is Verdict.CHANGE:
        return
    seen = levels(made, level)
    drained = [now for before, now in zip([level, *seen], seen, strict=False) if now < before]
    assert all(now >= reservoir.least_l - 1e-9 for now in drained)
    assert all(now <= max(reservoir.full_l, level) + 1e-9 for now in seen)
    if seen:
        assert seen[-1] <= reservoir.full_l + 1e-9 or reservoir.least_l > level


def is_multiple(amount: float, mark: float) -> bool:
    return abs(amount / mark - round(amount / mark)) < 1e-6


@settings(max_examples=30, deadline=None)
@given(ph=PHS, alkalinity=st.floats(0.0, 4.0), conductivity=st.floats(1.41, 1.79))
def test_a_portion_stays_in_reach_of_the_band_and_under_its_cap(
    ph: float, alkalinity: float, conductivity: float
) -> None:
    rack = replace(
        RACK, source=Source(conductivity_ms_cm=0.5, ph=7.6, alkalinity_mg_l_caco3=50.0 * alkalinity)
    )
    made = plan(rack, level=58.0, conductivity=conductivity, ph=ph, temperature=20.0)
    if not made.steps or made.verdict is Verdict.CHANGE:
        return
    assert made.expect.ph is not None
    assert abs(made.expect.ph - ph) <= 1.0 + 0.02
    assert made.expect.ph >= 5.6 if ph > 6.2 else made.expect.ph <= 6.2


@settings(max_examples=25, deadline=None)
@given(level=LEVELS, conductivity=STRENGTHS, ph=PHS)
def test_the_expected_value_lies_in_its_range_and_the_same_call_gives_the_same_plan(
    level: float, conductivity: float, ph: float
) -> None:
    made = plan(level=level, conductivity=conductivity, ph=ph)
    assert made == plan(level=level, conductivity=conductivity, ph=ph)
    pairs = (
        (made.expect.conductivity_ms_cm, made.range.conductivity_ms_cm),
        (made.expect.ph, made.range.ph),
        (made.expect.ph_tomorrow, made.range.ph_tomorrow),
    )
    for value, pair in pairs:
        if pair is not None:
            assert value is not None
            assert pair[0] <= value <= pair[1]


@given(amount=st.floats(0.0, 5000.0), mark=st.floats(0.01, 20.0))
def test_rounding_stays_on_its_side_within_a_mark(amount: float, mark: float) -> None:
    down, up = rounded_down(amount, mark=mark), rounded_up(amount, mark=mark)
    slack = 1e-5 * mark + 1e-6
    assert amount - mark - slack <= down <= amount + slack
    assert amount - slack <= up <= amount + mark + slack


@given(values=st.lists(st.floats(-100.0, 100.0), min_size=1, max_size=60), share=st.floats(0.0, 1.0))
def test_a_quantile_lies_among_its_values(values: list[float], share: float) -> None:
    assert min(values) <= quantile(values, share) <= max(values)
    low, high = nine_in_ten(values)
    assert low <= high
