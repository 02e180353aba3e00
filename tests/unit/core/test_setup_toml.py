"""The text of rack.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tendtui.core.rack import (
    Adjuster,
    Device,
    Feed,
    Mains,
    Measuring,
    Meter,
    Place,
    Rack,
    Reservoir,
    Show,
    Source,
    Target,
    Tier,
)
from tendtui.core.setup_toml import rack_toml
from tendtui.store.rack_file import parse_rack
from tendtui.value import replace

FULL = Rack(
    name="All of it",
    show=Show(conductivity="uS/cm", temperature="F", volume="gal"),
    reservoir=Reservoir(full_l=60.0, least_l=25.0, pipes_l=9.0, brim_l=80.0, aerated=False),
    source=Source(
        conductivity_ms_cm=0.3, ph=7.5, alkalinity_mg_l_caco3=90.0, sodium_mg_l=12.0, chloride_mg_l=20.0
    ),
    meter=Meter(ppm_scale=700, conductivity_step_ms_cm=0.1, ph_step=0.5, temperature_compensated=False),
    place=Place(region="EU", altitude_m=-3.0),
    target=Target(
        conductivity_ms_cm=(1.4, 1.8),
        ph=(5.6, 6.2),
        temperature_c=(18.0, 23.0),
        change_above_ms_cm=3.0,
        change_every_days=21,
    ),
    tiers=(
        Tier(
            name="Top",
            pipe_inside_mm=80.0,
            length_m=1.6,
            outlet_height_mm=45.0,
            outlets=2,
            pipes=3,
            crops=("basil", "mint"),
            plants=9,
        ),
    ),
    feeds=(
        Feed(
            name="A",
            label_ml_per_l=2.0,
            label_conductivity_ms_cm=1.5,
            analysis={"N_nitrate": 3.5, "CaO": 4.0},
        ),
        Feed(name="B", label_g_per_l=0.5, label_conductivity_ms_cm=1.5),
    ),
    adjusters=(
        Adjuster(name="Down", direction="down", reagent="nitric acid", percent_w_w=38.0),
        Adjuster(name="Up", direction="up", strength_mol_l=1.0),
    ),
    measuring=Measuring(liquid_ml=0.2, powder_g=0.01, water_l=0.25, jug_l=2.0),
    devices=(
        Device(
            name="Lamps",
            watts=54.0,
            amps=0.5,
            power_factor=0.9,
            kind="light",
            count=3,
            timer_rating_a=4.0,
        ),
    ),
    mains=Mains(volts=230.0, circuit_amps=16.0, protection="30 mA RCD", lead_amps=10.0),
    people=("Ida", "Bo"),
    phones={"Dr. B": "0123"},
    roles={"Bo": "shown"},
)


def _parsed(text: str) -> Rack:
    rack, findings = parse_rack(text.encode(), file=Path("rack.toml"))
    assert rack is not None, findings
    assert findings == ()
    return rack


def test_everything_a_rack_can_say_reads_back() -> None:
    assert _parsed(rack_toml(FULL)) == FULL


def test_the_least_a_rack_can_say_reads_back() -> None:
    bare = Rack(name="r", reservoir=Reservoir(full_l=1.0, least_l=0.5), tiers=FULL.tiers)
    assert _parsed(rack_toml(bare)) == bare


def test_what_is_guessed_says_so() -> None:
    text = rack_toml(FULL, guessed=frozenset({"meter.ph_step", "measuring.liquid_mL"}))
    assert "ph_step = 0.5                      # not known yet, this stands in; 0.5 for colour" in text
    assert "liquid_mL = 0.2                    # not known yet, this stands in\n" in text


def test_no_key_stands_without_its_table_and_every_line_fits_a_page() -> None:
    assert max(len(line) for line in rack_toml(FULL).splitlines()) <= 110


@pytest.mark.parametrize("name", ["\ud800x", "a\x00b\x7f", 'q"\\\n\t'])
def test_no_text_can_break_the_file(name: str) -> None:
    table = tomllib.loads(rack_toml(replace(FULL, name=name)))
    assert table["name"] == name.replace("\ud800", "\ufffd")


def test_what_toml_has_no_word_for_is_refused() -> None:
    with pytest.raises(TypeError, match="no place"):
        rack_toml(replace(FULL, phones={"x": object()}))
