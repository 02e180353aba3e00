"""Who is at the rack: a name of the usual ones, or another."""

from __future__ import annotations

from tendtui.tui.command import keys_of
from tendtui.tui.commands import HELP
from tendtui.tui.line import Line, Look, span
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

__all__ = ["WhoPage"]


class WhoPage(TextPage[str]):
    """Gives the name, or nothing where one went back."""

    OFFERS = HELP
    FIELD = 30

    def __init__(self, usual: tuple[str, ...]) -> None:
        super().__init__()
        self.usual = usual

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("WHO IS HERE"), _("every answer carries the name")

    def lines(self, width: int) -> tuple[Line, ...]:
        """List the usual names."""
        del width
        named = tuple(
            ((f"  {number:>2}  ", Look.BOLD), (name, Look.PLAIN))
            for number, name in enumerate(self.usual, start=1)
        )
        return ((), *named, (), span("  " + _("Type the number, or another name, then Enter.")))

    def offers(self) -> tuple[tuple[str, str], ...]:
        """Enter takes it, Esc goes back."""
        return (("Enter", _("take it")), ("Esc", _("back")))

    def ask(self) -> Ask:
        """Take a digit or a name."""
        return Ask(key="who", takes=Takes.WORDS, keys=keys_of(self.OFFERS))

    def entered(self, typed: str) -> None:
        """Dismiss with the name."""
        typed = typed.strip()
        if typed.isascii() and typed.isdigit():
            if not 1 <= int(typed) <= len(self.usual):
                self.notice = _("There is no such number here.")
                self.open_field()
                return
            typed = self.usual[int(typed) - 1]
        if typed and not typed.strip("-?. "):
            self.notice = _("{typed} is no name. Type a number or a name, or Esc to go back.").format(
                typed=typed
            )
            self.open_field()
        elif typed:
            self.dismiss(typed)
        else:
            self.notice = _("Type a number or a name, or Esc to go back.")
            self.open_field()

    def command(self, name: str) -> bool:
        """Go back without a name."""
        if name == "GoBack":
            self.dismiss(None)
        return name == "GoBack"
