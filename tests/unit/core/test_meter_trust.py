"""A meter out of trust is told of, and widens what the plan promises."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.event import Event, Poured, Reading, Renewed, TaskDone
from tendtui.core.learned_values import Factor, Learned, MeterDoubt
from tendtui.core.meter_trust import meter_doubts
from tendtui.core.plan import Plan
from tendtui.core.rack import Meter
from tendtui.value import replace
from tests.support.dose_case import NOW, RACK, Given, plan, words

WEAK: Given = {"level": 47.0, "conductivity": 1.21, "ph": 6.0, "temperature": 21.0}
STRONG: Given = {"level": 47.0, "conductivity": 2.4, "ph": 6.0, "temperature": 21.0}


def check(days: float, **values: float) -> TaskDone:
    at = NOW - timedelta(days=days)
    return TaskDone(id=f"t{days}", seq=1, at=at, task="calibrate-ph", values=values)


def renewed(days: float, what: str) -> Renewed:
    return Renewed(id=f"n{days}", seq=1, at=NOW - timedelta(days=days), what=what)


def stuck(*, step: float = 0.0) -> list[Event]:
    events: list[Event] = []
    for n in range(9):
        at = NOW - timedelta(days=9 - n)
        events.append(Reading(id=f"r{n}", seq=2 * n, at=at, ph=6.4 + step * n, conductivity_ms_cm=1.6))
        events.append(Poured(id=f"p{n}", seq=2 * n + 1, at=at + timedelta(minutes=5), what="Acid", ml=8.0))
    return events


def width(made: Plan, name: str) -> float:
    pair = getattr(made.range, name)
    assert pair is not None
    return float(pair[1] - pair[0])


def test_a_meter_that_was_good_in_its_buffers_is_trusted() -> None:
    assert meter_doubts([check(3.0, offset_ph=0.05, slope_percent=97.0)], RACK) == ()


def test_one_that_was_off_is_not_until_a_check_is_good() -> None:
    off = check(3.0, offset_ph=0.3, slope_percent=97.0)
    (doubt,) = meter_doubts([off], RACK)
    assert doubt.meter == "ph"
    assert doubt.spread == pytest.approx(0.3)
    assert "+0.30 in buffer 7" in doubt.said
    assert meter_doubts([off, check(1.0, offset_ph=0.02)], RACK) == ()


@pytest.mark.parametrize("meter", ["ph", "conductivity"])
def test_a_new_meter_is_doubted_until_it_was_checked(meter: str) -> None:
    new = renewed(2.0, f"meter.{meter}")
    assert [doubt.meter for doubt in meter_doubts([new], RACK)] == [meter]
    good = check(1.0, offset_ph=0.0, error_percent=0.5)
    assert meter_doubts([new, good], RACK) == ()


def test_a_figure_that_stands_still_through_acid_is_doubted() -> None:
    assert [d.meter for d in meter_doubts(stuck(), RACK)] == ["ph"]
    assert meter_doubts(stuck(step=0.1), RACK) == ()
    assert meter_doubts(stuck(), replace(RACK, meter=Meter(ph_step=0.5))) == ()


def test_conductivity_that_stands_still_through_much_water_is_doubted() -> None:
    events = [
        replace(event, what="water", ml=None, litres=6.0) if isinstance(event, Poured) else event
        for event in stuck(step=0.1)
    ]
    assert [d.meter for d in meter_doubts(events, RACK)] == ["conductivity"]


def test_a_conductivity_meter_far_off_its_standard_is_doubted() -> None:
    (doubt,) = meter_doubts([check(2.0, error_percent=-8.0)], RACK)
    assert doubt.spread == pytest.approx(0.08)


def test_a_ph_meter_out_of_trust_widens_the_range_and_says_so() -> None:
    learned = Learned(doubts=meter_doubts([check(3.0, offset_ph=0.3)], RACK))
    made = plan(learned=learned, **WEAK)
    assert width(made, "ph_tomorrow") > width(plan(**WEAK), "ph_tomorrow")
    assert "in buffer 7 at its last check" in words(made)


def test_a_conductivity_meter_out_of_trust_does_too() -> None:
    learned = Learned(doubts=meter_doubts([renewed(1.0, "meter.conductivity")], RACK))
    made = plan(learned=learned, **WEAK)
    assert width(made, "conductivity_ms_cm") > width(plan(**WEAK), "conductivity_ms_cm")
    assert "in no standard yet" in words(made)


def test_a_reading_that_jumped_widens_the_range_of_what_follows_from_it() -> None:
    for meter, spread, name in (("ph", 0.3, "ph"), ("conductivity", 0.06, "conductivity_ms_cm")):
        doubt = MeterDoubt(meter=meter, spread=spread, said="It jumped.", once=True)
        made = plan(learned=Learned(doubts=(doubt,)), **STRONG)
        assert width(made, name) > 1.25 * width(plan(**STRONG), name)
        assert "It jumped." in words(made)


def test_learned_litres_of_the_pipes_count_once_they_are_surer() -> None:
    computed = replace(RACK, reservoir=replace(RACK.reservoir, pipes_l=18.0))
    more = plan(computed, learned=Learned(pipes=Factor(value=1.3, spread=0.02, count=20)), **WEAK)
    unsure = plan(computed, learned=Learned(pipes=Factor(value=1.3, spread=0.2, count=2)), **WEAK)
    plain = plan(computed, **WEAK)
    assert unsure == plain
    assert more != plain
