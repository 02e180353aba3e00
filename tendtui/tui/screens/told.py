"""The end of a walk: what was found, what was done, what is next."""

from __future__ import annotations

from tendtui.tui.command import harmless_keys, keys_of
from tendtui.tui.commands import HELP
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.number_entry import Ask, Takes
from tendtui.words import _

__all__ = ["ToldPage"]


class ToldPage(TextPage[None]):
    """Sentences to read; Enter goes on to today's page."""

    OFFERS = HELP
    FIELD = 1

    def __init__(self, title: str, said: tuple[str, ...]) -> None:
        super().__init__()
        self.title_words = title
        self.said = said

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return self.title_words.upper(), ""

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give one paragraph a sentence."""
        return tuple(line for text in self.said for line in ((), *marked(text, width - 2, indent="  ")))

    def offers(self) -> tuple[tuple[str, str], ...]:
        """Enter goes on."""
        return (("Enter", _("go on")),)

    def ask(self) -> Ask:
        """Wait for Enter, after half a second of quiet: this page must be read."""
        return Ask(
            key="told",
            takes=Takes.NOTHING,
            quiet=True,
            keys=keys_of(self.OFFERS),
            harmless=harmless_keys(self.OFFERS),
        )

    def entered(self, typed: str) -> None:
        """Go on."""
        del typed
        self.tend.to_today()

    def command(self, name: str) -> bool:
        """Esc goes on too."""
        if name == "GoBack":
            self.tend.to_today()
        return name == "GoBack"
