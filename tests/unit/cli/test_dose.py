"""`tendtui dose`: from the log, or from the words of the call; nothing is logged."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.support.calls import Called, call

NOW = "2026-11-25T08:12:00+00:00"

RACK = """\
schema = 1
name = "Porch rack"
[reservoir]
full_L = 60.0
least_L = 30.0
pipes_L = 18.0
[source]
conductivity_mS_cm = 0.30
ph = 7.5
alkalinity_mg_L_CaCO3 = 90.0
[target]
conductivity_mS_cm = [1.4, 1.8]
ph = [5.6, 6.2]
[[feed]]
name = "Feed A"
label_mL_per_L = 2.0
label_conductivity_mS_cm = 1.5
[[feed]]
name = "Feed B"
label_mL_per_L = 2.0
label_conductivity_mS_cm = 1.5
[[adjuster]]
name = "Acid"
direction = "down"
reagent = "phosphoric acid"
percent_w_w = 10.0
"""

Call = Callable[..., Called]


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TENDTUI_NOW", NOW)
    folder = tmp_path / "state"
    folder.mkdir()
    (folder / "rack.toml").write_text(RACK, encoding="utf-8")
    return folder


@pytest.fixture
def run(state: Path, capsys: pytest.CaptureFixture[str]) -> Call:
    def made(*words: str) -> Called:
        return call(capsys, state, *words)

    return made


def planned(run: Call, *words: str) -> dict[str, Any]:
    told = run("dose", "--json", *words)
    assert told.status == 0, told
    table: dict[str, Any] = json.loads(told.out)
    return table


def test_readings_of_the_call_make_a_plan_and_nothing_is_logged(run: Call, state: Path) -> None:
    table = planned(run, "level=47", "conductivity=1.21", "ph=6.4", "temperature=21")
    assert [step["do"] for step in table["steps"]] == ["add_water", "pour", "pour", "wait", "read"]
    assert table["at"] == NOW
    assert sorted(path.name for path in state.iterdir()) == ["rack.toml"]


def test_a_typed_unit_wins(run: Call) -> None:
    readings = planned(run, "conductivity=605ppm500", "temperature=70F", "level=12,5gal")["readings"]
    assert readings["conductivity_mS_cm"] == pytest.approx(1.21)
    assert readings["temperature_C"] == pytest.approx(21.1, abs=0.05)
    assert readings["level_L"] == pytest.approx(47.3, abs=0.05)


def test_the_log_and_the_call_give_the_same_plan(run: Call) -> None:
    words = ("level=47", "conductivity=1.21", "ph=6.4", "temperature=21")
    assert run("record", *words).status == 0
    assert planned(run)["steps"] == planned(run, *words)["steps"]


def test_after_a_pour_it_is_wait_and_read(run: Call) -> None:
    run("record", "level=58", "conductivity=1.6", "ph=6.9", "--at", "2026-11-25T07:50+00:00")
    run("record", "poured.Acid=10", "--at", "2026-11-25T08:02+00:00")
    table = planned(run)
    assert table["steps"] == [
        {"do": "wait", "minutes": 5.0},
        {"do": "read", "what": ["conductivity", "ph"]},
    ]
    assert table["expect"]["ph"] < 6.9


def test_an_unusual_reading_is_read_again_until_a_second_is_near(run: Call) -> None:
    for day, ph in (("22", "5.9"), ("23", "5.9"), ("24", "6.0")):
        words = ("level=58", "conductivity=1.6", f"ph={ph}")
        run("record", *words, "--at", f"2026-11-{day}T08:00+00:00")
    run("record", "level=57", "conductivity=1.6", "ph=8.9", "--at", "2026-11-25T08:00+00:00")
    assert planned(run)["steps"] == [{"do": "read", "what": ["ph"]}]
    run("record", "ph=8.8", "--at", "2026-11-25T08:05+00:00")
    assert planned(run)["steps"][0]["what"] == "Acid"


def test_a_meter_without_compensation_is_brought_to_25_degrees(run: Call, state: Path) -> None:
    text = RACK.replace("[target]", "[meter]\ntemperature_compensated = false\n[target]")
    (state / "rack.toml").write_text(text, encoding="utf-8")
    readings = planned(run, "conductivity=1.3", "temperature=15", "level=58", "ph=6")["readings"]
    assert readings["conductivity_mS_cm"] == pytest.approx(1.3 / 0.8, rel=0.02)  # 2 % a degree, ten degrees


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("ec=1.2", "'ec=1.2' is not a reading"),
        ("ph", "'ph' is not a reading"),
        ("ph=acid", "ph: acid is not a number"),
        ("level=-3", "below nothing"),
        ("ph=44", "ph:"),
    ],
)
def test_a_wrong_word_is_said_in_one_line(run: Call, word: str, said: str) -> None:
    told = run("dose", word)
    assert told.status == 2
    assert told.err.startswith("tendtui: ")
    assert said in told.err
    assert told.err.count("\n") == 1


def test_a_reading_named_twice_is_refused(run: Call) -> None:
    assert run("dose", "ph=6", "ph=7").status == 2


def test_the_plain_face_says_the_same_amounts(run: Call) -> None:
    words = ("level=47", "conductivity=1.21", "ph=6.4", "temperature=21")
    text = run("dose", *words).out
    for step in planned(run, *words)["steps"]:
        if step["do"] == "pour":
            assert f"pour {step['mL']:g} millilitres" in text


def test_without_a_rack_it_names_the_set_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = call(capsys, tmp_path / "none", "dose")
    assert told.status == 3
    assert "tendtui setup" in told.err


PEOPLE = """
[people]
usual = ["Mo", "Ash"]
[people.roles]
Ash = "shown"
[people.phones]
Mo = "555 0100"
"""


@pytest.fixture
def staffed(state: Path) -> Path:
    rack = state / "rack.toml"
    rack.write_text(rack.read_text(encoding="utf-8") + PEOPLE, encoding="utf-8")
    return state


READ = ("temperature=21", "level=47")


@pytest.mark.parametrize(
    "read",
    [
        ("conductivity=1.21", "ph=6.4"),  # weak, and a little alkaline
        ("conductivity=1.6", "ph=7.4"),  # acid wanted
        ("conductivity=1.6", "ph=4.6"),
        ("conductivity=2.4", "ph=6.0"),  # too strong: water only, perhaps drained
        ("conductivity=1.6", "ph=6.0"),
    ],
)
def test_somebody_who_may_not_dose_is_given_water_and_the_rest_is_held(
    run: Call, staffed: Path, read: tuple[str, ...]
) -> None:
    whole = planned(run, *READ, *read)
    assert "held" not in whole
    assert planned(run, *READ, *read, "--by", "Mo") == whole
    assert planned(run, *READ, *read, "--by", "Ash") == whole  # was shown how
    table = planned(run, *READ, *read, "--by", "Zoe")
    assert {step["do"] for step in table["steps"]} <= {"add_water", "wait", "read"}
    level = 47.0 + sum(step.get("litres", 0.0) for step in table["steps"])
    assert level <= 60.0
    held = [step for step in whole["steps"] if step["do"] in ("pour", "drain")]
    assert [step for step in table["held"] if step["do"] != "add_water"] == held
    if held:
        assert table["expect"] == dict.fromkeys(table["expect"])
    assert sorted(path.name for path in staffed.iterdir()) == ["rack.toml"]


def test_a_change_is_the_growers_also_for_somebody_who_was_shown(run: Call, staffed: Path) -> None:
    del staffed
    read = (*READ, "conductivity=4.5", "ph=6.0")
    whole = planned(run, *read, "--by", "Mo")
    assert whole["verdict"] == "change"
    shown = planned(run, *read, "--by", "Ash")
    assert (shown["steps"], shown["held"]) == ([], whole["steps"])
    assert "the water is to be changed" in run("dose", *read, "--by", "Ash").out


def test_who_poured_today_stands_above_the_steps(run: Call) -> None:
    fresh = run("dose", *READ, "conductivity=1.2", "ph=6.0")
    assert fresh.out.startswith("Nothing was poured today, as far as the diary knows.\n")
    run("record", "poured.Feed A=40", "--by", "Ash", "--at", "2026-11-25T07:10:00+00:00")
    run("record", "conductivity=1.2", "ph=6.0", "level=47", "--by", "Mo")
    again = run("dose")
    assert again.out.startswith(
        "Poured today: Ash 07:10 40 millilitres Feed A. What follows comes on top of it.\n"
    )
    assert (
        "oured today" not in run("dose", "level=58", "conductivity=1.6", "ph=5.9").out
    )  # nothing to pour: nothing to guard


def test_the_held_plan_is_said_with_whom_to_ring(run: Call, staffed: Path) -> None:
    del staffed
    told = run("dose", *READ, "conductivity=1.6", "ph=7.4", "--by", "Zoe")
    assert "That is for the grower: pour " in told.out
    assert "Leave those bottles shut, and ring the grower.\n  Mo: 555 0100\n" in told.out
    assert "tendtui round" in told.out
    weak = run("dose", *READ, "conductivity=1.0", "ph=6.0", "--by", "Zoe")
    assert "Add no water either" in weak.out
    strong = run("dose", *READ, "conductivity=2.0", "ph=6.0", "--by", "Zoe")
    assert re.search(r"What you can do now:\n  Add [\d.]+ litres of plain water\.", strong.out)


WEAK = ("conductivity=1.0", "ph=7.0")


def test_without_a_name_it_is_said_whose_the_bottles_are(run: Call, staffed: Path) -> None:
    del staffed
    told = run("dose", *READ, *WEAK).out
    assert told.startswith("Bottles are for Mo, Ash alone. Anybody else leaves them shut.\n")
    assert told.index("tendtui dose --by YOUR-NAME") < told.index("Steps, in this order:")
    assert "Bottles are for" not in run("dose", *READ, *WEAK, "--by", "Mo").out
    still = ("level=58", "temperature=21", "conductivity=1.6", "ph=6.0")  # none is opened
    assert "Bottles are for" not in run("dose", *still).out


def test_where_a_newcomer_read_last_the_steps_are_the_growers(run: Call, staffed: Path) -> None:
    del staffed
    run("record", *READ, *WEAK, "--by", "Zoe")
    told = run("dose").out
    assert "Steps, in this order" not in told
    assert "Leave those bottles shut" in told
    assert told.endswith("Mo, Ash may see the steps: tendtui dose --by NAME\n")
    assert "Steps, in this order" in run("dose", "--by", "Mo").out
    assert any(step["do"] == "pour" for step in planned(run)["steps"])  # a script reads the whole of it


def test_a_dose_held_for_the_grower_is_said_first(run: Call, staffed: Path) -> None:
    run("record", *READ, *WEAK, "--by", "Mo", "--at", "2026-11-25T08:00:00+00:00")
    log = staffed / "log" / "2026-11.toml"
    note = '[[note]]\nid = "held1"\nseq = 90\nat = 2026-11-25T08:05:00+00:00\nby = "Zoe"\n'
    log.write_text(
        log.read_text(encoding="utf-8")
        + note
        + 'text = "pour 20 millilitres of Feed A"\nabout = "held-dose"\n',
        encoding="utf-8",
    )
    first = "[!] Held for the grower (Zoe, today 08:05): pour 20 millilitres of Feed A.\n"
    nameless = run("dose").out
    assert nameless.startswith(first)
    assert "Steps, in this order" not in nameless
    grower = run("dose", "--by", "Mo").out
    assert grower.startswith(first)
    assert "Steps, in this order" in grower


@pytest.mark.parametrize("by", [(), ("--by", "Mo"), ("--by", "Zoe")])
def test_no_step_is_given_while_a_stop_stands(run: Call, staffed: Path, by: tuple[str, ...]) -> None:
    run("record", *READ, *WEAK, "--by", "Mo", "--at", "2026-11-25T08:00:00+00:00")
    log = staffed / "log" / "2026-11.toml"
    found = '[[task]]\nid = "f1"\nseq = 90\nat = 2026-11-25T08:05:00+00:00\nby = "Zoe"\n'
    found += 'task = "no-water-on-floor"\noutcome = "found"\ntext = "water on the floor"\nseverity = "stop"\n'
    log.write_text(log.read_text(encoding="utf-8") + found, encoding="utf-8")
    told = run("dose", *by)
    assert told.status == 0
    assert told.out.startswith("[!] Stop: water on the floor (No puddles, drips or trailing hoses).\n")
    assert "millilitre" not in told.out
    assert "Mo 555 0100" in told.out
    table = planned(run, *by)
    assert table["steps"] == []
    assert table["stop"].startswith("Stop: water on the floor")
    assert table["reasons"][0] == table["stop"]
    assert [step["do"] for step in table["held"]][:2] == ["add_water", "pour"]
