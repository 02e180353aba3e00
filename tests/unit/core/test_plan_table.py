"""A plan as JSON and as words: the contract's keys, always all of them."""

from __future__ import annotations

import json

from tendtui.core.plan_table import plan_json
from tendtui.core.plan_words import plan_words
from tendtui.core.rack import Show
from tests.support.dose_case import RACK, plan

KEYS = ["schema", "at", "readings", "verdict", "reasons", "steps", "expect", "range", "assumed", "cautions"]


def test_every_key_of_the_contract_is_there_in_its_order() -> None:
    table = plan_json(plan(level=47.0, conductivity=1.21, ph=6.4, temperature=21.0))
    assert list(table) == KEYS
    assert table["readings"] == {
        "level_L": 47.0,
        "conductivity_mS_cm": 1.21,
        "ph": 6.4,
        "temperature_C": 21.0,
    }
    assert set(table["expect"]) == {"level_L", "conductivity_mS_cm", "ph", "ph_tomorrow"}  # type: ignore[call-overload]
    assert set(table["range"]) == {"conductivity_mS_cm", "ph", "ph_tomorrow"}  # type: ignore[call-overload]


def test_steps_are_written_as_the_contract_writes_them() -> None:
    steps = plan_json(plan(level=47.0, conductivity=1.21, ph=6.4, temperature=21.0))["steps"]
    assert steps[0] == {"do": "add_water", "litres": 12.5}  # type: ignore[index]
    assert set(steps[1]) == {"do", "what", "mL"}  # type: ignore[index]
    assert steps[-2:] == [  # type: ignore[index]
        {"do": "wait", "minutes": 15.0},
        {"do": "read", "what": ["conductivity", "ph"]},
    ]


def test_what_is_missing_is_null() -> None:
    table = plan_json(plan())
    assert table["readings"] == {
        "level_L": None,
        "conductivity_mS_cm": None,
        "ph": None,
        "temperature_C": None,
    }
    assert json.loads(json.dumps(table)) == table


def test_the_words_hold_verdict_steps_and_ranges() -> None:
    lines = plan_words(plan(level=47.0, conductivity=1.21, ph=6.4, temperature=21.0), RACK)
    text = "\n".join(lines)
    assert lines[0] == "Correct it."
    assert "1. add 12.5 litres of source water" in text
    assert "nine times in ten" in text


def test_the_words_use_the_persons_units() -> None:
    from tendtui.value import replace

    rack = replace(RACK, show=Show(conductivity="ppm500", temperature="F", volume="gal"))
    text = "\n".join(plan_words(plan(rack, level=47.0, conductivity=1.21, ph=6.4, temperature=21.0), rack))
    assert "605 ppm" in text
    assert "gallons" in text
    assert "°F" in text


def test_read_again_is_its_own_verdict_in_words() -> None:
    assert plan_words(plan(conductivity=1.2, ph=6.9), RACK)[0] == "Read again before anything is poured."
