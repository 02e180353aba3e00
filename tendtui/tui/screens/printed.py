"""A page to read: a drill, a card, the checklists, the load, the plants."""

from __future__ import annotations

from tendtui.core.printed_page import PrintedPage
from tendtui.tui.command import Command
from tendtui.tui.commands import DRILL, DRILLS, PROBLEMS
from tendtui.tui.line import Line, Look, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask
from tendtui.value import replace
from tendtui.words import _

__all__ = ["PRINTED", "DrillsPage", "PrintedSheet"]

_DRILL = "Drill"
"""What the command of a drill's digit begins with."""

PRINTED = "print-"
"""What the names of these pages begin with."""


class PrintedSheet(TextPage[None]):
    """Its lines as they stand, wrapped to the page."""

    OFFERS = PROBLEMS
    FIELD = 1

    def __init__(self, printed: PrintedPage) -> None:
        super().__init__()
        self.printed = printed

    def active(self) -> tuple[Command, ...]:
        """Let a drill be logged as needed."""
        return DRILL if self.printed.log else PROBLEMS

    def command(self, name: str) -> bool:
        """Say that the drill was needed, or go back."""
        if name == "LogDrill":
            self.tend.begin(f"happened:{self.printed.log}")
            self.open_field()
            return True
        return super().command(name)

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


class DrillsPage(TextPage[None]):
    """What to do when it happens: a digit opens the drill."""

    OFFERS = DRILLS

    def __init__(self, pages: tuple[PrintedPage, ...]) -> None:
        super().__init__()
        self.drills = {page.digit: page for page in pages if page.digit}

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("DRILLS"), _("its digit opens it")

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give each drill with its digit, and what comes first in it."""
        lines: list[Line] = []
        for digit, drill in self.drills.items():
            lines.append(((f"  {digit}  ", Look.BOLD), (drill.name, Look.BOLD)))
            lines += [span(text) for text in wrap(drill.lines[0], width - 6, first="     ", rest="     ")]
        return tuple(lines) or (span("  " + _("There is no rack yet.")),)

    def ask(self) -> Ask:
        """Let a digit open its drill without Enter: two keys from anywhere."""
        asked = super().ask()
        return replace(asked, letters={**asked.letters, **{digit: _DRILL + digit for digit in self.drills}})

    def command(self, name: str) -> bool:
        """Open a drill, or go back."""
        if name.startswith(_DRILL):
            self.app.push_screen(PrintedSheet(self.drills[name.removeprefix(_DRILL)]))
            self.open_field()
            return True
        return super().command(name)

    def entered(self, typed: str) -> None:
        """Open the drill."""
        drill = self.drills.get(typed.strip())
        if drill is not None:
            self.app.push_screen(PrintedSheet(drill))
        elif typed.strip():
            self.notice = _("There is no line {typed} here.").format(typed=typed.strip())
        self.open_field()
