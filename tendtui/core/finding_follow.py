"""What was found and isn't put right yet: it stays, with its due time, until somebody closes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from tendtui.core.event import Event, TaskDone
from tendtui.core.task import Task
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "OpenFinding",
    "barred",
    "finding_events",
    "follow_due",
    "follow_id",
    "open_findings",
    "stop_findings",
    "stop_said",
]

_PREFIX = "follow-"
_RANK = {"stop": 0, "today": 1, "week": 2}
_HANDS = ("round", "dose", "change", "fill", "leaving", "season-end", "season-start", "jar")
"""Walks that need hands in or over the water, or a bottle open."""
_AT_RACK = frozenset({"rack", "reservoir", "tier", "pump", "plants", "lights"})
"""Places of tasks for which somebody reaches into the rack. Looking for the leak, at floor, frame and
sockets, is not among them, nor is the tray of seedlings that stands apart."""


@value_class
class OpenFinding:
    """Something found in a task, not closed so far; what is found again is added to it."""

    task: str
    """The task in which it was found."""
    texts: tuple[str, ...]
    """What people wrote about it, oldest first."""
    severity: str
    """The gravest so far: `stop`, `today` or `week`."""
    found_at: datetime
    by: str
    due: datetime
    """When it is to be looked at again."""
    name: str = ""
    """What is wrong, else what the task is called, where that is known."""

    @property
    def id(self) -> str:
        """Give the id under which it is followed up and closed."""
        return follow_id(self.task)

    @property
    def what(self) -> str:
        """Give what was found, in people's own words."""
        return "; ".join(self.texts)

    @property
    def said(self) -> str:
        """Give what was found so that it can stand alone: "stays on" alone says nothing of where.

        A finding of the round names its place before a colon already.
        """
        name = self.name or self.task.replace("-", " ")
        if not self.what:
            return name
        return self.what if ": " in self.what or not self.name else f"{name}: {self.what}"


def follow_id(task: str) -> str:
    """Give the id of the follow-up of what is found in a task."""
    return _PREFIX + task


def follow_due(severity: str, at: datetime) -> datetime:
    """Give when something found is looked at again unless somebody says otherwise: at once, or in a week."""
    return at + timedelta(days=7) if severity == "week" else at


def open_findings(events: Iterable[Event], *, tasks: Iterable[Task] = ()) -> tuple[OpenFinding, ...]:
    """Give what is open, the gravest first, then by due time.

    `found` opens it, or adds to what is open in the same task; under the follow-up's id it moves the
    due time of what is open. Only `closed` settles it: a later `good` of the same task doesn't.

    Args:
        events: Effective events, in time order.
        tasks: All tasks, for what is wrong where they fail.
    """
    names = {task.id: task.wrong or task.what for task in tasks}
    found: dict[str, OpenFinding] = {}
    for event in events:
        if not isinstance(event, TaskDone):
            continue
        task = event.task.removeprefix(_PREFIX)
        if event.outcome == "closed":
            found.pop(task, None)
        elif event.outcome == "found" and (task in found or not event.task.startswith(_PREFIX)):
            found[task] = _added(found.get(task), event, task)
    named = (replace(finding, name=names.get(task, "")) for task, finding in found.items())
    return tuple(sorted(named, key=lambda finding: (_RANK[finding.severity], finding.due)))


def finding_events(events: Iterable[Event]) -> tuple[TaskDone, ...]:
    """Give the events that opened, or added to, what isn't closed.

    Args:
        events: Effective events, in time order.
    """
    found: dict[str, list[TaskDone]] = {}
    for event in events:
        if not isinstance(event, TaskDone):
            continue
        task = event.task.removeprefix(_PREFIX)
        if event.outcome == "closed":
            found.pop(task, None)
        elif event.outcome == "found":
            found.setdefault(task, []).append(event)
    return tuple(event for task_events in found.values() for event in task_events)


def stop_said(
    about: str, text: str, *, at: datetime, by: str, stops: Mapping[str, object]
) -> tuple[TaskDone, ...]:
    """Give the stop that stands once somebody says that something happened; nothing where none does.

    Args:
        about: What happened.
        text: What was said of it.
        at: When.
        by: Who says so.
        stops: What happened -> the task under which it stands until somebody closes it.
    """
    task = stops.get(about)
    if task is None:
        return ()
    found = TaskDone(id="", seq=0, at=at, by=by, task=str(task), outcome="found", text=text)
    return (replace(found, severity="stop", due=follow_due("stop", at)),)


def stop_findings(events: Iterable[Event]) -> tuple[OpenFinding, ...]:
    """Give the open findings that put a bar on every page."""
    return tuple(finding for finding in open_findings(events) if finding.severity == "stop")


def barred(events: Iterable[Event], kind: str, *, tasks: Iterable[Task] = ()) -> tuple[str, str] | None:
    """Say why a walk can't begin now and what to do, or None where it can.

    An open stop finding bars every walk with hands in or over the water, and every task for which somebody
    reaches into the rack. Following a finding up is never barred, nor is what to do after a spill or a trip.

    Args:
        events: Effective events, in time order.
        kind: The walk's kind.
        tasks: All tasks, to know what a `task:` walk needs and what the finding's task is called.
    """
    known = {task.id: task for task in tasks}
    name = kind.removeprefix("task:")
    behind = [
        task for task in known.values() if name != kind and name in (task.id, task.group) and not task.is_help
    ]
    if kind not in _HANDS and not any(_needs_hands(task) for task in behind):
        return None
    stop = next(iter(stop_findings(events)), None)
    if stop is None:
        return None
    where = known[stop.task].what if stop.task in known else stop.task
    what = _("Stop: {what} ({where})").format(what=stop.what or _("a check failed"), where=where)
    return what, _("Hands out of the water until somebody has said what was done about it, on today's page.")


def _needs_hands(task: Task) -> bool:
    """Say whether hands go in the water, to a bottle, or into the rack; short looks walked together don't."""
    return task.hands_in_water or task.chemical or (not task.group and task.place in _AT_RACK)


def _added(open_so_far: OpenFinding | None, event: TaskDone, task: str) -> OpenFinding:
    severity = event.severity if event.severity in _RANK else "week"
    due = event.due or follow_due(severity, event.at)
    texts = (event.text,) if event.text else ()
    if open_so_far is None:
        return OpenFinding(task=task, texts=texts, severity=severity, found_at=event.at, by=event.by, due=due)
    is_move = event.task.startswith(_PREFIX)
    gravest = min(severity, open_so_far.severity, key=lambda word: _RANK[word])
    return replace(
        open_so_far,
        texts=(*open_so_far.texts, *texts),
        severity=open_so_far.severity if is_move else gravest,
        due=due if is_move else min(due, open_so_far.due),
    )
