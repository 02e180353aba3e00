"""Parts of the set-up that were left for later are asked for when they first matter."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.due import TaskDue
from tendtui.core.rack import Measuring, Rack, Reservoir
from tendtui.core.role import Role
from tendtui.core.setup_due import setup_items
from tendtui.core.slow_list import slow_list
from tendtui.core.today import Item
from tendtui.value import replace
from tests.support.slow_data import rack, slow_data

NOW = datetime(2026, 5, 30, 9, tzinfo=UTC)
SLOW = slow_list(slow_data(), rack(), (), {}, NOW)


def bare() -> Rack:
    whole = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0), devices=(), mains=None, phones={})
    return replace(whole, measuring=Measuring())


def dues(*ids: str) -> tuple[TaskDue, ...]:
    """Give the packaged tasks, with these due and no others."""
    return tuple(replace(due, is_due=due.task.id in ids) for due in SLOW.dues)


def items(
    of: Rack,
    *ids: str,
    role: Role = Role.GROWER,
    away_from: datetime | None = None,
    under_way: Iterable[str] = (),
) -> tuple[Item, ...]:
    return setup_items(of, dues(*ids), role=role, under_way=set(under_way), now=NOW, away_from=away_from)


@pytest.mark.parametrize(
    ("task", "opens"),
    [
        ("pump-off-test", "walk:setup:brim"),
        ("add-up-the-load", "walk:setup:mains"),
        ("time-the-outlets", "walk:setup:jug"),
    ],
)
def test_a_part_is_asked_for_with_the_task_that_rests_on_it(task: str, opens: str) -> None:
    assert task in {due.task.id for due in SLOW.dues}
    assert [item.opens for item in items(bare(), task)] == [opens]
    assert items(bare()) == ()


def test_what_is_described_is_not_asked_for() -> None:
    told = replace(
        bare(),
        reservoir=Reservoir(full_l=60.0, least_l=30.0, brim_l=80.0),
        mains=rack().mains,
        devices=rack().devices,
        measuring=Measuring(jug_l=1.0),
        phones={"Ann": "1"},
    )
    assert items(told, "pump-off-test", "add-up-the-load", "time-the-outlets", away_from=NOW) == ()


def test_devices_come_after_the_mains() -> None:
    assert [i.opens for i in items(replace(bare(), mains=rack().mains), "add-up-the-load")] == [
        "walk:setup:device"
    ]


def test_numbers_to_ring_are_asked_for_in_the_week_before_somebody_stands_in() -> None:
    assert items(bare(), away_from=NOW + timedelta(days=20)) == ()
    (item,) = items(bare(), away_from=NOW + timedelta(days=3))
    assert (item.opens, item.because) == ("walk:setup:phones", "somebody stands in from Tue 2 Jun")


def test_only_who_may_describe_the_rack_is_asked_and_a_walk_left_open_stands_once() -> None:
    assert items(bare(), "pump-off-test", role=Role.SHOWN) == ()
    assert items(bare(), "pump-off-test", under_way=["setup:brim"]) == ()


def test_no_more_than_two_lines_at_once() -> None:
    assert len(items(bare(), "pump-off-test", "add-up-the-load", "time-the-outlets", away_from=NOW)) == 2
