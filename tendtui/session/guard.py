"""What an open stop finding bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.errors import StateError

if TYPE_CHECKING:
    from tendtui.session.knowing import Knowing

__all__ = ["bar_for", "stop_bar"]


def bar_for(session: Knowing, kind: str) -> tuple[str, str] | None:
    """Say why a walk of this kind may not begin now, and what to do; None: it may."""
    if kind == "setup":
        return _bar_for_setup(session)
    from tendtui.core.finding_follow import barred
    from tendtui.core.role import barred_for, role_of
    from tendtui.core.slow_list import FILES, tasks_of
    from tendtui.core.task_guard import task_bar
    from tendtui.store.data_file import read_data

    rack = session.rack
    role = role_of(rack, session.by)
    held_back = barred_for(role, kind, rack)
    if held_back is not None:
        return held_back
    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, rack)
    return barred(session.events, kind, tasks=tasks) or task_bar(kind, role, tasks=tasks, rack=rack)


def stop_bar(session: Knowing, kind: str) -> tuple[str, str] | None:
    """Say what an open stop finding says of a walk; None: none stands, which is known without any list."""
    from tendtui.core.finding_follow import barred, stop_findings

    if not stop_findings(session.events):
        return None
    from tendtui.core.slow_list import FILES, tasks_of
    from tendtui.store.data_file import read_data

    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, session.rack)
    return barred(session.events, kind, tasks=tasks)


def _bar_for_setup(session: Knowing) -> tuple[str, str] | None:
    """Say why somebody may not describe the rack; whoever describes the first one is nobody's newcomer."""
    from tendtui.core.role import barred_for, role_of

    try:
        rack = session.rack
    except StateError:
        return None
    return barred_for(role_of(rack, session.by), "setup", rack)
