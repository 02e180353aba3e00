"""What a feed is made of: from its labels, or as a typical one."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.blend import CHARGES, cations_meq, strong_meq
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.rack import Feed
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Recipe", "label_amount", "label_cautions", "recipe_of_labels", "typical_recipe"]

# Printed on labels: element or oxide -> name in the model, mmol in a gram. Standard atomic weights.
_PER_GRAM = {
    "N_nitrate": ("NO3", 1000 / 14.007),
    "N_ammonium": ("NH4", 1000 / 14.007),
    "P2O5": ("P", 2000 / 141.943),
    "P": ("P", 1000 / 30.974),
    "K2O": ("K", 2000 / 94.195),
    "K": ("K", 1000 / 39.098),
    "CaO": ("Ca", 1000 / 56.077),
    "Ca": ("Ca", 1000 / 40.078),
    "MgO": ("Mg", 1000 / 40.304),
    "Mg": ("Mg", 1000 / 24.305),
    "S": ("SO4", 1000 / 32.06),
    "SO3": ("SO4", 1000 / 80.06),
    "Na": ("Na", 1000 / 22.990),
    "Cl": ("Cl", 1000 / 35.45),
    "SiO2": ("Si", 1000 / 60.084),
}

_OFF_BALANCE = 0.30
"""Share of the charge by which a label may miss before it is said; urea and rounding make a tenth."""


@value_class
class Recipe:
    """What a feed is made of, before its size is known."""

    totals_mmol: Mapping[str, float]
    phosphate_spread: float
    is_typical: bool = False
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def typical_recipe(facts: DoseFacts) -> Recipe:
    """Give the typical complete feed, for one whose labels are not known."""
    said = _(
        "The feed has no analysis in the rack file: taken as a typical {name}, its phosphate in wide "
        "doubt. The label's numbers, or a drop test of the tank, would narrow the pH."
    ).format(name=_(facts.feed.name))
    return Recipe(
        totals_mmol=dict(facts.feed.totals_mmol),
        phosphate_spread=facts.feed.phosphate_spread,
        is_typical=True,
        assumed=(said,),
    )


def recipe_of_labels(feeds: tuple[Feed, ...], facts: DoseFacts) -> Recipe:
    """Compose the feed from what its labels print; a typical share of phosphate where they print none."""
    printed = _printed(feeds)
    cautions = _balance_cautions(printed)
    totals = _balanced(printed)
    assumed: tuple[str, ...] = ()
    if not any(name in (feed.analysis or {}) for feed in feeds for name in ("P2O5", "P")):
        typical = facts.feed.totals_mmol
        totals["P"] = typical["P"] * cations_meq(totals) / cations_meq(typical)
        totals = _balanced(totals)
        cautions += (
            _("The feed's labels print no phosphate: a complete feed holds some. Check the analysis."),
        )
        assumed = (
            _(
                "The feed's phosphate is not printed: taken as that of a typical {name}, in wide doubt."
            ).format(name=_(facts.feed.name)),
        )
    wide = bool(cautions)
    return Recipe(
        totals_mmol=totals,
        phosphate_spread=facts.feed.phosphate_spread if wide else facts.feed.phosphate_spread_label,
        assumed=assumed,
        cautions=cautions,
    )


def label_amount(feed: Feed) -> float:
    """Give the label's amount of a part. [mL/L or g/L]."""
    return feed.label_ml_per_l or feed.label_g_per_l or 0.0


def _printed(feeds: tuple[Feed, ...]) -> dict[str, float]:
    totals: dict[str, float] = {}
    for feed in feeds:
        # per cent w/v: grams in 100 mL; per cent w/w of a dry feed: grams in 100 g
        grams = label_amount(feed) / 100.0
        for printed, percent in (feed.analysis or {}).items():
            if printed in _PER_GRAM and percent > 0.0:
                ion, per_gram = _PER_GRAM[printed]
                totals[ion] = totals.get(ion, 0.0) + percent * grams * per_gram
    return totals


def _balanced(totals: dict[str, float]) -> dict[str, float]:
    """Close the charge with sulfate where the label prints none, else with nitrate; or with potassium."""
    meq = strong_meq(totals)
    if meq > 0.0:
        ion = "NO3" if "SO4" in totals else "SO4"
        return totals | {ion: totals.get(ion, 0.0) + meq / abs(CHARGES[ion])}
    return totals | {"K": totals.get("K", 0.0) - meq}


def _balance_cautions(printed: Mapping[str, float]) -> tuple[str, ...]:
    whole_meq = cations_meq(_balanced(dict(printed)))
    if abs(strong_meq(printed)) <= _OFF_BALANCE * max(whole_meq, 1e-9):
        return ()
    return (
        _(
            "The feed's analysis does not add up: what is printed leaves a third of the charge open. "
            "Check it "
            "against the labels (percent w/v)."
        ),
    )


def label_cautions(feeds: tuple[Feed, ...]) -> tuple[str, ...]:
    """Say where labels contradict each other, or can't be dosed by."""
    said = {feed.label_conductivity_ms_cm for feed in feeds}
    cautions = []
    if len(said) > 1:
        cautions.append(
            _(
                "The parts of the feed name different conductivities ({said} mS/cm); all should name what "
                "all "
                "parts add together. The first is used."
            ).format(said=", ".join(f"{value:g}" for value in sorted(said)))
        )
    cautions += [
        _(
            "{feed}: its label's amount or conductivity is 0, so it can't be dosed. Correct the rack file."
        ).format(feed=feed.name)
        for feed in feeds
        if label_amount(feed) <= 0.0 or feed.label_conductivity_ms_cm <= 0.0
    ]
    return tuple(cautions)
