"""The first page of all: no rack yet. Set up, practise, or leave."""

from __future__ import annotations

from tendtui.core.show import when
from tendtui.errors import TendError
from tendtui.tui.commands import FIRST
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _

__all__ = ["FirstRunPage"]


class FirstRunPage(TextPage[None]):
    """Three ways on."""

    OFFERS = FIRST

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("WELCOME"), ""

    def lines(self, width: int) -> tuple[Line, ...]:
        """Say what this is and what can be done."""
        under_way = self._under_way()
        told = (
            _(
                "This program looks after a small hydroponic rack with you: a round of questions a day, "
                "what the readings mean, and how many millilitres of your own bottles to pour."
            ),
            under_way or _("No rack is described here yet."),
        )
        afresh = _("describe your rack: a tape measure and the bottles are enough, about five minutes")
        choices = (
            ("1", _("go on with the set-up at the question where it was left") if under_way else afresh),
            ("2", _("look round on a rack that is made up; nothing there is yours, nothing is kept")),
            ("3", _("leave")),
        )
        lines: list[Line] = []
        for text in told:
            lines += [(), *marked(text, width - 2, indent="  ")]
        lines.append(())
        for digit, text in choices:
            first, *rest = marked(text, width - 9, indent="")
            lines.append(((f"   {digit}  ", Look.BOLD), *first))
            lines += [((" " * 6, Look.PLAIN), *line) for line in rest]
        return tuple(lines)

    def _under_way(self) -> str:
        """Say who began a set-up, and when, or nothing."""
        try:
            walk = self.tend.desk.state.walks.get("setup")
        except TendError:
            return ""
        if walk is None or not walk.entries:
            return ""
        begun = when(walk.began, self.tend.desk.now())
        count = len(walk.entries)
        if walk.by:
            told = _("A set-up is under way, begun {when} by {by}. Every answer of it is kept ({n} so far).")
        else:
            told = _("A set-up is under way, begun {when}. Every answer of it is kept ({n} so far).")
        return told.format(when=begun, by=walk.by, n=count)

    def entered(self, typed: str) -> None:
        """Go one of the ways."""
        match typed.strip():
            case "1":
                self.tend.begin("setup")
                self.open_field()  # for whoever comes back from a paused set-up
            case "2":
                self.tend.leave("demo")
            case "3":
                self.tend.leave()
            case _:
                self.notice = _("Type 1, 2 or 3, then Enter.")
                self.open_field()

    def command(self, name: str) -> bool:
        """Leave."""
        if name == "Leave":
            self.tend.leave()
        return name == "Leave"
