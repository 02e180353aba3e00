"""The slow list of one rack: packaged tasks, the grower's changes, what is due, what is open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.change_rules import change_asked
from tendtui.core.due import CHANGE, TaskDue, due_tasks
from tendtui.core.event import Event
from tendtui.core.finding import Finding
from tendtui.core.finding_follow import OpenFinding, open_findings
from tendtui.core.laid_up import laid_up_since, resting
from tendtui.core.plant_calendar import plant_asks, read_calendars
from tendtui.core.plants import standing
from tendtui.core.recurrence import read_cadence
from tendtui.core.region import bounded_by_region, in_words, read_regions, region_named
from tendtui.core.slow_rules import SlowRules, read_rules
from tendtui.core.task import GROUPS, Task, fits
from tendtui.core.task_tables import packaged_tasks, read_own_tasks
from tendtui.value import replace, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.rack import Rack

__all__ = ["FILES", "SlowList", "slow_list", "tasks_behind"]

FILES = ("tasks", "safety_checks", "task_rules", "regions", "plants")
"""Names of the data files whose tables `slow_list` takes."""


@value_class
class SlowList:
    """Everything about slow tasks at one moment."""

    dues: tuple[TaskDue, ...]
    """Every task that fits the rack, silenced ones included."""
    findings: tuple[Finding, ...]
    """What is wrong with the grower's own tables."""
    open: tuple[OpenFinding, ...]
    """What was found and isn't closed."""
    rules: SlowRules
    laid_up: datetime | None = None
    """Since when the rack is laid up between two seasons; None: it runs."""

    def task(self, task_id: str) -> Task | None:
        """Find a task by its id."""
        return next((due.task for due in self.dues if due.task.id == task_id), None)


def slow_list(
    data: Mapping[str, Mapping[str, object]],
    rack: Rack,
    events: Sequence[Event],
    done: Mapping[str, datetime],
    now: datetime,
    *,
    top_ms_cm: float | None = None,
) -> SlowList:
    """Make the slow list.

    Args:
        data: The packaged tables, by the names in `FILES`.
        rack: The rack, with the grower's `[[task]]` tables in `extra`.
        events: Effective events, in time order.
        done: Task id -> last done, as the state file remembers it.
        now: With offset.
        top_ms_cm: Top of the wanted band; None: the rack's own target. [mS/cm]
    """
    rules = rules_of(data)
    tasks, findings = tasks_of(data, rack)
    tasks = tuple(_by_target(task, rack) for task in tasks)
    change = change_asked(rack, events, now, rules=rules, top_ms_cm=top_ms_cm)
    plants = standing(events)
    tray = not plants or any(not batch.tier for batch in plants)
    asked = plant_asks(plants, read_calendars(data["plants"]), now)
    if change is not None:
        asked[CHANGE] = (change,)
    fitting = [task for task in tasks if fits(task, rack, tray=tray)]
    since = laid_up_since(events, now)
    dues = due_tasks(fitting, rack, events, done, now, rules=rules, asked=asked)
    return SlowList(
        dues=tuple(resting(due, is_laid_up=since is not None) for due in dues),
        findings=findings,
        open=open_findings(events, tasks=tasks),
        rules=rules,
        laid_up=since,
    )


def tasks_of(
    data: Mapping[str, Mapping[str, object]], rack: Rack, *, file: str = "rack.toml"
) -> tuple[tuple[Task, ...], tuple[Finding, ...]]:
    """Give all tasks, with the grower's changes, and what is wrong with those."""
    packaged = packaged_tasks([*_tables(data["tasks"]), *_tables(data["safety_checks"])])
    region = region_named(rack.place.region, read_regions(data["regions"]))
    tasks, findings = read_own_tasks(packaged, rack.extra.get("task"), file=file)
    told = tuple(in_words(task, region) for task in tasks)
    return told, (*findings, *bounded_by_region(tasks, region, file=file))


def rules_of(data: Mapping[str, Mapping[str, object]]) -> SlowRules:
    """Give the thresholds and weights."""
    tables = {name: value for name, value in data["task_rules"].items() if isinstance(value, Mapping)}
    return read_rules(tables)


def tasks_behind(dues: Sequence[TaskDue], name: str) -> tuple[Task, ...]:
    """Give the tasks that the walk `task:<name>` asks: one, or those of a group that are due.

    Nothing where there is none of this name, or all of a group are silenced; all of a group where
    none is due (somebody wants to walk it anyway).
    """
    if name not in GROUPS:
        return tuple(due.task for due in dues if due.task.id == name)
    members = [due for due in dues if due.task.group == name and not due.task.silenced]
    return tuple(due.task for due in members if due.is_due) or tuple(due.task for due in members)


def _by_target(task: Task, rack: Rack) -> Task:
    """Let the rack's own days between changes stand, unless the grower gave the task a cadence."""
    days = rack.target.change_every_days
    if task.id != CHANGE or days is None or task.own:
        return task
    return replace(task, cadence=read_cadence(f"every {days} days"))


def _tables(data: Mapping[str, object]) -> list[Mapping[str, object]]:
    tables = data["task"]
    return [table for table in tables if isinstance(table, Mapping)] if isinstance(tables, Sequence) else []
