"""Who may do a task of the slow list, as the list itself says (`who`)."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.priority import may_do
from tendtui.core.rack import Rack
from tendtui.core.ring import ring_grower
from tendtui.core.role import Role
from tendtui.core.task import GROUPS, Task
from tendtui.words import _

__all__ = ["own_checks", "task_bar"]


def task_bar(kind: str, role: Role, *, tasks: Iterable[Task], rack: Rack) -> tuple[str, str] | None:
    """Say why somebody in this role may not begin the walk of a task, and whom to ring; None: they may.

    What to do when something has happened is for everybody, whoever is there; so is saying what was done
    about a finding, which asks by itself who may close it.

    Args:
        kind: The walk's kind; only `task:` walks are weighed here.
        role: Who is there.
        tasks: All tasks.
        rack: For the number to ring.
    """
    family, _colon, name = kind.partition(":")
    if family != "task":
        return None
    behind = [task for task in tasks if name in (task.id, task.group) and not task.is_help]
    if not behind or any(may_do(task, role.value) for task in behind):
        return None
    for_grower = all(task.who == "grower" or task.adult_only for task in behind)
    what = _("This is for the grower") if for_grower else _("This is for somebody who was shown how")
    return what, ring_grower(rack)


def own_checks(name: str, tasks: tuple[Task, ...], role: Role) -> tuple[Task, ...]:
    """Give those of a group's checks that somebody in this role may do; of a single task itself."""
    if name not in GROUPS:
        return tasks
    return tuple(task for task in tasks if may_do(task, role.value)) or tasks
