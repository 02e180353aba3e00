"""Who is offered where one says who is here."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tendtui.core.event import Event, Note
from tendtui.core.people import people_at
from tendtui.core.rack import Rack, Reservoir

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
RACK = Rack(
    name="r", reservoir=Reservoir(full_l=50.0, least_l=20.0), people=("Ines", "Joss"), roles={"Kit": "grower"}
)


def wrote(by: str, day: int) -> Event:
    return Note(id=by, seq=day, at=NOW + timedelta(days=day), by=by, text="x")


def test_whoever_wrote_something_is_offered_after_the_usual_ones() -> None:
    events = (wrote("Old", 0), wrote("Robin", 1), wrote("", 2), wrote("Ines", 3))
    assert people_at(RACK, events) == ("Ines", "Joss", "Kit", "Robin", "Old")


def test_a_digit_picks_each() -> None:
    events = tuple(wrote(f"P{n}", n) for n in range(20))
    assert len(people_at(RACK, events)) == 9
