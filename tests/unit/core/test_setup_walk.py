"""The whole set-up, walked through the engine."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import pytest

from tendtui.core.event import Note
from tendtui.core.rack import Rack, Show
from tendtui.core.setup_ask import ask_id
from tendtui.core.setup_edit import EditScript
from tendtui.core.setup_walk import SetupScript, setup_script
from tendtui.core.walk import Walk, fold, prompt
from tendtui.errors import RefusedError
from tendtui.store.rack_file import parse_rack
from tests.support.setup_data import ASKS, FIRST, NOW, ROOM, Person

LATER: Mapping[str, str] = {
    "later.now": "2",
    "reservoir.brim": "75",
    "tools.jug": "1",
    "meter.compensated": "1",
    "place.region": "1",
    "place.altitude": "120",
    "mains.volts": "1",
    "mains.amps": "16",
    "mains.protection": "1",
    "devices.count": "2",
    "device-1.kind": "1",
    "device-2.kind": "3",
    "device.name": "",
    "device.watts": "25",
    "device.count": "1",
    "phones.list": "Ann 0123 456, electrician 0987 654",
    "target.change_days": "14",
}


def _walked(given: Mapping[str, str]) -> tuple[Person, Rack, str]:
    person = Person.begins().answers({**FIRST, **given})
    text = str(person.finishes().context["rack_toml"])
    rack, findings = parse_rack(text.encode(), file=Path("rack.toml"))
    assert rack is not None, findings
    assert [f for f in findings if f.severity == "error"] == []
    return person, rack, text


def test_a_first_dose_needs_one_tier_and_few_questions() -> None:
    person, rack, _text = _walked({})
    assert len(person.walk.entries) < 50
    assert (rack.name, rack.people) == ("Attic rack", ("Ida", "Bo"))
    assert [tier.crops for tier in rack.tiers] == [("lettuce", "basil")]
    assert [(f.name, f.label_ml_per_l, f.label_conductivity_ms_cm) for f in rack.feeds] == [
        ("Grow A", 2.0, 1.5),
        ("Grow B", 2.0, 1.5),
    ]
    assert rack.adjusters[0].reagent == "phosphoric acid"
    assert rack.source.alkalinity_mg_l_caco3 == pytest.approx(90.0)


def test_a_dry_rack_goes_on_to_its_first_fill_and_a_running_one_does_not() -> None:
    dry, _rack, _text = _walked({})
    running, _rack, _text = _walked({"welcome.state": "2"})
    assert dry.finishes().then == "fill"
    assert running.finishes().then is None


def test_three_tiers_have_their_own_measures_where_they_differ() -> None:
    _person, rack, _text = _walked(
        {"tiers.count": "3", "tier-2.same": "2", "tier-2.bore": "104", "tier-2.lip": "60", "tier-3.same": "1"}
    )
    assert [tier.name for tier in rack.tiers] == ["Top", "Middle", "Bottom"]
    assert [tier.pipe_inside_mm for tier in rack.tiers] == [80.0, 104.0, 104.0]


def test_thirty_tiers_need_four_questions_each() -> None:
    person, rack, _text = _walked({"tiers.count": "30"})
    assert len(rack.tiers) == 30
    assert len({tier.name for tier in rack.tiers}) == 30
    assert len(person.walk.entries) < 50 + 29 * 4


def test_the_later_part_is_asked_when_it_is_wanted() -> None:
    _person, rack, _text = _walked(LATER)
    assert rack.reservoir.brim_l == 75.0
    assert rack.measuring.jug_l == 1.0
    assert (rack.place.region, rack.place.altitude_m) == ("UK", 120.0)
    assert rack.mains is not None
    assert rack.mains.circuit_amps == 16.0
    assert [(d.name, d.kind) for d in rack.devices] == [("Pump", "pump"), ("Lamps", "light")]
    assert rack.phones == {"Ann": "0123 456", "electrician": "0987 654"}
    assert rack.target.change_every_days == 14


def test_whatever_can_be_unknown_may_be_left_empty() -> None:
    unknown = {
        "rack.people": "",
        "units.conductivity": "6",
        "reservoir.aerated": "3",
        "tier.crops": "",
        "tier.plants": "",
        "source.conductivity": "",
        "source.ph": "",
        "source.alkalinity": "",
        "meter.ec_step": "4",
        "meter.ph_step": "4",
        "feeds.strength": "",
        "adjuster.acid": "6",
        "adjuster.percent": "",
        "tools.liquid": "",
        "tools.water": "",
        "later.now": "2",
        "reservoir.brim": "",
        "tools.jug": "",
        "meter.compensated": "3",
        "place.region": "8",
        "place.altitude": "",
        "mains.volts": "4",
        "devices.count": "0",
        "phones.list": "",
        "target.change_days": "",
    }
    _person, rack, text = _walked(unknown)
    assert rack.source.conductivity_ms_cm is None
    assert rack.source.alkalinity_mg_l_caco3 is None
    assert rack.adjusters[0].reagent is None
    assert rack.mains is None
    assert rack.meter.ph_step == 0.5
    assert rack.feeds[0].label_conductivity_ms_cm == 1.6
    assert text.count("not known yet, this stands in") >= 5


def test_a_rack_without_feed_or_bottles_can_be_described() -> None:
    person, rack, _text = _walked({"feeds.count": "0", "adjusters.count": "0"})
    assert rack.feeds == ()
    assert rack.adjusters == ()
    assert person.finishes().then == "fill"


def test_a_powder_is_asked_in_grams_and_its_scale_too() -> None:
    _person, rack, _text = _walked({"feed-2.kind": "2", "tools.powder": "0.05"})
    assert [(f.label_ml_per_l, f.label_g_per_l) for f in rack.feeds] == [(2.0, None), (None, 0.5)]
    assert rack.measuring.powder_g == 0.05


def test_an_alkali_is_asked_as_an_alkali() -> None:
    _person, rack, _text = _walked(
        {"adjuster.name": "Alkali", "adjuster.direction": "2", "adjuster.alkali": "2"}
    )
    assert (rack.adjusters[0].direction, rack.adjusters[0].reagent) == ("up", "potassium carbonate")


def test_numbers_are_read_in_the_units_said_before() -> None:
    given = {
        "units.conductivity": "5",
        "units.temperature": "2",
        "units.volume": "2",
        "reservoir.full": "16",
        "reservoir.least": "6,5",
        "source.conductivity": "210",
        "feeds.strength": "1050",
        "tools.water": "0.25",
    }
    _person, rack, _text = _walked(given)
    assert rack.show == Show(conductivity="ppm700", temperature="F", volume="gal")
    assert rack.meter.ppm_scale == 700
    assert rack.reservoir.full_l == pytest.approx(16 * 3.785411784, abs=0.001)
    assert rack.source.conductivity_ms_cm == pytest.approx(0.3)
    assert rack.feeds[0].label_conductivity_ms_cm == pytest.approx(1.5)


def test_the_wizard_answers_as_it_goes() -> None:
    person = Person.begins().answers(FIRST, until="tier-1.lip")
    assert "4.7 litres stand in this pipe" in person.types("45").notice
    person.answers(FIRST, until="tiers.seen")
    said = person.before()
    assert "In all 4.7 litres" in said
    assert "When the pump stops" in said
    person.types("")
    said = person.before()
    assert "Conductivity: 1.20 to 1.60" in said
    assert "pH: 5.8 to 6.2" in said


def test_crops_that_do_not_meet_are_told_with_who_pays() -> None:
    person = Person.begins().answers({**FIRST, "tier.crops": "basil, spinach"}, until="crops.seen")
    said = person.before()
    assert "who pays: basil (wants 1.00 to 1.60, gets 0.10 too much); spinach" in said


def test_the_drain_back_is_judged_once_the_brim_is_known() -> None:
    person = Person.begins().answers({**FIRST, "reservoir.brim": "61"}, until="tiers.seen")
    assert "it can run over" in person.before()
    person.answers(FIRST, until="end.write")
    assert "it can run over" in person.before()


def test_one_can_go_back_mend_and_is_asked_on_where_one_was() -> None:
    person = Person.begins().answers(FIRST, until="source.ph")
    for _step in range(4):
        person.goes_back()
    assert person.key == "tier-1.plants"
    person.types("12")
    assert person.key == "source.ph"
    person.answers(FIRST)
    text = str(person.finishes().context["rack_toml"])
    assert tomllib.loads(text)["tier"][0]["plants"] == 12


def test_fewer_tiers_after_all_leave_the_others_out_and_more_are_asked() -> None:
    person = Person.begins().answers({**FIRST, "tiers.count": "2"}, until="source.conductivity")
    while person.key != "tiers.count":
        person.goes_back()
    person.types("1")
    assert person.key == "source.conductivity"
    while person.key != "tiers.count":
        person.goes_back()
    person.types("3")
    assert person.key == "tier-3.same"


def test_a_bore_mended_below_its_lip_asks_for_the_lip_again() -> None:
    person = Person.begins().answers(FIRST, until="tier-1.outlets")
    person.goes_back()
    person.goes_back()
    person.goes_back()
    assert person.key == "tier-1.bore"
    person.types("42")
    assert person.key == "tier-1.lip2"
    with pytest.raises(RefusedError, match="above the pipe"):
        person.types("43")
    person.types("25")
    while person.key != "tier-1.bore":
        person.goes_back()
    with pytest.raises(RefusedError, match="Measure the"):
        person.types("20")  # unusual, yet refused before it is asked about
    person.types("42")
    person.answers(FIRST)
    rack = tomllib.loads(str(person.finishes().context["rack_toml"]))
    assert rack["tier"][0]["outlet_height_mm"] == 25.0


def test_a_full_mark_mended_below_the_least_asks_for_the_least_again() -> None:
    person = Person.begins().answers(FIRST, until="reservoir.aerated")
    while person.key != "reservoir.full":
        person.goes_back()
    person.types("20")
    assert person.key == "reservoir.least~2"
    assert "does this still hold?" in person.before()
    person.types("8")
    while person.key != "reservoir.full":
        person.goes_back()
    person.types("7")
    assert person.key == "reservoir.least~3"
    with pytest.raises(RefusedError, match="must stand above the least mark"):
        person.types("8")
    while person.key != "reservoir.full":
        person.goes_back()
    person.types("20")
    person.answers(FIRST)
    assert tomllib.loads(str(person.finishes().context["rack_toml"]))["reservoir"]["least_L"] == 8.0


def test_a_full_mark_mended_far_below_the_brim_asks_for_the_brim_again() -> None:
    given = {**FIRST, "reservoir.full": "50", "reservoir.brim": "80", "reservoir.least": "15"}
    person = Person.begins().answers(given, until="tiers.count")
    while person.key != "reservoir.full":
        person.goes_back()
    person.types("20")
    assert person.key == "reservoir.brim~2"
    person.types("25")
    assert person.key == "tiers.count", "the least mark still fits"
    person.answers(given)
    reservoir = tomllib.loads(str(person.finishes().context["rack_toml"]))["reservoir"]
    assert (reservoir["full_L"], reservoir["brim_L"], reservoir["least_L"]) == (20.0, 25.0, 15.0)


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("reservoir.brim", "2080", "2080 litres to the brim and 60 litres at the full mark are far apart"),
        ("reservoir.least", "58", "unusual beside 60 litres"),
        ("reservoir.least", "1", "unusual beside 60 litres"),
    ],
)
def test_marks_far_apart_are_typed_twice(key: str, typed: str, words: str) -> None:
    person = Person.begins().answers(FIRST, until=key)
    assert words in person.types(typed).notice
    assert person.key == key


def test_a_crop_mended_shows_the_bands_again_and_a_measure_the_litres() -> None:
    person = Person.begins().answers(FIRST, until="source.ph")
    while person.key != "tier-1.crops":
        person.goes_back()
    person.types("basil, spinach")
    assert person.key == "crops.seen~2"
    assert "who pays" in person.before()
    person.types("")
    assert person.key == "source.ph"
    while person.key != "tier-1.length":
        person.goes_back()
    person.types("3.2")
    assert person.key == "tiers.seen~2"
    assert "In all 9.3 litres" in person.before()
    person.types("")
    assert person.key == "source.ph"


def test_the_whole_rack_is_read_over_with_crops_plants_bottles_and_tools() -> None:
    person = Person.begins().answers({**FIRST, "tiers.count": "2", "tier-2.crops": ""}, until="end.write")
    said = person.before()
    for words in (
        "Attic rack: reservoir 60 litres at the full mark, least 25 litres.",
        "Top: lettuce, basil; 10 plants",
        "Feed: Grow A (2 mL a litre), Grow B (2 mL a litre).",
        "pH: Down (down, phosphoric acid 10 %).",
        "Smallest steps that can be measured: 0.5 millilitres, 0.5 litres.",
    ):
        assert words in said


def test_what_stands_in_for_unknown_water_is_what_the_plan_takes() -> None:
    water = tomllib.loads((files("tendtui") / "data" / "feeds.toml").read_text(encoding="utf-8"))["water"]
    assert ASKS["source.conductivity"].unsure.startswith(f"{water['conductivity_mS_cm']:g} mS/cm is taken")
    assert ASKS["source.ph"].unsure.startswith(f"{water['ph']:g} is taken")


def test_what_nobody_knew_is_said_before_it_is_written() -> None:
    person = Person.begins().answers({**FIRST, "source.ph": "", "tools.liquid": ""}, until="end.write")
    said = person.before()
    assert "Not known yet: What is its pH? 7.6 is taken, and the plan says so; " in said
    assert "0.5 millilitres are taken." in said
    assert "Not known yet" not in Person.begins().answers(FIRST, until="end.write").before()


def test_crops_without_plants_are_asked_about_before_it_is_written() -> None:
    given = {**FIRST, "tiers.count": "2", "tier-2.plants": "", "tier-2.plants_again": "7"}
    person = Person.begins().answers(given, until="tier-2.plants_again")
    question = person.at()
    assert question is not None
    assert question.ask == "lettuce, basil grow here, and 0 plants were said. How many stand there now?"
    person.answers(given)
    assert tomllib.loads(str(person.finishes().context["rack_toml"]))["tier"][1]["plants"] == 7


def test_each_bottle_has_an_example_of_its_own() -> None:
    given = {**FIRST, "adjusters.count": "2", "adjuster-2.name": "Up"}
    person = Person.begins()
    usual = {}
    for key in ("feed-1.name", "feed-2.name", "adjuster-1.name", "adjuster-2.name"):
        question = person.answers(given, until=key).at()
        assert question is not None
        usual[key] = dict(question.facts)["usual"]
    assert list(usual.values()) == ["Feed A", "Feed B", "pH Down", "pH Up"]


def test_a_bottle_holding_another_name_is_asked_about_and_kept_with_a_mark() -> None:
    given = {**FIRST, "feed-1.name": "Feed A", "feed-2.name": "Feed A extra!"}
    person = Person.begins().answers(given, until="feed-2.name")
    with pytest.raises(RefusedError, match="holds the name of another bottle, Feed A"):
        person.types("Feed AFeed B")
    person.answers(given)
    feeds = tomllib.loads(str(person.finishes().context["rack_toml"]))["feed"]
    assert [feed["name"] for feed in feeds] == ["Feed A", "Feed A extra"]


def test_no_refusal_speaks_of_what_the_set_up_does_not_have() -> None:
    """Every question, answered with nothing and with words: `not done` is no answer here."""
    person = Person.begins()
    given = {**FIRST, **LATER}
    while person.key:
        for typed in ("", "abc"):
            question = person.at()
            assert question is not None
            if question.kind.value != "number" or (question.optional and not typed):
                continue
            with pytest.raises(RefusedError) as refused:
                person.types(typed)
            said = str(refused.value)
            assert "not done" not in said
            assert ("abc is not a number" in said) == (typed == "abc")
        person.types(given.get(person.key, given.get(ask_id(person.key), "")))


@pytest.mark.parametrize(
    "key", ["reservoir.full", "reservoir.least", "tier-1.bore", "tier-1.lip", "feed-1.amount_ml"]
)
def test_a_number_that_is_needed_says_how_to_find_it_now(key: str) -> None:
    person = Person.begins().answers(FIRST, until=key)
    with pytest.raises(RefusedError, match=r"Find it now|The label, or the maker"):
        person.types("")


def test_a_meter_and_a_fuse_that_nobody_knows_can_be_left_open() -> None:
    given = {**LATER, "units.conductivity": "7", "tier.outlets": "", "mains.amps": ""}
    person, rack, text = _walked(given)
    assert not fold(person.walk.entries).done("mains.protection"), "nothing is asked to be thrown away"
    assert rack.show.conductivity == "mS/cm"
    assert "not known yet, this stands in" in next(
        line for line in text.splitlines() if line.startswith("conductivity =")
    )
    assert rack.tiers[0].outlets == 1
    assert rack.mains is None


def test_an_unusual_number_is_typed_twice() -> None:
    person = Person.begins().answers(FIRST, until="tier-1.bore")
    assert "unusual here" in person.types("15").notice
    assert person.key == "tier-1.bore"
    person.types("80")
    assert person.key == "tier-1.length"


def test_a_pipe_called_by_its_outside_size_is_measured_inside() -> None:
    person = Person.begins().answers(FIRST, until="tier-1.bore")
    assert "Pipes called 110 mm measure that outside, and about 104 mm inside" in person.types("110").notice
    person.types("104")
    assert person.key == "tier-1.length"


def test_the_size_of_the_syringe_is_not_taken_for_the_distance_of_its_marks() -> None:
    person = Person.begins().answers(FIRST, until="tools.liquid")
    said = person.types("10").notice
    assert "10 millilitres from one mark to the next?" in said
    assert "not the size of the syringe" in said


def test_tap_water_stronger_than_tap_water_is_asked_about() -> None:
    person = Person.begins().answers(FIRST, until="source.conductivity")
    assert "unusual here" in person.types("1.2").notice


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("reservoir.full", "0", "can't be tended"),
        ("reservoir.least", "60", "The full mark \\(60 litres\\) must stand above the least mark"),
        ("reservoir.least", "--", "not a number"),
        ("reservoir.full", "nan", "not a number"),
        ("reservoir.full", "1e9", "exponent"),
        ("reservoir.full", "", "Nothing was typed"),
        ("reservoir.full", "9" * 200, "too long"),
        ("reservoir.full", "٦٠", "digits that can be misread"),
        ("tiers.count", "0", "at least one tier"),
        ("tiers.count", "61", "up to 60"),
        ("tiers.count", "2.5", "whole number"),
        ("tier-1.bore", "5", "10 to 500 mm"),
        ("tier-1.lip", "81", "would stand above the pipe, which is 80 mm"),
        ("tier-1.lip", "0", "keeps no water"),
        ("tier-1.length", "0", "length of all pipe"),
        ("tier-1.outlets", "0", "at least one outlet"),
        ("tier-1.crops", "letuce, basil", "Is it lettuce"),
        ("tier-1.crops", "x" * 50, "commas between"),
        ("tier-1.crops", "8", "8 is no crop"),
        ("tier-1.crops", "lettuce, 1!", "1 is no crop"),
        ("feeds.count", "13", "Up to 12"),
        ("feed-1.amount_ml", "0", "feeds nothing"),
        ("feeds.strength", "0", "adds nothing to the conductivity"),
        ("feed-2.name", "grow a", "taken already"),
        ("adjuster-1.name", "Grow B", "taken already"),
        ("feed-1.name", "water", "a word of the log"),
        ("feed-1.name", "A=B", "can't hold the sign ="),
        ("feed-1.name", "1", "1 is a number, not a bottle's name"),
        ("adjuster-1.name", "12.5", "12.5 is a number, not a bottle's name"),
        ("rack.name", "\x00\x07", "Nothing was typed"),
        ("rack.name", "--", "-- is no name"),
        ("feed-1.name", "?", "\\? is no name"),
        ("rack.name", "n" * 61, "60 fit on a page"),
        ("adjuster-1.direction", "2", "Down says by its name that it takes pH down"),
        ("adjuster-1.percent", "0", "moves nothing"),
        ("source.alkalinity", "50meq", "more than any drinking water"),
        ("reservoir.brim", "59", "brim must lie above"),
        ("phones.list", "Ann", "needs a name and a number"),
        ("mains.amps", "0", "number printed on the fuse"),
        ("target.change_days", "2.5", "whole days"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_do_and_nothing_is_lost(
    key: str, typed: str, words: str
) -> None:
    person = Person.begins().answers({**FIRST, **LATER}, until=key)
    before = person.walk
    with pytest.raises(RefusedError, match=words):
        person.types(typed)
    assert person.walk == before


def test_full_must_stay_below_a_brim_said_before() -> None:
    person = Person.begins().answers({**FIRST, **LATER}, until="tools.jug")
    while person.key != "reservoir.full":
        person.goes_back()
    with pytest.raises(RefusedError, match="below the brim"):
        person.types("80")


def test_an_unknown_crop_is_kept_with_a_mark_or_where_none_is_near() -> None:
    _person, rack, _text = _walked({"tier.crops": "letuce!, tulip; basil"})
    assert rack.tiers[0].crops == ("letuce", "tulip", "basil")


@pytest.mark.parametrize(
    "name", ["[/]", 'a "b" \\ c', "# no comment", "'''", "[bold]x[/bold]", "مزرعة", "🌱 {n}"]
)
def test_hostile_names_come_through_unharmed(name: str) -> None:
    _person, rack, _text = _walked(
        {
            "rack.name": name,
            "rack.people": name,
            "tier.name": name,
            "feed-1.name": name,
            "adjuster.name": name + " x!",
            "tier.crops": name + "!",
        }
    )
    assert (rack.name, rack.tiers[0].name, rack.feeds[0].name) == (name, name, name)
    assert rack.tiers[0].crops == (name,)


def test_a_usual_name_makes_way_for_a_typed_one() -> None:
    _person, rack, _text = _walked({"tiers.count": "3", "tier-1.name": "Bottom"})
    assert [tier.name for tier in rack.tiers] == ["Bottom", "Middle", "Bottom 2"]


def test_devices_of_a_kind_are_told_apart() -> None:
    _person, rack, _text = _walked({**LATER, "device-2.kind": "1"})
    assert [device.name for device in rack.devices] == ["Pump", "Pump 2"]


def test_a_number_alone_can_be_rung() -> None:
    _person, rack, _text = _walked({**LATER, "phones.list": "+44 20 1234"})
    assert rack.phones == {"+44 20 1234": "+44 20 1234"}


@pytest.mark.parametrize(("lip", "words"), [("75", "close under the top"), ("12", "pots must reach down")])
def test_a_lip_near_an_edge_is_told(lip: str, words: str) -> None:
    person = Person.begins().answers(FIRST, until="tier-1.lip")
    assert words in person.types(lip).notice


def test_another_number_the_second_time_is_kept_with_a_mark() -> None:
    person = Person.begins().answers(FIRST, until="tier-1.bore")
    person.types("15")
    person.types("16")
    answer = fold(person.walk.entries).by_key["tier-1.bore"]
    assert (answer.value, answer.first, answer.doubt) == (16.0, 15.0, True)


def test_nothing_is_logged_before_the_end_and_then_one_note() -> None:
    person = Person.begins()
    while person.key:
        turn = person.types(FIRST.get(person.key) or FIRST[ask_id(person.key)])
        assert turn.events == ()
    assert [type(event) for event in person.finishes().events] == [Note]


def test_the_tier_above_can_be_repeated_with_one_sign() -> None:
    given = {**FIRST, "tiers.count": "2", "tier-2.same": "2"}
    person = Person.begins().answers(given, until="tier-2.length")
    question = person.at()
    assert question is not None
    assert question.same == "1.6"


def test_every_question_says_why_and_what_is_usual_says_who_says_so() -> None:
    for ask in ASKS.values():
        assert ask.why or ask.kind == "pause" or ask.id in ("edit.which", "device.name", "device.count")
        assert not ask.usual or ask.origin
        assert not ask.bounds or ask.refused
        assert not ask.optional or ask.unsure


def test_what_is_usual_here_without_a_source_makes_no_noise_on_the_page() -> None:
    assert "source" not in ASKS["tier.length"].question("tier-1.length", Show()).why
    assert "FAO Irrigation and Drainage Paper 29" in ASKS["source.conductivity"].question("c", Show()).why


def test_the_list_says_what_was_answered() -> None:
    person = Person.begins().answers(FIRST, until="end.write")
    shown = prompt(person.walk, person.script())
    assert shown is not None
    rows = {row.name: row.found for row in shown.rows}
    assert rows["Top"] == "4.7 litres"
    assert rows["Reservoir"] == "least 25, full 60 litres"
    assert rows["Units"] == "mS/cm, C, L"


def test_the_list_says_which_unit_stands_in_for_a_meter_that_nobody_knows() -> None:
    person = Person.begins().answers({**FIRST, "units.conductivity": "7"}, until="end.write")
    shown = prompt(person.walk, person.script())
    assert shown is not None
    assert {row.name: row.found for row in shown.rows}["Units"] == "mS/cm, C, L"


def test_a_set_up_taken_up_later_asks_on() -> None:
    person = Person.begins().answers(FIRST, until="feeds.count")
    again = Person(walk=Walk(kind="setup", id="w", began=NOW, by="Bo", entries=person.walk.entries))
    assert again.key == "feeds.count"
    assert again.script().kind == "setup"


def test_an_answer_undone_is_asked_again() -> None:
    person = Person.begins().answers(FIRST, until="reservoir.brim")
    person.undoes()
    assert person.key == "reservoir.full"


def test_a_rack_that_is_there_is_changed_in_parts_unless_all_is_wanted() -> None:
    _person, rack, _text = _walked({})
    new = Walk(kind="setup", id="w", began=NOW, by="Ida")
    whole = Walk(kind="setup", id="w", began=NOW, by="Ida", context={"whole": True})
    begun = Person.begins().answers(FIRST, until="rack.name").walk
    assert isinstance(setup_script(new, asks=ASKS, crops=ROOM, rack=rack), EditScript)
    assert isinstance(setup_script(new, asks=ASKS, crops=ROOM), SetupScript)
    assert isinstance(setup_script(whole, asks=ASKS, crops=ROOM, rack=rack), SetupScript)
    assert isinstance(setup_script(begun, asks=ASKS, crops=ROOM, rack=rack), SetupScript)


def test_a_set_up_half_done_can_already_be_shown() -> None:
    person = Person.begins().answers({**FIRST, "tiers.count": "2"}, until="tier-2.same")
    shown = prompt(person.walk, person.script())
    assert shown is not None
    assert {row.name: row.found for row in shown.rows}["Bottom"] == ""
    assert fold(person.walk.entries).done("tier-1.plants")
