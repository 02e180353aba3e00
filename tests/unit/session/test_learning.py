"""Learned figures come back from the log, can be held and forgotten, and are not learned twice."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.core.rack import Rack
from tendtui.core.state import State
from tendtui.session import learning
from tendtui.session.demo import demo_folder
from tendtui.session.learning import (
    frozen_by_hand,
    learned_for_plan,
    learning_now,
    learning_table,
    reset_by_hand,
)
from tendtui.store.folder import Folder
from tendtui.store.log_file import Log, read_log
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import read_state, write_state


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


def test_a_figure_held_by_hand_stays_and_one_forgotten_starts_again(log: Log) -> None:
    kept = State(learned={**learning_table(rack(), log.events, State()), "feed": _factor(0.5)})
    held = frozen_by_hand(kept, "feed", hold=True)
    feed = learning_now(rack(), log.events, held).feed
    assert feed is not None
    assert feed.value == 0.5
    free = frozen_by_hand(held, "feed", hold=False)
    assert learning_now(rack(), log.events, free).feed != feed
    anew = reset_by_hand(held, "feed", datetime(2026, 11, 1, tzinfo=UTC))
    again = learning_now(rack(), log.events, anew).feed
    assert again is not None
    assert again.count < 4


def _factor(value: float) -> dict[str, object]:
    return {"value": value, "spread": 0.02, "count": 5}
