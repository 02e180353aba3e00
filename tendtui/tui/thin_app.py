"""The screen library's application, made thin: what it sends, when it repaints, what it says at a fault."""

from __future__ import annotations

import os
from typing import Protocol, TypeVar, runtime_checkable

from rich.console import RenderableType
from textual import events
from textual._compositor import LayoutUpdate
from textual.app import App
from textual.driver import Driver
from textual.screen import Screen

from tendtui.tui.wire import SlimUpdate, slim

__all__ = ["Drawn", "ThinApp"]

Result = TypeVar("Result")


@runtime_checkable
class Drawn(Protocol):
    """A screen that knows whether it has a picture."""

    @property
    def is_drawn(self) -> bool:
        """Whether there is a picture to send."""


class ThinApp(App[Result], inherit_bindings=False):
    """An application for a thin link, in the terminal's own colours."""

    ENABLE_COMMAND_PALETTE = False  # the one command list has its keys, its footer and its help page

    def __init__(self) -> None:
        super().__init__(ansi_color=True)
        self.theme = "ansi-dark"
        self.animation_level = "none"
        self._cursor_shown = False
        self._last_full: str | None = None

    def on_load(self) -> None:
        """Come back whole from a stop and a start."""
        self.app_resume_signal.subscribe(self, lambda _app: self.draw_again())

    async def on_event(self, event: events.Event) -> None:
        """Drop the news that the window gained or lost the focus: it would repaint everything."""
        if not isinstance(event, events.AppFocus | events.AppBlur):
            await super().on_event(event)

    def _display(self, screen: Screen[object], renderable: RenderableType | None) -> None:
        """Send a picture, but neither a blank one nor the same whole one twice: each costs 2 kB."""
        if isinstance(screen, Drawn) and not screen.is_drawn:
            return
        if isinstance(renderable, LayoutUpdate):
            whole = renderable.render_segments(self.console)
            if whole == self._last_full and not self.is_headless:
                return
            self._last_full = whole
            # The library means its own updates here, though its signature speaks of renderables.
            super()._display(screen, SlimUpdate(slim(whole)))  # type: ignore[arg-type]
            return
        if renderable is not None:
            self._last_full = None
        super()._display(screen, renderable)

    def show_cursor(self, *, shown: bool) -> None:
        """Show the terminal's own cursor where the field is; braille and magnifiers follow it."""
        driver: Driver | None = self._driver
        if driver is None or shown == self._cursor_shown or self.is_headless:
            return
        self._cursor_shown = shown
        driver.write("\x1b[?25h" if shown else "\x1b[?25l")

    def draw_again(self) -> None:
        """Send the whole picture: after a stop and a start, or where something wrote over it."""
        self._last_full = None
        self._cursor_shown = False
        self.refresh(layout=True)
        self.show_cursor(shown=True)

    def _print_error_renderables(self) -> None:
        """Keep the library's traceback off the person's terminal; `run_screens` says it in one line."""
        if self.is_headless or os.environ.get("TENDTUI_DEBUG"):
            super()._print_error_renderables()
        else:
            self._exit_renderables.clear()
