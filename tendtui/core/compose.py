"""From what a grower knows (a meter, a label) to a composition the chemistry can work with.

Amounts are mmol per kg of water; a litre is taken as a kilogram of water, which is right within
0.5 % for what stands in a reservoir.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import exp, log

from tendtui.chemistry import Solution
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.rack import Feed, Source
from tendtui.value import value_class
from tendtui.words import _

__all__ = [
    "MG_CACO3_PER_MEQ",
    "Blend",
    "FeedMix",
    "SourceWater",
    "blended",
    "feed_mix",
    "root_of",
    "source_water",
]

MG_CACO3_PER_MEQ = 50.04
"""[mg/meq] half the molar mass of calcium carbonate, 100.09 g/mol (standard atomic weights)."""

WARM_C = 25.0
"""[°C] at which conductivities are compared."""

_CHARGES = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "NO3": -1, "Cl": -1, "SO4": -2, "P": -1, "Cit": -1}

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

_OFF_STRENGTH = 0.35
"""Share by which a label's analysis and its conductivity may differ before it is said."""

_NINE_IN_TEN = 1.645
"""Standard deviations on either side that hold nine values of ten of a normal distribution."""

_WIDEST = 1.4
"""However far two claims differ, the logarithm of four times as much: past it one of them is a slip."""


@value_class
class Blend:
    """What is conserved when waters mix: totals, alkalinity, carbonate."""

    totals_mmol: Mapping[str, float]
    """Per kg of water, carbonate not among them. [mmol/kg]"""
    alkalinity_meq: float
    """[meq/kg]"""
    dic_mmol: float
    """Dissolved carbonate. [mmol/kg]"""

    def solved(self, *, temperature_c: float) -> Solution:
        """Give the solution; what is missing to balance the charge is nitrate, or sodium.

        Raises:
            ValueError: If the chemistry can't settle it.
        """
        totals = dict(self.totals_mmol)
        missing_meq = _strong_meq(totals) - self.alkalinity_meq
        nitrate_mmol = totals.get("NO3", 0.0) + missing_meq
        totals["NO3"] = max(0.0, nitrate_mmol)
        if nitrate_mmol < 0.0:
            totals["Na"] = totals.get("Na", 0.0) - nitrate_mmol
        return Solution.from_totals(totals, temperature_c=temperature_c, dic_mmol=max(0.0, self.dic_mmol))

    def warm_ms_cm(self) -> float:
        """Give its conductivity at 25 °C. [mS/cm]."""
        return self.solved(temperature_c=WARM_C).conductivity_us_cm / 1000.0


def _strong_meq(totals_mmol: Mapping[str, float]) -> float:
    return sum(_CHARGES.get(name, 0) * amount for name, amount in totals_mmol.items())


def blended(parts: tuple[tuple[Blend, float], ...], *, over_l: float | None = None) -> Blend:
    """Mix by litres.

    Args:
        parts: Each water with its litres. [L]
        over_l: Litres the sum is spread over; None: the sum of the litres. [L]

    Raises:
        ValueError: If there is nothing to mix.
    """
    whole_l = sum(litres for _water, litres in parts) if over_l is None else over_l
    if not whole_l > 0.0:
        raise ValueError("nothing to mix")
    totals: dict[str, float] = {}
    alkalinity = dic = 0.0
    for water, litres in parts:
        share = litres / whole_l
        for name, amount in water.totals_mmol.items():
            totals[name] = totals.get(name, 0.0) + share * amount
        alkalinity += share * water.alkalinity_meq
        dic += share * water.dic_mmol
    return Blend(totals_mmol=totals, alkalinity_meq=alkalinity, dic_mmol=dic)


