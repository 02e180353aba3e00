"""A keyboard for pilot tests: lines, keys in bunches, and waiting for a condition, not for a time."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager

from textual import events
from textual.pilot import Pilot

from tendtui.tui.app import TendApp
from tendtui.tui.desk import Desk
from tendtui.tui.screens.page import Page
from tendtui.tui.terminal import Terminal

__all__ = ["Keyboard", "open_app"]

_NAMES = {"\n": "enter", "\b": "backspace", "\x1b": "escape", " ": "space"}


class Keyboard:
    """What a person sees and presses."""

    def __init__(self, pilot: Pilot[str]) -> None:
        self.pilot = pilot
        app = pilot.app
        assert isinstance(app, TendApp)
        self.app = app

    @property
    def page(self) -> Page[object]:
        page = self.app.screen
        assert isinstance(page, Page)
        return page

    @property
    def text(self) -> str:
        """What stands on the page, the field's text at its end."""
        return self.page.pane.text if self.page.is_drawn else ""

    @property
    def is_ready(self) -> bool:
        entry = self.page.query("NumberEntry")
        return bool(entry) and self.page.entry.is_open

    @property
    def has_left(self) -> bool:
        return self.app.return_code is not None or not self.app.is_running

    async def send(self, keys: str) -> None:
        """Send keys in one bunch, nothing waited for in between."""
        for character in keys:
            self.key(character)
        await self.settle()

    def key(self, character: str) -> None:
        name = _NAMES.get(character, character)
        self.app.post_message(events.Key(name, None if name == "escape" else character.replace("\n", "\r")))

    async def press(self, *names: str) -> None:
        """Press named keys (`f8`, `pagedown`)."""
        for name in names:
            self.app.post_message(events.Key(name, None))
        await self.settle()

    async def enter(self, *lines: str) -> None:
        """Type each line and Enter, each when the page is ready for it."""
        for line in lines:
            await self.until(lambda: self.is_ready)
            await self.send(line + "\n")
        await self.until(lambda: self.is_ready or self.has_left)

    async def settle(self) -> None:
        await self.pilot.pause()

    async def until(self, true: Callable[[], bool], *, within_s: float = 10.0) -> None:
        """Wait until something holds."""
        async with asyncio.timeout(within_s):
            while not true():
                await self.pilot.pause(0.002)

    async def sees(self, *words: str) -> None:
        """Wait until the page holds all of these words."""
        try:
            await self.until(lambda: all(word in self.text for word in words))
        except TimeoutError:
            raise AssertionError(f"{words} not on the page:\n{self.text}") from None


@asynccontextmanager
async def open_app(
    desk: Desk,
    *,
    size: tuple[int, int] = (80, 24),
    first: str = "today",
    quiet_s: float = 0.0,
    terminal: Terminal | None = None,
) -> AsyncIterator[Keyboard]:
    """Open the program on a session, keyboard in hand."""
    app = TendApp(desk, terminal=terminal or Terminal(), first=first, quiet_s=quiet_s)
    async with app.run_test(size=size, notifications=True) as pilot:
        yield Keyboard(pilot)


def lines_of(answers: Iterable[str]) -> str:
    """Join answers as one bunch of keys."""
    return "".join(f"{answer}\n" for answer in answers)
