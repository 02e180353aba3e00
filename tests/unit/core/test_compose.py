"""From meters and labels to a composition."""

from __future__ import annotations

import pytest

from tendtui.core.blend import Blend, blended
from tendtui.core.feed_mix import feed_mix
from tendtui.core.rack import Feed, Source
from tendtui.core.root import root_of
from tendtui.core.source_water import source_water
from tendtui.value import replace
from tests.support.dose_case import RACK, facts


def water(**known: float) -> Blend:
    return source_water(Source(**known), facts(), temperature_c=20.0).blend


def test_the_source_water_reads_what_its_meters_read() -> None:
    blend = water(conductivity_ms_cm=0.46, ph=7.7, alkalinity_mg_l_caco3=130.0)
    assert blend.warm_ms_cm() == pytest.approx(0.46, abs=0.003)
    assert blend.solved(temperature_c=20.0).ph == pytest.approx(7.7, abs=0.01)
    assert blend.alkalinity_meq == pytest.approx(2.6, abs=0.01)  # 130 mg/L over 50.04 mg per meq


@pytest.mark.parametrize(
    ("ms_cm", "meq"),
    # soft, medium, hard and very hard tap waters of the chemistry tables (model output of PHREEQC)
    [(0.187, 1.1), (0.46, 2.6), (0.69, 4.6)],
)
def test_an_untested_alkalinity_is_guessed_within_its_doubt(ms_cm: float, meq: float) -> None:
    guessed = source_water(Source(conductivity_ms_cm=ms_cm), facts(), temperature_c=20.0)
    assert guessed.blend.alkalinity_meq == pytest.approx(meq, rel=0.25)
    assert "never tested" in guessed.assumed[0][1]


@pytest.mark.parametrize("ms_cm", [0.0, 0.01, 0.03])
def test_pure_water_is_possible(ms_cm: float) -> None:
    assert water(conductivity_ms_cm=ms_cm).warm_ms_cm() == pytest.approx(ms_cm, abs=0.02)


def test_alkalinity_that_does_not_fit_the_conductivity_is_said() -> None:
    known = Source(conductivity_ms_cm=0.1, alkalinity_mg_l_caco3=300.0)
    assert "one of the two is wrong" in source_water(known, facts(), temperature_c=20.0).cautions[0]


def test_the_feed_adds_what_its_label_says() -> None:
    blend = water(conductivity_ms_cm=0.3, ph=7.5, alkalinity_mg_l_caco3=90.0)
    feed = feed_mix(RACK.feeds, facts(), water=blend)
    assert feed is not None
    fed = blended(((blend, 1.0), (feed.blend, 1.0)), over_l=1.0)
    assert fed.warm_ms_cm() - blend.warm_ms_cm() == pytest.approx(1.5, abs=0.003)


def test_a_label_gives_its_own_proportions() -> None:
    # 10 % w/v P2O5 at 1 mL/L: 0.1 g/L, 1.409 mmol P (141.943 g/mol)
    printed = {"P2O5": 10.0, "K2O": 6.637}
    feeds = (Feed(name="PK", label_ml_per_l=1.0, label_conductivity_ms_cm=0.2, analysis=printed),)
    feed = feed_mix(feeds, facts(), water=water(conductivity_ms_cm=0.3))
    assert feed is not None
    totals = feed.blend.totals_mmol
    assert totals["K"] / totals["P"] == pytest.approx(1.0, abs=0.01)


def test_a_dry_feed_is_reckoned_in_grams() -> None:
    # potassium dihydrogen phosphate: P 22.76 %, K 28.73 % (standard atomic weights)
    feeds = (
        Feed(name="KP", label_g_per_l=1.0, label_conductivity_ms_cm=0.6, analysis={"P": 22.76, "K": 28.73}),
    )
    feed = feed_mix(feeds, facts(), water=water(conductivity_ms_cm=0.05))
    assert feed is not None
    assert feed.blend.totals_mmol["P"] == pytest.approx(feed.blend.totals_mmol["K"], rel=0.01)


def test_an_analysis_that_does_not_add_up_is_said() -> None:
    feeds = (replace(RACK.feeds[0], analysis={"K2O": 20.0}),)
    feed = feed_mix(feeds, facts(), water=water(conductivity_ms_cm=0.3))
    assert feed is not None
    assert any("does not add up" in said for said in feed.cautions)


def test_a_feed_without_phosphate_is_said() -> None:
    feeds = (replace(RACK.feeds[0], analysis={"N_nitrate": 3.0, "K2O": 10.0}),)
    feed = feed_mix(feeds, facts(), water=water(conductivity_ms_cm=0.3))
    assert feed is not None
    assert any("no phosphate" in said for said in feed.cautions)


def test_mixing_keeps_every_total() -> None:
    a = Blend(totals_mmol={"K": 4.0}, alkalinity_meq=1.0, dic_mmol=0.5)
    b = Blend(totals_mmol={"K": 1.0, "Ca": 2.0}, alkalinity_meq=-0.5, dic_mmol=0.1)
    mixed = blended(((a, 3.0), (b, 1.0)))
    assert mixed.totals_mmol == pytest.approx({"K": 3.25, "Ca": 0.5})
    assert mixed.alkalinity_meq == pytest.approx(0.625)
    assert mixed.dic_mmol == pytest.approx(0.4)


def test_nothing_mixes_to_nothing() -> None:
    with pytest.raises(ValueError, match="nothing"):
        blended(())


@pytest.mark.parametrize(("low", "high", "found"), [(0.0, 4.0, 2.0), (3.0, 9.0, 3.0), (0.0, 1.0, 1.0)])
def test_a_root_is_found_inside_or_the_nearer_end_is_given(low: float, high: float, found: float) -> None:
    assert root_of(lambda x: x**3 - 8.0, low=low, high=high, near=1e-6) == pytest.approx(found, abs=1e-4)
