"""Which script a `task:` walk follows: one task, a group of short checks, or a finding's follow-up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.check_walk import CheckScript
from tendtui.core.event import Event
from tendtui.core.finding_follow import OpenFinding
from tendtui.core.follow_walk import FollowScript
from tendtui.core.rack import Rack
from tendtui.core.role import role_of
from tendtui.core.slow_list import slow_list, tasks_behind
from tendtui.core.task import GROUPS
from tendtui.core.task_guard import own_checks
from tendtui.core.task_walk import TaskScript
from tendtui.core.walk_past import past_of
from tendtui.core.walk_value import Walk
from tendtui.errors import RefusedError
from tendtui.words import _

__all__ = ["task_script"]


def task_script(
    walk: Walk,
    *,
    data: Mapping[str, Mapping[str, object]],
    rack: Rack,
    events: Sequence[Event],
    done: Mapping[str, datetime],
) -> TaskScript | CheckScript | FollowScript:
    """Make the script of a `task:` walk as it stood when the walk began.

    Args:
        walk: Its kind is `task:<id>`, `task:<group>` or `task:follow-<id>`.
        data: The packaged tables, by the names in `slow_list.FILES`.
        rack: The rack.
        events: Effective events, in time order; those made since the walk began are left aside.
        done: What the state file remembers; moments since the walk began are left aside.

    Raises:
        RefusedError: If there is no such task or finding (any more).
    """
    began = walk.began
    past = past_of(events, walk)
    remembered = {task: at for task, at in done.items() if at < began}
    slow = slow_list(data, rack, past, remembered, began)
    name = walk.kind.removeprefix("task:")
    finding = _finding(slow.open, name)
    if finding is not None:
        task = slow.task(finding.task)
        place = "" if task is None else task.place
        return FollowScript(
            finding=finding, task=task, rack=rack, began=began, by=walk.by, closer=slow.rules.closer(place)
        )
    tasks = tasks_behind(slow.dues, name)
    if not tasks:
        raise RefusedError(
            _("There is no task {name} on the list").format(name=name), _("Look at the list of tasks.")
        )
    if name in GROUPS:
        asked = own_checks(name, tasks, role_of(rack, walk.by))
        return CheckScript(group=name, tasks=asked, rack=rack)
    still = next((found for found in slow.open if found.task == name), None)
    return TaskScript(task=tasks[0], rack=rack, past=past, rules=slow.rules, open_finding=still, began=began)


def _finding(findings: Sequence[OpenFinding], name: str) -> OpenFinding | None:
    return next((finding for finding in findings if finding.id == name), None)
