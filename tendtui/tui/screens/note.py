"""A note for the diary, which belongs to no station."""

from __future__ import annotations

from tendtui.tui.command import keys_of
from tendtui.tui.commands import NOTE
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

__all__ = ["NotePage"]


class NotePage(TextPage[bool]):
    """Takes the words and saves them; gives whether a note was kept."""

    OFFERS = NOTE
    FIELD = 200
    """As wide as the page."""

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("NOTE"), _("for the diary")

    def lines(self, width: int) -> tuple[Line, ...]:
        """Say what becomes of it."""
        told = _("Type it, then Enter: it stands in the diary with the time and your name. Esc: no note.")
        return ((), *marked(told, width - 2, indent="  "))

    def ask(self) -> Ask:
        """Take words."""
        return Ask(key="note", takes=Takes.WORDS, keys=keys_of(self.active()), empty=False)

    def entered(self, typed: str) -> None:
        """Keep it."""
        if not typed.strip():
            self.notice = _("Nothing was typed. Esc goes back without a note.")
            self.open_field()
            return
        desk = self.tend.desk

        def kept(_done: None) -> None:
            self.dismiss(result=True)

        self.save(lambda: desk.add_note(typed), kept)

    def command(self, name: str) -> bool:
        """Go back without a note."""
        if name == "GoBack":
            self.dismiss(result=False)
        return name == "GoBack"
