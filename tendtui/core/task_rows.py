"""The checklists as rows: the same for `tasks`, its JSON, and the screens."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from math import ceil

from tendtui.core.due import TaskDue
from tendtui.core.show import day_words
from tendtui.words import _, n_

__all__ = ["by_list", "list_name", "row_words", "tasks_json"]

ORDER = (
    "daily",
    "weekly",
    "monthly",
    "quarterly",
    "half-yearly",
    "yearly",
    "change-day",
    "crop-change",
    "first-time",
    "event",
)
"""The lists, in the order in which they are shown."""


def tasks_json(dues: Iterable[TaskDue], now: datetime) -> dict[str, object]:
    """Give what `tasks --json` prints."""
    return {"schema": 1, "at": now.isoformat(), "tasks": [_row(due) for due in dues]}


def by_list(dues: Sequence[TaskDue]) -> tuple[tuple[str, tuple[TaskDue, ...]], ...]:
    """Give each list with its tasks, what is due in front; empty lists are left out."""
    lists = ((kind, tuple(due for due in dues if due.task.kind == kind)) for kind in ORDER)
    return tuple((kind, tuple(sorted(found, key=_due_first))) for kind, found in lists if found)


def list_name(kind: str) -> str:
    """Name a list."""
    names = {
        "daily": _("EVERY FEW DAYS"),
        "weekly": _("EVERY WEEK OR TWO"),
        "monthly": _("EVERY MONTH"),
        "quarterly": _("EVERY THREE MONTHS"),
        "half-yearly": _("TWICE A YEAR"),
        "yearly": _("EVERY YEAR"),
        "change-day": _("ON CHANGE DAY"),
        "crop-change": _("BETWEEN CROPS"),
        "first-time": _("ONCE, BEFORE THE FIRST START"),
        "event": _("WHEN IT HAPPENED"),
    }
    return names[kind]


def row_words(due: TaskDue, now: datetime) -> tuple[str, str]:
    """Give a task's two lines: what it is, and when, how long, who."""
    task = due.task
    mark = "[-]" if task.silenced else "[!]" if due.is_due else "[ ]"
    minutes = _minutes(task.minutes)
    parts = [_when(due, now), minutes, _who(task.who, adult_only=task.adult_only)]
    return f"{mark} {task.what}", " · ".join(part for part in parts if part)


def _row(due: TaskDue) -> dict[str, object]:
    task = due.task
    return {
        "id": task.id,
        "what": task.what,
        "place": task.place,
        "kind": task.kind,
        "cadence": task.cadence.text,
        "due": None if due.due is None else due.due.isoformat(),
        "last_done": None if due.last_done is None else due.last_done.isoformat(),
        "severity": task.severity,
        "who": task.who,
        "minutes": task.minutes,
        "source": task.source,
        "silenced": task.silenced or None,
    }


def _when(due: TaskDue, now: datetime) -> str:
    if due.task.silenced or due.due is None:
        return due.because
    if due.is_due:
        return _("due: {why}").format(why=due.because)
    said = _("due {day}").format(day=day_words(due.due, now))
    return said if due.last_done is not None or not due.because else f"{said}, {due.because}"


def _minutes(minutes: float) -> str:
    if minutes < 1.0:
        return _("under a minute")
    return n_("{n} minute", "{n} minutes", ceil(minutes)).format(n=ceil(minutes))


def _who(who: str, *, adult_only: bool) -> str:
    words = {"anyone": _("anyone"), "shown": _("somebody shown"), "grower": _("the grower")}
    return _("an adult, {who}").format(who=words[who]) if adult_only else words[who]


def _due_first(due: TaskDue) -> tuple[bool, float, float]:
    moment = float("inf") if due.due is None else due.due.timestamp()
    return (not due.is_due, -due.score, moment)
