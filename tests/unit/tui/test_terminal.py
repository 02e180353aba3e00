"""What may be drawn where, told from the environment."""

from __future__ import annotations

import pytest

from tendtui.tui.terminal import terminal_of


@pytest.mark.parametrize(
    ("environment", "encoding", "hues", "signs"),
    [
        ({"TERM": "xterm-256color"}, "utf-8", "many", "blocks"),
        ({"TERM": "xterm"}, "UTF-8", "few", "shades"),
        ({"TERM": "linux"}, "utf8", "few", "lines"),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, "utf-8", "none", "shades"),
        ({"TERM": "xterm-256color"}, "ascii", "many", "ascii"),
        ({}, "", "few", "ascii"),
    ],
)
def test_the_terminal_gets_what_it_can_draw(
    environment: dict[str, str], encoding: str, hues: str, signs: str
) -> None:
    terminal = terminal_of(environment, encoding=encoding)
    assert (terminal.hues, terminal.signs) == (hues, signs)


def test_an_ssh_session_is_far() -> None:
    assert terminal_of({"SSH_CONNECTION": "1 2 3 4"}, encoding="utf-8").far
    assert not terminal_of({}, encoding="utf-8").far
