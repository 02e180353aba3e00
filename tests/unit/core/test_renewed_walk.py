"""A bottle or a meter that is new, said in two or three keys; and figures held or forgotten by a walk."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest

from tendtui.core.event import Event, Note, Renewed
from tendtui.core.figure_walk import FigureScript
from tendtui.core.learned import Learning
from tendtui.core.learned_values import Factor
from tendtui.core.prompt import Choice, Prompt
from tendtui.core.rack import Feed
from tendtui.core.renewed_walk import RenewedScript
from tendtui.core.walk import Script, Walk, enter, fold, here, prompt
from tendtui.errors import RefusedError
from tendtui.value import replace
from tests.support.quiet_tank import RACK

BEGAN = datetime(2026, 5, 3, 8, tzinfo=UTC)
ONE_FEED = replace(RACK, feeds=RACK.feeds[:1], adjusters=RACK.adjusters[:1])
MANY = replace(
    RACK,
    feeds=tuple(
        Feed(name=f"Part {n}", label_ml_per_l=1.0, label_conductivity_ms_cm=1.5) for n in range(1, 10)
    ),
)


def walked(script: Script, *typed: str) -> tuple[list[Event], Walk, list[Prompt]]:
    walk, made, seen = Walk(kind=script.kind, id="w", began=BEGAN, by="Mo"), list[Event](), list[Prompt]()
    for text in typed:
        place = here(walk, script)
        assert place is not None
        shown = prompt(walk, script)
        assert shown is not None
        seen.append(shown)
        turn = enter(walk, script, key=place[1].key, typed=text, now=BEGAN, by="Mo")
        walk = turn.walk
        made.extend(turn.events)
    assert here(walk, script) is None
    return [*made, *script.finish(walk, fold(walk.entries), BEGAN).events], walk, seen


@pytest.mark.parametrize(
    ("typed", "what"),
    [
        (("1", "2", ""), "B"),
        (("2", "1", "500"), "Down"),
        (("3",), "meter.ph"),
        (("4",), "meter.conductivity"),
        (("5", "1", ""), "buffer 7"),
        (("5", "3", "2027-05-31"), "conductivity standard"),
    ],
)
def test_every_bottle_and_meter_can_be_new(typed: tuple[str, ...], what: str) -> None:
    made, _walk, _seen = walked(RenewedScript(rack=RACK), *typed)
    assert [(e.what, e.at, e.by) for e in made if isinstance(e, Renewed)] == [(what, BEGAN, "Mo")]


def test_the_only_bottle_of_its_kind_is_not_asked_for() -> None:
    made, _walk, _seen = walked(RenewedScript(rack=ONE_FEED), "2", "")
    assert [e.what for e in made if isinstance(e, Renewed)] == ["Down"]


def test_a_ninth_bottle_has_its_digit() -> None:
    made, _walk, _seen = walked(RenewedScript(rack=MANY), "1", "9", "")
    assert [e.what for e in made if isinstance(e, Renewed)] == ["Part 9"]


def test_it_says_what_becomes_of_the_old() -> None:
    script = RenewedScript(rack=RACK)
    _made, walk, _seen = walked(script, "1", "1", "")
    said = " ".join(script.finish(walk, fold(walk.entries), BEGAN).said)
    assert "A is new" in said
    assert "kept aside" in said
    _made, walk, _seen = walked(script, "3")
    assert "buffer" in " ".join(script.finish(walk, fold(walk.entries), BEGAN).said)


def changes(script: RenewedScript, *typed: str) -> object:
    _made, walk, _seen = walked(script, *typed)
    return script.finish(walk, fold(walk.entries), BEGAN).context.get("changes")


def test_what_the_bottle_holds_and_the_date_of_a_buffer_go_into_the_rack_file() -> None:
    assert changes(RenewedScript(rack=RACK), "1", "1", "1000") == {"stock.A": 1000.0}
    assert changes(RenewedScript(rack=RACK), "5", "1", "31 May 2027") == {
        "use_by.buffer 7": date(2027, 5, 31)
    }
    assert changes(RenewedScript(rack=RACK), "1", "1", "") is None
    assert changes(RenewedScript(rack=RACK), "5", "1", "") is None


def test_a_buffer_without_a_printed_date_loses_the_old_ones() -> None:
    dated = replace(RACK, extra={"use_by": {"buffer 7": date(2026, 1, 1)}})
    assert changes(RenewedScript(rack=dated), "5", "1", "") == {"use_by.buffer 7": None}


def test_a_bottles_name_with_a_point_is_one_name() -> None:
    named = replace(RACK, feeds=(replace(RACK.feeds[0], name="No. 1"),), extra={"stock": {"Down": 500.0}})
    assert changes(RenewedScript(rack=named), "1", "750") == {"stock": {"Down": 500.0, "No. 1": 750.0}}


def test_a_date_that_is_none_is_refused() -> None:
    script = RenewedScript(rack=RACK)
    with pytest.raises(RefusedError, match="not a day"):
        walked(script, "5", "1", "soonish")


# -------------------- figures by hand

LEARNED = Learning(feed=Factor(value=0.88, spread=0.03, count=9), frozen=("pipes",))


def figures(after: Callable[[str, str], dict[str, object]] = lambda act, name: {act: name}) -> FigureScript:
    return FigureScript(rack=RACK, learning=LEARNED, after=after)


def test_a_figure_is_held_with_two_digits_and_the_diary_says_so() -> None:
    script = figures()
    made, walk, seen = walked(script, "1", "1")
    assert any("12 % weaker" in choice.text for choice in seen[0].question.choices)
    assert [(e.about, e.text) for e in made if isinstance(e, Note)] == [
        ("figure-held:feed", "held as it is: strength of the feed")
    ]
    assert script.finish(walk, fold(walk.entries), BEGAN).learned == {"figure-held": "feed"}


def test_a_held_one_can_learn_again_and_any_one_be_forgotten() -> None:
    pipes = next(c.digit for c in _choices(figures()) if "pipes" in c.text)
    made, walk, seen = walked(figures(), pipes, "1")
    assert "learn again" in seen[1].question.choices[0].text
    assert [e.about for e in made if isinstance(e, Note)] == ["figure-freed:pipes"]
    made, walk, _seen = walked(figures(), pipes, "2")
    assert [e.about for e in made if isinstance(e, Note)] == ["figure-forgotten:pipes"]
    assert figures().finish(walk, fold(walk.entries), BEGAN).learned == {"figure-forgotten": "pipes"}


def test_one_can_leave_it_as_it_is() -> None:
    made, walk, _seen = walked(figures(), "1", "3")
    assert made == []
    assert figures().finish(walk, fold(walk.entries), BEGAN).learned is None


def _choices(script: FigureScript) -> tuple[Choice, ...]:
    (station,) = script.stations(fold(()))
    return station.questions[0].choices
