"""The few tasks that matter now: by risk grown with lateness, short checks walked together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from tendtui.core.due import TaskDue
from tendtui.core.task import Task
from tendtui.value import value_class
from tendtui.words import _, n_

__all__ = ["Pressing", "few_that_matter", "group_words", "may_do", "reaches", "stands_behind"]

MOST = 4
"""Tasks that today's page shows at once: more aren't read. Common practice, no source."""

_DEPTH = {"newcomer": ("anyone",), "shown": ("anyone", "shown"), "grower": ("anyone", "shown", "grower")}


@value_class
class Pressing:
    """One line of today's page: a task, or short checks that are walked together."""

    what: str
    because: str
    opens: str
    """The kind of walk that it opens: `task:<id or group>`, `round`, `change`."""
    severity: str
    minutes: float
    since: datetime
    score: float
    tasks: tuple[str, ...]
    """Ids of the tasks behind it."""


def few_that_matter(
    dues: Iterable[TaskDue], *, role: str = "grower", most: int = MOST, without: Iterable[str] = ()
) -> tuple[Pressing, ...]:
    """Give the most pressing of what is due, greatest risk first.

    Left out is what another line stands for: what the round does while the round itself is due, and
    the steps of change day.

    Args:
        dues: Every task with its due moment.
        role: `newcomer`, `shown` or `grower`: tasks above it aren't offered.
        most: How many lines at most.
        without: Ids that the page shows elsewhere.
    """
    hidden = set(without)
    open_now = [
        due
        for due in dues
        if due.is_due and due.task.id not in hidden and may_do(due.task, role) and not stands_behind(due.task)
    ]
    lines = [_alone(due) for due in open_now if not due.task.group]
    lines.extend(_together(group, members) for group, members in _groups(open_now).items())
    return tuple(sorted(lines, key=lambda line: (-line.score, line.since, line.opens))[:most])


def may_do(task: Task, role: str) -> bool:
    """Say whether somebody in this role may do the task; unknown roles count as newcomers."""
    if task.adult_only and role != "grower":
        return False
    return reaches(role, task.who)


def reaches(role: str, who: str) -> bool:
    """Say whether a role is as far as `anyone`, `shown` or `grower`; unknown roles count as newcomers."""
    return who in _DEPTH.get(role, _DEPTH["newcomer"])


def group_words(group: str) -> str:
    """Name the list of short checks that are walked together."""
    words = {
        "safety-daily": _("Safety look"),
        "safety-weekly": _("Weekly safety checks"),
        "safety-monthly": _("Monthly safety checks"),
        "safety-first": _("Safety checks before the first start"),
    }
    return words.get(group, group)


def stands_behind(task: Task) -> bool:
    """Say whether a task is done in the round or on change day, and needs no line of its own."""
    return task.cadence.trigger == "change-day" or ("round" in task.done_by and task.id != "daily-round")


def _alone(due: TaskDue) -> Pressing:
    task = due.task
    return Pressing(
        what=task.what,
        because=due.because,
        opens=task.opens.removeprefix("walk:") or f"task:{task.id}",
        severity=task.severity,
        minutes=task.minutes,
        since=_since(due),
        score=due.score,
        tasks=(task.id,),
    )


def _together(group: str, members: Sequence[TaskDue]) -> Pressing:
    if len(members) == 1:
        return _alone(members[0])
    first = max(members, key=lambda due: due.score)
    count = n_("{n} check, the first: {what}", "{n} checks, the first: {what}", len(members))
    return Pressing(
        what=group_words(group),
        because=count.format(n=len(members), what=first.task.what),
        opens=f"task:{group}",
        severity=first.task.severity,
        minutes=round(sum(due.task.minutes for due in members), 1),
        since=min(_since(due) for due in members),
        score=first.score,
        tasks=tuple(due.task.id for due in members),
    )


def _groups(dues: Iterable[TaskDue]) -> Mapping[str, list[TaskDue]]:
    groups: dict[str, list[TaskDue]] = {}
    for due in dues:
        if due.task.group:
            groups.setdefault(due.task.group, []).append(due)
    return groups


def _since(due: TaskDue) -> datetime:
    if due.due is None:
        raise AssertionError("what is due has a moment")
    return due.due
