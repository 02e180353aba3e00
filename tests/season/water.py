"""The truth: water with its full composition, whose pH and conductivity come from PHREEQC (vitens.dat)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import exp
from typing import Any

from tendtui.value import field, value_class

HENRY_MMOL_ATM = 38.0
"""CO2(aq) in water at 21 °C. [mmol/L/atm] Source: Plummer & Busenberg (1982), from memory."""

NAMES: Mapping[str, str] = {
    "Ca": "Ca", "Mg": "Mg", "Na": "Na", "K": "K", "NO3": "N(5)", "NH4": "N(-3)", "P": "P", "SO4": "S(6)",
    "Cl": "Cl", "DIC": "C(4)", "Cit": "Citrate",
}  # fmt: skip
REAGENTS: Mapping[str, Mapping[str, float]] = {
    "nitric acid": {"NO3": 1.0},
    "phosphoric acid": {"P": 1.0},
    "sulfuric acid": {"SO4": 1.0},
    "hydrochloric acid": {"Cl": 1.0},
    "citric acid": {"Cit": 1.0},
    "potassium hydroxide": {"K": 1.0},
    "potassium bicarbonate": {"K": 1.0, "DIC": 1.0},
}
"""What a mole of each brings; its protons follow from the charge."""


CITRATE = """
SOLUTION_MASTER_SPECIES
Citrate Citrate-3 0 Citrate 189.1
SOLUTION_SPECIES
Citrate-3 = Citrate-3; log_k 0
H+ + Citrate-3 = HCitrate-2; log_k 6.396
2 H+ + Citrate-3 = H2Citrate-; log_k 11.157
3 H+ + Citrate-3 = H3Citrate; log_k 14.285
Ca+2 + Citrate-3 = CaCitrate-; log_k 4.87
Mg+2 + Citrate-3 = MgCitrate-; log_k 4.89
END
"""
"""Citrate, which vitens.dat lacks; its own conductance is left out.

Source: NIST Critically Selected Stability Constants, as the database minteq.v4 of PHREEQC gives them.
"""


@cache
def engine() -> Any:
    """Give the engine, made once."""
    from phreeqpython import PhreeqPython

    made = PhreeqPython()
    made.ip.run_string(CITRATE)
    return made


@value_class(kw_only=False)
class Seen:
    """What a perfect meter would show."""

    ph: float
    conductivity_ms_cm: float
    pco2_atm: float


@value_class(frozen=False, kw_only=False)
class Water:
    """Litres with amounts dissolved in them. [L, mmol]"""

    litres: float
    amounts: dict[str, float] = field(default_factory=dict)

    def copy(self) -> Water:
        return Water(self.litres, dict(self.amounts))

    def add(self, other: Water) -> None:
        self.litres += other.litres
        self.dissolve(other.amounts)

    def dissolve(self, amounts: Mapping[str, float], times: float = 1.0) -> None:
        for name, amount in amounts.items():
            self.amounts[name] = max(0.0, self.amounts.get(name, 0.0) + times * amount)

    def take(self, litres: float) -> None:
        kept = 1.0 - litres / self.litres
        self.litres -= litres
        self.amounts = {name: amount * kept for name, amount in self.amounts.items()}

    def seen(self, temperature_c: float) -> Seen:
        """Solve it."""
        solution = engine().add_solution(
            {
                "units": "mmol/kgw",
                "temp": temperature_c,
                "pH": "7 charge",
                **{NAMES[n]: max(a / self.litres, 1e-6) for n, a in self.amounts.items()},
            }
        )
        try:
            at_25 = 1.0 + 0.02 * (temperature_c - 25.0)  # the meter's own rule
            return Seen(solution.pH, solution.sc / 1000.0 / at_25, 10.0 ** solution.si("CO2(g)"))
        finally:
            solution.forget()

    def breathe(self, seen: Seen, *, air_atm: float, hours: float, per_hour: float) -> None:
        """Let carbon dioxide go towards the air."""
        gone = HENRY_MMOL_ATM * (seen.pco2_atm - air_atm) * (1.0 - exp(-per_hour * hours)) * self.litres
        self.amounts["DIC"] = max(1e-3 * self.litres, self.amounts.get("DIC", 0.0) - gone)


def source_water(alkalinity_meq: float, *, softened: bool, chloride: float, air_atm: float = 2e-3) -> Water:
    """Give a litre of source water of an alkalinity, near pH 7.5."""
    hard = alkalinity_meq / 2.0
    amounts = {"Cl": chloride, "SO4": 0.15 + 0.08 * alkalinity_meq, "NO3": 0.1, "K": 0.05}
    strong = amounts["Cl"] + 2 * amounts["SO4"] + amounts["NO3"] - amounts["K"]
    if softened:
        amounts["Na"] = alkalinity_meq + strong
    else:
        amounts |= {"Ca": 0.8 * hard, "Mg": 0.2 * hard, "Na": strong}
    return Water(1.0, {**amounts, "DIC": alkalinity_meq * 1.05 + HENRY_MMOL_ATM * air_atm})
