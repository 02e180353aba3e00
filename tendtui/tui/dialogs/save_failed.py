"""What was typed could not be saved: this page stays until it is answered."""

from __future__ import annotations

from tendtui.errors import TendError
from tendtui.tui.command import letters_of
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look, span
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

__all__ = ["SaveFailed"]


class SaveFailed(TextPage[bool]):
    """Gives True for another try, False for back to the field."""

    LABEL = ""

    def __init__(self, error: TendError) -> None:
        super().__init__()
        self.error = error

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("NOT SAVED"), ""

    def lines(self, width: int) -> tuple[Line, ...]:
        """Say what happened, that the answer is kept, and what can be done."""
        return (
            (),
            *marked("[!] " + str(self.error), width - 2, indent="  "),
            (),
            *marked(_("Your answer is kept here; everything before it is on disk."), width - 2, indent="  "),
            (),
            (("   1  ", Look.BOLD), (_("try again"), Look.PLAIN)),
            (
                ("   2  ", Look.BOLD),
                (_("go back to the question, the answer still in its field"), Look.PLAIN),
            ),
            span(""),
        )

    def offers(self) -> tuple[tuple[str, str], ...]:
        """Two answers."""
        return (("1 Enter", _("try again")), ("2 Enter", _("back")))

    def ask(self) -> Ask:
        """Take a digit, after half a second of quiet."""
        return Ask(key="save-failed", takes=Takes.DIGITS, quiet=True, letters=letters_of(()))

    def entered(self, typed: str) -> None:
        """Dismiss with the answer."""
        match typed.strip():
            case "1":
                self.dismiss(result=True)
            case "2":
                self.dismiss(result=False)
            case _:
                self.notice = _("Type 1 or 2, then Enter.")
                self.open_field()
