"""Ten corrections make the next one better: nearer, in a narrower range, with a larger first portion.

The tank's truth is the chemistry itself with a bottle weaker than its label; it was checked against tables.
"""

from __future__ import annotations

import pytest

from tendtui.chemistry import Solution
from tendtui.core.adjuster_strength import strength_of
from tendtui.core.dose_facts import dose_facts
from tendtui.core.learned import for_plan, learn
from tendtui.core.learned_values import Learned
from tendtui.core.plan import Plan
from tendtui.store.data_file import read_data
from tests.support.dose_case import bands, plan, pours
from tests.support.quiet_tank import RACK
from tests.unit.core.test_learned import LITRES, at, portions

FACTS = dose_facts(read_data("feeds"))
NEEDS = 1.5
"""The bottle is weaker than printed by this."""
WANTED = bands((1.3, 1.7), (5.6, 6.2))


def planned(learned: Learned) -> Plan:
    return plan(
        RACK,
        now=at(30),
        wanted=WANTED,
        learned=learned,
        level=90.0,
        conductivity=1.5,
        ph=6.5,
        temperature=20.0,
    )


def after(made: Plan) -> float:
    """Give the pH that the first portion really leads to."""
    start = Solution.at_ph(
        6.5,
        {"NO3": 9.0, "K": 5.0, "Ca": 3.0, "Mg": 1.0, "P": 1.2, "SO4": 1.0},
        temperature_c=20.0,
        pco2_atm=7e-4,
    )
    mol_l = strength_of(RACK.adjusters[0]).mol_l
    return start.with_added("HNO3", pours(made)["Down"] * mol_l / NEEDS / LITRES).ph


def width(made: Plan) -> float:
    assert made.range.ph is not None
    return made.range.ph[1] - made.range.ph[0]


def moved(made: Plan) -> float:
    """Give by how much the first portion is to lower pH."""
    assert made.expect.ph is not None
    return 6.5 - made.expect.ph


@pytest.fixture(scope="module")
def fresh() -> Plan:
    return planned(Learned())


@pytest.fixture(scope="module")
def taught() -> Plan:
    return planned(for_plan(learn(RACK, portions(FACTS, needs=NEEDS), FACTS)))


def test_the_range_is_narrower_and_holds_what_comes(fresh: Plan, taught: Plan) -> None:
    assert width(taught) < width(fresh)  # though the portion is three times as large
    assert width(taught) / moved(taught) < 0.6 * width(fresh) / moved(fresh)
    assert taught.range.ph is not None
    assert taught.range.ph[0] <= after(taught) <= taught.range.ph[1]


def test_the_first_pour_lands_nearer_to_the_band_and_not_past_it(fresh: Plan, taught: Plan) -> None:
    assert after(fresh) > 6.2  # one portion was not enough
    assert 5.6 <= after(taught) < after(fresh)
    assert abs(after(taught) - (taught.expect.ph or 0.0)) < abs(after(fresh) - (fresh.expect.ph or 0.0))


def test_the_first_portion_opens(fresh: Plan, taught: Plan) -> None:
    # 12 of 24 mL that it took at first to be enough; 35 of 46 mL after ten
    assert pours(taught)["Down"] > 2.0 * pours(fresh)["Down"]
