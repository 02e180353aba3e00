"""The full screen: composition and wiring only."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import TypeVar

from textual.screen import Screen

from tendtui.core.finding_follow import OpenFinding
from tendtui.core.rack import Show
from tendtui.core.today import Today
from tendtui.errors import HeldError, NoRackError, StateError
from tendtui.tui.desk import Desk
from tendtui.tui.screens.page import Page
from tendtui.tui.terminal import Terminal
from tendtui.tui.thin_app import ThinApp
from tendtui.words import _

__all__ = ["TendApp"]

Value = TypeVar("Value")

PATIENCE_S = 0.2
"""How long a verb may take before the page says that it is at work. [s]"""


class TendApp(ThinApp[str], inherit_bindings=False):
    """The program; it returns what the command line does next, `plain` or `demo`, or nothing."""

    CSS_PATH = "tend.tcss"
    TITLE = "tendtui"

    def __init__(self, desk: Desk, *, terminal: Terminal, first: str = "today", quiet_s: float = 0.5) -> None:
        """Take the session and the page to open on.

        Args:
            desk: The session.
            terminal: What may be drawn.
            first: `today`, `walk:<kind>`, or `setup` where there is no rack yet.
            quiet_s: How long no key may have come before a question that must be read takes one. [s]
        """
        super().__init__()
        self.desk = desk
        self.terminal = terminal
        self.first = first
        self.quiet_s = quiet_s
        self.stops: tuple[str, ...] = ()
        self.seen: tuple[Today, Show] | None = None
        """The rack as it was last read, for the picture beside a question."""
        self.saving = asyncio.Lock()

    def get_default_screen(self) -> Screen[None]:
        """Open on the page asked for."""
        from tendtui.tui.screens.first_run import FirstRunPage
        from tendtui.tui.screens.today import TodayPage

        return FirstRunPage() if not self._has_rack() else TodayPage()

    def on_mount(self) -> None:
        """Go on to the walk that the command line named."""
        family, _colon, _kind = self.first.partition(":")
        if family == "walk":
            self.open(self.first)

    async def save(self, verb: Callable[[], Value]) -> Value:
        """Call a verb off the loop, one at a time and in order; what can't be saved is asked about.

        Raises:
            RefusedError: If the verb refused what was typed.
            StateError: If it could not be saved and the person chose not to try again.
        """
        from tendtui.tui.dialogs.save_failed import SaveFailed

        async with self.saving:
            while True:
                try:
                    with self.saying_so():
                        return await asyncio.to_thread(verb)
                except (StateError, HeldError) as error:
                    if not await self.push_screen_wait(SaveFailed(error)):
                        raise

    @contextmanager
    def saying_so(self) -> Iterator[None]:
        """Let the page in front say that something takes its time, as soon as it does."""
        page = self.screen

        def say(*, working: bool) -> None:
            if isinstance(page, Page) and page.is_attached:
                page.at_work(working=working)

        patience = self.set_timer(PATIENCE_S, lambda: say(working=True))
        try:
            yield
        finally:
            patience.stop()
            say(working=False)

    def see_stops(self, found: Iterable[OpenFinding]) -> None:
        """Take over what puts a bar on every page."""
        self.stops = tuple(finding.said for finding in found if finding.severity == "stop")

    # ways between pages

    def open(self, target: str) -> None:
        """Open what a line stands for: `walk:<kind>`, `task:<id>`, `finding:<id>`, `page:<name>`."""
        family, _colon, name = target.partition(":")
        match family:
            case "walk":
                self.begin(name)
            case "page":
                self._open_page(name)
            case _:
                self.begin(target)

    def _open_page(self, name: str) -> None:
        from tendtui.core.printed_page import PrintedPage
        from tendtui.tui.screens.diary import DiaryPage
        from tendtui.tui.screens.late_page import LATE, LatePage
        from tendtui.tui.screens.lists import ListsPage
        from tendtui.tui.screens.printed import PRINTED, DrillsPage, PrintedSheet
        from tendtui.tui.screens.problems import ProblemsPage
        from tendtui.tui.screens.tasks import TasksPage
        from tendtui.tui.screens.trends import TrendsPage

        if name != "problems" and not self._has_rack():
            said = _(
                "This is made from your rack's own litres and names: it comes once the rack is described."
            )
            self.push_screen(PrintedSheet(PrintedPage(id=name, name=_("Not yet"), about="", lines=(said,))))
            return
        if name.startswith(PRINTED):
            pages = {page.id: page for page in self.desk.pages()}
            page = pages.get(name.removeprefix(PRINTED))
            if page is not None:
                self.push_screen(PrintedSheet(page))
            return
        if name in LATE:
            self.push_screen(LatePage(name))
            return
        match name:
            case "tasks":
                self.push_screen(TasksPage())
            case "diary":
                self.push_screen(DiaryPage())
            case "drills":
                self.push_screen(DrillsPage(self.desk.pages()))
            case "problems":
                self.push_screen(ProblemsPage())
            case "trends":
                self.push_screen(TrendsPage())
            case _:
                self.push_screen(ListsPage(self.desk.today(), self.desk.pages()))

    def begin(self, kind: str) -> None:
        """Begin a walk, or take it up where it was left; first ask who is here, if nobody said."""
        from tendtui.tui.begin import begin_walk

        self.expect_page()
        page = self.screen

        async def work() -> None:
            try:
                await begin_walk(self, kind)
            finally:
                if isinstance(page, Page):
                    page.take_back()

        self.run_worker(work(), group="begin", exclusive=True)

    def expect_page(self) -> None:
        """Keep what is typed from now on for the page that is being opened."""
        page = self.screen
        if isinstance(page, Page) and page.query("NumberEntry"):
            page.entry.leave()

    def write_note(self) -> None:
        """Write a note for the diary."""
        from tendtui.tui.begin import write_note

        self.run_worker(write_note(self), group="begin", exclusive=True)

    def ask_who(self) -> None:
        """Ask who is here and go on with that name."""
        from tendtui.tui.begin import ask_who

        self.run_worker(ask_who(self), group="begin", exclusive=True)

    def to_today(self, notice: str = "") -> None:
        """Go back to the first page, with fresh values."""
        from tendtui.tui.screens.today import TodayPage

        self.desk.let_go()
        while len(self.screen_stack) > 1 and not isinstance(self.screen, TodayPage):
            self.pop_screen()
        page = self.screen
        if isinstance(page, TodayPage):
            page.refresh_values(notice)
        elif self._has_rack():
            self.push_screen(TodayPage())  # over the first page of all, which can't be switched

    @property
    def is_first_run(self) -> bool:
        """Whether the program began without a rack and today's page was not seen yet."""
        from tendtui.tui.screens.today import TodayPage

        return not any(isinstance(page, TodayPage) for page in self.screen_stack)

    def _has_rack(self) -> bool:
        try:
            return bool(self.desk.rack)
        except NoRackError:
            return False

    def leave(self, way: str | None = None) -> None:
        """End the program once nothing is being saved any more."""

        async def work() -> None:
            async with self.saving:
                self.exit(way)

        self.run_worker(work(), group="leave")

    def leave_from_thread(self) -> None:
        """End the program; may be called from another thread, and before the loop runs."""
        loop = self._loop
        if loop is not None and not loop.is_closed():
            with suppress(RuntimeError):  # the loop closed in between: it has left already
                loop.call_soon_threadsafe(self.leave)