def root_of(miss: Callable[[float], float], *, low: float, high: float, near: float) -> float:
    """Find where a rising function passes zero, by false position held inside a bracket.

    Args:
        miss: The function.
        low: Where it is below zero (else `low` is given back).
        high: Where it is above zero (else `high` is given back).
        near: How small the function must be.
    """
    at_low, at_high = miss(low), miss(high)
    if at_low >= 0.0:
        return low
    if at_high <= 0.0:
        return high
    place, side = low, 0
    for _turn in range(40):
        place = (low * at_high - high * at_low) / (at_high - at_low)
        now = miss(place)
        if abs(now) < near:
            break
        if now < 0.0:
            low, at_low, at_high, side = place, now, at_high / (2.0 if side < 0 else 1.0), -1
        else:
            high, at_high, at_low, side = place, now, at_low / (2.0 if side > 0 else 1.0), 1
    return place


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
        spread = max(spread, min(log(found_ms_cm / max(ms_cm, 0.03)), _WIDEST) / _NINE_IN_TEN)
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
            ion: share * (alkalinity_meq + other_meq) / abs(_CHARGES[ion])
            for ion, share in facts.water.cation_shares.items()
        }
        for ion, share in facts.water.anion_shares.items():
            totals[ion] = share * other_meq / abs(_CHARGES[ion])
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


@value_class
class FeedMix:
    """All parts of the feed together, at label strength."""

    blend: Blend
    """What one litre at label strength gains; alkalinity and carbonate 0. [mmol/L]"""
    adds_ms_cm: float
    """What it adds to the source water. [mS/cm]"""
    phosphate_spread: float
    claims_spread: float = 0.0
    """Doubt of its strength from claims that contradict each other, as a logarithm."""
    strongest_claim: float = 1.0
    """The strongest of these claims over the one that is used."""
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def feed_mix(feeds: tuple[Feed, ...], facts: DoseFacts, *, water: Blend) -> FeedMix | None:
    """Compose the feed at label strength; its size is what the label says it adds to the conductivity.

    Args:
        feeds: All parts.
        facts: The typical feed, where a part has no analysis.
        water: The source water it goes into.

    Returns:
        The feed, or None where no part can be dosed.
    """
    usable = tuple(
        feed for feed in feeds if _label_amount(feed) > 0.0 and feed.label_conductivity_ms_cm > 0.0
    )
    if not usable:
        return None
    cautions = list(_label_cautions(feeds))
    adds_ms_cm = usable[0].label_conductivity_ms_cm
    claims = [feed.label_conductivity_ms_cm / adds_ms_cm for feed in usable]
    made = _of_labels(usable, facts) if all(feed.analysis for feed in usable) else _typical(facts)
    if not made.is_typical:
        whole = _rise(made.totals_mmol, 1.0, water)
        if abs(whole - adds_ms_cm) > _OFF_STRENGTH * adds_ms_cm:
            claims.append(max(whole, 0.0) / adds_ms_cm)
            cautions.append(
                _(
                    "The feed's analysis would add {found:.2f} mS/cm at label strength, its label says "
                    "{label:.2f}. "
                    "The label's conductivity is used; check the amounts per litre."
                ).format(found=whole, label=adds_ms_cm)
            )
    totals = made.totals_mmol
    size = root_of(
        lambda factor: _rise(totals, factor, water) - adds_ms_cm,
        low=0.0,
        high=_most(totals, adds_ms_cm),
        near=1e-4,
    )
    scaled = {ion: size * amount for ion, amount in totals.items()}
    return FeedMix(
        blend=Blend(totals_mmol=scaled, alkalinity_meq=0.0, dic_mmol=0.0),
        adds_ms_cm=adds_ms_cm,
        phosphate_spread=made.phosphate_spread if len(claims) == len(usable) else facts.feed.phosphate_spread,
        claims_spread=_farthest(claims) / _NINE_IN_TEN,
        strongest_claim=exp(min(log(max(claims)), _WIDEST)),
        assumed=made.assumed,
        cautions=(*cautions, *made.cautions),
    )


def _farthest(claims: list[float]) -> float:
    return max(min(abs(log(max(claim, 1e-3))), _WIDEST) for claim in claims)


