"""The last round on today's page: its own time, its figures, and on which side of the dose they stand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tendtui.core.dose_side import dose_side, is_leaving
from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.rack import Rack, Reservoir
from tendtui.core.today_last import last_round_lines, poured_words

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
ROUND = NOW - timedelta(minutes=95)
RACK = Rack(name="Porch", reservoir=Reservoir(full_l=60.0, least_l=30.0))
READ = Reading(
    id="r", seq=1, at=ROUND, by="Robin", level_l=44.0, conductivity_ms_cm=1.44, ph=6.5, source="round"
)
LEFT = Reading(
    id="l", seq=9, at=ROUND + timedelta(minutes=50), by="Robin", looks={"leaving.lid": "on"}, source="round"
)


def poured(minute: int, what: str, **amount: float) -> Poured:
    at = ROUND + timedelta(minutes=minute)
    return Poured(id=f"p{minute}", seq=minute, at=at, what=what, **amount)  # type: ignore[arg-type]


def read_after(minute: int, **values: float) -> Reading:
    at = ROUND + timedelta(minutes=minute)
    return Reading(id=f"r{minute}", seq=minute, at=at, source="dose", **values)  # type: ignore[arg-type]


DOSED: tuple[Event, ...] = (
    READ,
    poured(5, "water", litres=9.0),
    poured(8, "Lower", ml=6.5),
    read_after(25, conductivity_ms_cm=1.45),
    read_after(26, ph=6.0),
    poured(30, "Lower", ml=3.5),
    read_after(46, ph=5.8),
    LEFT,
)


def test_a_round_stands_at_its_first_reading_and_keeps_its_figures() -> None:
    """The leaving list is no round: it holds no figure, and comes an hour after the first."""
    assert last_round_lines((READ, LEFT), RACK, NOW) == (
        "today 10:25, Robin",
        "44 litres   1.44 mS/cm   pH 6.5",
    )


def test_figures_say_on_which_side_of_the_dose_they_stand() -> None:
    assert last_round_lines(DOSED, RACK, NOW) == (
        "today 10:25, Robin",
        "before the dose: 44 litres   1.44 mS/cm   pH 6.5",
        "poured 10:55: 9 litres of water, 10 mL Lower in 2 portions",
        "after the dose: 1.45 mS/cm   pH 5.8",
    )


def test_a_change_after_it_is_said() -> None:
    change = Change(id="c", seq=3, at=ROUND + timedelta(minutes=9))
    assert last_round_lines((READ, change), RACK, NOW)[-1] == "the solution was changed after it"


def test_without_a_round_the_last_reading_stands_in() -> None:
    single = Reading(id="s", seq=1, at=ROUND, ph=6.1)
    assert last_round_lines((single,), RACK, NOW) == ("today 10:25", "pH 6.1")
    assert last_round_lines((), RACK, NOW) == ()


def test_portions_of_one_bottle_are_told_together() -> None:
    said = poured_words((poured(1, "A", g=1.5), poured(2, "drained", litres=2.0), poured(3, "A", g=0.5)))
    assert said == "2 g A in 2 portions, 2 litres drained"


def test_the_side_of_a_reading() -> None:
    assert dose_side(READ, DOSED) == "before the dose"
    assert dose_side(read_after(26, ph=6.0), DOSED) == "after the dose"
    assert dose_side(READ, (READ, LEFT)) == ""
    assert dose_side(read_after(26, ph=6.0), (READ,)) == ""  # read again, and nothing was poured
    other = Reading(id="o", seq=2, at=ROUND + timedelta(minutes=4), ph=6.4)
    assert dose_side(READ, (READ, other, poured(8, "Lower", ml=3.0))) == ""


def test_a_leaving_list_is_told_from_a_round() -> None:
    assert is_leaving(LEFT)
    assert not is_leaving(READ)
