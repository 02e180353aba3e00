"""The same questions put to PHREEQC, the U.S. Geological Survey's equilibrium program.

Database vitens.dat as the Python package carries it; citrate is added with the constants of NIST Critically
Selected Stability Constants (database 46) and SC-Database as minteq.v4.dat of the PHREEQC distribution
prints them. Nitrate and ammonium are entered as elements of their own, so that no redox reaction turns one
into the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log10
from typing import Any

import phreeqpython

from tendtui.value import value_class

EXTRA_SPECIES = """
SOLUTION_MASTER_SPECIES
Nit Nit- 0 62.005 62.005
Cit Cit-3 2 189.1 189.1
SOLUTION_SPECIES
Nit- = Nit-
  -gamma 3.0 0
  -dw 1.9e-9
Cit-3 = Cit-3
  log_k 0
Cit-3 + H+ = HCit-2
  log_k 6.396
  delta_h 3.3472 kJ
Cit-3 + 2H+ = H2Cit-
  log_k 11.157
  delta_h 1.297 kJ
Cit-3 + 3H+ = H3Cit
  log_k 14.285
  delta_h -2.7614 kJ
Ca+2 + Cit-3 = CaCit-
  log_k 4.87
  delta_h -8.368 kJ
Ca+2 + Cit-3 + H+ = CaHCit
  log_k 9.26
  delta_h -0.8368 kJ
Ca+2 + Cit-3 + 2H+ = CaH2Cit+
  log_k 12.257
Mg+2 + Cit-3 = MgCit-
  log_k 4.89
  delta_h 8.368 kJ
Mg+2 + Cit-3 + H+ = MgHCit
  log_k 8.91
  delta_h 3.3472 kJ
Mg+2 + Cit-3 + 2H+ = MgH2Cit+
  log_k 12.2
Na+ + Cit-3 = NaCit-2
  log_k 1.03
  delta_h -2.8033 kJ
2Na+ + Cit-3 = Na2Cit-
  log_k 1.5
  delta_h -5.1045 kJ
Na+ + Cit-3 + H+ = NaHCit-
  log_k 6.45
  delta_h -3.5982 kJ
K+ + Cit-3 = KCit-2
  log_k 1.1
  delta_h 5.4392 kJ
END
"""

ELEMENTS = {
    "Ca": "Ca", "Mg": "Mg", "Na": "Na", "K": "K", "NH4": "Amm", "NO3": "Nit", "Cl": "Cl", "SO4": "S(6)",
    "P": "P", "Si": "Si", "Cit": "Cit",
}  # fmt: skip
MINERALS = ("Calcite", "Gypsum", "Hydroxyapatite")
FORMULAS = {
    "HNO3": "HNit", "H3PO4": "H3PO4", "H2SO4": "H2SO4", "HCl": "HCl", "H3Cit": "H3Cit", "KOH": "KOH",
    "K2CO3": "K2CO3", "KHCO3": "KHCO3",
}  # fmt: skip


@value_class
class Outcome:
    """What PHREEQC found."""

    ph: float
    totals: Mapping[str, float]
    dic_mmol: float
    alkalinity_meq: float
    conductivity_us_cm: float
    dose_mmol: float
    saturation: Mapping[str, float]


class UnansweredError(Exception):
    """PHREEQC found no answer: the question can't be had, or its own search failed."""


class Engine:
    """One PHREEQC, asked step by step."""

    def __init__(self) -> None:
        self._ip: Any = phreeqpython.PhreeqPython().ip
        self._ip.run_string(EXTRA_SPECIES)

    def water(
        self,
        ph: float,
        totals: Mapping[str, float],
        *,
        temperature_c: float,
        carbonate: tuple[str, float],
        number: int = 1,
    ) -> Outcome:
        """Make a solution and keep it under its number; nitrate closes the charge."""
        kind, value = carbonate
        lines = [f"SOLUTION {number}\n temp {temperature_c}\n pH {ph}\n units mmol/kgw\n -water 1"]
        lines += [f" {ELEMENTS[n]} {v!r}" for n, v in totals.items() if v and n != "NO3"]
        lines.append(f" Nit {max(totals.get('NO3', 0.0), 1e-9)!r} charge")
        if kind == "pco2_atm" and value:
            lines.append(f" C(4) 1 CO2(g) {log10(value)!r}")
        elif kind == "alkalinity_meq":
            lines.append(f" Alkalinity {value!r} as HCO3\n -units meq/kgw")
        elif value:
            lines.append(f" C(4) {value!r}")
        return self._run("\n".join(lines))

    def added(self, formula: str, amount_mmol: float) -> Outcome:
        """Add a reagent to solution 1, closed; nothing is kept."""
        return self._run(f"USE solution 1\nREACTION 1\n {FORMULAS[formula]} 1\n {amount_mmol!r} mmol\n")

    def in_air(self, formula: str, amount_mmol: float, pco2_atm: float) -> Outcome:
        """Add a reagent to solution 1, in balance with the air; nothing is kept."""
        return self._run(
            f"USE solution 1\nREACTION 1\n {FORMULAS[formula]} 1\n {amount_mmol!r} mmol\n"
            f"EQUILIBRIUM_PHASES 1\n CO2(g) {log10(pco2_atm)!r} 10\n"
        )

    def dose(self, ph: float, formula: str, *, pco2_atm: float | None = None) -> Outcome:
        """Find the dose that brings solution 1 to a pH."""
        air = "" if pco2_atm is None else f" CO2(g) {log10(pco2_atm)!r} 10\n"
        target = f" Fix_pH {-ph!r} {FORMULAS[formula]} 10\n  -force_equality\n"
        return self._run(f"USE solution 1\nEQUILIBRIUM_PHASES 1\n{target}{air}")

    def mixed(self, share: float, *, pco2_atm: float | None = None) -> Outcome:
        """Mix solutions 1 and 2, closed or in balance with the air; nothing is kept."""
        air = "" if pco2_atm is None else f"EQUILIBRIUM_PHASES 1\n CO2(g) {log10(pco2_atm)!r} 10\n"
        return self._run(f"MIX 1\n 1 {share!r}\n 2 {1.0 - share!r}\n{air}")

    def _run(self, text: str) -> Outcome:
        wanted = ['-LA("H+")', 'TOT("C(4)")*1000', "ALK*1000", "SC", 'EQUI_DELTA("Fix_pH")*1000']
        wanted += [f'SI("{mineral}")' for mineral in MINERALS]
        wanted += [f'TOT("{element}")*1000' for element in ELEMENTS.values()]
        lines = "\n".join(f" {10 * i} PUNCH {expression}" for i, expression in enumerate(wanted, 1))
        head = f"SELECTED_OUTPUT 1\n -reset false\nUSER_PUNCH 1\n -start\n{lines}\n -end\n"
        try:
            self._ip.run_string(head + text + "\nEND")
        except Exception as error:  # the package raises nothing narrower
            if "ERROR" not in str(error):
                raise
            raise UnansweredError(str(error)) from error
        rows = self._ip.get_selected_output_array()
        values = [float(v) for v in rows[-1]]
        return Outcome(
            ph=values[0],
            dic_mmol=values[1],
            alkalinity_meq=values[2],
            conductivity_us_cm=values[3],
            dose_mmol=-values[4],
            saturation={name.lower(): values[5 + i] for i, name in enumerate(MINERALS)},
            totals=dict(zip(ELEMENTS, values[5 + len(MINERALS) :], strict=True)),
        )
