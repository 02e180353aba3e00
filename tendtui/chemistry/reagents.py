"""The acids and alkalis a dose is made of."""

from __future__ import annotations

from types import MappingProxyType

from tendtui.value import value_class


@value_class
class Reagent:
    """A pure reagent."""

    name: str
    """Name in full, lower case, as a label has it."""
    formula: str
    """Formula used as its key."""
    formula_weight_g_mol: float
    """Weight of one mole, without water of crystallisation. [g/mol]

    Source: standard atomic weights, abridged, IUPAC 2021, Pure Appl. Chem. 94:573 (2022), from memory.
    """
    brings: tuple[tuple[str, float], ...]
    """Totals that one mole adds; DIC is carbonate."""
    protons: int
    """Hydrogen ions that one mole can give, at most; 0 for an alkali."""
    hydroxides: int
    """Hydrogen ions that one mole can take, at most; 0 for an acid."""


_ALL = (
    Reagent(
        name="nitric acid",
        formula="HNO3",
        formula_weight_g_mol=63.012,
        brings=(("NO3", 1.0),),
        protons=1,
        hydroxides=0,
    ),
    Reagent(
        name="phosphoric acid",
        formula="H3PO4",
        formula_weight_g_mol=97.994,
        brings=(("P", 1.0),),
        protons=3,
        hydroxides=0,
    ),
    Reagent(
        name="sulfuric acid",
        formula="H2SO4",
        formula_weight_g_mol=98.072,
        brings=(("SO4", 1.0),),
        protons=2,
        hydroxides=0,
    ),
    Reagent(
        name="hydrochloric acid",
        formula="HCl",
        formula_weight_g_mol=36.458,
        brings=(("Cl", 1.0),),
        protons=1,
        hydroxides=0,
    ),
    Reagent(
        name="citric acid",
        formula="H3Cit",
        formula_weight_g_mol=192.123,
        brings=(("Cit", 1.0),),
        protons=3,
        hydroxides=0,
    ),
    Reagent(
        name="potassium hydroxide",
        formula="KOH",
        formula_weight_g_mol=56.105,
        brings=(("K", 1.0),),
        protons=0,
        hydroxides=1,
    ),
    Reagent(
        name="potassium carbonate",
        formula="K2CO3",
        formula_weight_g_mol=138.204,
        brings=(("K", 2.0), ("DIC", 1.0)),
        protons=0,
        hydroxides=2,
    ),
    Reagent(
        name="potassium bicarbonate",
        formula="KHCO3",
        formula_weight_g_mol=100.114,
        brings=(("K", 1.0), ("DIC", 1.0)),
        protons=0,
        hydroxides=1,
    ),
)

REAGENTS = MappingProxyType({r.formula: r for r in _ALL})
"""Reagents by formula."""


def reagent(formula: str) -> Reagent:
    """Find a reagent by its formula.

    Args:
        formula: One of REAGENTS.

    Returns:
        The reagent.

    Raises:
        ValueError: If there is no such reagent.
    """
    try:
        return REAGENTS[formula]
    except KeyError:
        known = ", ".join(REAGENTS)
        raise ValueError(f"There is no reagent “{formula}”; the reagents are {known}.") from None


def reagent_named(name: str) -> Reagent:
    """Find a reagent by its name on a label.

    Args:
        name: Such as “phosphoric acid”; case does not matter.

    Returns:
        The reagent.

    Raises:
        ValueError: If there is no such reagent.
    """
    wanted = name.strip().lower()
    for known in _ALL:
        if known.name == wanted:
            return known
    names = ", ".join(r.name for r in _ALL)
    raise ValueError(f"There is no reagent “{name}”; the reagents are {names}.")
