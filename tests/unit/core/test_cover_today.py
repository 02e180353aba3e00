"""An absence on today's page."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.core.cover import Cover, away_of
from tendtui.core.event import Note
from tendtui.core.role import HELD
from tendtui.session.session import Session
from tendtui.value import replace
from tests.support.folders import folder_in
from tests.support.walker import open_at

NOW = datetime(2026, 3, 14, 12, tzinfo=UTC)
FAY = Cover(first=date(2026, 3, 19), last=date(2026, 3, 22), who="Fay")


def opened(tmp_path: Path, *, days: int = 0) -> Session:
    session, clock = open_at(folder_in(tmp_path), NOW, by="Ines")
    session.change_state(lambda state: replace(state, away=away_of([FAY])))
    clock.at += timedelta(days=days)
    return session


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0, "Before you go on Thu 19 Mar: Sat 14 Mar: Pump, prefilter, outlets"),
        (1, "Before you go on Thu 19 Mar: Mon 16 Mar: Change the water"),
        (5, "Fay looks after it until Sun 22 Mar. One person a day pours."),
    ],
)
def test_the_days_before_and_the_days_away(tmp_path: Path, days: int, said: str) -> None:
    assert opened(tmp_path, days=days).today().words[0].startswith(said)


def test_before_leaving_is_the_growers_business(tmp_path: Path) -> None:
    assert not any("Before you go" in line for line in opened(tmp_path).today(by="Zoe").words)


def test_the_way_back_stands_first_once_the_cover_is_over(tmp_path: Path) -> None:
    today = opened(tmp_path, days=9).today()
    assert (today.left_open[0].opens, today.left_open[0].because) == (
        "walk:return",
        "Fay stood in until Sun 22 Mar",
    )


def test_a_held_dose_stands_first_for_the_grower_only(tmp_path: Path) -> None:
    session, _clock = open_at(folder_in(tmp_path), NOW, by="Ines")
    session.record_events([Note(id="", seq=0, at=NOW, by="Zoe", text="pour 12 mL of Grow 1", about=HELD)])
    assert session.today().left_open[0].what == "A dose was held for you"
    assert all(item.what != "A dose was held for you" for item in session.today(by="Zoe").left_open)
