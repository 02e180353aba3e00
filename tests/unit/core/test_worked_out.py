"""A level that nobody read is called worked out wherever it is shown."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.event import Poured, Reading
from tendtui.core.plan_words import readings_words
from tendtui.core.tank import tank_now
from tests.support.dose_case import NOW, RACK, plan

READ = Reading(
    id="r",
    seq=1,
    at=NOW - timedelta(hours=2),
    level_l=50.0,
    conductivity_ms_cm=1.6,
    ph=6.0,
    temperature_c=21.0,
)


def poured(*, litres: float | None = None, ml: float | None = None) -> Poured:
    return Poured(id="p", seq=2, at=NOW - timedelta(hours=1), what="water", litres=litres, ml=ml)


@pytest.mark.parametrize(
    ("added", "said"),
    [
        (poured(litres=5.0), "55 litres (worked out), 1.60"),
        (poured(ml=92.0), "50.1 litres (worked out), 1.60"),
    ],
)
def test_what_went_in_since_is_said(added: Poured, said: str) -> None:
    assert readings_words(plan(events=[READ, added]), RACK.show).startswith(said)


@pytest.mark.parametrize("events", [[READ], [READ, poured(ml=4.0)]])
def test_what_was_read_and_what_no_scale_shows_is_not(events: list[Reading | Poured]) -> None:
    assert readings_words(plan(events=events), RACK.show).startswith("50 litres, 1.60")


def test_a_level_named_in_the_call_is_read() -> None:
    made = plan(events=[READ, poured(litres=5.0)], level=54.0, conductivity=1.5, ph=6.0)
    assert readings_words(made, RACK.show).startswith("54 litres, 1.50")


def test_the_tank_tells_which_it_is() -> None:
    level = tank_now([READ, poured(litres=5.0)], RACK, NOW).level
    assert level is not None
    assert (level.value, level.moved) == (55.0, True)
