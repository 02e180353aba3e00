"""One slip of the key in two months, of any kind and anywhere, moves no figure by more than its own doubt."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from functools import cache
from math import log, sqrt

import pytest

from tendtui.core.dose_facts import dose_facts
from tendtui.core.event import Event, Poured, Reading
from tendtui.core.learned import Learning, Pace, learn
from tendtui.core.learned_values import Factor
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tests.support.quiet_tank import RACK, Season

Slip = Callable[[float], float]
READ: Mapping[str, tuple[str, Slip]] = {
    "a level with its point lost": ("level_l", lambda v: v / 10.0),
    "a level of another mark": ("level_l", lambda v: v - 12.0),
    "a strength ten times": ("conductivity_ms_cm", lambda v: v * 10.0),
    "a strength with a digit wrong": ("conductivity_ms_cm", lambda v: v - 0.3),
    "a pH turned over": ("ph", lambda v: 9.6 if v < 7.0 else 5.0),
    "a temperature with its point lost": ("temperature_c", lambda v: v / 10.0),
}
POURED: Mapping[str, tuple[str, Slip]] = {
    "ten times a bottle": ("ml", lambda v: v * 10.0),
    "a tenth of a bottle": ("ml", lambda v: v / 10.0),
    "ten times the water": ("litres", lambda v: v * 10.0),
}


@cache
def season() -> tuple[Event, ...]:
    return Season(7).run(60)


def taught(events: tuple[Event, ...]) -> Learning:
    return learn(RACK, events, dose_facts(read_data("feeds")))


@cache
def clean() -> Learning:
    return taught(season())


def slipped(event: Event, kind: str) -> Event | None:
    """Give the event as it was typed; None where there is nothing of the kind in it."""
    wanted, table = (Reading, READ) if kind in READ else (Poured, POURED)
    field, wrong = table[kind]
    value = getattr(event, field) if isinstance(event, wanted) else None
    return None if value is None else replace(event, **{field: wrong(value)})


def off(one: Factor | None, other: Factor | None) -> float:
    """Give by how many of its own spreads a factor moved."""
    assert one is not None
    assert other is not None
    return abs(log(other.value / one.value)) / one.spread


def pace_off(one: Pace | None, other: Pace | None) -> float:
    """Give by how many deviations of its mean a pace moved."""
    assert one is not None
    assert other is not None
    return abs(other.value - one.value) / (one.spread / sqrt(one.count))


@pytest.mark.slow
@pytest.mark.parametrize("kind", [*READ, *POURED])
def test_one_slip_poisons_nothing(kind: str) -> None:
    places = [n for n, event in enumerate(season()) if slipped(event, kind) is not None]
    for place in (*random.Random(1).sample(places, 4), places[-1]):
        wrong = slipped(season()[place], kind)
        assert wrong is not None
        spoiled = taught((*season()[:place], wrong, *season()[place + 1 :]))
        assert off(clean().feed, spoiled.feed) < 1.0
        assert off(clean().pipes, spoiled.pipes) < 1.0
        assert pace_off(clean().ph_day, spoiled.ph_day) < 1.5
        assert pace_off(clean().eaten_day, spoiled.eaten_day) < 1.5
        before, after = clean().thirst, spoiled.thirst
        assert before is not None
        assert after is not None
        assert abs(log(after.factor / before.factor)) < 0.05
        assert abs(after.per_degree - before.per_degree) < 0.035
