"""How somebody is asked, once for all: in all words (learner) or in few (brief)."""

from __future__ import annotations

from tendtui.tui.desk import Desk
from tendtui.words import _

__all__ = ["swap_form"]


def swap_form(desk: Desk) -> str:
    """Ask whoever is here in the other form from now on, and say so.

    Raises:
        TendError: If it could not be saved.
    """
    if desk.person().form == "brief":
        desk.set_form(desk.by, "learner")
        return _("From now on every question says where, how, why and what good looks like.")
    desk.set_form(desk.by, "brief")
    return _("From now on you are asked in few words; ? shows the rest, b brings it back.")
