"""Facts that stand in for what a grower hasn't given: typical feed, typical water, the air of a room."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.value import value_class

__all__ = ["AirFacts", "DoseFacts", "FeedFacts", "WaterFacts", "dose_facts"]


@value_class
class FeedFacts:
    """A typical complete feed."""

    name: str
    totals_mmol: Mapping[str, float]
    """Amounts at label strength; only proportions count. [mmol/L]"""
    phosphate_spread: float
    """One standard deviation of the logarithm of its phosphate."""
    phosphate_spread_label: float
    """The same where the label prints it."""


@value_class
class WaterFacts:
    """A typical tap water."""

    name: str
    cation_shares: Mapping[str, float]
    """Equivalents of each cation in all cations."""
    anion_shares: Mapping[str, float]
    """Equivalents of each anion in all anions but bicarbonate."""
    conductivity_ms_cm: float
    """Taken where it isn't known. [mS/cm]"""
    ph: float
    alkalinity_meq_per_ms_cm: float
    """Alkalinity per conductivity where it was never tested. [meq/L per mS/cm]"""
    alkalinity_spread: float
    """Of that estimate, as one standard deviation of its logarithm."""
    alkalinity_spread_tested: float
    """Of a drop test."""


@value_class
class AirFacts:
    """Carbon dioxide over the water."""

    pco2_atm: float
    """With an air pump. [atm]"""
    pco2_spread: float
    pco2_still_atm: float
    """Without. [atm]"""
    pco2_still_spread: float


@value_class
class DoseFacts:
    """All of them."""

    feed: FeedFacts
    water: WaterFacts
    air: AirFacts


_FEED_IONS = ("NO3", "NH4", "P", "K", "Ca", "Mg", "SO4")


def dose_facts(table: Mapping[str, object]) -> DoseFacts:
    """Turn the table of facts about feed and water into values.

    Args:
        table: The parsed content of `feeds.toml`.

    Raises:
        KeyError: If a fact is missing: the package is incomplete.
    """
    feed, water, air = _part(table, "typical"), _part(table, "water"), _part(table, "air")
    return DoseFacts(
        feed=FeedFacts(
            name=str(feed["name"]),
            totals_mmol={ion: _number(feed, ion) for ion in _FEED_IONS},
            phosphate_spread=_number(feed, "phosphate_spread"),
            phosphate_spread_label=_number(feed, "phosphate_spread_label"),
        ),
        water=WaterFacts(
            name=str(water["name"]),
            cation_shares={ion: _number(water, ion) for ion in ("Ca", "Mg", "Na", "K")},
            anion_shares={ion: _number(water, ion) for ion in ("Cl", "SO4", "NO3")},
            conductivity_ms_cm=_number(water, "conductivity_mS_cm"),
            ph=_number(water, "ph"),
            alkalinity_meq_per_ms_cm=_number(water, "alkalinity_meq_per_mS_cm"),
            alkalinity_spread=_number(water, "alkalinity_spread"),
            alkalinity_spread_tested=_number(water, "alkalinity_spread_tested"),
        ),
        air=AirFacts(
            pco2_atm=_number(air, "pco2_atm"),
            pco2_spread=_number(air, "pco2_spread"),
            pco2_still_atm=_number(air, "pco2_still_atm"),
            pco2_still_spread=_number(air, "pco2_still_spread"),
        ),
    )


def _part(table: Mapping[str, object], name: str) -> Mapping[str, object]:
    part = table[name]
    if not isinstance(part, Mapping):
        raise KeyError(name)
    return part


def _number(table: Mapping[str, object], name: str) -> float:
    value = table[name]
    if not isinstance(value, (int, float)):
        raise KeyError(name)
    return float(value)
