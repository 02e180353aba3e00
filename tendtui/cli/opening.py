"""`tendtui` without a command: today's page, or the set-up on first use."""

from __future__ import annotations

import sys

from tendtui.errors import CallError
from tendtui.words import _

__all__ = ["run", "run_screen"]


def run(state: str | None) -> int:
    """Open the full screen on today's page."""
    return run_screen(state, start="")


def run_screen(state: str | None, *, start: str, by: str = "") -> int:
    """Open the full screen.

    Args:
        state: What `--state` gave, or None.
        start: The walk to begin at once; empty: today's page.
        by: Who is at it; empty: asked, or remembered.

    Raises:
        CallError: If there is no terminal to draw on.
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise CallError(
            _("the full screen needs a terminal"),
            _("Use: tendtui status, tendtui dose, tendtui record, or tendtui round --plain."),
        )
    from tendtui.cli.opened import open_session
    from tendtui.tui.start import run_app

    return run_app(open_session(state, by=by), start=start)
