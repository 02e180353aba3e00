"""One short rack that the program keeps; the chemistry is that of PHREEQC (vitens.dat)."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.season.water import Water, source_water

pytest.importorskip("phreeqpython")


def test_the_simulated_water_is_what_a_handbook_says() -> None:
    # 0.01 mol/kg KCl conducts 1.408 mS/cm at 25 °C: Pratt et al., Pure Appl. Chem. 73:1783 (2001)
    potassium_chloride = Water(1.0, {"K": 10.0, "Cl": 10.0})
    assert potassium_chloride.seen(25.0).conductivity_ms_cm == pytest.approx(1.408, rel=0.03)


def test_acid_lowers_ph_and_lost_carbon_dioxide_raises_it() -> None:
    water = source_water(2.0, softened=False, chloride=0.5)
    before = water.seen(20.0)
    water.dissolve({"NO3": 1.0})
    sour = water.seen(20.0)
    water.breathe(sour, air_atm=5e-4, hours=24.0, per_hour=0.3)
    assert sour.ph < before.ph - 0.5
    assert water.seen(20.0).ph > sour.ph + 0.3


@pytest.mark.slow
def test_a_short_season_is_kept_in_band(tmp_path: Path) -> None:
    from tests.season.keepers import Program, Thumb, keep
    from tests.season.rig import Rig

    days = 21
    rig = Rig(1, days)
    score = keep(rig, Program(tmp_path, rig))
    thumb = keep(Rig(1, days), Thumb())
    assert score.notes == []
    assert score.hours > 85.0
    assert score.hours > thumb.hours
    assert score.named["typo"] == 0.0
