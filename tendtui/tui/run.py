"""Opening the screens from the command line."""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING

from tendtui.errors import TendError
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.tui.desk import Desk

__all__ = ["run_screens"]


def run_screens(desk: Desk, *, first: str = "today") -> str | None:
    """Show the screens until the person leaves.

    Args:
        desk: The session.
        first: `today`, `walk:<kind>`, or `setup` where there is no rack yet.

    Returns:
        What the command line does next: `plain` (line by line), `demo`, or None: nothing.

    Raises:
        TendError: If the screens stopped at a fault of their own.
        SystemExit: With 128 and the signal's number, if a signal ended them.
    """
    from tendtui.tui.terminal import terminal_of

    terminal = terminal_of(os.environ, encoding=getattr(sys.__stderr__, "encoding", "") or "")
    if terminal.far:
        # Read by the screen library when it is imported: over a slow link an arrow key arrives in two parts.
        os.environ.setdefault("ESCDELAY", "600")
    from tendtui.tui.app import TendApp
    from tendtui.tui.signals import Watch

    app = TendApp(desk, terminal=terminal, first=first)
    gc.freeze()  # what was loaded stays anyway
    gc.enable()
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
