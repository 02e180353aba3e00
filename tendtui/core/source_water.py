"""The source water, from what a grower knows of it: a meter, a drop test."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.chemistry import Solution
from tendtui.core.blend import CHARGES, Blend
from tendtui.core.claims import doubt_of
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.rack import Source
from tendtui.core.root import root_of
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["MG_CACO3_PER_MEQ", "SourceWater", "source_water"]

MG_CACO3_PER_MEQ = 50.04
"""[mg/meq] half the molar mass of calcium carbonate, 100.09 g/mol (standard atomic weights)."""


@value_class
class SourceWater:
    """The water for topping up, as far as it is known."""

    blend: Blend
    conductivity_ms_cm: float
    """[mS/cm]"""
    alkalinity_spread: float
    """Doubt of its alkalinity, as a logarithm."""
    conductivity_spread: float
    """Doubt of its conductivity, as a logarithm."""
    assumed: tuple[tuple[str, str], ...] = ()
    """What was guessed, each beside the doubt it makes (`source`, `alkalinity`)."""
    cautions: tuple[str, ...] = ()


def source_water(source: Source, facts: DoseFacts, *, temperature_c: float) -> SourceWater:
    """Compose the source water from conductivity, pH and alkalinity, or from what is usual.

    Args:
        source: What the rack file says.
        facts: What stands in for the rest.
        temperature_c: Its temperature. [°C]
    """
    assumed: list[tuple[str, str]] = []
    cautions: list[str] = []
    ms_cm = source.conductivity_ms_cm
    if ms_cm is None or ms_cm < 0.0:
        ms_cm = facts.water.conductivity_ms_cm
        said = _("The source water is not known: taken as {name}, {ms_cm:g} mS/cm. Measure it once.")
        assumed.append(("source", said.format(name=_(facts.water.name), ms_cm=ms_cm)))
    meq, spread = _alkalinity(source, facts, ms_cm=ms_cm, assumed=assumed, cautions=cautions)
    blend = _tap(
        facts,
        ms_cm=ms_cm,
        alkalinity_meq=meq,
        ph=_source_ph(source, facts, ms_cm=ms_cm),
        temperature_c=temperature_c,
    )
    found_ms_cm = blend.warm_ms_cm()
    if source.alkalinity_mg_l_caco3 is not None and found_ms_cm > 1.25 * ms_cm + 0.03:
        spread = max(spread, doubt_of((found_ms_cm / max(ms_cm, 0.03),)))
        cautions.append(
            _(
                "The source water's alkalinity alone would read {found:.2f} mS/cm, its meter says "
                "{ms_cm:.2f}: "
                "one of the two is wrong. Test both again."
            ).format(found=found_ms_cm, ms_cm=ms_cm)
        )
    return SourceWater(
        blend=blend,
        conductivity_ms_cm=ms_cm,
        alkalinity_spread=spread,
        conductivity_spread=0.03 if source.conductivity_ms_cm is not None else 0.4,
        assumed=tuple(assumed),
        cautions=tuple(cautions),
    )


def _alkalinity(
    source: Source, facts: DoseFacts, *, ms_cm: float, assumed: list[tuple[str, str]], cautions: list[str]
) -> tuple[float, float]:
    tested = source.alkalinity_mg_l_caco3
    if tested is not None and tested < 0.0:
        cautions.append(_("An alkalinity below zero can't be: it was left out. Test the source water again."))
        tested = None
    if tested is not None:
        return tested / MG_CACO3_PER_MEQ, facts.water.alkalinity_spread_tested
    meq = facts.water.alkalinity_meq_per_ms_cm * ms_cm
    said = _(
        "The source water's alkalinity was never tested: about {mg:.0f} mg/L CaCO3 is taken from its "
        "conductivity. A drop test costs two minutes; a jar test with the bottle answers for it too."
    )
    assumed.append(("alkalinity", said.format(mg=meq * MG_CACO3_PER_MEQ)))
    return meq, facts.water.alkalinity_spread


def _source_ph(source: Source, facts: DoseFacts, *, ms_cm: float) -> float:
    if source.ph is not None and 4.0 <= source.ph <= 10.5:
        return source.ph
    # rain and water from a filter hold next to nothing and stand in balance with the air
    return facts.water.ph if ms_cm > 0.06 else 6.2


def _tap(facts: DoseFacts, *, ms_cm: float, alkalinity_meq: float, ph: float, temperature_c: float) -> Blend:
    def water(other_meq: float) -> Blend:
        totals = {
            ion: share * (alkalinity_meq + other_meq) / abs(CHARGES[ion])
            for ion, share in facts.water.cation_shares.items()
        }
        for ion, share in facts.water.anion_shares.items():
            totals[ion] = share * other_meq / abs(CHARGES[ion])
        dic = _dic(totals, alkalinity_meq, ph=ph, temperature_c=temperature_c)
        return Blend(totals_mmol=totals, alkalinity_meq=alkalinity_meq, dic_mmol=dic)

    most_meq = 12.0 * ms_cm + 0.1
    other = root_of(
        lambda meq: water(meq).warm_ms_cm() - ms_cm, low=0.0, high=most_meq, near=0.002 * ms_cm + 1e-4
    )
    return water(other)


def _dic(
    totals_mmol: Mapping[str, float], alkalinity_meq: float, *, ph: float, temperature_c: float
) -> float:
    try:
        return Solution.at_ph(
            ph, totals_mmol, temperature_c=temperature_c, alkalinity_meq=max(alkalinity_meq, 0.0)
        ).dic_mmol
    except ValueError:
        # pure water can't be held at any pH by its carbonate: what the air gives is taken
        return max(alkalinity_meq, 0.0) + 0.02
