"""A page that takes a moment to make: its frame stands at once, its lines come when they are known."""

from __future__ import annotations

import asyncio

from tendtui.core.printed_page import PrintedPage
from tendtui.errors import TendError
from tendtui.tui.command import Command
from tendtui.tui.commands import TAUGHT
from tendtui.tui.screens.printed import PrintedSheet
from tendtui.words import _

__all__ = ["LATE", "LatePage"]

LATE = ("ahead", "away", "taught", "signs")
"""Pages that the desk makes one by one, when they are opened."""


class LatePage(PrintedSheet):
    """A page to read, made off the loop."""

    def __init__(self, made: str) -> None:
        super().__init__(PrintedPage(id=made, name="", about="", lines=(_("One moment .."),)))
        self.made = made

    def active(self) -> tuple[Command, ...]:
        """Let the figures be held and forgotten where they are read."""
        return TAUGHT if self.made == "taught" else super().active()

    def command(self, name: str) -> bool:
        """Hold or forget a figure, say that a bottle is new, or go back."""
        walk = {"ByHand": "figure", "SayRenewed": "renewed"}.get(name)
        if walk is None:
            return super().command(name)
        self.tend.begin(walk)
        self.open_field()
        return True

    def arrive(self) -> None:
        """Make it behind the frame."""
        super().arrive()
        desk = self.tend.desk

        async def work() -> None:
            try:
                self.printed = await asyncio.to_thread(desk.ahead_page, self.made)
            except TendError as error:
                self.notice = "[!] " + str(error)
            self.redraw()

        self.run_worker(work(), group="read", exclusive=True)
