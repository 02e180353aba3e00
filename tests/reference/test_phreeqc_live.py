"""The same questions to PHREEQC and to us, on waters drawn at random.

Source: PHREEQC, U.S. Geological Survey Techniques and Methods 6-A43 (2013), run live with database
vitens.dat. The tolerances are those of tests/reference/data/chemistry_sources.md.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tendtui.chemistry import Solution, mix
from tendtui.value import value_class
from tests.support.chemistry_tables import summary
from tests.support.waters import Water, draw

pytest.importorskip("phreeqpython", reason="no wheel of PHREEQC for this machine")

from tests.support.phreeqc import Engine, Outcome, UnansweredError

pytestmark = pytest.mark.slow

SEED = 20250101
COUNT = 300
STEEP_PH = 0.03


@value_class
class Answered:
    """One water, our solution of it, and PHREEQC's answers."""

    water: Water
    ours: Solution
    theirs: Outcome
    dose_mmol: float
    closed: tuple[float, float, float]
    in_air: tuple[float, float, float]


@pytest.fixture(scope="module")
def quiet(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """PHREEQC leaves a file where it stands when a question fails."""
    patch = pytest.MonkeyPatch()
    patch.chdir(tmp_path_factory.mktemp("phreeqc"))
    yield
    patch.undo()


@pytest.fixture(scope="module")
def answers(quiet: None) -> list[Answered]:
    return _ask(COUNT, SEED, wide=False)


@pytest.fixture(scope="module")
def wide_answers(quiet: None) -> list[Answered]:
    return _ask(COUNT, SEED + 1, wide=True)


def _ask(count: int, seed: int, *, wide: bool) -> list[Answered]:
    """Ask until enough waters have an answer: some draws can't exist, and PHREEQC says so."""
    engine, found = Engine(), list[Answered]()
    for water in draw(3 * count, seed, wide=wide):
        answered = _answer(engine, water)
        if answered is not None:
            found.append(answered)
        if len(found) == count:
            return found
    raise AssertionError(f"only {len(found)} of {3 * count} waters could be asked")


def _answer(engine: Engine, water: Water) -> Answered | None:
    given = dict([water.carbonate])
    try:
        guess = Solution.at_ph(water.ph, water.totals, temperature_c=water.temperature_c, **given)
        nitrate = {"NO3": max(-guess.closing_meq, 1e-6)}
        made = engine.water(
            water.ph, water.totals | nitrate, temperature_c=water.temperature_c, carbonate=water.carbonate
        )
        dose = engine.dose(water.target_ph, water.reagent, pco2_atm=water.pco2_atm).dose_mmol
        if not 1e-6 < dose < 50.0:
            return None
        steps = [share * dose for share in (0.98, 1.0, 1.02)]
        closed = [engine.added(water.reagent, step).ph for step in steps]
        in_air = [engine.in_air(water.reagent, step, 420e-6).ph for step in steps]
    except (UnansweredError, ValueError):
        return None
    ours = Solution.at_ph(water.ph, made.totals, temperature_c=water.temperature_c, **given)
    return Answered(
        water=water,
        ours=ours,
        theirs=made,
        dose_mmol=dose,
        closed=(closed[0], closed[1], closed[2]),
        in_air=(in_air[0], in_air[1], in_air[2]),
    )


def _our_dose(answer: Answered) -> float:
    water = answer.water
    return answer.ours.dose_to_ph(water.target_ph, water.reagent, pco2_atm=water.pco2_atm)


def _error_percent(answer: Answered) -> float:
    return 100.0 * abs(_our_dose(answer) - answer.dose_mmol) / answer.dose_mmol


def test_every_kind_of_water_and_reagent_was_asked(answers: list[Answered]) -> None:
    assert len({a.water.kind for a in answers}) == 9
    assert len({a.water.reagent for a in answers}) == 8
    assert sum(a.water.pco2_atm is not None for a in answers) > 50


def test_random_doses_agree(answers: list[Answered]) -> None:
    for answer in answers:
        assert abs(_our_dose(answer) - answer.dose_mmol) <= max(0.03 * answer.dose_mmol, 0.004), answer.water


def test_random_doses_agree_on_the_whole(answers: list[Answered]) -> None:
    middle, most, _ = summary(_error_percent(answer) for answer in answers)
    assert middle <= 0.5
    assert most <= 1.5


def test_random_ph_after_a_dose_agrees(answers: list[Answered]) -> None:
    for answer in answers:
        after = answer.ours.with_added(answer.water.reagent, answer.dose_mmol)
        for ours, theirs in ((after.ph, answer.closed), (after.open_to_air(420e-6).ph, answer.in_air)):
            assert min(theirs) - STEEP_PH <= ours <= max(theirs) + STEEP_PH, answer.water


def test_random_carbonate_agrees(answers: list[Answered]) -> None:
    for answer in answers:
        assert answer.ours.dic_mmol == pytest.approx(answer.theirs.dic_mmol, rel=0.02, abs=0.005)


def test_doses_agree_from_ph_3_to_10(wide_answers: list[Answered]) -> None:
    for answer in wide_answers:
        assert abs(_our_dose(answer) - answer.dose_mmol) <= max(0.03 * answer.dose_mmol, 0.004), answer.water
    middle, most, _ = summary(_error_percent(answer) for answer in wide_answers)
    assert middle <= 0.5
    assert most <= 1.5


def test_random_saturation_agrees(answers: list[Answered]) -> None:
    for answer in answers:
        for name, theirs in answer.theirs.saturation.items():
            if theirs > -20.0:
                tolerance = 0.5 if name == "hydroxyapatite" else 0.1
                assert answer.ours.saturation_index(name) == pytest.approx(theirs, abs=tolerance)


@value_class
class Mixed:
    """Two waters mixed, by us and by PHREEQC, closed and then in air."""

    ours: Solution
    closed: Outcome
    in_air: Outcome


@pytest.fixture(scope="module")
def mixtures(quiet: None) -> list[Mixed]:
    engine, waters = Engine(), draw(1200, SEED + 2)
    sources = [water for water in waters if water.kind in SOURCES]
    feeds = [water for water in waters if water.kind not in SOURCES]
    pairs = zip(sources, feeds, strict=False)
    found = (_mixed(engine, *pair, share=0.1 + 0.8 * (i % 17) / 17) for i, pair in enumerate(pairs))
    return [mixed for mixed in found if mixed is not None][:COUNT]


SOURCES = {"rain", "soft", "hard", "softened"}


def _mixed(engine: Engine, source: Water, feed: Water, *, share: float) -> Mixed | None:
    temperature_c = source.temperature_c
    try:
        first = _made(engine, source, temperature_c=temperature_c, number=1)
        second = _made(engine, feed, temperature_c=temperature_c, number=2)
        return Mixed(
            ours=mix(first, share, second, 1.0 - share),
            closed=engine.mixed(share),
            in_air=engine.mixed(share, pco2_atm=420e-6),
        )
    except (UnansweredError, ValueError):
        return None


def _made(engine: Engine, water: Water, *, temperature_c: float, number: int) -> Solution:
    given = dict([water.carbonate])
    guess = Solution.at_ph(water.ph, water.totals, temperature_c=temperature_c, **given)
    totals = water.totals | {"NO3": max(-guess.closing_meq, 1e-6)}
    made = engine.water(
        water.ph, totals, temperature_c=temperature_c, carbonate=water.carbonate, number=number
    )
    return Solution.at_ph(water.ph, made.totals, temperature_c=temperature_c, dic_mmol=made.dic_mmol)


def test_random_mixtures_agree(mixtures: list[Mixed]) -> None:
    assert len(mixtures) == COUNT
    for mixed in mixtures:
        assert mixed.ours.ph == pytest.approx(mixed.closed.ph, abs=0.02)
        assert mixed.ours.open_to_air(420e-6).ph == pytest.approx(mixed.in_air.ph, abs=0.02)
        for name, theirs in mixed.closed.totals.items():
            assert mixed.ours.totals_mmol[name] == pytest.approx(theirs, rel=1e-3, abs=1e-6)
