"""Learned figures come back from the log, can be held and forgotten, and are not learned twice."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.core.event import Note
from tendtui.core.figure import FORGOTTEN, FREED, HELD, figures_of
from tendtui.core.learned import Learning
from tendtui.core.rack import Rack
from tendtui.core.state import State
from tendtui.session import learning
from tendtui.session.by_hand import do_by_hand, table_after
from tendtui.session.demo import copy_demo, demo_folder
from tendtui.session.learning import (
    about_today,
    keep_learned,
    learned_for_plan,
    learning_now,
    learning_table,
    view_now,
)
from tendtui.store.folder import Folder
from tendtui.store.log_file import Log, read_log
from tendtui.store.rack_file import edit_rack, read_rack
from tendtui.store.state_file import read_state, write_state
from tests.support.walker import open_at


@pytest.fixture(scope="module")
def log() -> Log:
    return read_log(Folder(demo_folder()))


def rack() -> Rack:
    return read_rack(Folder(demo_folder()))


def test_what_was_learned_survives_the_loss_of_the_state(log: Log, tmp_path: Path) -> None:
    kept = State(learned=learning_table(rack(), log.events, State()))
    folder = Folder(tmp_path)
    write_state(folder, kept, was=None)
    from_file = learning_now(rack(), log.events, read_state(folder))
    folder.state.unlink()
    assert learning_now(rack(), log.events, read_state(folder)) == from_file


def test_kept_figures_are_not_learned_again(log: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = State(learned=learning_table(rack(), log.events, State()))
    monkeypatch.setattr(learning, "learn", None)  # calling it would fail
    assert learning_now(rack(), log.events, kept).feed is not None


def test_another_rack_learns_anew(log: Log) -> None:
    kept = State(learned={**learning_table(rack(), log.events, State()), "rack": "another", "feed": {}})
    assert learning_now(rack(), log.events, kept).feed is not None


def test_the_plan_takes_feed_acid_and_drift(log: Log) -> None:
    told = learned_for_plan(rack(), log.events, State())
    assert told.feed_strength is not None
    assert 0.85 < told.feed_strength.value < 0.97  # the demo's feed is weaker than its label
    assert set(told.response) == {"pH Minus"}
    assert told.drift_ph_day is not None


def test_a_walk_learns_nothing_from_after_its_beginning(log: Log) -> None:
    early = learning_now(rack(), log.events, State(), until=datetime(2026, 9, 20, tzinfo=UTC))
    late = learning_now(rack(), log.events, State())
    assert early.thirst is not None
    assert late.thirst is not None
    assert early.thirst.count < late.thirst.count


END = datetime(2026, 11, 20, tzinfo=UTC)


def after(log: Log, kept: State, act: str, figure: str, at: datetime = END) -> State:
    return State(learned=table_after(rack(), log.events, kept, act=act, figure=figure, at=at))


def test_a_figure_held_by_hand_stays_and_one_forgotten_starts_again(log: Log) -> None:
    table = learning_table(rack(), log.events, State())
    held = State(learned={**table, "feed": _factor(0.5), "frozen": ["feed"]})
    feed = learning_now(rack(), log.events, held).feed
    assert feed is not None
    assert feed.value == 0.5
    free = after(log, held, FREED, "feed")
    assert learning_now(rack(), log.events, free).feed != feed
    anew = after(log, held, FORGOTTEN, "feed", datetime(2026, 11, 1, tzinfo=UTC))
    again = learning_now(rack(), log.events, anew).feed
    assert again is not None
    assert again.count < 4


def _factor(value: float) -> dict[str, object]:
    return {"value": value, "spread": 0.02, "count": 5}


def _of(learning: Learning, figure: str) -> object:
    bottle = figure.removeprefix("response.")
    return learning.response.get(bottle) if bottle != figure else getattr(learning, figure)


@pytest.mark.parametrize("figure", figures_of(rack()))
def test_every_figure_can_be_held_and_forgotten(log: Log, figure: str) -> None:
    early = tuple(e for e in log.events if e.at < datetime(2026, 11, 1, tzinfo=UTC))
    before = learning_now(rack(), early, State())
    state = State(learned=table_after(rack(), early, State(), act=HELD, figure=figure, at=END))
    later = learning_now(rack(), log.events, state)
    assert later.frozen == (figure,)
    if _of(before, figure) is not None:
        assert _of(later, figure) == _of(before, figure)
        assert _of(learning_now(rack(), log.events, State()), figure) != _of(before, figure)
    anew = after(log, state, FORGOTTEN, figure)
    assert _of(learning_now(rack(), log.events, anew), figure) is None


def test_what_was_held_and_forgotten_survives_the_loss_of_the_state(tmp_path: Path) -> None:
    """Held, another forgotten a month later, a third freed: the diary alone gives the same figures."""
    end = datetime(2027, 3, 2, 9, 0, tzinfo=UTC)
    folder = Folder(copy_demo(tmp_path / "rack", end))
    whole = read_log(folder)
    first = whole.events[0].at
    month = datetime(2027, 2, 5, 12, 0, tzinfo=UTC)
    assert first < month
    session, clock = open_at(folder, month, by="Petra")
    do_by_hand(session, HELD, "feed")
    do_by_hand(session, HELD, "thirst")
    clock.at = datetime(2027, 2, 20, 12, 0, tzinfo=UTC)
    session.forget()
    do_by_hand(session, FREED, "thirst")
    do_by_hand(session, FORGOTTEN, "response.pH Minus")
    clock.at = end
    session.forget()
    keep_learned(session)
    kept = read_state(folder).learned
    assert kept["frozen"] == ["feed"]
    folder.state.unlink()
    session.forget()
    keep_learned(session)
    assert read_state(folder).learned == kept
    told = [e.text for e in session.events if isinstance(e, Note) and e.about.startswith("figure-")]
    assert told[0] == "held as it is: strength of the feed"
    assert len(told) == 4


def test_todays_page_names_a_bottle_that_ends_soon_and_a_buffer_past_its_date(tmp_path: Path) -> None:
    end = datetime(2027, 3, 2, 9, 0, tzinfo=UTC)
    folder = Folder(copy_demo(tmp_path / "rack", end))
    session, clock = open_at(folder, end)
    assert not [line for line in about_today(view_now(session)) if "lasts" in line or "date" in line]
    edit_rack(folder, {"stock.Green One": 1200.0})  # 1150 mL of it have gone, some 8 a day
    clock.at = datetime(2027, 6, 2, 9, 0, tzinfo=UTC)  # the demo's buffers are good until 31 May
    session.forget()
    told = [line for line in about_today(view_now(session)) if line.startswith("[!]")]
    assert any("buffer 7 is past its date" in line for line in told)
    clock.at = end
    session.forget()
    told = [line for line in about_today(view_now(session)) if line.startswith("[!]")]
    assert any(line.startswith("[!] Green One: ") and "left, lasts" in line for line in told)


def test_a_rebuild_mends_a_figure_that_was_typed_into_the_state_by_hand(tmp_path: Path) -> None:
    end = datetime(2027, 3, 2, 9, 0, tzinfo=UTC)
    folder = Folder(copy_demo(tmp_path / "rack", end))
    session, _clock = open_at(folder, end)
    keep_learned(session)
    right = read_state(folder).learned
    spoiled = State(learned={**right, "feed": _factor(0.3)})
    write_state(folder, spoiled, was=folder.state.read_bytes())
    session.forget()
    keep_learned(session)
    assert read_state(folder).learned == right
