"""The solver: charge balance, cation balances and ionic strength together.

Unknowns are the hydrogen-ion activity and the free cations, in logarithms; given these, every ligand is
spread over its species exactly. The balances are then the slopes of one convex function, so Newton's method
is safe. Its matrix is taken as an arrow (each cation coupled to hydrogen, not to the other cations), which
solves in one line; ionic strength follows in step.

The charge balance is written as alkalinity: what the totals say (a sum of strong ions) against what the
species hold. Both count from the same zero level, the reference forms of species.LIGANDS.

Amounts here are mol per kg of water; lists stand in the order of TOTALS or CATIONS.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fabs, sqrt
from typing import NamedTuple

from tendtui.chemistry.activity import DAVIES_LINEAR, LN10, NEUTRAL_LOG_PER_IONIC_STRENGTH
from tendtui.chemistry.equilibrium import FACTORS, TOTALS, LigandTable, Table, Terms

DIC = TOTALS.index("DIC")
"""Place of dissolved carbonate in the totals."""

CHARGES = (2, 2, 1, 1, 1, -1, -1, -2, -1, 0, -1, 0)
"""Alkalinity that a mole of each total brings: the charge of its reference form."""

MOST_SWEEPS = 200
"""Give up after this many rounds; a usual solve takes 5 to 9."""

HIGHEST_MOL_KG = 1.5
"""[mol/kg] ionic strength a solve is held to on its way; past Davies' range in any case."""

_LN_STEP = 3.0
_TOLERANCE = 1e-7
_LEAST_H = 1e-30  # far under any water's; what is pushed there never settles
_LEAST_FREE = 1e-6  # a start with less of a cation free knew nothing of it
_LEAST_ADDED_MOL = 1e-12  # never nothing, or an added ligand would leave the spreading
_MOST_ADDED_MOL = 2.0
_NEUTRAL = LN10 * NEUTRAL_LOG_PER_IONIC_STRENGTH


class State(NamedTuple):
    """A solved solution."""

    h: float
    """Hydrogen-ion activity."""
    free: tuple[float, ...]
    """Free cations, in the order of CATIONS. [mol/kg]"""
    ionic_strength_mol_kg: float
    """Ionic strength."""
    dic: float
    """Dissolved carbonate. [mol/kg]"""
    co2: float
    """Activity of dissolved CO2. [mol/kg]"""
    alkalinity: float
    """Alkalinity held by the species. [eq/kg]"""
    amount: float = 0.0
    """What had to be added along the direction asked for. [mol/kg]"""


class Direction(NamedTuple):
    """What one mole of an addition brings."""

    totals: tuple[float, ...]
    """Moles of each of TOTALS."""
    alkalinity: float
    """Alkalinity. [eq]"""


class NoSolutionError(ValueError):
    """No balance was found: no such water, or no amount reaches the pH."""


class _Sums:
    """One spreading of the totals over the species, at a guess of the unknowns."""

    __slots__ = ("alkalinity", "by_cation", "by_h", "co2", "dic", "held", "mean_protons", "own", "squares")

    def __init__(self, free: list[float], size: int) -> None:
        self.alkalinity = 0.0  # held by the species
        self.by_h = 0.0  # its slope with -ln h
        self.by_cation = [0.0] * len(free)  # slope of protons held with ln of each free cation
        self.held = list(free)  # all of each cation that was found
        self.own = list(free)  # its slope with ln of the same free cation
        self.squares = 0.0  # amounts times charges squared
        self.mean_protons = [0.0] * size  # on each ligand of fixed total, above its reference form
        self.dic = 0.0
        self.co2 = 0.0


def activity_factors(slope: float, ionic_strength: float) -> list[float]:
    """Give the activity factor for each of FACTORS."""
    root = sqrt(ionic_strength)
    charge = slope * (root / (1.0 + root) - DAVIES_LINEAR * ionic_strength)
    neutral = _NEUTRAL * ionic_strength
    return [exp(charge * z + neutral * n) for z, n in FACTORS]


def _ladder(
    terms: Terms, powers: tuple[float, ...], factors: list[float]
) -> tuple[float, float, float, float]:
    """Sum a proton ladder per mole of reference form: amount, protons, protons squared, charges squared."""
    amount = first = second = squares = 0.0
    for constant, code, protons, square in terms:
        weight = constant * factors[code] * powers[protons]
        amount += weight
        squares += square * weight
        weight *= protons
        first += weight
        second += protons * weight
    return amount, first, second, squares


