"""`tendtui learned` on a copy of the demo."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.session.demo import copy_demo
from tendtui.store.folder import Folder
from tendtui.store.state_file import read_state

NOW = datetime(2027, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("TENDTUI_NOW", NOW.isoformat())
    return str(copy_demo(tmp_path / "rack", NOW))


def test_it_says_what_was_learned(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["learned", "--state", folder]) == 0
    told = capsys.readouterr().out
    assert "weaker than its label says" in told
    assert "pH Minus" in told


def test_a_rebuild_keeps_the_figures_and_says_the_same(
    folder: str, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["learned", "--state", folder])
    before = capsys.readouterr().out
    assert main(["learned", "--rebuild", "--state", folder]) == 0
    assert capsys.readouterr().out == before
    kept = read_state(Folder(Path(folder))).learned
    assert "feed" in kept
    (Path(folder) / "state.toml").unlink()
    main(["learned", "--rebuild", "--state", folder])
    assert read_state(Folder(Path(folder))).learned == kept


def test_a_figure_can_be_held_freed_and_forgotten(folder: str) -> None:
    def kept() -> dict[str, object]:
        return dict(read_state(Folder(Path(folder))).learned)

    main(["learned", "--hold", "feed", "--state", folder])
    assert kept()["frozen"] == ["feed"]
    main(["learned", "--free", "feed", "--state", folder])
    assert "frozen" not in kept()
    main(["learned", "--forget", "response.pH Minus", "--state", folder])
    assert "response" not in kept()


def test_whoever_is_no_grower_holds_and_forgets_nothing(
    folder: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (Path(folder) / "state.toml").read_bytes()
    assert main(["learned", "--forget", "feed", "--by", "Zoe", "--state", folder]) != 0
    assert "This is for the grower" in capsys.readouterr().err
    assert (Path(folder) / "state.toml").read_bytes() == before
    assert main(["learned", "--by", "Zoe", "--state", folder]) == 0


def test_an_unknown_figure_is_refused(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["learned", "--hold", "luck", "--state", folder]) == 2
    assert "there is no figure 'luck'" in capsys.readouterr().err
