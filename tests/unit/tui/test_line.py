"""Text fitted to cells: cut, wrapped, cleaned; nothing moves the cursor, nothing is wider than asked."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tendtui.tui.line import clean, columns, fit, pad, plain, span, width_of, wrap

TEXTS = st.text(max_size=120)


@given(TEXTS, st.integers(1, 60))
def test_fitted_text_is_never_wider_than_asked(text: str, width: int) -> None:
    assert cell_len(fit(text, width)) <= width
    assert cell_len(pad(text, width)) == width


@given(TEXTS, st.integers(8, 60))
def test_wrapped_lines_are_never_wider_than_asked(text: str, width: int) -> None:
    assert all(cell_len(line) <= width for line in wrap(text, width))


@given(st.lists(st.text(st.characters(codec="ascii", categories=("L", "N")), min_size=1), max_size=20))
def test_wrapping_loses_no_word(words: list[str]) -> None:
    lines = wrap(" ".join(words), 20)
    assert "".join("".join(lines).split()) == "".join(words)


@given(TEXTS)
def test_clean_text_holds_no_control_character(text: str) -> None:
    cleaned = clean(text)
    assert not any(ord(sign) < 32 or 127 <= ord(sign) < 160 for sign in cleaned)


@pytest.mark.parametrize("text", ["\x1b[2J", "a\rb", "a\x9b31m", "\u202eabc", "\u2066abc"])
def test_what_moves_the_cursor_or_turns_the_line_is_taken_out(text: str) -> None:
    assert not set(clean(text)) & set("\x1b\r\x9b\u202e\u2066")


@given(TEXTS, st.integers(20, 80))
def test_two_columns_fill_the_width_and_keep_the_right_one_whole(left: str, width: int) -> None:
    line = columns(span(left), span("right"), width)
    assert width_of(line) == width
    assert plain(line).endswith("right")
