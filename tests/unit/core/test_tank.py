"""What is known of the tank, carried through the log."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Reservoir, Tier
from tendtui.core.tank import TankNow, tank_now
from tests.support.dose_case import NOW, RACK


def read(hours: float, *, seq: int = 1, doubt: tuple[str, ...] = (), **values: float) -> Reading:
    at = NOW - timedelta(hours=hours)
    return Reading(id=f"r{seq}", seq=seq, at=at, doubt=doubt, **values)  # type: ignore[arg-type]


def pour(hours: float, what: str, *, seq: int = 2, **amount: float) -> Poured:
    return Poured(id=f"p{seq}", seq=seq, at=NOW - timedelta(hours=hours), what=what, **amount)  # type: ignore[arg-type]


def tank(*events: Event, **given: float) -> TankNow:
    return tank_now(events, RACK, NOW, given={Quantity(name): value for name, value in given.items()})


def test_an_empty_log_knows_nothing() -> None:
    known = tank()
    assert (known.level, known.conductivity, known.ph, known.litres) == (None, None, None, None)
    assert known.unread == ()


def test_each_quantity_is_its_newest() -> None:
    known = tank(read(9, conductivity_ms_cm=1.2, ph=6.0), read(2, seq=2, ph=6.3))
    assert known.conductivity is not None
    assert known.ph is not None
    assert (known.conductivity.value, known.ph.value) == (1.2, 6.3)


def test_what_comes_later_does_not_count() -> None:
    assert tank(read(-1, ph=6.0)).ph is None


def test_a_replaced_reading_does_not_count() -> None:
    wrong = read(2, ph=60.0)
    right = Note(id="n", seq=2, at=NOW - timedelta(hours=1), text="slip", replaces="r1")
    assert tank(wrong, right).ph is None


def test_bottles_raise_the_level_by_their_millilitres() -> None:
    known = tank(read(3, level_l=40.0), pour(1, "Feed A", ml=500.0))
    assert known.level is not None
    assert known.level.value == pytest.approx(40.5)
    assert known.level.carried


def test_the_same_call_reads_before_it_pours() -> None:
    """Readings and pours of one `record` share their time; the reading stands first by its number."""
    known = tank(read(1, seq=1, conductivity_ms_cm=1.2), pour(1, "Feed A", seq=2, ml=30.0))
    assert known.unread == (Quantity.CONDUCTIVITY,)


def test_a_quantity_never_read_is_not_waited_for() -> None:
    known = tank(read(3, conductivity_ms_cm=1.2), pour(1, "water", litres=5.0))
    assert known.unread == (Quantity.CONDUCTIVITY,)


def test_pouring_nothing_asks_for_no_reading() -> None:
    assert tank(read(3, ph=6.0), pour(1, "Acid", ml=0.0)).unread == ()


def test_a_given_level_is_not_moved() -> None:
    known = tank(read(3, level_l=40.0), pour(1, "water", litres=5.0), level=44.0)
    assert known.level is not None
    assert (known.level.value, known.level.carried, known.level.given) == (44.0, False, True)


def test_a_level_of_the_same_round_is_not_carried() -> None:
    known = tank(read(2, level_l=40.0), read(1.8, seq=2, ph=6.0))
    assert known.level is not None
    assert not known.level.carried


@pytest.mark.parametrize(("hours", "stale"), [(47.0, False), (49.0, True)])
def test_a_level_is_good_for_two_days(hours: float, stale: bool) -> None:
    assert tank(read(hours, level_l=40.0)).level_is_stale is stale


def test_a_change_with_its_litres_starts_the_level_anew() -> None:
    known = tank(
        read(9, level_l=20.0),
        Change(id="c", seq=2, at=NOW - timedelta(hours=2), litres=55.0),
        pour(1, "water", seq=3, litres=2.0),
    )
    assert known.level is not None
    assert known.level.value == pytest.approx(57.0)


def test_a_change_that_says_nothing_leaves_the_level_unknown() -> None:
    known = tank(read(9, level_l=20.0), Change(id="c", seq=2, at=NOW - timedelta(hours=2)))
    assert known.level is None


def test_a_drop_test_counts_until_something_goes_in() -> None:
    assert tank(read(3, alkalinity_meq_l=1.0)).alkalinity is not None
    assert tank(read(3, alkalinity_meq_l=1.0), pour(1, "Acid", ml=2.0)).alkalinity is None
    assert tank(read(3, alkalinity_meq_l=1.0), pour(1, "drained", litres=2.0)).alkalinity is not None


def test_doubt_is_kept_with_its_quantity() -> None:
    assert tank(read(1, ph=9.0, level_l=40.0, doubt=("ph",))).doubted == (Quantity.PH,)


def test_pipes_are_measured_or_computed() -> None:
    tier = Tier(name="Top", pipe_inside_mm=100.0, length_m=1.0, outlet_height_mm=50.0)
    rack = Rack(name="r", reservoir=Reservoir(full_l=60.0, least_l=30.0), tiers=(tier,))
    known = tank_now((), rack, NOW)
    assert known.pipes_l == pytest.approx(3.93, abs=0.01)  # half of a 100 mm bore, one metre: geometry
    assert not known.pipes_known
    assert tank().pipes_known


def test_a_tier_that_cannot_be_leaves_the_reservoir_alone() -> None:
    tier = Tier(name="Top", pipe_inside_mm=50.0, length_m=1.0, outlet_height_mm=80.0)
    rack = Rack(name="r", reservoir=Reservoir(full_l=60.0, least_l=30.0), tiers=(tier,))
    assert tank_now((), rack, NOW).pipes_l == 0.0


def test_water_since_the_change_is_added_up() -> None:
    change = Change(id="c", seq=1, at=NOW - timedelta(days=5), litres=0.0)
    known = tank(change, pour(99, "water", litres=60.0), pour(2, "water", seq=3, litres=5.0))
    assert known.water_since_change_l() == 65.0
    assert tank(pour(2, "water", litres=5.0)).water_since_change_l() == 0.0
