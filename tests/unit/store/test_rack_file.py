"""rack.toml: read with every fault named, installed byte for byte, edited without losing a comment."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendtui.core import rack as values
from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.errors import NoRackError, RefusedError, StateError
from tendtui.store.folder import Folder
from tendtui.store.rack_file import edit_rack, install_rack, keep_beside, parse_rack, read_rack
from tendtui.store.rack_text import rack_bytes
from tendtui.store.rack_words import TABLES
from tendtui.value import fields
from tests.support.folders import RACK, folder_in, tree

FULL = (
    RACK
    + """
[show]
conductivity = "ppm700"
temperature = "F"
volume = "gal"
[meter]
ppm_scale = 700
conductivity_step_mS_cm = 0.1
ph_step = 0.5
temperature_compensated = false
[place]
region = "NZ"
altitude_m = 310.0
[measuring]
liquid_mL = 1.0
powder_g = 0.5
water_L = 1.0
jug_L = 2.0
[[feed]]
name = "Salt"
label_g_per_L = 0.8
label_conductivity_mS_cm = 1.7
analysis = { N_nitrate = 15.5, CaO = 26.3 }
[[adjuster]]
name = "Raiser"
direction = "up"
strength_mol_L = 0.9
[[device]]
name = "Lamp"
watts = 40.0
amps = 0.4
power_factor = 0.5
kind = "light"
count = 3
timer_rating_A = 3.0
[people.phones]
Ines = "555 0100"
[people.roles]
Joss = "newcomer"
"""
)


def parse(text: str) -> tuple[Rack | None, tuple[Finding, ...]]:
    return parse_rack(text.encode(), file="rack.toml")


def test_a_whole_rack_is_read() -> None:
    rack, findings = parse(FULL)
    assert findings == ()
    assert rack is not None
    assert rack.name == "Cellar stair"
    assert rack.reservoir.full_l == 52.0
    assert rack.show.conductivity == "ppm700"
    assert rack.meter.ppm_scale == 700
    assert not rack.meter.temperature_compensated
    assert rack.target.ph == (5.7, 6.3)
    assert [tier.name for tier in rack.tiers] == ["Upper", "Lower"]
    assert rack.feeds[2].analysis == {"N_nitrate": 15.5, "CaO": 26.3}
    assert rack.adjusters[1].strength_mol_l == 0.9
    assert rack.devices[1].count == 3
    assert rack.people == ("Ines", "Joss")
    assert rack.phones == {"Ines": "555 0100"}
    assert rack.roles == {"Joss": "newcomer"}
    assert rack.extra == {"cellar": {"key": "under the pot"}}


def test_a_rack_written_is_the_rack_read() -> None:
    rack, _findings = parse(FULL)
    assert rack is not None
    assert parse_rack(rack_bytes(rack), file="rack.toml") == (rack, ())
    bare = Rack(name="Bare", reservoir=values.Reservoir(full_l=9.0, least_l=3.0))
    again, _findings = parse_rack(rack_bytes(bare), file="rack.toml")
    assert again == bare


@pytest.mark.parametrize("table", [name for name in TABLES if name != "people"])
def test_every_field_of_the_rack_has_its_key(table: str) -> None:
    value = getattr(values, table.capitalize())
    assert [key.lower() for key in TABLES[table]] == [field.name for field in fields(value)]


# what is wrong, what is put for what, the line it stands on, the words, whether the rack can still be used
FAULTS = [
    ("full_L = 52.0", "full_L = 20.0", 5, "the full mark (20 L) is not above the least mark (21 L)", False),
    ("full_L = 52.0", "full_L = -1", 5, "full_L is -1", False),
    ("full_L = 52.0", "full_L = nan", 5, "full_L is no number that can be measured", False),
    ("full_L = 52.0", "full_L = inf", 5, "full_L is no number that can be measured", False),
    ("full_L = 52.0", 'full_L = "52"', 5, "full_L is words in quotes", False),
    ("full_L = 52.0", "full_L = 1" + "0" * 400, 5, "full_L is far too large", False),
    ("full_L = 52.0", "full_l = 52.0", 4, "reservoir.full_L is missing", False),
    ("aerated = true", 'aerated = "yes"', 7, "aerated is words in quotes", False),
    ("aerated = true", "brim_L = 40.0", 7, "the brim (40 L) is below the full mark (52 L)", False),
    ("aerated = true", "areated = true", 7, "areated is not a word of [reservoir]", True),
    ("conductivity_mS_cm = 0.42", "conductivity_mS_cm = 420", 10, "420 mS/cm is salt water", True),
    ("[5.7, 6.3]", "[6.3, 5.7]", 15, "ph is upside down", False),
    ("[5.7, 6.3]", "[5.7]", 15, "ph is not a pair of numbers", False),
    ("[5.7, 6.3]", "[5.7, 63]", 15, "ph is 63", False),
    ("[5.7, 6.3]", "5.7", 15, "ph is not a pair of numbers", False),
    ("[1.3, 1.9]", "[1.3, 1.9]\nchange_above_mS_cm = 1.5", 15, "changed while it is still inside", True),
    ("outlet_height_mm = 38.0", "outlet_height_mm = 140.0", 21, "the pipe's inside top (104 mm)", False),
    ("outlet_height_mm = 38.0", "outlet_height_mm = 104.0", 21, "at the very edge", True),
    ("pipe_inside_mm = 104.0", "pipe_inside_mm = 10.4", 21, "above the pipe's inside top (10.4 mm)", False),
    ("pipe_inside_mm = 104.0", "pipe_inside_mm = 10.4\noutlets = 0", 20, "outlets is 0", False),
    ("length_m = 1.2", "length_m = 120.0", 20, "a length of 120 m is very long", True),
    ("plants = 6", "plants = 6.5", 23, "plants is not a whole number", False),
    ('crops = ["chard"]', 'crops = "chard"', 22, "crops is words in quotes", False),
    ('name = "Lower"\n', 'name = "UPPER"\n', 26, "the name Upper stands here a second time", False),
    ('name = "Lower"\n', "", 25, "tier.name is missing", False),
    ('name = "Lower"\n', 'name = " "\n', 26, "the name is empty", False),
    ('name = "Lower"\n', 'name = "Lo\\u001bwer"\n', 26, "name holds signs that can't be seen", True),
    ("label_conductivity_mS_cm = 1.7", "label_conductivity_mS_cm = 0", 36, "It must be more than 0", False),
    ("label_mL_per_L = 2.5", "label_mL_per_L = 0.0", 35, "It must be more than 0", False),
    ("label_mL_per_L = 2.5", "label_mL_per_L = 2.5\nlabel_g_per_L = 1", 36, "liquid or dry, not both", False),
    ("label_mL_per_L = 2.5\n", "", 33, "feed.label_mL_per_L is missing", False),
    ("label_conductivity_mS_cm = 1.7", "label_conductivity_mS_cm = 2.1", 41, "say different totals", True),
    ("label_mL_per_L = 2.5", "label_mL_per_L = 2.5\nanalysis = {X = 1}", 36, "something labels print", True),
    ('name = "Grow 2"', 'name = "grow 1"', 39, "the name Grow 1 stands here a second time", False),
    ('name = "Grow 2"', 'name = "Water"', 39, "the log needs this name", False),
    ('reagent = "citric acid"', 'reagent = "lemon juice"', 46, '"lemon juice", which isn\'t known', False),
    ('direction = "down"', 'direction = "up"', 45, "citric acid moves pH down, not up", False),
    ('direction = "down"\n', "", 43, "adjuster.direction is missing", False),
    ("percent_w_w = 25.0", "percent_w_w = 250.0", 47, "percent_w_w is 250", False),
    ("percent_w_w = 25.0", "percent_w_w = 25.0\nstrength_mol_L = 1.0", 48, "given twice", False),
    ("volts = 230.0", "volts = 23.0", 54, "23 V is not what a house has", True),
    ("circuit_amps = 16.0", "circuit_amps = 160", 55, "160 A is not what a socket's circuit has", True),
    ('usual = ["Ines", "Joss"]', "usual = [1]", 58, "usual is a list", False),
    ("schema = 1\n", "", None, "schema is missing", True),
    ('name = "Cellar stair"', "", None, "name is missing", True),
    ("schema = 1", "schema = 2", 1, "a newer tendtui wrote this file", True),
    ("schema = 1", 'schema = "1"', 1, "schema is words in quotes", False),
    ("[reservoir]", "[reservior]", None, "reservoir is missing", False),
    ("[reservoir]", "[[reservoir]]", 4, "reservoir is a list", False),
    ("watts = 18.0\n", "", 49, "device.watts is missing", False),
    ("label_mL_per_L = 2.5", "label_mL_per_L = 2.5\nanalysis = {CaO = -1}", 36, "CaO is -1", False),
    ("[source]", "[source", 9, "this can't be read", False),
    ("[mains]\n", "[[mains]]\n", 53, "mains is a list", False),
    ("[[device]]", "[device]", 49, "device is a table", False),
    ("[source]", '[show]\nconductivity = "ppm600"\n[source]', 10, '"ppm600", which isn\'t known', False),
    ("[source]", "[meter]\nppm_scale = 600\n[source]", 10, "ppm_scale is 600", False),
    ("[people]", '[people.roles]\nJoss = "boss"\n[people]', 58, '"boss", which isn\'t known', False),
]  # fmt: skip


def _spoil(find: str, put: str) -> str:
    assert find in RACK
    head, _found, tail = (
        RACK.rpartition(find) if "1.7" in put + find and "2.1" in put else RACK.partition(find)
    )
    return head + put + tail


@pytest.mark.parametrize(("find", "put", "line", "words", "usable"), FAULTS)
def test_each_fault_is_named_with_its_line(
    find: str, put: str, line: int | None, words: str, usable: bool
) -> None:
    rack, findings = parse(_spoil(find, put))
    told = [finding for finding in findings if words in str(finding)]
    assert told, findings
    assert told[0].line == line
    assert told[0].do
    assert (rack is not None) == usable


def test_no_fault_hides_another() -> None:
    text = (
        RACK.replace("52.0", "-5").replace("[5.7, 6.3]", "[6.3, 5.7]").replace("volts = 230.0", 'volts = "x"')
    )
    _rack, findings = parse(text)
    assert [finding.line for finding in findings] == [5, 15, 54]


def test_a_rack_without_tiers_is_told_and_can_be_used() -> None:
    rack, findings = parse(re.sub(r"\[\[tier\]\].*?\n\n", "", RACK, flags=re.DOTALL))
    assert rack is not None
    assert rack.tiers == ()
    assert [finding.what for finding in findings] == ["no tier is described"]


def test_a_target_without_a_strength_is_a_target() -> None:
    rack, findings = parse(RACK.replace("conductivity_mS_cm = [1.3, 1.9]\n", ""))
    assert findings == ()
    assert rack is not None
    assert rack.target.conductivity_ms_cm is None
    assert rack.target.ph == (5.7, 6.3)


def test_thirty_tiers_are_a_rack() -> None:
    tier = '[[tier]]\nname = "T{n}"\npipe_inside_mm = 80\nlength_m = 1\noutlet_height_mm = 30\n'
    rack, findings = parse(RACK + "".join(tier.format(n=n) for n in range(28)))
    assert findings == ()
    assert rack is not None
    assert len(rack.tiers) == 30


def test_a_name_that_looks_like_markup_is_only_a_name() -> None:
    rack, findings = parse(
        RACK.replace("Cellar stair", "[/] [bold]A").replace('"Upper"', '"=HYPERLINK(1) [red]"')
    )
    assert findings == ()
    assert rack is not None
    assert rack.name == "[/] [bold]A"


def test_no_rack_names_the_set_up(tmp_path: Path) -> None:
    with pytest.raises(NoRackError) as caught:
        read_rack(Folder(tmp_path))
    assert str(caught.value) == f"{tmp_path}/rack.toml: there is no rack yet. Describe it with tendtui setup."
    assert caught.value.exit_code == 3


def test_a_rack_that_cannot_be_says_the_first_and_how_many_more(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("52.0", "2.0").replace("[5.7, 6.3]", "[6.3, 5.7]"))
    with pytest.raises(StateError, match=r"tendtui check names 1 more\.") as caught:
        read_rack(folder)
    assert (caught.value.file, caught.value.line) == (str(folder.rack), 5)


def test_installing_keeps_every_byte_and_the_file_before(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "new" / "state")
    odd = RACK.replace("\n", "\r\n").encode()
    assert install_rack(folder, odd) is None
    assert folder.rack.read_bytes() == odd
    assert install_rack(folder, odd) is None  # the same again changes nothing
    kept = install_rack(folder, RACK.encode())
    assert kept is not None
    assert kept.read_bytes() == odd
    assert folder.rack.read_bytes() == RACK.encode()


def test_what_describes_no_rack_is_not_installed(tmp_path: Path) -> None:
    folder = Folder(tmp_path / "state")
    with pytest.raises(StateError, match="not above the least mark"):
        install_rack(folder, RACK.replace("52.0", "2.0").encode())
    assert not folder.path.exists()


def test_files_kept_beside_never_cover_each_other(tmp_path: Path) -> None:
    path = tmp_path / "rack.toml"
    first, again, second = (keep_beside(path, data) for data in (b"a", b"a", b"b"))
    assert first == again != second
    assert (first.read_bytes(), second.read_bytes()) == (b"a", b"b")


def test_an_edit_changes_one_number_and_nothing_else(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    rack = edit_rack(folder, {"reservoir.full_L": 54.5, "tier.1.plants": 9})
    assert (rack.reservoir.full_l, rack.tiers[1].plants) == (54.5, 9)
    assert folder.rack.read_text() == RACK.replace("full_L = 52.0", "full_L = 54.5").replace(
        "plants = 7", "plants = 9"
    )


def test_a_new_key_stands_under_its_header_and_not_behind_the_next_tables_comment(tmp_path: Path) -> None:
    text = RACK.replace("[source]\n", "# Town water, from the tap under the stair.\n[source]\n")
    text = text.replace(
        '[[tier]]\nname = "Lower"', '# The lower one leaks at times.\n[[tier]]\nname = "Lower"'
    )
    folder = folder_in(tmp_path, rack=text)
    edit_rack(
        folder,
        {
            "reservoir.brim_L": 66.0,
            "tier.0.pipes": 2,
            "source.alkalinity_mg_L_CaCO3": 90.0,
            "people.phones": {"A": "1"},
        },
    )
    written = folder.rack.read_text()
    assert "aerated = true\nbrim_L = 66.0\n\n# Town water, from the tap under the stair.\n[source]" in written
    assert "plants = 6\npipes = 2\n\n# The lower one leaks at times.\n[[tier]]" in written
    assert "ph = 7.7\nalkalinity_mg_L_CaCO3 = 90.0\n\n[target]" in written
    kept = [line for line in written.splitlines() if "brim_L" not in line and "pipes = 2" not in line]
    assert [line for line in text.splitlines() if line not in kept] == []


def test_a_new_key_goes_into_a_table_that_holds_only_a_comment(tmp_path: Path) -> None:
    folder = folder_in(
        tmp_path, rack=RACK.replace("[mains]", "[measuring]\n# nothing known yet\n\n# sockets\n[mains]")
    )
    edit_rack(folder, {"measuring.jug_L": 1.0})
    assert "[measuring]\n# nothing known yet\njug_L = 1.0\n\n# sockets\n[mains]" in folder.rack.read_text()


def test_an_edit_can_add_and_take_out(tmp_path: Path) -> None:
    folder = folder_in(tmp_path)
    rack = edit_rack(
        folder,
        {
            "meter.ph_step": 0.5,
            "feed.2.name": "Salt",
            "feed.2.label_g_per_L": 0.5,
            "feed.2.label_conductivity_mS_cm": 1.7,
            "tier.1": None,
            "mains": None,
            "place.region": "UK",
        },
    )
    assert rack.meter.ph_step == 0.5
    assert [feed.name for feed in rack.feeds] == ["Grow 1", "Grow 2", "Salt"]
    assert [tier.name for tier in rack.tiers] == ["Upper"]
    assert rack.mains is None
    assert read_rack(folder) == rack
    assert "# a note of the owner's" in folder.rack.read_text()


@pytest.mark.parametrize(
    "changes",
    [
        {"reservoir.full_L": 1.0},
        {"tier.9.plants": 1},
        {"name.x": 1},
        {"name.x.y": 1},
        {"tier.x.y": 1},
        {"tier.x": 1},
    ],
)
def test_an_edit_that_makes_no_rack_changes_nothing(tmp_path: Path, changes: dict[str, object]) -> None:
    folder = folder_in(tmp_path)
    before = tree(folder.path)
    with pytest.raises(RefusedError):
        edit_rack(folder, changes)
    assert tree(folder.path) == before


def test_a_newer_rack_is_read_and_never_written(tmp_path: Path) -> None:
    folder = folder_in(tmp_path, rack=RACK.replace("schema = 1", "schema = 2"))
    assert read_rack(folder).name == "Cellar stair"
    before = tree(folder.path)
    with pytest.raises(StateError, match="only reads it"):
        edit_rack(folder, {"name": "x"})
    assert tree(folder.path) == before


@settings(derandomize=True, deadline=None, max_examples=40)
@given(
    st.dictionaries(
        st.text("abcdefghij_", min_size=3, max_size=8),
        st.one_of(st.integers(-9, 9), st.booleans(), st.text("xyz # []=\u00e9", max_size=9)),
        max_size=5,
    )
)
def test_keys_of_the_owners_survive_an_edit(
    tmp_path_factory: pytest.TempPathFactory, own: dict[str, object]
) -> None:
    import json

    lines = [f"{key} = {json.dumps(value, ensure_ascii=False)}  # mine" for key, value in own.items()]
    text = RACK.replace('name = "Lower"\n', 'name = "Lower"\n' + "".join(f"{line}\n" for line in lines))
    folder = folder_in(tmp_path_factory.mktemp("edit"), rack=text)
    edit_rack(folder, {"tier.1.plants": 3})
    assert folder.rack.read_text() == text.replace("plants = 7", "plants = 3")