def _spread_water(sums: _Sums, table: Table, h: float, free: list[float], factors: list[float]) -> None:
    constant, code, _, _ = table.hydroxide
    hydroxide = constant * factors[code] / h
    hydrogen = h * factors[1]
    sums.alkalinity = hydroxide - hydrogen
    sums.by_h = sums.squares = hydroxide + hydrogen
    for cation, (constant, code, _, square) in table.hydrolysis:
        if free[cation]:
            lost = constant * factors[code] / h * free[cation]
            sums.alkalinity += lost
            sums.by_h += lost
            sums.squares += square * lost
            sums.held[cation] += lost
            sums.own[cation] += lost
            sums.by_cation[cation] -= lost


def _spread_ligand(
    sums: _Sums,
    ligand: LigandTable,
    free: list[float],
    total: float,
    base: float | None,
    powers: tuple[float, ...],
    factors: list[float],
) -> None:
    """Spread one ligand; its reference form is ``base`` where that is fixed (carbonate open to the air)."""
    amount, first, second, squares = _ladder(ligand.bare, powers, factors)
    pairs = []
    for cation, terms in ligand.pairs:
        have = free[cation]
        if have:
            n, n1, n2, square = _ladder(terms, powers, factors)
            amount += n * have
            first += n1 * have
            second += n2 * have
            squares += square * have
            pairs.append((cation, n * have, n1 * have))
    if base is None:
        base = total / amount
        shared = base / amount  # a fixed total: what one species gains, the others lose
        sums.mean_protons[ligand.total] = first / amount
    else:
        shared = 0.0
    sums.alkalinity -= base * first
    sums.by_h += base * second - shared * first * first
    sums.squares += base * squares
    for cation, n, n1 in pairs:
        sums.held[cation] += base * n
        sums.own[cation] += base * n - shared * n * n
        sums.by_cation[cation] += base * n1 - shared * first * n
    if ligand.total == DIC:
        sums.dic, sums.co2 = base * amount, base


def _spread(
    table: Table,
    h: float,
    free: list[float],
    ionic_strength: float,
    totals: Sequence[float],
    co2: float | None,
) -> _Sums:
    factors = activity_factors(table.slope, ionic_strength)
    powers = (1.0, h, 1.0 / (h * h), 1.0 / h)  # read by the number of protons, -2 to 1
    sums = _Sums(free, len(totals))
    _spread_water(sums, table, h, free, factors)
    neutral = exp(_NEUTRAL * ionic_strength)
    for ligand in table.ligands:
        base = co2 / neutral if co2 is not None and ligand.total == DIC else None
        if totals[ligand.total] or base:
            _spread_ligand(sums, ligand, free, totals[ligand.total], base, powers, factors)
    sums.squares += 4.0 * (free[0] + free[1]) + free[2] + free[3] + free[4] + totals[5] + totals[6]
    sums.co2 *= neutral
    return sums


def _ionic_strength(squares: float) -> float:
    return min(0.5 * squares, HIGHEST_MOL_KG)


def _clamp(step: float) -> float:
    return max(-_LN_STEP, min(_LN_STEP, step))


def _move_cations(sums: _Sums, free: list[float], totals: Sequence[float], h_step: float) -> float:
    """Move the free cations one Newton step; give the largest step taken."""
    largest = 0.0
    for i, own in enumerate(sums.own):
        if own:
            step = _clamp((totals[i] - sums.held[i] - sums.by_cation[i] * h_step) / own)
            free[i] *= exp(step)
            largest = max(largest, fabs(step))
    return largest


def _h_step(sums: _Sums, totals: Sequence[float], alkalinity: float) -> float:
    """Give the Newton step of ln h that closes the charge, cations moving along."""
    excess, slope = sums.alkalinity - alkalinity, sums.by_h
    for i, own in enumerate(sums.own):
        coupling = sums.by_cation[i]
        if coupling:
            excess -= coupling / own * (totals[i] - sums.held[i])
            slope -= coupling * coupling / own
    return _clamp(excess / max(slope, 0.02 * sums.by_h))


