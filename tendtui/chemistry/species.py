"""The dissolved species of the model and the constant that forms each one.

Every ligand is written in one form (``CO3-2``, ``PO4-3`` and so on); a species is that form plus
protons and, for an ion pair, one cation.
A constant is log10 at 25 °C with a reaction enthalpy, or six coefficients of
``a + b T + c/T + d log10 T + e/T² + f T²`` with T in kelvin.

Sources, by the tag that stands beside each constant. The values were read in the database files named; that
a value there goes back to PB or N is from memory.

P   Parkhurst & Appelo, Description of input and examples for PHREEQC version 3, U.S. Geological
    Survey Techniques and Methods 6-A43 (2013), database phreeqc.dat.
PB  Plummer & Busenberg, Geochim. Cosmochim. Acta 46:1011 (1982), as in P.
N   Nordstrom and others, Revised chemical equilibrium data for major water-mineral reactions,
    ACS Symposium Series 416:398 (1990), as in P.
NI  NIST Critically Selected Stability Constants of Metal Complexes, database 46 (versions 6 and 7
    of Martell & Smith), and SC-Database 2.62, as in minteq.v4.dat of P.
"""

from __future__ import annotations

from tendtui.value import value_class

CATIONS = ("Ca", "Mg", "Na", "K", "NH4")
"""Cations that form pairs."""

CATION_CHARGES = (2, 2, 1, 1, 1)
"""Charge of each cation of CATIONS."""

KJ_PER_KCAL = 4.184
"""[kJ/kcal] thermochemical calorie, exact by definition."""


@value_class
class Formation:
    """The formation constant of one species."""

    log_k: float
    """log10 of the constant at 25 °C, infinite dilution."""
    delta_h_kj: float = 0.0
    """Reaction enthalpy, used where there is no expression. [kJ/mol]"""
    analytic: tuple[float, ...] | None = None
    """Coefficients of the expression in T; it wins over log_k."""
    source: str
    """Tag of the module's list of sources."""


@value_class
class Species:
    """One dissolved species: ligand + protons + at most one cation."""

    name: str
    """Formula."""
    ligand: str
    """Key of LIGANDS, or ``water`` for hydroxide and what loses a proton to water."""
    protons: int
    """Protons taken up when it forms; negative when it gives them off."""
    cation: str | None
    """Paired cation, of CATIONS."""
    charge: int
    """Charge."""
    formation: Formation
    """Its constant."""
    onto: str | None = None
    """Species the constant starts from, where that is not the bare ligand."""


@value_class
class Ligand:
    """A total that spreads over several species."""

    name: str
    """Key in totals (``DIC`` for dissolved carbonate)."""
    reference: str
    """The species that counts as zero alkalinity."""


LIGANDS = (
    Ligand(name="DIC", reference="CO2"),
    Ligand(name="SO4", reference="SO4-2"),
    Ligand(name="P", reference="H2PO4-"),
    Ligand(name="Si", reference="H4SiO4"),
    Ligand(name="Cit", reference="H2Cit-"),
)
"""Ligands and their zero level of alkalinity, the form that prevails at the end of a titration to pH 4.5."""


def _pair(
    name: str,
    ligand: str,
    protons: int,
    cation: str | None,
    charge: int,
    formation: Formation,
    onto: str | None = None,
) -> Species:
    return Species(
        name=name,
        ligand=ligand,
        protons=protons,
        cation=cation,
        charge=charge,
        formation=formation,
        onto=onto,
    )


def _k(log_k: float, kcal: float = 0.0, source: str = "P") -> Formation:
    return Formation(log_k=log_k, delta_h_kj=kcal * KJ_PER_KCAL, source=source)


def _nist(log_k: float, kj: float = 0.0) -> Formation:
    return Formation(log_k=log_k, delta_h_kj=kj, source="NI")


def _expr(log_k: float, source: str, *coefficients: float) -> Formation:
    return Formation(log_k=log_k, analytic=coefficients, source=source)


WATER_SPECIES = (
    _pair(
        "OH-", "water", -1, None, -1,
        # ion product of water, after Harned & Owen and later work, in the form P gives it
        _expr(-13.998, "P", 293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-5),
    ),
    _pair("CaOH+", "water", -1, "Ca", 1, _k(-12.78)),
    _pair("MgOH+", "water", -1, "Mg", 1, _k(-11.44, 15.952)),
    _pair("NH3", "water", -1, "NH4", 0, _expr(-9.252, "P", 0.6322, -0.001225, -2835.76)),
)  # fmt: skip
"""Hydroxide, hydroxides of calcium and magnesium, ammonia."""

CARBONATE_SPECIES = (
    _pair("CO3-2", "DIC", 0, None, -2, _k(0.0)),
    _pair(
        "HCO3-", "DIC", 1, None, -1,
        _expr(10.329, "PB", 107.8871, 0.03252849, -5151.79, -38.92561, 563713.9),
    ),
    _pair(
        "CO2", "DIC", 2, None, 0,
        _expr(16.681, "PB", 464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9),
    ),
    _pair("CaCO3", "DIC", 0, "Ca", 0, _expr(3.224, "PB", -1228.732, -0.299440, 35512.75, 485.818)),
    _pair(
        "CaHCO3+", "DIC", 1, "Ca", 1,
        _expr(11.435, "PB", 1317.0071, 0.34546894, -39916.84, -517.70761, 563713.9),
    ),
    _pair("MgCO3", "DIC", 0, "Mg", 0, _expr(2.98, "N", 0.9910, 0.00667)),
    _pair(
        "MgHCO3+", "DIC", 1, "Mg", 1,
        _expr(11.399, "N", 48.6721, 0.03252849, -2614.335, -18.00263, 563713.9),
    ),
    _pair("NaCO3-", "DIC", 0, "Na", -1, _k(1.27, 8.91, "N")),
    _pair("NaHCO3", "DIC", 1, "Na", 0, _k(-0.25, -1.0, "N"), onto="HCO3-"),
)  # fmt: skip
"""Carbonate: from CO3-2."""

