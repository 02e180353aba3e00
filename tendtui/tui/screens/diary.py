"""The diary: everything that happened, newest first, by kind; one event opens whole."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping

from tendtui.core.event import Event
from tendtui.core.event_words import KINDS, event_line, kind_words
from tendtui.core.show import clock, weekday
from tendtui.errors import TendError
from tendtui.tui.commands import DIARY
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look, pad, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _, n_

__all__ = ["DiaryPage"]


class DiaryPage(TextPage[None]):
    """Events under their days; the number in front opens one."""

    OFFERS = DIARY
    FIELD = 6

    def __init__(self) -> None:
        super().__init__()
        self.filter: int | None = None
        self.older: tuple[Event, ...] = ()
        """What was read on, beyond the session's last months."""
        self.all_read = False
        self.tasks: Mapping[str, str] = {}
        self._numbers: tuple[int, ...] = ()

    def arrive(self) -> None:
        """Learn the names of the tasks."""
        self.tasks = self.tend.desk.task_names()
        super().arrive()

    def look(self, direction: int) -> None:
        """Look further; at the end of what is in memory, read on."""
        last_row = 0 if self._sheet is None else self._sheet.scrolls[1]
        if direction > 0 and self.scroll_rows >= last_row and not self.all_read:
            self._read_on()
        super().look(direction)

    def _read_on(self) -> None:
        desk = self.tend.desk
        every = (*self.older, *desk.diary)
        oldest, known = every[0].at if every else desk.now(), {event.id for event in every}

        async def work() -> None:
            try:
                before = await asyncio.to_thread(desk.diary_before, oldest)
            except TendError as error:
                self.notice = "[!] " + str(error)
            else:
                fresh = tuple(event for event in before if event.id not in known)
                self.older, self.all_read = (*fresh, *self.older), not fresh
            self.redraw()

        self.run_worker(work(), group="read", exclusive=True)

    def heading(self) -> tuple[str, str]:
        """Give the title, the filter and the count."""
        count = len(self.events)
        kind = _("everything") if self.filter is None else kind_words(KINDS[self.filter])
        return _("DIARY"), kind + ", " + n_("{n} entry", "{n} entries", count).format(n=count)

    @property
    def events(self) -> tuple[Event, ...]:
        """What is shown, newest first."""
        every = (*self.older, *self.tend.desk.diary)
        if self.filter is not None:
            every = tuple(event for event in every if type(event) is KINDS[self.filter])
        return tuple(reversed(every))

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give the days with their events."""
        show = self.tend.desk.rack.show
        lines: list[Line] = []
        numbers: list[int] = []
        day = ""
        for number, event in enumerate(self.events, start=1):
            today = f"{weekday(event.at)} {event.at:%Y-%m-%d}"
            if today != day:
                day = today
                lines.append(span(" " + day, Look.BOLD))
                numbers.append(0)
            said = event_line(event, show, self.tasks)
            mark, said = ("[!]", said.removeprefix("[!] ")) if said.startswith("[!]") else ("   ", said)
            number_and_mark = ((f"  {number:>4}  ", Look.BOLD), (mark + " ", Look.LOOK))
            first, *rest = wrap(said, width - 29)
            when_and_who = f"{clock(event.at)}  {pad(event.by or '-', 8)} "
            lines.append((*number_and_mark, (when_and_who + first, Look.PLAIN)))
            lines += [span(" " * 28 + line) for line in rest]
            numbers += [number] * (1 + len(rest))
        self._numbers = tuple(numbers)
        return tuple(lines) or marked(_("Nothing has been written yet."), width - 2, indent="  ")

    def numbers(self) -> tuple[int, ...]:
        """Give the number of the entry that each line belongs to."""
        return self._numbers

    def entered(self, typed: str) -> None:
        """Open the event with this number."""
        from tendtui.tui.screens.event import EventPage

        typed, events = typed.strip(), self.events
        if typed.isdigit() and 1 <= int(typed) <= len(events):
            self.app.push_screen(EventPage(events[int(typed) - 1]))
        elif typed:
            self.notice = _("There is no entry {typed} here.").format(typed=typed)
        self.open_field()

    def command(self, name: str) -> bool:
        """Go to the next kind."""
        if name == "Filter":
            chosen = -1 if self.filter is None else self.filter
            self.filter = chosen + 1 if chosen + 1 < len(KINDS) else None
            self.scroll_rows = 0
            return False
        if name == "SayRenewed":
            self.tend.begin("renewed")
            self.open_field()
            return True
        return super().command(name)
