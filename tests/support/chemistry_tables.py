"""Reads the chemistry tables of tests/reference/data and turns their rows into solutions."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from math import ceil
from pathlib import Path
from statistics import median

from tendtui.chemistry import Solution

DATA = Path(__file__).parent.parent / "reference" / "data"
NAMES = ("Ca", "Mg", "Na", "K", "NH4", "NO3", "Cl", "SO4", "P", "Si")
GIVEN = {
    "alk": ("alkalinity_meq", "alkalinity_meq"),
    "dic": ("dic_mmol", "dic_mmol"),
    "pco2": ("pco2_atm", "pco2_start_atm"),
}

Row = Mapping[str, str]


def rows(name: str) -> tuple[Row, ...]:
    """Every row of a table."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def totals(row: Row, prefix: str = "") -> dict[str, float]:
    """The composition of a row."""
    return {name: float(row[prefix + name]) for name in NAMES}


def start(row: Row) -> Solution:
    """The solution that a dose row starts from."""
    keyword, column = GIVEN[row["carbonate_given"]]
    given = {keyword: float(row[column])}
    return Solution.at_ph(
        float(row["ph_start"]), totals(row), temperature_c=float(row["temperature_C"]), **given
    )


def reagent(row: Row) -> str:
    """The formula of a row's reagent."""
    return "H3Cit" if row["reagent"] == "citric" else row["reagent"]


def pressure(row: Row) -> float | None:
    """The CO2 pressure held while dosing, None when closed."""
    return float(row["pco2_atm"]) if row["mode"] == "open" else None


def at_most(values: Iterable[float], share: float) -> float:
    """The value that a share of the values does not pass."""
    ordered = sorted(values)
    return ordered[ceil(share * len(ordered)) - 1]


def summary(values: Iterable[float]) -> tuple[float, float, float]:
    """Median, 95 % and worst."""
    found = list(values)
    return median(found), at_most(found, 0.95), max(found)
