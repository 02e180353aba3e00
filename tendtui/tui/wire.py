"""A whole picture with its blanks left out: half of what a page would cost on a thin link."""

from __future__ import annotations

from rich.console import Console
from textual._compositor import CompositorUpdate

__all__ = ["SlimUpdate", "slim"]

_ERASE = "\x1b[K"
"""Erases to the end of the row, in the terminal's own paper."""


class SlimUpdate(CompositorUpdate):
    """A picture that is already a row of signs."""

    def __init__(self, text: str) -> None:
        self.text = text

    def render_segments(self, console: Console) -> str:
        """Give the signs."""
        del console
        return self.text


def slim(whole: str) -> str:
    """Leave out the blanks at the ends of rows; the rest of each row is erased instead.

    Args:
        whole: A full picture: rows that each begin with a cursor move, parted by line ends.
    """
    return "\n".join(_slim_row(row) for row in whole.split("\n"))


def _slim_row(row: str) -> str:
    kept = row.rstrip(" ")
    return kept + _ERASE if len(row) - len(kept) > len(_ERASE) else row
