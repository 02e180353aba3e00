"""How a command without a screen gets at the rack."""

from __future__ import annotations

from tendtui.session.clock import clock_of_the_machine
from tendtui.session.session import Session
from tendtui.store.folder import Folder, find_folder

__all__ = ["open_session"]


def open_session(state: str | None, *, by: str = "") -> Session:
    """Open the state folder that the call means.

    Args:
        state: What `--state` gave, or None.
        by: Who is at it.
    """
    return Session(Folder(find_folder(state)), clock=clock_of_the_machine(), by=by)
