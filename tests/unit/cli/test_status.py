from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.calls import Called, call
from tests.support.folders import folder_in

KEYS = {
    "days_to_least_level", "days_to_conductivity_limit", "days_to_ph_limit", "days_to_change",
}  # fmt: skip


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TENDTUI_NOW", "2026-03-14T12:00:00+00:00")
    return folder_in(tmp_path).path


def wrong(left: Called) -> list[str]:
    rows = left.table["wrong"]
    assert isinstance(rows, list)
    return [row["what"] for row in rows]


def test_every_key_is_always_there(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, state, "status", "--json")
    table = left.table
    assert set(table) == {"schema", "at", "due", "wrong", "last", "forecast"}
    ahead, last = table["forecast"], table["last"]
    assert isinstance(ahead, dict)
    assert isinstance(last, dict)
    assert set(ahead) == KEYS | {f"{key}_range" for key in KEYS}
    assert set(last) == {"level_L", "conductivity_mS_cm", "ph", "temperature_C"}
    assert left.status == 1


def test_the_line_is_one_line(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = call(capsys, state, "status")
    assert left.out.count("\n") == 1
    assert left.out.startswith("Cellar stair: ")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("level=15",), "under the least mark"),
        (("level=54",), "over the full mark"),
        (("ph=6.8",), "pH 6.8 is above 5.7 to 6.3"),
        (("conductivity=1.0",), "1.00 mS/cm is below 1.30 to 1.90"),
    ],
)
def test_what_is_wrong_is_named(
    state: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
) -> None:
    call(capsys, state, "record", *words)
    assert any(says in what for what in wrong(call(capsys, state, "status", "--json")))


def test_a_reading_in_doubt_is_wrong_until_it_is_settled(
    state: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, state, "record", "ph=6.0", "--at", "2026-03-13T12:00+00:00")
    call(capsys, state, "record", "ph=8.2")
    assert any("in doubt" in what for what in wrong(call(capsys, state, "status", "--json")))
    call(capsys, state, "record", "ph=6.0")
    assert not any("in doubt" in what for what in wrong(call(capsys, state, "status", "--json")))


def test_something_poured_wants_reading(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call(capsys, state, "record", "ph=6.0", "conductivity=1.5", "--at", "2026-03-14T09:00+00:00")
    call(capsys, state, "record", "poured.Grow 1=10")
    assert any("not read since" in what for what in wrong(call(capsys, state, "status", "--json")))