def _first_guess(totals: Sequence[float], start: State | None) -> tuple[list[float], float]:
    if start is None:
        squares = 4.0 * (totals[0] + totals[1] + totals[7]) + sum(totals[2:7]) + totals[8]
        return list(totals[:5]), _ionic_strength(squares)
    free = [f if f > _LEAST_FREE * t else t for f, t in zip(start.free, totals, strict=False)]
    free = [f if t else 0.0 for f, t in zip(free, totals, strict=False)]
    return free, start.ionic_strength_mol_kg


def at_balance(
    table: Table,
    totals: Sequence[float],
    alkalinity: float,
    *,
    co2: float | None = None,
    start: State | None = None,
) -> State:
    """Find the pH that closes the charge.

    Args:
        table: Constants.
        totals: Totals. [mol/kg]
        alkalinity: Alkalinity by the strong ions, closing ion included. [eq/kg]
        co2: Activity of dissolved CO2 held by the air; None when closed. [mol/kg]
        start: A solved solution near by.

    Returns:
        The state.

    Raises:
        NoSolutionError: If nothing balances.
    """
    free, ionic_strength = _first_guess(totals, start)
    h = 1e-7 if start is None else start.h
    for _ in range(MOST_SWEEPS):
        sums = _spread(table, h, free, ionic_strength, totals, co2)
        step = _h_step(sums, totals, alkalinity)
        largest = max(_move_cations(sums, free, totals, step), fabs(step))
        h = max(h * exp(step), _LEAST_H)
        last, ionic_strength = ionic_strength, _ionic_strength(sums.squares)
        if largest < _TOLERANCE and fabs(last - ionic_strength) <= _TOLERANCE * (ionic_strength + 1e-6):
            return State(h, tuple(free), ionic_strength, sums.dic, sums.co2, sums.alkalinity)
    raise NoSolutionError("These amounts do not settle to any pH; check the composition.")


def at_h(
    table: Table,
    h: float,
    totals: Sequence[float],
    *,
    co2: float | None = None,
    direction: Direction | None = None,
    alkalinity: float = 0.0,
    start: State | None = None,
) -> State:
    """Spread the totals at a given pH, adding along a direction until the alkalinity fits.

    Args:
        table: Constants.
        h: Hydrogen-ion activity.
        totals: Totals before the addition. [mol/kg]
        co2: Activity of dissolved CO2 held by the air; None when closed. [mol/kg]
        direction: What is added; None to add nothing and let a closing ion take the charge.
        alkalinity: Alkalinity by the strong ions before the addition. [eq/kg]
        start: A solved solution near by.

    Returns:
        The state; its amount may be negative, when the pH lies on the other side.

    Raises:
        NoSolutionError: If no amount, or more than 1 mol/kg, would do it.
    """
    free, ionic_strength = _first_guess(totals, start)
    now, amount = list(totals), 0.0
    if direction is not None:
        now = [t + 1e-6 * d for t, d in zip(totals, direction.totals, strict=True)]
        amount = 1e-6
        free = [f or t for f, t in zip(free, now, strict=False)]
    for _ in range(MOST_SWEEPS):
        sums = _spread(table, h, free, ionic_strength, now, co2)
        drift = 0.0
        if direction is not None:
            found = _amount(sums, direction, amount, alkalinity)
            taken = min(max(found, _LEAST_ADDED_MOL), _MOST_ADDED_MOL)
            drift = fabs(taken - amount) / (taken + 1e-6)
            amount = taken
            now = [t + amount * d for t, d in zip(totals, direction.totals, strict=True)]
        largest = max(_move_cations(sums, free, now, 0.0), drift)
        last, ionic_strength = ionic_strength, _ionic_strength(sums.squares)
        if largest < _TOLERANCE and fabs(last - ionic_strength) <= _TOLERANCE * (ionic_strength + 1e-6):
            amount = found if direction is not None else 0.0
            return State(h, tuple(free), ionic_strength, sums.dic, sums.co2, sums.alkalinity, amount)
    raise NoSolutionError("These amounts do not settle at that pH; check the composition.")


def _amount(sums: _Sums, direction: Direction, amount: float, alkalinity: float) -> float:
    """Give the amount whose alkalinity fits, the spreading as it is."""
    per_mole = -sum(d * p for d, p in zip(direction.totals, sums.mean_protons, strict=True) if d)
    brought = direction.alkalinity - per_mole
    if not brought:
        raise NoSolutionError("That addition does not move the pH.")
    return (sums.alkalinity - amount * per_mole - alkalinity) / brought
