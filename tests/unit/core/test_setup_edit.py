"""Changing one part of a rack that is there."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from tendtui.core.rack import (
    Adjuster,
    Device,
    Feed,
    Mains,
    Place,
    Rack,
    Reservoir,
    Show,
    Source,
    Target,
    Tier,
)
from tendtui.core.setup_edit import EditScript
from tendtui.core.setup_toml import rack_toml
from tendtui.core.walk import Walk, enter, fold, here, look_back, prompt
from tendtui.errors import RefusedError
from tendtui.store.folder import Folder
from tendtui.store.rack_file import edit_rack, install_rack, read_rack
from tendtui.value import replace
from tests.support.setup_data import ASKS, NOW, ROOM

RACK = Rack(
    name="Attic",
    reservoir=Reservoir(full_l=60.0, least_l=25.0, brim_l=75.0, pipes_l=9.5),
    source=Source(conductivity_ms_cm=0.3, ph=7.5, alkalinity_mg_l_caco3=90.0),
    place=Place(region="UK", altitude_m=40.0),
    target=Target(ph=(5.6, 6.2), change_above_ms_cm=3.0),
    tiers=(
        Tier(
            name="Top", pipe_inside_mm=80.0, length_m=1.6, outlet_height_mm=45.0, crops=("basil",), plants=9
        ),
        Tier(name="Low", pipe_inside_mm=104.0, length_m=2.0, outlet_height_mm=60.0),
    ),
    feeds=(
        Feed(name="A", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5123),
        Feed(name="B", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5123),
        Feed(name="Salt", label_g_per_l=0.5, label_conductivity_ms_cm=1.5123),
    ),
    adjusters=(Adjuster(name="Down", direction="down", reagent="nitric acid", strength_mol_l=1.0),),
    devices=(Device(name="Pump", watts=25.0, kind="pump"),),
    mains=Mains(volts=230.0, circuit_amps=10.0, protection="30 mA RCD", lead_amps=10.0),
    people=("Ida",),
    phones={"Ann": "0123"},
)


def _script(rack: Rack, part: str) -> EditScript:
    return EditScript(rack=rack, asks=ASKS, crops=ROOM, part=part)


def _walked(part: str, given: Mapping[str, str], *, rack: Rack = RACK) -> dict[str, object]:
    """Type what is given, and keep the rest with `=`, or leave it empty where nothing is said."""
    script, walk = _script(rack, part), Walk(kind="setup", id="w", began=NOW, by="Ida")
    while (place := here(walk, script)) is not None:
        question = place[1]
        typed = given.get(question.key, question.same)
        walk = enter(walk, script, key=question.key, typed=typed, now=NOW, by="Ida").walk
    assert set(given) <= set(fold(walk.entries).by_key)
    changes = script.finish(walk, fold(walk.entries), NOW).context.get("changes", {})
    assert isinstance(changes, dict)
    return changes


@pytest.mark.parametrize("part", ["rack", "units", "reservoir", "source", "tools", "place", "target"])
def test_what_is_kept_changes_nothing(part: str) -> None:
    assert _walked(part, {}) == {}


@pytest.mark.parametrize("part", ["tier", "feed", "adjuster", "device"])
def test_a_table_that_is_kept_changes_nothing(part: str) -> None:
    assert _walked(part, {"edit.act": "1", "edit.which": "1"}) == {}


@pytest.mark.parametrize(
    ("part", "given", "changes"),
    [
        ("rack", {"rack.name": "Loft"}, {"name": "Loft"}),
        ("rack", {"rack.people": "Bo, Ida"}, {"people.usual": ["Bo", "Ida"]}),
        ("rack", {"phones.list": "Bo 99"}, {"people.phones": {"Bo": "99"}}),
        (
            "units",
            {"units.conductivity": "5", "units.temperature": "2"},
            {"show.conductivity": "ppm700", "meter.ppm_scale": 700, "show.temperature": "F"},
        ),
        ("units", {"units.conductivity": "6"}, {"show.conductivity": "ppm500", "meter.ppm_scale": 500}),
        ("units", {"meter.ph_step": "3", "meter.compensated": "2"},
         {"meter.ph_step": 0.5, "meter.temperature_compensated": False}),
        ("units", {"meter.ec_step": "4"}, {}),
        ("reservoir", {"reservoir.full": "70"}, {"reservoir.full_L": 70.0}),
        ("reservoir", {"reservoir.brim": "120", "reservoir.full": "100"},
         {"reservoir.brim_L": 120.0, "reservoir.full_L": 100.0}),
        ("reservoir", {"reservoir.pipes": "", "reservoir.aerated": "2"},
         {"reservoir.pipes_L": None, "reservoir.aerated": False}),
        ("source", {"source.alkalinity": "2meq"}, {"source.alkalinity_mg_L_CaCO3": 100.09}),
        ("source", {"source.ph": ""}, {"source.ph": None}),
        ("tools", {"tools.jug": "2", "tools.liquid": "1"},
         {"measuring.jug_L": 2.0, "measuring.liquid_mL": 1.0}),
        ("place", {"place.region": "8"}, {"place.region": None}),
        ("place", {"mains.volts": "4"}, {"mains": None}),
        ("place", {"mains.amps": ""}, {"mains": None}),
        ("units", {"units.conductivity": "7"}, {}),
        ("place", {"mains.volts": "2", "mains.amps": "15"},
         {"mains.volts": 120.0, "mains.circuit_amps": 15.0}),
        ("target", {"target.ec_low": "1.4", "target.ec_high": "1.8"},
         {"target.conductivity_mS_cm": [1.4, 1.8]}),
        ("target", {"target.ph_low": ""}, {"target.ph": None}),
        ("target", {"target.ph_low": "5.5"}, {"target.ph": [5.5, 6.2]}),
        ("target", {"target.change_days": "21"}, {"target.change_every_days": 21}),
        ("tier", {"edit.act": "1", "edit.which": "2", "tier-2.plants": "8", "tier-2.crops": "rocket"},
         {"tier.1.plants": 8, "tier.1.crops": ["rocket"]}),
        ("tier", {"edit.act": "3", "edit.which": "1"}, {"tier.0": None}),
        ("feed", {"edit.act": "1", "edit.which": "2", "feeds.strength": "1.8"},
         {"feed.0.label_conductivity_mS_cm": 1.8, "feed.1.label_conductivity_mS_cm": 1.8,
          "feed.2.label_conductivity_mS_cm": 1.8}),
        ("feed", {"edit.act": "1", "edit.which": "1", "feed-1.kind": "2", "feed-1.amount_g": "0.5"},
         {"feed.0.label_g_per_L": 0.5, "feed.0.label_mL_per_L": None}),
        ("feed", {"edit.act": "1", "edit.which": "3", "feed-3.kind": "1", "feed-3.amount_ml": "1"},
         {"feed.2.label_mL_per_L": 1.0, "feed.2.label_g_per_L": None}),
        ("adjuster", {"edit.act": "1", "edit.which": "1", "adjuster-1.percent": "7"},
         {"adjuster.0.percent_w_w": 7.0, "adjuster.0.strength_mol_L": None}),
        ("adjuster",
         {"edit.act": "1", "edit.which": "1", "adjuster-1.name": "Turner", "adjuster-1.direction": "2",
          "adjuster-1.alkali": "4"},
         {"adjuster.0.name": "Turner", "adjuster.0.direction": "up", "adjuster.0.reagent": None}),
        ("device", {"edit.act": "1", "edit.which": "1", "device-1.watts": "40"}, {"device.0.watts": 40.0}),
    ],
)  # fmt: skip
def test_only_what_was_said_anew_is_changed(
    part: str, given: Mapping[str, str], changes: dict[str, object], tmp_path: Path
) -> None:
    assert _walked(part, given) == changes
    folder = Folder(tmp_path)
    install_rack(folder, rack_toml(RACK).encode())
    edit_rack(folder, changes)  # the changes make a rack that can be


def test_comments_written_by_hand_survive(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    install_rack(folder, rack_toml(RACK).replace("plants = 9", "plants = 9  # counted by Ida").encode())
    edit_rack(folder, _walked("tier", {"edit.act": "1", "edit.which": "1", "tier-1.plants": "11"}))
    assert "plants = 11  # counted by Ida" in folder.rack.read_text(encoding="utf-8")


def test_a_tier_can_be_added_below_the_last(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    install_rack(folder, rack_toml(RACK).encode())
    given = {
        "edit.act": "2",
        "tier-3.bore": "80",
        "tier-3.length": "1",
        "tier-3.lip": "40",
        "tier-3.outlets": "1",
        "tier-3.crops": "mint",
        "tier-3.plants": "2",
    }
    edit_rack(folder, _walked("tier", given))
    assert [tier.name for tier in read_rack(folder).tiers] == ["Top", "Low", "Tier 3"]


def test_a_part_of_the_feed_can_be_added_and_says_the_same_total(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    install_rack(folder, rack_toml(RACK).encode())
    changes = _walked(
        "feed", {"edit.act": "2", "feed-4.name": "C", "feed-4.kind": "1", "feed-4.amount_ml": "1"}
    )
    edit_rack(folder, changes)
    feeds = read_rack(folder).feeds
    assert [(feed.name, feed.label_conductivity_ms_cm) for feed in feeds] == [
        ("A", 1.5123),
        ("B", 1.5123),
        ("Salt", 1.5123),
        ("C", 1.5123),
    ]


def test_the_first_device_is_added_without_asking_which() -> None:
    bare = replace(RACK, devices=())
    given = {"device-1.kind": "2", "device-1.watts": "5", "device-1.count": "1"}
    assert _walked("device", given, rack=bare) == {
        "device.0.kind": "air pump",
        "device.0.watts": 5.0,
        "device.0.count": 1,
        "device.0.name": "Device 1",
    }


def test_the_first_feed_takes_a_usual_total_where_it_is_not_known() -> None:
    bare = replace(RACK, feeds=())
    given = {"feed-1.name": "One", "feed-1.kind": "1", "feed-1.amount_ml": "2", "feeds.strength": ""}
    assert _walked("feed", given, rack=bare)["feed.0.label_conductivity_mS_cm"] == 1.6


def test_the_part_is_asked_where_none_is_named() -> None:
    assert _walked("", {"edit.part": "1", "rack.name": "Loft"}) == {"name": "Loft"}


def _at(part: str, given: Mapping[str, str], key: str, *, rack: Rack = RACK) -> tuple[EditScript, Walk]:
    script, walk = _script(rack, part), Walk(kind="setup", id="w", began=NOW, by="Ida")
    while (place := here(walk, script)) is not None and place[1].key != key:
        typed = given.get(place[1].key, place[1].same)
        walk = enter(walk, script, key=place[1].key, typed=typed, now=NOW, by="Ida").walk
    return script, walk


@pytest.mark.parametrize(
    ("part", "given", "key", "typed", "words"),
    [
        ("tier", {"edit.act": "1", "edit.which": "2"}, "tier-2.name", "top", "taken already"),
        ("tier", {"edit.act": "1", "edit.which": "1"}, "tier-1.lip", "90", "above the pipe"),
        ("feed", {"edit.act": "2"}, "feed-4.name", "down", "taken already"),
        ("target", {"target.ph_low": "6"}, "target.ph_high", "5.5", "highest must lie above the lowest"),
        ("reservoir", {"reservoir.full": "70"}, "reservoir.least", "70", "above the least mark"),
        ("reservoir", {"reservoir.brim": "70"}, "reservoir.full", "75", "below the brim"),
    ],
)
def test_what_cannot_be_is_refused_here_too(
    part: str, given: Mapping[str, str], key: str, typed: str, words: str
) -> None:
    script, walk = _at(part, given, key)
    with pytest.raises(RefusedError, match=words):
        enter(walk, script, key=key, typed=typed, now=NOW, by="Ida")


def test_the_last_tier_cannot_be_taken_out() -> None:
    one = replace(RACK, tiers=RACK.tiers[:1])
    script, walk = _at("tier", {"edit.act": "3"}, "edit.which", rack=one)
    with pytest.raises(RefusedError, match="at least one tier"):
        enter(walk, script, key="edit.which", typed="1", now=NOW, by="Ida")


def test_the_present_value_stands_beside_the_empty_field() -> None:
    script, walk = _at("reservoir", {}, "reservoir.full", rack=replace(RACK, show=Show(volume="gal")))
    shown = prompt(walk, script)
    assert shown is not None
    assert shown.question.facts[0] == ("now", "15.9")
    assert shown.question.same == "15.9"


def test_the_change_is_read_over_before_it_is_written() -> None:
    script, walk = _at("target", {"target.ph_low": ""}, "edit.write")
    shown = prompt(walk, script)
    assert shown is not None
    assert shown.question.before[0] == "target.ph is taken out"
    back = look_back(walk, script, now=NOW, by="Ida").walk
    assert here(back, script) is not None


def test_what_is_the_same_says_so() -> None:
    script, walk = _at("rack", {}, "edit.write")
    shown = prompt(walk, script)
    assert shown is not None
    assert shown.question.before == ("Nothing is different from what is there.",)
    assert script.finish(walk, fold(walk.entries), NOW).said == ("Nothing was changed.",)


def test_lists_and_tables_are_told_in_words() -> None:
    script, walk = _at("rack", {"rack.people": "Bo, Ida", "phones.list": "Bo 9"}, "edit.write")
    shown = prompt(walk, script)
    assert shown is not None
    assert "people.usual = Bo, Ida" in shown.question.before
    assert "people.phones = Bo 9" in shown.question.before


def test_an_unusual_number_is_typed_twice_here_too() -> None:
    script, walk = _at("source", {}, "source.conductivity")
    turn = enter(walk, script, key="source.conductivity", typed="5", now=NOW, by="Ida")
    assert "unusual here" in turn.notice
    again = enter(turn.walk, script, key="source.conductivity", typed="5", now=NOW, by="Ida")
    place = here(again.walk, script)
    assert place is not None
    assert place[1].key == "source.ph"


def test_the_list_says_what_was_chosen() -> None:
    script, walk = _at("tier", {"edit.act": "1", "edit.which": "2"}, "tier-2.bore")
    shown = prompt(walk, script)
    assert shown is not None
    assert [row.found for row in shown.rows] == ["change one, Low", "Low"]


@pytest.mark.parametrize(
    ("part", "given", "words"),
    [
        (
            "tier",
            {"edit.act": "1", "edit.which": "2", "tier-2.crops": "spinach", "tier-2.plants": "9"},
            (
                "Low: crops = spinach",
                "Low: plants = 9",
                "who pays: basil (wants 1.00 to 1.60, gets 0.10 too much)",
            ),
        ),
        (
            "tier",
            {"edit.act": "3", "edit.which": "1"},
            ("Top is taken out", "1.20 to 1.80 mS/cm, a common band"),
        ),
        (
            "tier",
            {
                "edit.act": "2",
                "tier-3.bore": "80",
                "tier-3.length": "1",
                "tier-3.lip": "40",
                "tier-3.outlets": "1",
                "tier-3.crops": "lettuce",
                "tier-3.plants": "2",
            },
            ("Tier 3: crops = lettuce", "Conductivity: 1.20 to 1.60 mS/cm, good for every crop"),
        ),
        (
            "target",
            {"target.ec_low": "2", "target.ec_high": "2.2", "target.ph_low": ""},
            (
                "target.ph is taken out",
                "2.00 to 2.20 mS/cm, as you set it. Who pays: basil",
                "pH: 5.5 to 6.0, good",
            ),
        ),
    ],
)
def test_what_a_change_makes_of_the_bands_is_told_before_it_is_written(
    part: str, given: Mapping[str, str], words: tuple[str, ...]
) -> None:
    script, walk = _at(part, given, "edit.write")
    shown = prompt(walk, script)
    assert shown is not None
    said = "\n".join(shown.question.before)
    for word in words:
        assert word in said


def test_a_brim_far_from_the_full_mark_is_typed_twice() -> None:
    script, walk = _script(RACK, "reservoir"), Walk(kind="setup", id="w", began=NOW, by="Ida")
    turn = enter(walk, script, key="reservoir.brim", typed="2080", now=NOW, by="Ida")
    assert "2080 litres to the brim and 60 litres at the full mark" in turn.notice


def test_names_that_hold_each_other_stay_as_they_are() -> None:
    feeds = (replace(RACK.feeds[0], name="Grow"), replace(RACK.feeds[1], name="Grow Plus"))
    assert _walked("feed", {"edit.act": "1", "edit.which": "2"}, rack=replace(RACK, feeds=feeds)) == {}
