"""What an open stop finding bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tendtui.session.knowing import Knowing

__all__ = ["bar_for"]


def bar_for(session: Knowing, kind: str) -> tuple[str, str] | None:
    """Say why a walk of this kind may not begin now, and what to do; None: it may."""
    if kind == "setup":
        return None
    from tendtui.core.finding_follow import barred
    from tendtui.core.role import barred_for, role_of
    from tendtui.core.slow_list import FILES, tasks_of
    from tendtui.store.data_file import read_data

    held_back = barred_for(role_of(session.rack, session.by), kind)
    if held_back is not None:
        return held_back
    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, session.rack)
    return barred(session.events, kind, tasks=tasks)
