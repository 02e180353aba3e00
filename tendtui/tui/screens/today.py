"""Today's page: what to do now, and the rack as it stands."""

from __future__ import annotations

import asyncio

from tendtui.core.rack import Show
from tendtui.core.today import Item, Today
from tendtui.errors import TendError
from tendtui.tui.commands import TODAY
from tendtui.tui.draw.sheet import Sheet, marked, offered
from tendtui.tui.draw.text_sheet import TextView, draw_text
from tendtui.tui.draw.today_sheet import TodayView, draw_today, numbered
from tendtui.tui.form import swap_form
from tendtui.tui.line import span
from tendtui.tui.screens.page import Page
from tendtui.words import _

__all__ = ["TodayPage"]


class TodayPage(Page[None]):
    """Digits open what they stand before."""

    OFFERS = TODAY

    def __init__(self) -> None:
        super().__init__()
        self.today: Today | None = None
        self.show_units = Show()
        self.is_read = False
        self.held = ""

    def arrive(self) -> None:
        """Show the frame at once and read the values behind it; keys are held until they stand there."""
        self.redraw()
        self.call_after_refresh(self.refresh_values)

    def refresh_values(self, notice: str = "") -> None:
        """Read the values anew, off the loop, and show them."""
        desk = self.tend.desk

        async def work() -> None:
            desk.forget()
            try:
                today, show, held = await asyncio.to_thread(
                    lambda: (desk.today(), desk.rack.show, desk.held_elsewhere())
                )
            except TendError as error:
                self.notice = "[!] " + str(error)
            else:
                self._read(today, show)
                self.held = held
                self.notice = notice
            self.is_read = True
            self.open_field()

        self.run_worker(work(), group="read")

    def _read(self, today: Today, show: Show) -> None:
        self.today, self.show_units = today, show
        self.tend.seen = (today, show)
        self.tend.stops = tuple(item.what for item in today.stop)

    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the page."""
        if self.today is None:
            return self._frame(width, height)
        view = TodayView(
            today=self.today,
            show=self.show_units,
            commands=offered(self.active()),
            notice=self.notice,
            troubles=(*self.tend.desk.troubles, *self._look_only()),
            scroll=self.scroll_rows,
            signs=self.tend.terminal.signs,
        )
        return draw_today(view, width, height)

    def _look_only(self) -> tuple[str, ...]:
        """Say who else has a walk open: until then one may look at every page, and write a note."""
        if not self.held:
            return ()
        told = _(
            "[!] A walk is open elsewhere: {holder}. Look only: today, diary, lists; no walk until then."
        )
        return (told.format(holder=self.held),)

    def _frame(self, width: int, height: int) -> Sheet:
        """Say why there is no page yet, or at all, and keep the ways to help, problems and out."""
        told = (
            *marked(self.notice, width - 2, indent="  "),
            (),
            span("  " + (_("p reads every file and says more.") if self.is_read else _("One moment .."))),
        )
        commands = offered(self.active())
        view = TextView(title=_("TODAY"), lines=told, commands=commands, signs=self.tend.terminal.signs)
        return draw_text(view, width, height)

    def entered(self, typed: str) -> None:
        """Open what the digit stands before."""
        items = () if self.today is None else numbered(self.today)
        typed = typed.strip()
        if not typed:
            self.open_field()
        elif typed.isdigit() and 1 <= int(typed) <= len(items):
            self._open(items[int(typed) - 1])
        else:
            self.notice = _("There is no line {typed} here.").format(typed=typed)
            self.open_field()

    def _open(self, item: Item) -> None:
        self.scroll_rows = 0  # whoever comes back begins at the top
        self.tend.open(item.opens)
        self.entry.ask(self.ask())

    def _swap_form(self) -> None:
        desk = self.tend.desk

        def swapped(told: str) -> None:
            self.notice = self.changed = told
            self.open_field()

        self.save(lambda: swap_form(desk), swapped)

    def command(self, name: str) -> bool:
        """Go to another page."""
        match name:
            case "OpenDiary":
                self.tend.open("page:diary")
            case "OpenTrends":
                self.tend.open("page:trends")
            case "OpenLists":
                self.tend.open("page:lists")
            case "OpenSigns":
                self.tend.open("page:signs")
            case "OpenProblems":
                self.tend.open("page:problems")
            case "OpenPlants":
                self.tend.begin("plants")
            case "SayHappened":
                self.tend.begin("happened")
            case "DiaryNote":
                self.tend.write_note()
            case "SwapForm":
                self._swap_form()
                return True
            case "SayWho":
                self.tend.ask_who()
            case "Leave":
                self.tend.leave()
                return True
            case _:
                return False
        self.entry.ask(self.ask())
        return True