@value_class
class _Made:
    """What a feed is made of, before its size is known."""

    totals_mmol: Mapping[str, float]
    phosphate_spread: float
    is_typical: bool = False
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def _typical(facts: DoseFacts) -> _Made:
    said = _(
        "The feed has no analysis in the rack file: taken as a typical {name}, its phosphate in wide "
        "doubt. The label's numbers, or a drop test of the tank, would narrow the pH."
    ).format(name=_(facts.feed.name))
    return _Made(
        totals_mmol=dict(facts.feed.totals_mmol),
        phosphate_spread=facts.feed.phosphate_spread,
        is_typical=True,
        assumed=(said,),
    )


def _of_labels(feeds: tuple[Feed, ...], facts: DoseFacts) -> _Made:
    """Compose the feed from what its labels print; a typical share of phosphate where they print none."""
    printed = _printed(feeds)
    cautions = _balance_cautions(printed)
    totals = _balanced(printed)
    assumed: tuple[str, ...] = ()
    if not any(name in (feed.analysis or {}) for feed in feeds for name in ("P2O5", "P")):
        typical = facts.feed.totals_mmol
        totals["P"] = typical["P"] * _cations_meq(totals) / _cations_meq(typical)
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
    return _Made(
        totals_mmol=totals,
        phosphate_spread=facts.feed.phosphate_spread if wide else facts.feed.phosphate_spread_label,
        assumed=assumed,
        cautions=cautions,
    )


def _cations_meq(totals: Mapping[str, float]) -> float:
    return sum(max(_CHARGES.get(ion, 0), 0) * amount for ion, amount in totals.items())


def _most(totals: Mapping[str, float], adds_ms_cm: float) -> float:
    return 20.0 * adds_ms_cm / max(_cations_meq(totals), 1e-6)


def _rise(totals: Mapping[str, float], factor: float, water: Blend) -> float:
    feed = Blend(totals_mmol=totals, alkalinity_meq=0.0, dic_mmol=0.0)
    with_feed = blended(((water, 1.0), (feed, factor)), over_l=1.0)
    return with_feed.warm_ms_cm() - water.warm_ms_cm()


def _label_amount(feed: Feed) -> float:
    return feed.label_ml_per_l or feed.label_g_per_l or 0.0


def _printed(feeds: tuple[Feed, ...]) -> dict[str, float]:
    totals: dict[str, float] = {}
    for feed in feeds:
        # per cent w/v: grams in 100 mL; per cent w/w of a dry feed: grams in 100 g
        grams = _label_amount(feed) / 100.0
        for printed, percent in (feed.analysis or {}).items():
            if printed in _PER_GRAM and percent > 0.0:
                ion, per_gram = _PER_GRAM[printed]
                totals[ion] = totals.get(ion, 0.0) + percent * grams * per_gram
    return totals


def _balanced(totals: dict[str, float]) -> dict[str, float]:
    """Close the charge with sulfate where the label prints none, else with nitrate; or with potassium."""
    meq = _strong_meq(totals)
    if meq > 0.0:
        ion = "NO3" if "SO4" in totals else "SO4"
        return totals | {ion: totals.get(ion, 0.0) + meq / abs(_CHARGES[ion])}
    return totals | {"K": totals.get("K", 0.0) - meq}


def _balance_cautions(printed: Mapping[str, float]) -> tuple[str, ...]:
    whole_meq = _cations_meq(_balanced(dict(printed)))
    if abs(_strong_meq(printed)) <= _OFF_BALANCE * max(whole_meq, 1e-9):
        return ()
    return (
        _(
            "The feed's analysis does not add up: what is printed leaves a third of the charge open. "
            "Check it "
            "against the labels (percent w/v)."
        ),
    )


def _label_cautions(feeds: tuple[Feed, ...]) -> tuple[str, ...]:
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
        if _label_amount(feed) <= 0.0 or feed.label_conductivity_ms_cm <= 0.0
    ]
    return tuple(cautions)
