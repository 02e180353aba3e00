"""The trends: how everything went over a week, a month, the season; as pictures or as the same numbers."""

from __future__ import annotations

import asyncio

from tendtui.core.trend import Reach, Trends, within
from tendtui.errors import TendError
from tendtui.tui.commands import TRENDS
from tendtui.tui.draw.sheet import Sheet, offered
from tendtui.tui.draw.text_sheet import TextView, draw_text
from tendtui.tui.draw.trend_sheet import TrendView, draw_trends, strips_seen
from tendtui.tui.line import span
from tendtui.tui.screens.page import Page
from tendtui.words import _

__all__ = ["TrendsPage"]


class TrendsPage(Page[None]):
    """A number shows one course alone; Enter alone shows all again."""

    OFFERS = TRENDS

    def __init__(self) -> None:
        super().__init__()
        self.whole: Trends | None = None
        self.reach = Reach.MONTH
        self.alone: int | None = None
        self.as_table = False
        self.in_ascii = False

    def arrive(self) -> None:
        """Read the log behind the first picture; keys are held until it stands there."""
        desk = self.tend.desk

        async def work() -> None:
            try:
                self.whole = await asyncio.to_thread(desk.trends)
            except TendError as error:
                self.notice = "[!] " + str(error)
            self.open_field()

        self.run_worker(work(), group="read", exclusive=True)

    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the page."""
        if self.whole is None:
            return self._frame(width, height)
        return draw_trends(self._view(self.whole), width, height)

    def _view(self, whole: Trends) -> TrendView:
        return TrendView(
            trends=within(whole, self.reach),
            commands=offered(self.active()),
            alone=self.alone,
            as_table=self.as_table,
            by=self.tend.desk.by,
            notice=self.notice,
            stops=self.tend.stops,
            scroll=self.scroll_rows,
            signs="ascii" if self.in_ascii else self.tend.terminal.signs,
        )

    def _frame(self, width: int, height: int) -> Sheet:
        told = (span("  " + self.notice),) if self.notice else ()
        commands = offered(self.active())
        view = TextView(title=_("TRENDS"), lines=told, commands=commands, signs=self.tend.terminal.signs)
        return draw_text(view, width, height)

    def look(self, direction: int) -> None:
        """Look at the next strips, or at more of the table."""
        if self.as_table or self.whole is None:
            super().look(direction)
            return
        step = strips_seen(self._view(self.whole), self.size.height)
        most = 0 if self._sheet is None else self._sheet.scrolls[1]
        self.scroll_rows = max(0, min(most, self.scroll_rows + direction * step))
        self.reopen_field()

    def entered(self, typed: str) -> None:
        """Show one alone, or all again."""
        typed = typed.strip()
        count = 0 if self.whole is None else len(self.whole.trends)
        if not typed:
            self.alone = None
        elif typed.isdigit() and 1 <= int(typed) <= count:
            self.alone, self.scroll_rows = int(typed) - 1, 0
        else:
            self.notice = _("There is no line {typed} here.").format(typed=typed)
        self.open_field()

    def command(self, name: str) -> bool:
        """Change what is shown, or go back."""
        match name:
            case "NextReach":
                order = tuple(Reach)
                self.reach = order[(order.index(self.reach) + 1) % len(order)]
            case "SwapTable":
                self.as_table = not self.as_table
            case "PlainSigns":
                self.in_ascii = not self.in_ascii
                return False
            case "GoBack":
                self.app.pop_screen()
                return True
            case _:
                return False
        self.scroll_rows = 0
        return False
