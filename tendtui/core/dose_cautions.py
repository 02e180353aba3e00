"""What to be careful about before pouring: from the chemistry of the plan, and from the bottles in hand."""

from __future__ import annotations

from tendtui.chemistry import Solution
from tendtui.core.adjuster_strength import reagent_of
from tendtui.core.blend import Blend
from tendtui.core.dose_dilution import ballast_mg_l
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_foresee import foresee_cheaply
from tendtui.core.dose_model import TankModel
from tendtui.core.plan import Drain, Pour, Step
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_value
from tendtui.words import _

__all__ = ["cautions_of", "pour_safety"]

LARGE_ML = 1000.0
"""A pouring of this much of anything is questioned."""

SODIUM_LIMIT_MG_L, CHLORIDE_LIMIT_MG_L = 69.0, 107.0
"""[mg/L] above which sensitive crops are flushed, 3 mmol/L of either.

Source: South African greenhouse trade page, 2023.
"""

_SODIUM_G_MOL, _CHLORIDE_G_MOL = 22.990, 35.45


def cautions_of(model: TankModel, steps: tuple[Step, ...], *, ph: float | None) -> tuple[str, ...]:
    """Give the cautions of a plan, the gravest first.

    Args:
        model: The tank.
        steps: What is done.
        ph: As read; None: not read.
    """
    pours = tuple(step for step in steps if isinstance(step, Pour))
    said = [*_large(pours), *_level(model, steps)]
    for pour in pours:
        said += pour_safety(model, pour)
    feeds = {feed.name for feed in model.rack.feeds}
    if len([pour for pour in pours if pour.what in feeds]) > 1:
        said.append(
            _(
                "One part of the feed at a time, straight into the reservoir: where the neat parts meet, "
                "calcium "
                "falls out as a white mud and is lost."
            )
        )
    said += model.cautions
    said += _brushite(model, steps, ph=ph)
    said += _ballast(model)
    return tuple(dict.fromkeys((*said, *model.water.cautions, *(model.feed.cautions if model.feed else ()))))


def pour_safety(model: TankModel, pour: Pour) -> tuple[str, ...]:
    """Give the cautions of one bottle's content; nothing for a feed."""
    adjuster = next((a for a in model.rack.adjusters if a.name == pour.what), None)
    if adjuster is None:
        return ()
    reagent = reagent_of(adjuster) or model.strength_of(adjuster).reagent
    if adjuster.direction == "down":
        said = [
            _(
                "{bottle} is an acid: gloves and glasses. Never together with, or after, bleach in the "
                "same vessel: "
                "that gives off chlorine gas."
            ).format(bottle=adjuster.name)
        ]
        unknown = reagent_of(adjuster) is None  # what it is taken for says nothing about how hot it gets
        if unknown or reagent.formula in {"HNO3", "H2SO4", "HCl"}:
            said.append(_("Acid into water, never water into acid; it heats up and can spit."))
        return tuple(said)
    said = [
        _("{bottle} is an alkali: gloves and glasses, it burns eyes and skin and is felt late.").format(
            bottle=adjuster.name
        )
    ]
    if reagent.formula == "KOH":
        said.append(
            _(
                "Thin it in a jug of water first: neat, it clouds the solution where it enters. Alkali "
                "into water."
            )
        )
    return tuple(said)


def _large(pours: tuple[Pour, ...]) -> list[str]:
    return [
        _(
            "{what}: {litres:g} litres or kilograms in one pouring is a great deal. Check the level, the "
            "label's "
            "amount and the meter's unit before you pour."
        ).format(what=pour.what, litres=max(pour.ml or 0.0, pour.g or 0.0) / 1000.0)
        for pour in pours
        if max(pour.ml or 0.0, pour.g or 0.0) >= LARGE_ML
    ]


def _level(model: TankModel, steps: tuple[Step, ...]) -> list[str]:
    said = []
    if 0.0 < model.level_l < model.rack.reservoir.least_l:
        said.append(
            _("Under the least mark the pump draws air and can burn out: switch it off until there is water.")
        )
    drained_l = sum(step.litres for step in steps if isinstance(step, Drain))
    if drained_l > 0.0:
        said.append(
            _("Lift no full vessels: drain by hose, or in part buckets, and keep plugs and leads dry.")
        )
    return said


def _brushite(model: TankModel, steps: tuple[Step, ...], *, ph: float | None) -> list[str]:
    state = model.state_now(Guess(), ph_read=6.0 if ph is None else ph)
    for step in steps:
        state = model.after(state, step, Guess())
    try:
        mixed = state.blend.solved(temperature_c=model.temperature_c)
        start = _starts_at(state.blend, temperature_c=model.temperature_c)
        aired = mixed.open_to_air(model.air_atm(Guess())) if ph is not None else mixed
    except ValueError:
        return []
    if start is None or max(mixed.ph if ph is not None else 0.0, aired.ph) < start:
        return []
    show = model.rack.show
    strength = foresee_cheaply(model, steps, ph=6.0 if ph is None else ph, ms_cm=model.ms_cm)
    return [
        _(
            "At {strength} calcium phosphate can fall out above {start}: cloudy water, feed lost. Bring pH "
            "down soon, and no stronger than needed."
        ).format(
            strength=show_value(strength.conductivity_ms_cm or model.ms_cm, Quantity.CONDUCTIVITY, show),
            start=show_value(round(start, 1), Quantity.PH, show),
        )
    ]


def _starts_at(blend: Blend, *, temperature_c: float) -> float | None:
    """Give the pH above which brushite is over saturation, between 5 and 9; None: nowhere."""
    low, high = 5.0, 9.0
    if _index(blend, high, temperature_c=temperature_c) < 0.0:
        return None
    for _half in range(8):
        middle = (low + high) / 2.0
        if _index(blend, middle, temperature_c=temperature_c) < 0.0:
            low = middle
        else:
            high = middle
    return high


def _index(blend: Blend, ph: float, *, temperature_c: float) -> float:
    solution = Solution.at_ph(ph, blend.totals_mmol, temperature_c=temperature_c, dic_mmol=blend.dic_mmol)
    return solution.saturation_index("brushite")


def _ballast(model: TankModel) -> list[str]:
    """Estimate the salts that plants leave behind, from the water added since the change."""
    added_l = model.tank.water_since_change_l()
    if added_l <= 0.0 or model.litres <= 0.0:
        return []
    source, totals = model.rack.source, model.water.blend.totals_mmol
    rows = (
        (_("sodium"), source.sodium_mg_l, totals.get("Na", 0.0) * _SODIUM_G_MOL, SODIUM_LIMIT_MG_L),
        (_("chloride"), source.chloride_mg_l, totals.get("Cl", 0.0) * _CHLORIDE_G_MOL, CHLORIDE_LIMIT_MG_L),
    )
    said = []
    for name, known_mg_l, estimated_mg_l, limit_mg_l in rows:
        source_mg_l = estimated_mg_l if known_mg_l is None else known_mg_l
        # the first filling is among the litres added, so it starts from nothing
        built_mg_l = ballast_mg_l(
            start_mg_l=0.0, added_l=added_l, tank_l=model.litres, source_mg_l=source_mg_l
        )
        if built_mg_l > limit_mg_l:
            said.append(
                _(
                    "{litres:.0f} litres of source water since the change have left about {mg:.0f} mg/L "
                    "{salt} that "
                    "plants don't eat (limit {limit:.0f}). Only a change takes it out."
                ).format(litres=added_l, mg=built_mg_l, salt=name, limit=limit_mg_l)
            )
    return said
