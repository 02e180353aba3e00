"""The rack, and on it the place where the question is asked: for a window too narrow to show both."""

from __future__ import annotations

import asyncio

from tendtui.core.rack import Show
from tendtui.core.today import Today
from tendtui.core.whereabouts import Whereabouts
from tendtui.errors import TendError
from tendtui.tui.commands import PROBLEMS
from tendtui.tui.draw.rack_picture import rack_picture
from tendtui.tui.line import Line, Look, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _

__all__ = ["PlacePage"]

_WIDEST = 60
_HEAD_AND_FOOT = 6
"""Rows that the page keeps for its head, its foot and the words over the picture."""


class PlacePage(TextPage[None]):
    """A picture to look at; any way back leads to the question."""

    OFFERS = PROBLEMS
    FIELD = 1

    def __init__(self, here: Whereabouts) -> None:
        """Take the place to mark."""
        super().__init__()
        self.here = here
        self._seen: tuple[Today, Show] | None = None

    def arrive(self) -> None:
        """Take the rack as today's page saw it; where that wasn't opened, read it off the loop."""
        self._seen = self.tend.seen
        if self._seen is None:
            desk = self.tend.desk

            async def work() -> None:
                try:
                    self._seen = await asyncio.to_thread(lambda: (desk.today(), desk.rack.show))
                except TendError as error:
                    self.notice = "[!] " + str(error)
                self.redraw()

            self.run_worker(work(), group="read")
        super().arrive()

    def heading(self) -> tuple[str, str]:
        """Give the title, and what the picture shows."""
        return _("WHERE YOU STAND"), _("the rack as last read")

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give the place in words, then the picture."""
        told = self.here.words or _("This question belongs to no one place on the rack.")
        words = tuple(span(line, Look.BOLD) for line in wrap(told, width - 1, first=" "))
        if self._seen is None:
            return words
        today, show = self._seen
        picture = rack_picture(
            today,
            show=show,
            width=min(width - 2, _WIDEST),
            height=max(len(today.tiers) + 1, self.size.height - _HEAD_AND_FOOT - len(words)),
            signs=self.tend.terminal.signs,
            here=self.here.tier,
            at_reservoir=self.here.at_reservoir,
        )
        return (*words, *picture)
