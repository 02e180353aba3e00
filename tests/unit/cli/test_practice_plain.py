"""The practice round line by line, by somebody who has only the cards."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.store.log_file import read_log
from tests.support.folders import NOON, folder_in

MOST = 60


class Lines:
    """Standard input as a person who answers what was printed last."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys
        self.said = ""
        self.asked = 0

    def isatty(self) -> bool:
        return False

    def readline(self) -> str:
        self.said += self.capsys.readouterr().out
        self.asked += 1
        assert self.asked < MOST, self.said[-2000:]
        return self.answer() + "\n"

    def answer(self) -> str:
        """Give the number on the newest card, or the first answer of a list; Enter where there is none."""
        asked = self.said.rpartition("Your card:")[2]
        prompt = self.said.strip().splitlines()[-2]
        if prompt.startswith("Type a number of the list"):
            return "1"
        shown = re.search(r"(?:shows|stands at|full after|there are)\s+(?:pH )?([\d.]+)", asked)
        return shown[1].rstrip(".") if shown and prompt.startswith("Type a number") else ""


def test_it_ends_with_a_report_and_an_empty_diary(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_in(tmp_path)
    monkeypatch.setenv("TENDTUI_STATE", str(folder.path))
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    lines = Lines(capsys)
    monkeypatch.setattr("sys.stdin", lines)
    assert main(["round", "--plain", "--practice", "--by", "Zoe"]) == 0
    said = " ".join((lines.said + capsys.readouterr().out).split())
    assert "This is a copy of your rack." in said
    assert "You found 1 of 2 planted faults." in said  # the number; the first answer of a look is `all well`
    assert "Nothing of this is in the diary, and nothing is to be poured." in said
    assert read_log(folder).events == ()
