"""What must still count after years, and that picking it twice changes nothing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tendtui.core.event import Change, Event, Note, Plants, Reading, Renewed, TaskDone
from tendtui.core.finding_follow import open_findings
from tendtui.core.lasting import lasting
from tendtui.core.plants import standing
from tendtui.core.rack import Rack
from tendtui.core.thirst import groups_at
from tendtui.value import replace
from tests.support.quiet_tank import RACK

DAY = datetime(2020, 3, 1, 8, 0, tzinfo=UTC)
CROPS = st.sampled_from(("mint", "Mint", "basil"))
TIERS = st.sampled_from(("", "Creek", "Beck"))

plants = st.builds(
    Plants,
    id=st.just(""),
    seq=st.just(0),
    at=st.just(DAY),
    act=st.sampled_from(("sow", "move", "harvest", "pull", "stage")),
    crop=CROPS,
    count=st.integers(1, 4),
    tier=TIERS,
    stage=st.sampled_from(("leaf", "flower")),
)
tasks = st.builds(
    TaskDone,
    id=st.just(""),
    seq=st.just(0),
    at=st.just(DAY),
    task=st.sampled_from(("gfci-test", "descale", "follow-descale")),
    outcome=st.sampled_from(("good", "found", "could-not", "closed")),
    text=st.sampled_from(("", "wet plug")),
    severity=st.sampled_from(("stop", "week")),
)


def in_order(events: Sequence[Event]) -> tuple[Event, ...]:
    return tuple(
        replace(event, id=f"e{n}", seq=n, at=DAY + timedelta(days=n)) for n, event in enumerate(events, 1)
    )


@given(st.lists(st.one_of(plants, tasks), max_size=40), st.integers(0, 40))
def test_what_lasts_is_seen_as_the_whole_diary_is(events: list[Event], cut: int) -> None:
    every = in_order(events)
    picked = lasting(every)
    assert open_findings(picked) == open_findings(every)
    assert standing(picked) == standing(every)
    assert lasting((*lasting(every[:cut]), *every[cut:])) == picked


@given(st.lists(plants, max_size=30))
def test_the_rack_drinks_as_by_the_whole_diary(events: list[Plants]) -> None:
    acts = [replace(e, crop=e.crop.lower(), tier=e.tier or "Creek") for e in events if e.act != "sow"]
    every, later = in_order(acts), DAY + timedelta(days=400)
    assert _stands(RACK, lasting(every), later) == _stands(RACK, every, later)


def _stands(rack: Rack, events: Sequence[Event], at: datetime) -> list[tuple[str, str, int]]:
    return sorted((g.tier, g.crop, g.count) for g in groups_at(rack, events, at) if g.count)


def test_the_last_of_each_kind_stays_and_readings_go() -> None:
    every = in_order(
        (
            Change(id="", seq=0, at=DAY, litres=50.0),
            Renewed(id="", seq=0, at=DAY, what="Acid"),
            Reading(id="", seq=0, at=DAY, ph=6.0),
            Change(id="", seq=0, at=DAY),
            Renewed(id="", seq=0, at=DAY, what="meter.ph"),
            Renewed(id="", seq=0, at=DAY, what="Acid"),
            Note(id="", seq=0, at=DAY, text="quiet"),
            TaskDone(id="", seq=0, at=DAY, task="calibrate-ph", values={"offset_ph": 0.1}),
            TaskDone(id="", seq=0, at=DAY, task="calibrate-ph"),
            TaskDone(id="", seq=0, at=DAY, task="calibrate-ph", outcome="could-not"),
        )
    )
    assert [event.id for event in lasting(every)] == ["e4", "e5", "e6", "e8", "e9", "e10"]


def test_crops_that_were_pulled_and_harvests_but_the_last_are_let_go() -> None:
    mint = Plants(id="", seq=0, at=DAY, act="sow", crop="mint", count=4)
    every = in_order(
        (
            mint,
            replace(mint, act="move", tier="Creek"),
            replace(mint, act="harvest", tier="Creek"),
            replace(mint, act="harvest", tier="Creek"),
            replace(mint, crop="dill"),
            replace(mint, crop="dill", act="pull"),
        )
    )
    assert [event.id for event in lasting(every)] == ["e1", "e2", "e4"]
