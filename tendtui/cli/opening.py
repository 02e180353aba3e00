"""`tendtui` without a command: today's page, or the set-up on first use."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from tendtui.cli.walk_face import is_drawable
from tendtui.errors import CallError, NoRackError
from tendtui.words import _

if TYPE_CHECKING:
    from argparse import Namespace

    from tendtui.session.session import Session

__all__ = ["first_page", "run", "run_screen"]


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
    if not is_drawable():
        raise CallError(
            _("the full screen needs a terminal that can draw"),
            _("Use: tendtui status, tendtui dose, tendtui record, or tendtui round --plain."),
        )
    from types import SimpleNamespace

    from tendtui.cli.opened import open_session
    from tendtui.tui.run import run_screens

    session = open_session(state, by=by)
    way = run_screens(session, first=first_page(session, start))
    if way == "demo":
        from tendtui.cli import demo

        return demo.run(cast("Namespace", SimpleNamespace(state=None)))
    if way == "plain":
        from tendtui.cli import round_plain

        return round_plain.run(cast("Namespace", SimpleNamespace(state=state, by=session.by)))
    return 0


def first_page(session: Session, start: str) -> str:
    """Say where the screens open: the walk asked for, today's page, or the set-up where there is no rack."""
    if start:
        return f"walk:{start}"
    try:
        _rack = session.rack
    except NoRackError:
        return "setup"
    return "today"
