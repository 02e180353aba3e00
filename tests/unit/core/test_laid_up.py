"""A rack laid up between two seasons asks for next to nothing, until it starts again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.bands import bands_of
from tendtui.core.crops import crops_from
from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.laid_up import laid_up_since
from tendtui.core.lasting import lasting
from tendtui.core.quantity import Quantity
from tendtui.core.slow_list import SlowList, slow_list
from tendtui.core.status import make_status
from tendtui.core.tank import tank_now
from tendtui.core.today_made import make_today
from tests.support.slow_data import rack, slow_data, table

ENDED = datetime(2026, 10, 30, 9, tzinfo=UTC)
DATA = slow_data()
RUNNING: tuple[Event, ...] = (
    Change(id="c", seq=1, at=ENDED - timedelta(days=80), litres=60.0),
    Reading(id="r", seq=2, at=ENDED - timedelta(days=1), level_l=40.0, conductivity_ms_cm=2.6, ph=7.1),
)
LAID_UP: tuple[Event, ...] = (
    *RUNNING,
    Poured(id="d", seq=3, at=ENDED, what="drained", litres=40.0),
    Note(id="n", seq=4, at=ENDED, text="End of season", about="season-end"),
)


def slow(events: Sequence[Event], *, days: int) -> SlowList:
    return slow_list(DATA, rack(), events, {}, ENDED + timedelta(days=days))


def due(events: Sequence[Event], *, days: int) -> set[str]:
    return {one.task.id for one in slow(events, days=days).dues if one.is_due}


def test_a_rack_that_runs_is_asked_for_its_round_and_not_for_a_damp_cap() -> None:
    assert "daily-round" in due(RUNNING, days=40)
    assert "damp-meter-cap" not in due(RUNNING, days=40)


def test_while_it_is_laid_up_only_what_can_still_be_looked_at_is_due() -> None:
    assert due(LAID_UP, days=20) <= {"bottles-sound", "smoke-alarm", "inspection-in-date"}
    late = due(LAID_UP, days=40)
    assert "damp-meter-cap" in late, "a month after the season ended"
    assert late <= {"damp-meter-cap", "bottles-sound", "smoke-alarm", "inspection-in-date"}
    (resting,) = [one for one in slow(LAID_UP, days=40).dues if one.task.id == "daily-round"]
    assert resting.because == "rests while the rack is laid up", "it stays listed"


@pytest.mark.parametrize(
    "again",
    [
        Note(id="a", seq=9, at=ENDED + timedelta(days=30), text="Starting again", about="season-start"),
        Change(id="a", seq=9, at=ENDED + timedelta(days=30), litres=60.0),
    ],
    ids=["started", "filled"],
)
def test_starting_again_wakes_every_task(again: Event) -> None:
    assert laid_up_since(LAID_UP, ENDED + timedelta(days=40)) == ENDED
    assert laid_up_since((*LAID_UP, again), ENDED + timedelta(days=40)) is None
    assert laid_up_since((*LAID_UP, again), ENDED + timedelta(days=20)) == ENDED, "not yet at that time"
    assert "daily-round" in due((*LAID_UP, again), days=40)


def test_it_is_still_known_when_the_months_are_long_past() -> None:
    later = ENDED + timedelta(days=400)
    assert laid_up_since(lasting(LAID_UP), later) == ENDED
    started = Note(id="a", seq=9, at=ENDED + timedelta(days=30), text="x", about="season-start")
    assert laid_up_since(lasting((*LAID_UP, started)), later) is None


def test_the_one_look_finds_nothing_wrong_with_an_empty_reservoir_then() -> None:
    now = ENDED + timedelta(days=3)
    bands = bands_of(rack(), crops_from(table("crops")))
    wanted = {Quantity.CONDUCTIVITY: bands.conductivity.band, Quantity.PH: bands.ph.band}
    tank = tank_now(LAID_UP, rack(), now)
    status = make_status(
        now=now,
        rack=rack(),
        tank=tank,
        bands=wanted,
        slow=slow(LAID_UP, days=3),
        walks=(),
        events=LAID_UP,
    )
    assert status.wrong == ()
    today = make_today(
        now=now,
        by="Mo",
        role="grower",
        rack=rack(),
        events=LAID_UP,
        tank=tank,
        bands=wanted,
        slow=slow(LAID_UP, days=3),
        walks=(),
    )
    assert not any(item.opens in ("walk:round", "walk:dose") for item in (*today.due, *today.left_open))
    assert today.later[0].opens == "walk:season-start"
    assert today.later[0].because.startswith("the rack is laid up since")
