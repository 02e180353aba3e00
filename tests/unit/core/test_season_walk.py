"""Laying a rack up, and waking it after weeks."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.event import Event, Note, Plants, Poured, TaskDone
from tendtui.core.plants import standing
from tendtui.core.rack import Rack, Reservoir
from tendtui.core.season_walk import SeasonScript, season_script
from tendtui.core.slow_list import tasks_of
from tendtui.core.walk import Walk, enter, fold, here, prompt, skip
from tendtui.value import replace
from tests.support.slow_data import rack, slow_data, table

BEGAN = datetime(2026, 10, 30, 9, tzinfo=UTC)
TASKS, _FINDINGS = tasks_of(slow_data(), rack())
SEASONS = table("seasons")


def script(kind: str) -> SeasonScript:
    return season_script(kind, SEASONS, TASKS, rack())


def walked(kind: str) -> tuple[list[str], list[Event], SeasonScript, Walk]:
    the_script, walk = script(kind), Walk(kind=kind, id="w", began=BEGAN, by="Mo")
    asked, events, now = list[str](), list[Event](), BEGAN
    while (place := here(walk, the_script)) is not None:
        question, now = place[1], now + timedelta(minutes=1)
        asked.append(question.key)
        typed = {"choice": "1", "number": "45"}.get(question.kind.value, "")
        typed = "2" if question.key == "bleach-alone.wanted" else typed
        turn = enter(walk, the_script, key=question.key, typed=typed, now=now, by="Mo")
        walk = turn.walk
        prompt(walk, the_script)
        events.extend(turn.events)
    return asked, events, the_script, walk


@pytest.mark.parametrize("kind", ["season-end", "season-start"])
def test_every_check_of_a_season_is_a_task_on_the_list(kind: str) -> None:
    known = {task.id for task in TASKS}
    assert {step.check for step in script(kind).steps if step.check} <= known
    assert all(sum((bool(s.check), bool(s.do), s.drain, s.back)) == 1 for s in script(kind).steps)


def test_ending_drains_after_unplugging_and_bleaches_only_after_rinsing() -> None:
    asked, events, the_script, walk = walked("season-end")
    order = [
        asked.index(key)
        for key in ("back.read", "unplug-before-water.state", "drain.litres", "bleach-alone.state")
    ]
    assert order == sorted(order)
    rinse = next(
        n for n, step in enumerate(the_script.steps) if "rinse all of it with plain water" in step.do
    )
    bleach = next(n for n, step in enumerate(the_script.steps) if step.check == "bleach-alone")
    assert rinse < bleach
    assert [event.litres for event in events if isinstance(event, Poured)] == [45.0]
    finish = the_script.finish(walk, fold(walk.entries), BEGAN)
    assert [event.about for event in finish.events if isinstance(event, Note)] == ["season-end"]
    assert finish.then is None


def test_what_stood_is_logged_as_pulled_with_the_step_that_pulls_it() -> None:
    sown = Plants(id="s", seq=1, at=BEGAN - timedelta(days=9), act="sow", crop="dill", count=3)
    moved = Plants(id="m", seq=2, at=BEGAN - timedelta(days=40), act="move", crop="mint", count=4, tier="Top")
    the_script = season_script("season-end", SEASONS, TASKS, rack(), past=[moved, sown])
    walk, events = Walk(kind="season-end", id="w", began=BEGAN, by="Mo"), list[Event]()
    while (place := here(walk, the_script)) is not None and "pull the rest" not in place[1].ask:
        typed = {"choice": "1"}.get(place[1].kind.value, "")
        walk = enter(walk, the_script, key=place[1].key, typed=typed, now=BEGAN, by="Mo").walk
        prompt(walk, the_script)
    assert place is not None
    left = skip(walk, the_script, key=place[1].key, reason="no-time", now=BEGAN, by="Mo")
    assert left.events == (), "what is left out pulls nothing"
    events.extend(enter(walk, the_script, key=place[1].key, typed="", now=BEGAN, by="Mo").events)
    assert [(e.act, e.crop, e.count, e.tier) for e in events if isinstance(e, Plants)] == [
        ("pull", "mint", 4, "Top"),
        ("pull", "dill", 3, ""),
    ]
    numbered = [replace(e, id=f"p{n}", seq=10 + n) for n, e in enumerate(events)]
    assert standing([moved, sown, *numbered]) == ()


def test_starting_again_tries_the_trip_switch_and_leads_to_the_fill() -> None:
    asked, events, the_script, walk = walked("season-start")
    assert "test-trip-switch.state" in asked
    assert "test-trip-switch" in {event.task for event in events if isinstance(event, TaskDone)}
    assert the_script.finish(walk, fold(walk.entries), BEGAN).then == "fill"


@pytest.mark.parametrize("kind", ["season-end", "season-start"])
def test_a_rack_without_an_air_pump_hears_of_none(kind: str) -> None:
    still = rack(reservoir=Reservoir(full_l=60.0, least_l=30.0, aerated=False))

    def asked(of: Rack) -> str:
        made = season_script(kind, SEASONS, tasks_of(slow_data(), of)[0], of)
        return " ".join(q.ask for s in made.stations(fold(())) for q in s.questions).casefold()

    assert "air stone" in asked(rack())
    assert "air stone" not in asked(still)
    assert "air pump" not in asked(still)


def test_a_failed_trip_switch_shuts_the_way() -> None:
    the_script, walk = script("season-start"), Walk(kind="season-start", id="w", began=BEGAN, by="Mo")
    for _turn in range(30):
        place = here(walk, the_script)
        assert place is not None
        key = place[1].key
        if key == "test-trip-switch.right":
            break
        typed = (
            "2 stays on"
            if key == "test-trip-switch.state"
            else "1"
            if place[1].kind.value == "choice"
            else ""
        )
        walk = enter(walk, the_script, key=key, typed=typed, now=BEGAN, by="Mo").walk
    assert the_script.stations(fold(walk.entries))[-1].id == "test-trip-switch"


def test_an_unknown_season_is_not_made() -> None:
    with pytest.raises(LookupError):
        script("season-of-mists")


def test_seasons_have_a_head_and_judge_nothing() -> None:
    the_script = script("season-end")
    walk = Walk(kind="season-end", id="w", began=BEGAN, by="Mo")
    shown = prompt(walk, the_script)
    assert shown is not None
    assert shown.title == "END OF SEASON"
    assert any("off at the plug" in line for line in shown.question.safety)
    assert not the_script.judge(shown.question, 1.0, fold(())).again
    assert the_script.near(shown.question, 1.0, 1.0)


def test_silenced_checks_are_left_out_of_a_season() -> None:
    quiet = rack(extra={"task": [{"id": "bleach-alone", "silenced": "no bleach in this house"}]})
    tasks, _faults = tasks_of(slow_data(), quiet)
    ids = [s.id for s in season_script("season-end", SEASONS, tasks, quiet).stations(fold(()))]
    assert "bleach-alone" not in ids
