"""A jar of the tank's own solution answers for the tank."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tendtui.core.band import Band
from tendtui.core.dose_doubt import Guess
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.event import Reading, TaskDone
from tendtui.core.jar_test import JarPoint, jar_result, needed_ml
from tendtui.core.jar_walk import JarScript, jar_script
from tendtui.core.learned_values import Learned
from tendtui.core.tank import tank_now
from tendtui.core.walk import enter
from tendtui.core.walk_fold import fold, here
from tendtui.core.walk_value import Walk
from tendtui.errors import RefusedError
from tendtui.value import replace
from tests.support.dose_case import (
    ACID,
    LYE,
    NOW,
    RACK,
    bands,
    facts,
    plan,
    pours,
    with_adjusters,
    words,
)

PH = Band(low=5.6, high=6.2)

READ = Reading(
    id="r",
    seq=1,
    at=NOW - timedelta(minutes=5),
    level_l=57.0,
    conductivity_ms_cm=1.6,
    ph=6.8,
    temperature_c=21.0,
)


def model() -> TankModel:
    return tank_model(RACK, tank_now([READ], RACK, NOW), facts(), Learned(), usual_ms_cm=1.6)


def points(*rows: tuple[float, float]) -> tuple[JarPoint, ...]:
    return tuple(JarPoint(added_ml=ml, ph=ph) for ml, ph in rows)


def test_the_amount_at_a_ph_lies_between_its_neighbours() -> None:
    assert needed_ml(points((0.0, 6.8), (0.2, 6.4), (0.4, 5.6)), ph=6.0) == pytest.approx(0.3)


def test_a_ph_the_jar_never_passed_is_not_known() -> None:
    assert needed_ml(points((0.0, 6.8), (0.2, 6.4)), ph=6.0) is None


def test_a_jar_is_scaled_to_reservoir_and_pipes() -> None:
    told = jar_result(model(), ACID, points((0.0, 6.8), (0.2, 6.2), (0.4, 5.6)), jar_l=1.0, aim=5.8, band=PH)
    assert told.reached
    assert told.tank_ml == pytest.approx(told.ml_per_l * 75.0)
    assert told.first_ml <= 0.9 * told.tank_ml


def test_a_jar_that_stops_short_is_carried_on_by_the_chemistry() -> None:
    solution = model().solution_now(Guess(), ph_read=6.8)
    mol_l = 1.0755  # 10 % w/w phosphoric acid, density 1.054 (CRC Handbook)
    half = solution.dose_to_ph(6.3, "H3PO4") / mol_l
    whole = solution.dose_to_ph(5.8, "H3PO4") / mol_l
    told = jar_result(model(), ACID, points((0.0, 6.8), (1.5 * half, 6.3)), jar_l=1.0, aim=5.8, band=PH)
    assert not told.reached
    assert told.response == pytest.approx(1.5, rel=0.01)
    assert told.ml_per_l == pytest.approx(1.5 * whole, rel=0.01)


@pytest.mark.parametrize("rows", [((0.0, 6.8), (0.5, 6.8)), ((0.0, 6.8), (0.5, 7.4)), ((0.0, 6.8),)])
def test_a_jar_that_does_not_move_the_right_way_says_nothing(rows: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(ValueError, match="jar"):
        jar_result(model(), ACID, points(*rows), jar_l=1.0, aim=5.8, band=PH)


def test_the_portion_a_jar_tells_is_the_one_the_dose_plans() -> None:
    walk = jar()
    walk.type("1", "1", "10", "6.8", "2", "6.3", "2", "5.6", "")
    finish = walk.script.finish(walk.walk, fold(walk.walk.entries), NOW)
    (done,) = finish.events
    made = plan(events=(READ, replace(done, id="j", seq=5)))
    told = float(finish.said[1].split("about ")[1].split(" ")[0])
    assert pours(made)["Acid"] == pytest.approx(told, abs=1.0)
    assert "reckoned from the jar test" in words(made)
    assert "last portion" not in words(made)


def test_a_jar_without_a_level_tells_no_amount_for_the_tank() -> None:
    script = jar_script(
        rack=RACK, events=[replace(READ, level_l=None)], began=NOW, bands=bands(), facts=facts()
    )
    walk = Jar(script)
    walk.type("1", "1", "10", "6.8", "2", "6.3", "2", "5.6", "")
    said = " ".join(script.finish(walk.walk, fold(walk.walk.entries), NOW).said)
    assert "whole tank" not in said
    assert "Read the level" in said


class Jar:
    """A jar walk that a test types into."""

    def __init__(self, script: JarScript) -> None:
        self.script = script
        self.walk = Walk(kind="jar", id="j", began=NOW, by="Mo")
        self.notice = ""

    @property
    def key(self) -> str:
        place = here(self.walk, self.script)
        return "" if place is None else place[1].key

    def type(self, *answers: str) -> None:
        for typed in answers:
            turn = enter(self.walk, self.script, key=self.key, typed=typed, now=NOW, by="Mo")
            self.walk, self.notice = turn.walk, turn.notice


def jar(rack: object = RACK) -> Jar:
    return Jar(jar_script(rack=rack, events=[READ], began=NOW, bands=bands(), facts=facts()))  # type: ignore[arg-type]


def test_a_jar_walk_ends_when_the_wanted_ph_is_passed_and_logs_what_it_says() -> None:
    walk = jar()
    walk.type("1", "1", "10", "6.8", "2", "6.3", "2", "5.6")
    assert walk.key == "end.seen"
    walk.type("")
    assert walk.key == ""
    finish = walk.script.finish(walk.walk, fold(walk.walk.entries), NOW)
    (done,) = finish.events
    assert isinstance(done, TaskDone)
    assert (done.task, done.text) == ("jar-test", "Acid")
    assert 0.2 < done.values["ml_per_l"] < 0.4
    assert "whole tank" in finish.said[0]


def test_enter_alone_ends_the_additions() -> None:
    walk = jar()
    walk.type("1", "1", "10", "6.8", "2", "6.3", "")
    assert walk.key == "end.seen"


def test_a_jar_that_went_the_other_way_is_read_again() -> None:
    walk = jar()
    walk.type("1", "1", "1", "6.8", "1", "7.3")
    assert "other way" in walk.notice
    assert walk.key == "drop1.ph"


def test_an_alkali_goes_up() -> None:
    walk = jar(with_adjusters(LYE))
    walk.type("1", "1", "10", "5.0", "1", "5.4", "1", "6.1")
    assert walk.key == "end.seen"


@pytest.mark.parametrize(("before", "typed"), [((), "1"), (("1",), "0"), (("1", "1"), "0")])
def test_what_cannot_be_is_refused(before: tuple[str, ...], typed: str) -> None:
    walk = jar()
    walk.type(*before)
    if not before:
        walk.type(typed)
        assert walk.key == "jar.litres"
        return
    with pytest.raises(RefusedError):
        walk.type(typed)


def test_without_a_bottle_there_is_nothing_to_try() -> None:
    walk = jar(with_adjusters())
    assert walk.key == "jar.none"
    walk.type("")
    assert walk.script.finish(walk.walk, fold(walk.walk.entries), NOW).events == ()
