"""What an open stop finding bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tendtui.session.session import Session

__all__ = ["bar_for"]


def bar_for(session: Session, kind: str) -> tuple[str, str] | None:
    """Say why a walk of this kind may not begin now, and what to do; None: it may."""
    from tendtui.core.finding_follow import barred

    return barred(session.events, kind, rack=session.rack) if kind != "setup" else None