SULFATE_SPECIES = (
    _pair("SO4-2", "SO4", 0, None, -2, _k(0.0)),
    _pair("HSO4-", "SO4", 1, None, -1, _expr(1.988, "N", -56.889, 0.006473, 2307.9, 19.8858)),
    _pair("CaHSO4+", "SO4", 1, "Ca", 1, _k(1.08), onto="HSO4-"),
    _pair("CaSO4", "SO4", 0, "Ca", 0, _k(2.25, 1.325)),
    _pair("MgSO4", "SO4", 0, "Mg", 0, _k(2.37, 4.55, "N")),
    _pair("NaSO4-", "SO4", 0, "Na", -1, _k(0.7, 1.12, "N")),
    _pair("KSO4-", "SO4", 0, "K", -1, _expr(0.85, "N", 3.106, 0.0, -673.6)),
    _pair("NH4SO4-", "SO4", 0, "NH4", -1, _k(1.11)),
)
"""Sulfate: from SO4-2."""

PHOSPHATE_SPECIES = (
    _pair("PO4-3", "P", 0, None, -3, _k(0.0)),
    _pair("HPO4-2", "P", 1, None, -2, _k(12.346, -3.53)),
    _pair("H2PO4-", "P", 2, None, -1, _k(19.553, -4.52)),
    _pair("H3PO4", "P", 3, None, 0, _nist(21.721, -10.1)),
    _pair("CaPO4-", "P", 0, "Ca", -1, _k(6.459, 3.1)),
    _pair("CaHPO4", "P", 1, "Ca", 0, _k(2.739, 3.3), onto="HPO4-2"),
    _pair("CaH2PO4+", "P", 2, "Ca", 1, _k(1.408, 3.4), onto="H2PO4-"),
    _pair("MgPO4-", "P", 0, "Mg", -1, _k(6.589, 3.1)),
    _pair("MgHPO4", "P", 1, "Mg", 0, _k(2.87, 3.3), onto="HPO4-2"),
    _pair("MgH2PO4+", "P", 2, "Mg", 1, _k(1.513, 3.4), onto="H2PO4-"),
    _pair("NaHPO4-", "P", 1, "Na", -1, _k(0.29), onto="HPO4-2"),
    _pair("KHPO4-", "P", 1, "K", -1, _k(0.29), onto="HPO4-2"),
)
"""Phosphate: from PO4-3."""

SILICATE_SPECIES = (
    _pair("H4SiO4", "Si", 0, None, 0, _k(0.0)),
    _pair(
        "H3SiO4-", "Si", -1, None, -1,
        _expr(-9.83, "N", -302.3724, -0.050698, 15669.69, 108.18466, -1119669.0),
    ),
    _pair(
        "H2SiO4-2", "Si", -2, None, -2,
        _expr(-23.0, "N", -294.0184, -0.072650, 11204.49, 108.18466, -1119669.0),
    ),
)  # fmt: skip
"""Silicic acid: from H4SiO4."""

CITRATE_SPECIES = (
    _pair("Cit-3", "Cit", 0, None, -3, _k(0.0)),
    _pair("HCit-2", "Cit", 1, None, -2, _nist(6.396, 3.3472)),
    _pair("H2Cit-", "Cit", 2, None, -1, _nist(11.157, 1.297)),
    _pair("H3Cit", "Cit", 3, None, 0, _nist(14.285, -2.7614)),
    _pair("CaCit-", "Cit", 0, "Ca", -1, _nist(4.87, -8.368)),
    _pair("CaHCit", "Cit", 1, "Ca", 0, _nist(9.26, -0.8368)),
    _pair("CaH2Cit+", "Cit", 2, "Ca", 1, _nist(12.257)),
    _pair("MgCit-", "Cit", 0, "Mg", -1, _nist(4.89, 8.368)),
    _pair("MgHCit", "Cit", 1, "Mg", 0, _nist(8.91, 3.3472)),
    _pair("MgH2Cit+", "Cit", 2, "Mg", 1, _nist(12.2)),
    _pair("NaCit-2", "Cit", 0, "Na", -2, _nist(1.03, -2.8033)),
    _pair("NaHCit-", "Cit", 1, "Na", -1, _nist(6.45, -3.5982)),
    _pair("KCit-2", "Cit", 0, "K", -2, _nist(1.1, 5.4392)),
)
"""Citrate: from Cit-3."""

LIGAND_SPECIES = (
    CARBONATE_SPECIES,
    SULFATE_SPECIES,
    PHOSPHATE_SPECIES,
    SILICATE_SPECIES,
    CITRATE_SPECIES,
)
"""Species of each ligand, in the order of LIGANDS."""
