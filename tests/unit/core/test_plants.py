"""What stands where, what can't be moved, and what the plants ask for."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.event import Event, Plants
from tendtui.core.light import dli_mol, hours_for_dli, lamp_lines, lamps_of, read_stages
from tendtui.core.plant_calendar import calendar_of, plant_asks, read_calendars, stage_of, stage_of_tier
from tendtui.core.plants import as_planted, check_plants, standing, young_by_tier
from tendtui.core.plants_walk import PlantsScript
from tendtui.core.walk import Walk, enter, fold, here, prompt
from tendtui.errors import RefusedError
from tests.support.slow_data import rack, table

NOW = datetime(2026, 5, 30, 8, tzinfo=UTC)
CALENDARS = read_calendars(table("plants"))
STAGES = read_stages(table("plants"))


def plants(
    act: str, count: int, *, days_ago: int, tier: str = "", crop: str = "basil", stage: str = ""
) -> Plants:
    return Plants(
        id=f"{act}{days_ago}{crop}{tier}",
        seq=1000 - days_ago,
        at=NOW - timedelta(days=days_ago),
        act=act,
        crop=crop,
        count=count,
        tier=tier,
        stage=stage,
    )


def test_the_oldest_are_moved_and_pulled_first() -> None:
    log = [
        plants("sow", 6, days_ago=60),
        plants("sow", 6, days_ago=30),
        plants("move", 8, days_ago=10, tier="Top"),
        plants("pull", 5, days_ago=5, tier="Top"),
    ]
    left = [(batch.tier, batch.count, (NOW - (batch.sown or NOW)).days) for batch in standing(log)]
    assert left == [("", 4, 30), ("Top", 1, 60), ("Top", 2, 30)]


def test_bought_plants_may_come_without_being_sown() -> None:
    (batch,) = standing([plants("move", 3, days_ago=2, tier="Low")])
    assert batch.sown is None
    check_plants((), rack(), act="move", crop="mint", count=3, tier="Low")


@pytest.mark.parametrize(
    ("act", "crop", "count", "tier", "words"),
    [
        ("pull", "mint", 1, "Top", "There is no mint in Top"),
        ("pull", "basil", 9, "Top", "Only 4 basil stand in Top"),
        ("harvest", "basil", 1, "Low", "There is no basil in Low"),
        ("move", "basil", 9, "Low", "Only 2 basil stand in the seedling tray"),
        ("move", "basil", 1, "", "Where to?"),
        ("move", "basil", 1, "Attic", "There is no tier called Attic"),
        ("sow", "basil", 0, "", "no number of plants"),
        ("sow", " ", 3, "", "Which crop?"),
        ("eat", "basil", 3, "", "eat is nothing one does"),
        ("stage", "basil", 0, "Top", "is no stage"),
    ],
)
def test_what_cannot_be_is_refused_in_words(act: str, crop: str, count: int, tier: str, words: str) -> None:
    log = [plants("move", 4, days_ago=40, tier="Top"), plants("sow", 2, days_ago=20)]
    with pytest.raises(RefusedError, match=words):
        check_plants(standing(log), rack(), act=act, crop=crop, count=count, tier=tier)


def test_young_plants_are_counted_by_tier() -> None:
    log = [
        plants("move", 4, days_ago=40, tier="Top"),
        plants("sow", 5, days_ago=20),
        plants("move", 5, days_ago=1, tier="Top"),
    ]
    assert young_by_tier(standing(log), NOW) == {"Top": 5}


@pytest.mark.parametrize(
    ("crop", "days", "stage"),
    [
        ("tomato", 20, "seedling"),
        ("tomato", 40, "leaf"),
        ("tomato", 60, "flower"),
        ("tomato", 90, "fruit"),
        ("lettuce (leaf)", 40, "leaf"),
    ],
)
def test_stage_follows_the_calendar(crop: str, days: int, stage: str) -> None:
    log = [plants("sow", 1, days_ago=days, crop=crop), plants("move", 1, days_ago=0, crop=crop, tier="Top")]
    assert stage_of(standing(log)[0], CALENDARS, NOW) == stage


def test_somebodys_word_overrules_the_calendar() -> None:
    log = [
        plants("move", 2, days_ago=40, tier="Top"),
        plants("stage", 0, days_ago=1, tier="Top", stage="flower"),
    ]
    assert stage_of(standing(log)[0], CALENDARS, NOW) == "flower"


def test_a_tiers_stage_is_that_of_most_plants() -> None:
    log = [
        plants("move", 2, days_ago=60, tier="Top", crop="tomato"),
        plants("move", 6, days_ago=5, tier="Top"),
    ]
    assert stage_of_tier(standing(log), "Top", CALENDARS, NOW) == "leaf"
    assert stage_of_tier(standing(log), "Low", CALENDARS, NOW) == ""


def test_a_crop_is_found_by_its_name_inside_a_longer_one() -> None:
    assert calendar_of("Swiss chard (silverbeet)", CALENDARS).name == "hard leaf"
    assert calendar_of("no such plant", CALENDARS).name == "leaf"


def test_every_crop_of_the_table_has_a_calendar_or_takes_the_leafs() -> None:
    named = {crop.casefold() for calendar in CALENDARS for crop in calendar.crops}
    assert len(named) == sum(len(calendar.crops) for calendar in CALENDARS), "no crop stands in two calendars"


def test_the_plants_ask_for_their_tasks() -> None:
    log = [
        plants("move", 6, days_ago=70, tier="Top", crop="lettuce"),
        plants("sow", 4, days_ago=30, crop="lettuce"),
    ]
    asks = plant_asks(standing(log), CALENDARS, NOW)
    assert asks["move-up"][0].at == NOW - timedelta(days=12)  # 18 days from sowing
    assert asks["thin-seedlings"][0].at == NOW - timedelta(days=20)
    assert "pull and sow anew" in asks["harvest"][0].because
    assert "sow-next" not in asks, "seedlings of it are on their way"


def test_seed_is_asked_for_before_a_place_stands_empty() -> None:
    asks = plant_asks(standing([plants("move", 6, days_ago=50, tier="Top", crop="lettuce")]), CALENDARS, NOW)
    # moved at 18 days of age 50 days ago: 68 days old; ends at 75; seed 18 days earlier, 11 days ago
    assert asks["sow-next"][0].at == NOW - timedelta(days=11)


def test_light_integral_is_ppfd_times_seconds() -> None:
    # Purdue HO-238-W: DLI = PPFD x hours x 0.0036
    assert dli_mol(ppfd_umol=200.0, hours=16.0) == pytest.approx(200 * 16 * 0.0036)
    assert hours_for_dli(ppfd_umol=200.0, dli_mol=11.52) == pytest.approx(16.0)
    with pytest.raises(ValueError, match="without light"):
        hours_for_dli(ppfd_umol=0.0, dli_mol=10.0)


def test_a_tiers_light_is_set_against_its_plants() -> None:
    lit = rack(
        extra={
            "light": [
                {"tier": "Top", "hours": 20, "ppfd_umol_m2_s": 100, "height_cm": 10, "blue_percent": 80}
            ]
        }
    )
    lamps, findings = lamps_of(lit)
    assert findings == ()
    told = " ".join(lamp_lines(lamps[0], calendar_of("lettuce", CALENDARS), "leaf", STAGES))
    for words in (
        "[!] 20 hours on the timer",
        "7.2 mol/m², wanted 12 to 17",
        "More light is needed",
        "set to 80 percent",
        "hangs 10 cm",
    ):
        assert words in told


@pytest.mark.parametrize(
    ("ppfd", "says"),
    # lettuce from 12 mol/m² a day: 12 / (240 x 0.0036) = 13.9 h; 12 / (200 x 0.0036) = 16.7 h, over its 16
    [(240, "14 hours would reach it"), (200, "More light is needed, not more hours")],
)
def test_more_hours_are_named_only_within_what_the_crop_wants(ppfd: int, says: str) -> None:
    (lamp,), _findings = lamps_of(
        rack(extra={"light": [{"tier": "Top", "hours": 12, "ppfd_umol_m2_s": ppfd}]})
    )
    assert says in " ".join(lamp_lines(lamp, calendar_of("lettuce", CALENDARS), "leaf", STAGES))


def test_a_light_over_no_tier_is_told() -> None:
    _lamps, findings = lamps_of(rack(extra={"light": [{"tier": "Attic"}]}))
    assert "names no tier" in findings[0].what


@pytest.mark.parametrize(("key", "value"), [("hours", 30), ("blue_percent", 130), ("height_cm", "near")])
def test_a_lamps_figure_that_cannot_be_is_told_and_left_aside(key: str, value: object) -> None:
    (lamp,), (finding,) = lamps_of(rack(extra={"light": [{"tier": "Top", key: value}]}))
    assert str(finding).startswith(f"rack.toml: light 1: {key} can't be {value}. Write a number from 0 to")
    assert (lamp.hours, lamp.blue_percent, lamp.height_cm) == (None, None, None)


def test_the_rack_as_planted_is_what_the_log_says_tier_by_tier() -> None:
    planted = as_planted(rack(), standing([plants("move", 3, days_ago=5, tier="Top", crop="mint")]))
    top, low = planted.tiers
    assert (top.crops, top.plants) == (("mint",), 3)
    assert (low.crops, low.plants) == (("lettuce",), 8), "the log says nothing of it"


# logged in a few keys


class Logging:
    """The plants walk under way in a test."""

    def __init__(self, *log: Plants) -> None:
        self.script = PlantsScript(rack=rack(), past=tuple(log))
        self.walk = Walk(kind="plants", id="w", began=NOW, by="Mo")
        self.events: list[Event] = []

    def type(self, *typed: str) -> Plants | None:
        for text in typed:
            place = here(self.walk, self.script)
            assert place is not None
            turn = enter(self.walk, self.script, key=place[1].key, typed=text, now=NOW, by="Mo")
            self.walk = turn.walk
            self.events.extend(turn.events)
            prompt(self.walk, self.script)
        made = self.events[-1] if self.events else None
        return made if isinstance(made, Plants) else None


TRAY = plants("sow", 6, days_ago=20)
TOP = plants("move", 4, days_ago=40, tier="Top", crop="mint")


def test_sowing_takes_three_answers() -> None:
    made = Logging().type("1", "2", "12")  # basil and lettuce are what the rack is for
    assert made is not None
    assert (made.act, made.crop, made.count, made.tier) == ("sow", "lettuce", 12, "")


def test_what_a_task_has_said_is_not_asked_again() -> None:
    script = PlantsScript(rack=rack(), past=(TRAY,), act="move")
    walk, made = Walk(kind="plants", id="w", began=NOW, by="Mo"), list[Event]()
    for typed in ("1", "2", "4"):
        place = here(walk, script)
        assert place is not None
        turn = enter(walk, script, key=place[1].key, typed=typed, now=NOW, by="Mo")
        walk, made = turn.walk, [*made, *turn.events]
    (moved,) = made
    assert isinstance(moved, Plants)
    assert (moved.act, moved.crop, moved.tier, moved.count) == ("move", "basil", "Low", 4)
    assert script.finish(walk, fold(walk.entries), NOW).said[0].startswith("Moved.")


def test_a_crop_that_the_rack_does_not_know_is_typed() -> None:
    made = Logging(TOP).type("1", "9 pak choi", "5")
    assert made is not None
    assert (made.crop, made.count) == ("pak choi", 5)
    with pytest.raises(RefusedError, match="Say in a few words"):
        Logging(TOP).type("1", "9")
    again = Logging(TOP).type("1", "3", "5")
    assert again is not None
    assert again.crop == "mint", "what stands already is offered too"


def test_every_group_that_stands_can_be_pulled_however_many() -> None:
    many = [plants("move", 2, days_ago=30, tier="Top", crop=f"herb {letter}") for letter in "abcdefghijk"]
    made = Logging(*many).type("4", "11", "2")
    assert made is not None
    assert made.crop == "herb k"


def test_moving_up_takes_the_tray_by_a_digit() -> None:
    made = Logging(TOP, TRAY).type("2", "2", "1", "6")
    assert made is not None
    assert (made.act, made.crop, made.count, made.tier) == ("move", "basil", 6, "Top")


def test_more_than_stand_there_are_refused_and_nothing_is_lost() -> None:
    walk = Logging(TOP, TRAY)
    with pytest.raises(RefusedError, match="Only 4 mint stand in Top"):
        walk.type("4", "1", "5")
    assert walk.events == []
    assert walk.type("3") is not None


def test_half_a_plant_is_refused() -> None:
    with pytest.raises(RefusedError):
        Logging(TOP).type("4", "1", "1.5")


def test_bought_plants_are_named() -> None:
    made = Logging(TOP).type("2", "9", "9 tomato", "2", "3")
    assert made is not None
    assert (made.crop, made.tier, made.count) == ("tomato", "Low", 3)


def test_harvest_and_stage_take_the_whole_group() -> None:
    cut = Logging(TOP, TRAY).type("3", "1")
    assert cut is not None
    assert (cut.act, cut.crop, cut.tier, cut.count) == ("harvest", "mint", "Top", 4)
    staged = Logging(TOP).type("5", "1", "3")
    assert staged is not None
    assert (staged.act, staged.stage) == ("stage", "flower")


def test_pulling_what_the_log_does_not_know_is_refused() -> None:
    with pytest.raises(RefusedError):
        Logging(TOP).type("3", "9")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("1", "9 dill", "4"), "Sown"),
        (("3", "1"), "Rinse it"),
        (("4", "1", "4"), "Roots out"),
        (("5", "1", "2"), "stage is kept"),
    ],
)
def test_the_end_says_what_the_plants_want_next(typed: tuple[str, ...], says: str) -> None:
    walk = Logging(TOP)
    walk.type(*typed)
    finish = walk.script.finish(walk.walk, fold(walk.walk.entries), NOW)
    assert says in finish.said[0]
    assert walk.script.title == "PLANTS"


def test_plants_that_only_others_have_logged_cannot_be_moved_from_an_unknown_act() -> None:
    odd = plants("water", 3, days_ago=1)
    assert standing([odd]) == ()


def test_a_batch_is_cut_in_two_when_some_are_harvested_later() -> None:
    cut = plants("harvest", 4, days_ago=3, tier="Top", crop="mint")
    (batch,) = standing([TOP, cut])
    assert batch.harvested == NOW - timedelta(days=3)
    asks = plant_asks(standing([TOP, cut]), CALENDARS, NOW)
    assert asks["harvest"][0].at == NOW + timedelta(days=4), "leaves grow for a week between cuts"
