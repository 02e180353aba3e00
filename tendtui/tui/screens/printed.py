"""A page to read: a drill, a card, the checklists, the load, the plants."""

from __future__ import annotations

from tendtui.core.printed_page import PrintedPage
from tendtui.tui.commands import PROBLEMS
from tendtui.tui.line import Line, span, wrap
from tendtui.tui.screens.text_page import TextPage

__all__ = ["PRINTED", "PrintedSheet"]

PRINTED = "print-"
"""What the names of these pages begin with."""


class PrintedSheet(TextPage[None]):
    """Its lines as they stand, wrapped to the page."""

    OFFERS = PROBLEMS
    FIELD = 1

    def __init__(self, printed: PrintedPage) -> None:
        super().__init__()
        self.printed = printed

    def heading(self) -> tuple[str, str]:
        """Give its name and what it is."""
        return self.printed.name.upper(), self.printed.about

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give the text, every line wrapped under its own beginning."""
        lines: list[Line] = []
        for text in self.printed.lines:
            indent = " " * (1 + len(text) - len(text.lstrip()))
            wrapped = wrap(text.strip(), width - 1, first=indent, rest=indent + "   ") if text else ("",)
            lines += [span(part) for part in wrapped]
        return tuple(lines)
