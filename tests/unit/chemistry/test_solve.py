from __future__ import annotations

import pytest

from tendtui.chemistry import solve
from tendtui.chemistry.equilibrium import TOTALS, table_at
from tendtui.chemistry.solve import Direction, NoSolutionError, at_balance, at_h

NOTHING = tuple(0.0 for _ in TOTALS)


def _totals(**amounts: float) -> tuple[float, ...]:
    return tuple(amounts.get(name, 0.0) for name in TOTALS)


def test_a_search_that_does_not_settle_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "MOST_SWEEPS", 1)
    with pytest.raises(NoSolutionError, match="do not settle to any pH"):
        at_balance(table_at(20.0), _totals(Ca=0.002, DIC=0.004), 0.004)
    with pytest.raises(NoSolutionError, match="do not settle at that pH"):
        at_h(table_at(20.0), 1e-6, _totals(Ca=0.002, DIC=0.004))


def test_an_addition_without_effect_is_refused() -> None:
    inert = Direction(_totals(Si=1.0), 0.0)
    silent = Direction(NOTHING, 0.0)
    with pytest.raises(NoSolutionError, match="does not move the pH"):
        at_h(table_at(20.0), 1e-6, NOTHING, direction=silent)
    assert at_h(table_at(20.0), 1e-6, NOTHING, direction=inert).amount != 0.0


def test_a_near_start_gives_the_same_answer() -> None:
    table, totals = table_at(20.0), _totals(Ca=0.003, Mg=0.001, K=0.006, SO4=0.002, P=0.001, DIC=0.0005)
    cold = at_balance(table, totals, 0.0007)
    warm = at_balance(table, totals, 0.0007, start=at_h(table, 1e-5, totals))
    assert warm.h == pytest.approx(cold.h, rel=1e-6)


def test_a_start_that_lacked_a_cation_is_still_a_start() -> None:
    table = table_at(20.0)
    without = at_balance(table, _totals(Na=0.002, DIC=0.002), 0.002)
    added = at_balance(table, _totals(Na=0.002, Ca=0.001, DIC=0.002), 0.002, start=without)
    assert added.free[0] > 0.0009


@pytest.mark.parametrize("alkalinity", [-0.3, 0.3])
def test_strong_acid_and_strong_alkali_settle(alkalinity: float) -> None:
    state = at_balance(table_at(20.0), _totals(P=0.001, Cit=0.001, NH4=0.001), alkalinity)
    assert state.alkalinity == pytest.approx(alkalinity, rel=1e-5)
