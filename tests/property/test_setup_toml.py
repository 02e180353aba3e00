"""Whatever the set-up is told, rack.toml reads back as the same rack."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendtui.core.entry import read_text
from tendtui.core.rack import Rack
from tendtui.core.setup_ask import ask_id
from tendtui.core.setup_rack import guesses_of, rack_of
from tendtui.core.setup_toml import rack_toml
from tendtui.core.walk import fold
from tendtui.errors import RefusedError
from tendtui.store.rack_file import parse_rack
from tendtui.value import replace
from tests.support.setup_data import ASKS, FIRST, Person


def _kept(text: str) -> bool:
    """Say whether the program takes such a text at all."""
    try:
        return bool(read_text(text))
    except RefusedError:
        return False


NAMES = st.text(min_size=1, max_size=20).filter(_kept)
SMALL = st.decimals(min_value="0.1", max_value="60", places=1).map(str)
ANSWERS = st.fixed_dictionaries(
    {
        "welcome.state": st.sampled_from("12"),
        "rack.name": NAMES,
        "rack.people": st.one_of(st.just(""), NAMES),
        "units.conductivity": st.sampled_from("123456"),
        "units.temperature": st.sampled_from("12"),
        "units.volume": st.sampled_from("12"),
        "reservoir.full": st.sampled_from(["60", "80L", "40gal", "33,3"]),
        "reservoir.least": st.sampled_from(["0", "4", "10L", "7,25"]),
        "reservoir.aerated": st.sampled_from("123"),
        "tiers.count": st.sampled_from(["1", "2", "3"]),
        "tier.same": st.sampled_from("12"),
        "tier.name": st.one_of(st.just(""), NAMES),
        "tier.bore": st.sampled_from(["80", "10.4cm", "4in", "78"]),
        "tier.length": st.sampled_from(["1", "150cm", "5ft", "0,5"]),
        "tier.lip": st.sampled_from(["40", "4.5cm", "2in", "77"]),
        "tier.outlets": st.sampled_from("12"),
        "tier.crops": st.one_of(st.just(""), st.just("basil, rocket"), NAMES.map(lambda n: n + "!")),
        "tier.plants": st.sampled_from(["", "0", "12"]),
        "source.conductivity": st.sampled_from(["", "0.3mS", "420uS", "150ppm700"]),
        "source.ph": st.sampled_from(["", "7.5", "6,9"]),
        "source.alkalinity": st.sampled_from(["", "90", "1.2meq", "3.4dKH"]),
        "meter.ec_step": st.sampled_from("1234"),
        "meter.ph_step": st.sampled_from("1234"),
        "feeds.count": st.sampled_from("012"),
        "feed.kind": st.sampled_from("12"),
        "feed.amount_ml": st.sampled_from(["2", "0.5", "8mL/gal"]),
        "feed.amount_g": st.sampled_from(["0.5", "0,66", "2g/gal"]),
        "feeds.strength": st.sampled_from(["", "1.5mS", "1050ppm700"]),
        "adjusters.count": st.sampled_from("01"),
        "adjuster.direction": st.sampled_from("12"),
        "adjuster.acid": st.sampled_from("123456"),
        "adjuster.alkali": st.sampled_from("1234"),
        "adjuster.percent": st.sampled_from(["", "10", "81,5"]),
        "tools.liquid": st.sampled_from(["", "0.5", "1"]),
        "tools.powder": st.sampled_from(["", "0.1", "1"]),
        "tools.water": st.sampled_from(["", "0.5", "1L"]),
        "later.now": st.sampled_from("12"),
        "reservoir.brim": st.sampled_from(["", "200L"]),
        "tools.jug": st.sampled_from(["", "1L"]),
        "meter.compensated": st.sampled_from("123"),
        "place.region": st.sampled_from("12345678"),
        "place.altitude": st.sampled_from(["", "120", "1000ft"]),
        "mains.volts": st.sampled_from("1234"),
        "mains.amps": st.sampled_from(["10", "16A"]),
        "mains.protection": st.sampled_from("12345"),
        "devices.count": st.sampled_from("012"),
        "device.kind": st.sampled_from("1234567"),
        "device.name": st.just(""),
        "device.watts": st.sampled_from(["25", "0.04kW"]),
        "device.count": st.sampled_from("13"),
        "phones.list": st.sampled_from(["", "Ann 0123 456, Dr. B 99", "+44 20 99"]),
        "target.change_days": st.sampled_from(["", "14", "3 weeks"]),
    }
)
# Second names of a kind are refused, so those are fixed; everything else is drawn.
FIXED = {key: FIRST[key] for key in ("feed-1.name", "feed-2.name", "adjuster.name", "welcome.ready")}
OTHERWISE = {"tier.name": "", "tier.crops": "mint!", "reservoir.least": "1L"}
"""What is typed where the first answer was refused."""
FIXED |= {"tiers.seen": "", "crops.seen": "", "end.write": "", "tier-2.name": "", "tier-3.name": ""}


def _typed(person: Person, typed: str, otherwise: str) -> None:
    """Type an answer; a second time where it is unusual, another one where it is refused."""
    key = person.key
    try:
        person.types(typed)
    except RefusedError:
        person.types(otherwise)
    if person.key == key:
        person.types(typed)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(drawn=ANSWERS)
def test_any_answers_make_a_file_that_reads_back(drawn: dict[str, str]) -> None:
    given = {**drawn, **FIXED}
    person = Person.begins()
    while (key := person.key) != "":
        otherwise = OTHERWISE.get(ask_id(key), FIRST.get(ask_id(key), ""))
        _typed(person, given.get(key, given.get(ask_id(key), "")), otherwise)
    answers = fold(person.walk.entries)
    rack = rack_of(answers, ASKS)
    text = str(person.finishes().context["rack_toml"])
    assert text == rack_toml(rack, guessed=guesses_of(answers))
    read, findings = parse_rack(text.encode(), file=Path("rack.toml"))
    assert read == replace(rack, extra={}), findings


@settings(max_examples=60, deadline=None)
@given(name=st.text(max_size=30), who=st.text(min_size=1, max_size=30), number=st.text(max_size=12))
def test_any_text_is_held_by_the_file(name: str, who: str, number: str) -> None:
    rack = replace(rack_of(fold(()), ASKS), name=name, people=(who,), phones={who: number})
    table = tomllib.loads(rack_toml(rack))
    if not any("\ud800" <= letter <= "\udfff" for letter in name + who + number):
        assert table["name"] == name
        assert table["people"] == {"usual": [who], "phones": {who: number}}


@given(value=st.floats(min_value=1e-9, max_value=1e9))
def test_any_number_is_held_to_its_last_digit(value: float) -> None:
    rack: Rack = rack_of(fold(()), ASKS)
    rack = replace(rack, reservoir=replace(rack.reservoir, full_l=value))
    assert tomllib.loads(rack_toml(rack))["reservoir"]["full_L"] == value
