"""A page of text under a title, that PageUp and PageDown move through."""

from __future__ import annotations

from abc import abstractmethod
from typing import TypeVar

from tendtui.tui.draw.sheet import Sheet, offered
from tendtui.tui.draw.text_sheet import TextView, draw_text
from tendtui.tui.line import Line
from tendtui.tui.screens.page import Page

__all__ = ["TextPage"]

Result = TypeVar("Result")


class TextPage(Page[Result]):
    """What help, problems, lists, the diary and the ends of walks share."""

    LABEL = ""
    FIELD = 4

    @abstractmethod
    def heading(self) -> tuple[str, str]:
        """Give the title and what stands beside it."""

    @abstractmethod
    def lines(self, width: int) -> tuple[Line, ...]:
        """Give the text."""

    def numbers(self) -> tuple[int, ...]:
        """Give the number of the entry that each line belongs to; empty: lines are counted."""
        return ()

    def offers(self) -> tuple[tuple[str, str], ...]:
        """Give key and words for the footer."""
        return offered(self.active())

    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the part that fits."""
        title, aside = self.heading()
        lines = self.lines(width)
        view = TextView(
            title=title,
            aside=aside,
            lines=lines,
            numbers=self.numbers(),
            commands=self.offers(),
            by=self.tend.desk.by,
            label=self.LABEL,
            field=self.FIELD,
            notice=self.notice,
            stops=self.tend.stops,
            scroll=self.scroll_rows,
            signs=self.tend.terminal.signs,
        )
        return draw_text(view, width, height)

    def command(self, name: str) -> bool:
        """Go one page back."""
        if name == "GoBack":
            self.app.pop_screen()
        return name == "GoBack"
