"""Bottles with feed that the grower mixed before leaving: how much goes in, what is said, what is logged."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.bottle_mix import mix_for, mix_words, mixed_in
from tendtui.core.cover import Cover, away_of, covers_of
from tendtui.core.dose_facts import dose_facts
from tendtui.core.event import Poured, Reading
from tendtui.core.rack import Feed, Measuring, Rack, Reservoir, Source
from tendtui.core.role import held_dose
from tendtui.core.sheet_markdown import sheet_markdown
from tendtui.session.handover import sheet_of
from tendtui.session.session import Session
from tendtui.store.data_file import read_data
from tendtui.store.folder import Folder
from tendtui.value import replace
from tests.support.folders import RACK, folder_in
from tests.support.walker import open_at, walk_through

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
PARTS = tuple(Feed(name=f"Part {n}", label_ml_per_l=2.5, label_conductivity_ms_cm=1.7) for n in (1, 2))
TANK = Rack(
    name="Cellar",
    reservoir=Reservoir(full_l=52.0, least_l=21.0),
    source=Source(conductivity_ms_cm=0.4, ph=7.7),
    feeds=PARTS,
    measuring=Measuring(liquid_ml=0.5),
)
WEEK = {
    "days.first": "20 Mar",
    "days.last": "26 Mar",
    "stand-in.who": "Zoe",
    "stand-in.phone": "555 0102",
    "stand-in.depth": "1",
}


def mix(rack: Rack, wish_ms_cm: float, *, feed_strength: float = 1.0) -> Mapping[str, float]:
    return mix_for(rack, dose_facts(read_data("feeds")), wish_ms_cm=wish_ms_cm, feed_strength=feed_strength)


def test_at_the_labels_strength_it_is_the_labels_amount() -> None:
    # the label: 2.5 mL of each part a litre add 1.7 mS/cm; the water has 0.4
    assert mix(TANK, 2.1) == {"Part 1": 2.5, "Part 2": 2.5}


def test_a_weaker_bottle_takes_about_its_share_and_never_more_than_it() -> None:
    # thinner solutions conduct a little more per gram: at or under the share, within an eighth of it
    for wish in (0.8, 1.3, 1.7):
        share = 2.5 * (wish - 0.4) / 1.7
        assert 0.88 * share <= mix(TANK, wish)["Part 1"] <= share + 0.01


def test_what_was_learned_of_the_feed_counts() -> None:
    assert mix(TANK, 2.1, feed_strength=1.25)["Part 1"] == pytest.approx(2.0, abs=0.051)


def test_where_nothing_can_be_said_there_is_no_mix() -> None:
    assert mix(TANK, 0.3) == {}  # the water itself is stronger
    assert mix(replace(TANK, feeds=()), 1.5) == {}
    assert mix(replace(TANK, measuring=Measuring(liquid_ml=50.0)), 1.0) == {}  # under one mark for ten litres
    assert mix_words({}, TANK) == ""


def test_dry_feeds_are_weighed() -> None:
    dry = replace(TANK, feeds=(Feed(name="Salt", label_g_per_l=1.0, label_conductivity_ms_cm=1.2),))
    made = mix(dry, 1.6)
    assert made == {"Salt": 1.0}
    assert "into each 10 litres of water stir 10 grams (ten) of Salt" in mix_words(made, dry)
    (poured,) = mixed_in(made, dry, 4.0, at=NOW, by="Zoe")
    assert (poured.what, poured.g, poured.ml) == ("Salt", 4.0, None)


def test_a_part_that_the_rack_no_longer_has_is_not_logged() -> None:
    assert [p.what for p in mixed_in({"Gone": 1.0, "Part 2": 2.0}, TANK, 3.0, at=NOW, by="")] == ["Part 2"]


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return folder_in(tmp_path, rack=RACK)


def prepared(folder: Folder, bottles: str) -> tuple[Session, Cover, str]:
    """Walk the preparation; give the session, the cover kept and the list before leaving."""
    session, _clock = open_at(folder, NOW, by="Ines")
    outcome = session.start("cover", by="Ines")
    seen, _said = walk_through(session, "cover", {**WEEK, "stand-in.bottles": bottles}, outcome=outcome)
    (cover,) = covers_of(session.state.away)
    return session, cover, " ".join(seen[-1].question.before)


def test_plain_water_stays_plain(folder: Folder) -> None:
    session, cover, said = prepared(folder, "1")
    assert cover.mix == {}
    assert "Mix the feed" not in said
    assert "Plain water, " in sheet_of(session, cover).bottle_note


def test_the_grower_is_told_how_to_mix_and_the_sheet_that_it_is_feed(folder: Folder) -> None:
    session, cover, said = prepared(folder, "2")
    assert set(cover.mix) == {"Grow 1", "Grow 2"}
    # a day to fill them, then how: the low end of the band, 1.3 mS/cm, in water of 0.42
    assert "Fill the bottles for each day" in said
    assert "goggles and gloves on: into each 10 litres of water stir 1" in said
    assert "of Grow 1, then 1" in said
    again, _clock = open_at(folder, NOW + timedelta(days=4), by="Ines")  # two days before, from the file
    assert covers_of(again.state.away) == (cover,)
    assert any("Mix the feed for them" in line for line in again.today("Ines").words)
    assert not any("Mix the feed for them" in line for line in again.today("Zoe").words)
    made = sheet_of(session, cover)
    assert made.bottle_note.startswith("Feed, mixed ready to pour, ")
    assert "It is not for drinking." in made.act[0]
    assert "Grow 1" not in sheet_markdown(made)  # whoever stands in measures nothing


def away(folder: Folder) -> Session:
    session, clock = open_at(folder, NOW, by="Zoe")
    cover = Cover(first=NOW.date(), last=NOW.date(), who="Zoe", mix={"Grow 1": 1.2, "Grow 2": 1.2})
    session.change_state(lambda state: replace(state, away=away_of([cover])))
    read = Reading(
        id="",
        seq=0,
        at=session.now(),
        by="Zoe",
        level_l=40.0,
        conductivity_ms_cm=0.9,
        ph=6.9,
        temperature_c=20.0,
    )
    session.record_events([read])
    clock.at += timedelta(minutes=1)
    return session


def test_the_diary_knows_what_went_in_with_the_bottle(folder: Folder) -> None:
    session = away(folder)
    said = session.start("dose", by="Zoe").prompt
    assert said is not None
    assert any("What you can do now: today's bottle" in line for line in said.question.before)
    session.enter("dose", key="held.why", typed="")
    session.enter("dose", key="water.poured", typed="3")
    poured = [(p.what, p.litres, p.ml, p.by) for p in session.events if isinstance(p, Poured)]
    assert poured == [
        ("water", 3.0, None, "Zoe"),
        ("Grow 1", None, 3.6, "Zoe"),
        ("Grow 2", None, 3.6, "Zoe"),
    ]
    # a stand-in's bottle doesn't settle what waits for the grower
    held = held_dose(session.events, session.rack)
    assert held is not None
    assert "Grow 1" in held.what
    session.undo("dose")
    assert [p for p in session.events if isinstance(p, Poured)] == []


def test_the_paper_sheet_brings_the_feed_with_its_real_time(folder: Folder) -> None:
    session, clock = open_at(folder, NOW, by="Ines")
    day = date(2026, 3, 13)
    cover = Cover(first=day, last=day, who="Zoe", mix={"Grow 1": 1.2})
    session.change_state(lambda state: replace(state, away=away_of([cover])))
    clock.at += timedelta(minutes=1)
    outcome = session.start("return", by="Ines")
    walk_through(session, "return", {"paper.2026-03-13": "18:10 4"}, outcome=outcome)
    poured = [
        (p.at.hour, p.at.minute, p.what, p.litres, p.ml) for p in session.events if isinstance(p, Poured)
    ]
    assert poured == [(18, 10, "water", 4.0, None), (18, 10, "Grow 1", None, 4.8)]


def test_a_broken_mix_in_the_file_is_plain_water() -> None:
    row = {"first": date(2026, 3, 1), "last": date(2026, 3, 2), "who": "Zoe", "mix": {"Grow 1": "much"}}
    (cover,) = covers_of({"cover": [row]})
    assert cover.mix == {}
