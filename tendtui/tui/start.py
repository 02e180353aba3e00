"""Opening the screens from the command line."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from tendtui.errors import NoRackError, TendError
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.tui.desk import Desk

__all__ = ["run_app"]


def run_app(
    desk: Desk,
    *,
    start: str = "",
    plain: Callable[[], int] | None = None,
    demo: Callable[[], int] | None = None,
) -> int:
    """Show the screens until the person leaves.

    Args:
        desk: The session.
        start: The walk to begin at once; empty: today's page, or the first page where there is no rack.
        plain: What asks line by line, for a window that is too small.
        demo: What opens the rack that is made up.

    Returns:
        The exit status.

    Raises:
        TendError: If the rack can't be read, or the screens stopped at a fault of their own.
        SystemExit: With 128 and the signal's number, if a signal ended them.
    """
    way = _shown(desk, _first_page(desk, start))
    follow = {"plain": plain, "demo": demo}.get(way or "")
    return 0 if follow is None else follow()


def _first_page(desk: Desk, start: str) -> str:
    try:
        desk.rack  # noqa: B018 - reading it is the question
    except NoRackError:
        return "walk:setup" if start == "setup" else "setup"
    return f"walk:{start}" if start else "today"


def _shown(desk: Desk, first: str) -> str | None:
    from tendtui.tui.terminal import terminal_of

    terminal = terminal_of(os.environ, encoding=getattr(sys.__stderr__, "encoding", "") or "")
    if terminal.far:
        # Read by the screen library when it is imported: over a slow link an arrow key arrives in two parts.
        os.environ.setdefault("ESCDELAY", "600")
    from tendtui.tui.app import TendApp
    from tendtui.tui.signals import Watch

    app = TendApp(desk, terminal=terminal, first=first)
    watch = Watch(app)
    with watch:
        way = app.run(mouse=False)
    if watch.signum is not None:
        raise SystemExit(128 + watch.signum)
    if app.return_code:
        raise TendError(
            _("The screens stopped at a fault of their own"),
            _("Every answer shown as taken is on disk; start again, with TENDTUI_DEBUG=1 to see the fault."),
        )
    return way
