"""Saying that something happened, and what of it makes tasks due."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tendtui.core.event import Event, Note, Reading, TaskDone
from tendtui.core.finding_follow import barred, stop_findings
from tendtui.core.happened_walk import HappenedScript, happened_script
from tendtui.core.happening import SAID, happening_words, happenings
from tendtui.core.slow_list import slow_list, tasks_of
from tendtui.core.slow_rules import read_rules
from tendtui.core.walk import Walk, enter, fold, here, prompt
from tests.support.slow_data import rack, slow_data, table

BEGAN = datetime(2026, 5, 3, 8, tzinfo=UTC)
DATA = slow_data()


def named(found: object) -> list[tuple[str, object]]:
    """Give the rows of a table of the packaged data."""
    assert isinstance(found, dict)
    return list(found.items())


TASKS, _FINDINGS = tasks_of(DATA, rack())
STOPS = {about: str(task) for about, task in named(DATA["task_rules"]["raises_stop"])}
MADE_BY_THE_LOG = {"sow", "harvest", "change"}


def said(kind: str, *typed: str) -> tuple[list[Event], HappenedScript, Walk]:
    on = rack(phones={"Mo": "555 0100"})
    script = happened_script(kind, rack=on, tasks=TASKS, drills=table("drills"), stops=STOPS)
    walk, made = Walk(kind=kind, id="w", began=BEGAN, by="Mo"), list[Event]()
    for text in typed:
        place = here(walk, script)
        assert place is not None
        turn = enter(walk, script, key=place[1].key, typed=text, now=BEGAN, by="Mo")
        walk = turn.walk
        made.extend(turn.events)
        prompt(walk, script)
    assert here(walk, script) is None
    return made, script, walk


def test_everything_that_tasks_wait_for_can_be_said() -> None:
    waited_for = {about for task in TASKS for about in task.on}
    assert waited_for <= {*SAID, *MADE_BY_THE_LOG}


def test_every_drill_can_be_logged_under_words() -> None:
    rows = table("drills")["drill"]
    assert isinstance(rows, list)
    for row in rows:
        assert row["log"] in SAID
        assert happening_words(row["log"]) != row["log"]


def test_a_power_cut_takes_three_keys_and_makes_its_checks_due() -> None:
    made, script, walk = said("happened", "1", "1", "")
    assert [(e.about, e.text) for e in made if isinstance(e, Note)] == [("power-cut", "the power cut")]
    slow = slow_list(DATA, rack(), tuple(made), {}, BEGAN + timedelta(hours=1))
    waiting = {task.id: task.what for task in TASKS if "power-cut" in task.on}
    assert set(waiting) <= {due.task.id for due in slow.dues if due.is_due}
    assert script.finish(walk, fold(walk.entries), BEGAN).said[2:] == tuple(waiting.values())


@pytest.mark.parametrize(
    ("typed", "drill"),
    [
        (("1", "1"), "the drill Power cut: press d, then 1."),
        (("2", "1"), "the drill Water on the floor: press d, then 2."),
        (("3", "5"), "the drill Overdose: press d, then 5."),
        (("5", "5"), "the drill Brown, slimy roots: press d, then 6."),
    ],
)
def test_the_drill_for_it_is_named_unless_one_came_from_it(typed: tuple[str, str], drill: str) -> None:
    _made, script, walk = said("happened", *typed, "")
    told = " ".join(script.finish(walk, fold(walk.entries), BEGAN).said)
    assert drill in told
    about = script.kind + ":" + fold(walk.entries).word("happened.what")
    _made, script, walk = said(about, "")
    assert "drill" not in " ".join(script.finish(walk, fold(walk.entries), BEGAN).said)


def test_every_group_and_line_leads_to_its_own_word() -> None:
    found = []
    for group, many in enumerate((6, 3, 5, 4, 5), start=1):
        for line in range(1, many + 1):
            made, _script, _walk = said("happened", str(group), str(line), "as it was")
            found += [event.about for event in made if isinstance(event, Note)]
    assert tuple(found) == SAID


def test_a_drill_that_was_needed_asks_only_for_words() -> None:
    made, _script, _walk = said("happened:leak", "cap of the top tier")
    assert [(e.about, e.text) for e in made if isinstance(e, Note)] == [("leak", "cap of the top tier")]


def test_every_stop_that_is_said_stands_under_a_check_of_the_list() -> None:
    ids = {task.id for task in TASKS}
    assert set(STOPS) <= set(SAID)
    assert set(STOPS.values()) <= ids


@pytest.mark.parametrize("about", sorted(STOPS))
def test_what_is_dangerous_raises_a_stop_until_it_is_cleared(about: str) -> None:
    made, script, walk = said(f"happened:{about}", "as it was")
    (stop,) = stop_findings(made)
    assert (stop.texts, stop.by) == (("as it was",), "Mo")
    for kind in ("round", "dose", "task:harvest"):
        assert barred(made, kind, tasks=TASKS) is not None
    told = script.finish(walk, fold(walk.entries), BEGAN).said
    assert told[0].startswith("[!] Stop: hands out of the water")
    assert told[1] == "Ring the grower: Mo 555 0100."
    closed = TaskDone(id="c", seq=9, at=BEGAN, by="Mo", task=stop.id, outcome="closed", text="dried")
    assert not stop_findings([*made, closed])


def test_what_is_no_danger_raises_none() -> None:
    made, _script, _walk = said("happened:power-cut", "")
    assert not stop_findings(made)


def test_a_new_meter_goes_on_to_say_which_since_its_lessons_start_afresh() -> None:
    _made, script, walk = said("happened:new-meter", "")
    assert script.finish(walk, fold(walk.entries), BEGAN).then == "renewed"
    _made, script, walk = said("happened:new-device", "")
    assert script.finish(walk, fold(walk.entries), BEGAN).then is None


def test_an_unknown_word_is_asked_for() -> None:
    assert happened_script("happened:tea", rack=rack(), tasks=TASKS).about == ""


def flows(*litres_min: float) -> tuple[Event, ...]:
    return tuple(
        Reading(id=f"r{n}", seq=n, at=BEGAN + timedelta(days=n), by="Mo", flow_l_min={"Top": flow})
        for n, flow in enumerate(litres_min)
    )


@pytest.mark.parametrize(
    ("litres_min", "on_days"),
    [
        ((2.0, 2.1, 1.9, 2.0), []),  # an ordinary run
        ((2.0, 2.1, 1.9, 1.4, 1.3, 2.0, 1.4), [3, 6]),  # told once a spell
        ((2.0, 1.0), []),  # nothing is usual yet
    ],
)
def test_flow_a_quarter_below_its_usual_is_a_happening(
    litres_min: tuple[float, ...], on_days: list[int]
) -> None:
    # a quarter: common practice, no source
    rules = read_rules(DATA["task_rules"])  # type: ignore[arg-type]  # tables of numbers
    found = [(h.at - BEGAN).days for h in happenings(flows(*litres_min), rules) if h.about == "low-flow"]
    assert found == on_days


def test_a_stop_bars_the_jar_and_never_the_help_after_a_spill() -> None:
    stop = TaskDone(
        id="t", seq=1, at=BEGAN, by="Mo", task="cool-plugs", outcome="found", severity="stop", text="hot"
    )
    assert barred([stop], "jar", tasks=TASKS) is not None
    assert barred([stop], "task:clean-pump", tasks=TASKS) is not None
    assert barred([stop], "task:chemical-spill", tasks=TASKS) is None
