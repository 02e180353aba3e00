"""The end of a walk: what was found, what was done, what is next."""

from __future__ import annotations

from tendtui.tui.command import Command, harmless_keys, keys_of, letters_of
from tendtui.tui.commands import TOLD
from tendtui.tui.draw.sheet import marked
from tendtui.tui.form import swap_form
from tendtui.tui.line import Line, Look
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

__all__ = ["ToldPage"]


class ToldPage(TextPage[None]):
    """Sentences to read; Enter goes on to today's page, or to the walk that comes next."""

    OFFERS = TOLD
    FIELD = 1

    def __init__(
        self, title: str, said: tuple[str, ...], *, then: str = "", offers_brief: bool = False
    ) -> None:
        """Take what is to be read.

        Args:
            title: Of the page.
            said: A paragraph each.
            then: The kind of walk that Enter begins; empty: today's page.
            offers_brief: Whether fewer words are offered.
        """
        super().__init__()
        self.title_words = title
        self.said = said
        self.then = then
        self.offers_brief = offers_brief

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return self.title_words.upper(), ""

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give one paragraph a sentence."""
        told = [line for text in self.said for line in ((), *marked(text, width - 2, indent="  "))]
        if self.offers_brief:
            offer = _(
                "Five rounds without a slip. Would fewer words do? Press b, and from now on you are asked "
                "without where, how and why; ? shows them, b on today's page brings them back for good. "
                "Enter leaves it as it is."
            )
            told += [(), (("  " + _("AN OFFER"), Look.BOLD),), *marked(offer, width - 2, indent="  ")]
        return tuple(told)

    def active(self) -> tuple[Command, ...]:
        """Give the commands; the form is swapped only where that is offered."""
        return tuple(c for c in self.OFFERS if c.name != "SwapForm" or self.offers_brief)

    def offers(self) -> tuple[tuple[str, str], ...]:
        """Enter goes on, `d` to the drills; `b` and Esc where they lead elsewhere."""
        brief = (("b", _("fewer words")),) if self.offers_brief else ()
        back = (("Esc", _("today's page")),) if self.then else ()
        return (("Enter", _("go on")), ("d", _("emergency")), *brief, *back)

    def ask(self) -> Ask:
        """Wait for Enter, after half a second of quiet: this page must be read."""
        commands = self.active()
        return Ask(
            key="told",
            takes=Takes.NOTHING,
            quiet=True,
            letters=letters_of(commands),
            keys=keys_of(commands),
            harmless=harmless_keys(commands),
        )

    def entered(self, typed: str) -> None:
        """Go on."""
        del typed
        self.tend.to_today()
        if self.then:
            self.tend.begin(self.then)

    def command(self, name: str) -> bool:
        """Esc leads to today's page; `b` takes the offer."""
        if name == "GoBack":
            self.tend.to_today()
        elif name == "SwapForm":
            self._swap_form()
        return name in ("GoBack", "SwapForm")

    def _swap_form(self) -> None:
        desk = self.tend.desk

        def swapped(told: str) -> None:
            self.offers_brief, self.notice = False, told
            self.open_field()

        self.save(lambda: swap_form(desk), swapped)
