"""Tables of tasks become tasks: the packaged ones, and what the grower changed in rack.toml."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.finding import Finding
from tendtui.core.recurrence import Cadence, read_cadence
from tendtui.core.task import Task
from tendtui.core.task_faults import CADENCES, LISTS, task_faults, texts
from tendtui.value import replace
from tendtui.words import _

__all__ = ["packaged_tasks", "read_own_tasks", "read_tasks", "with_restored", "with_silenced"]


def packaged_tasks(tables: Iterable[Mapping[str, object]]) -> tuple[Task, ...]:
    """Turn the packaged tables into tasks without looking for faults: a test does, on every file."""
    blank = _blank("")
    return tuple(_task(table, blank) for table in tables)


def read_tasks(tables: Iterable[Mapping[str, object]]) -> tuple[Task, ...]:
    """Turn tables into tasks, in their order.

    Raises:
        ValueError: If a table is wrong or an id stands twice.
    """
    tasks: dict[str, Task] = {}
    for table in tables:
        wrong = task_faults(table, new=True)
        task_id = str(table.get("id", ""))
        if wrong or task_id in tasks:
            raise ValueError(f"task {task_id}: {wrong or 'stands twice'}")
        tasks[task_id] = _task(table, _blank(task_id))
    return tuple(tasks.values())


def read_own_tasks(
    packaged: Sequence[Task], own: object, *, file: str = "rack.toml"
) -> tuple[tuple[Task, ...], tuple[Finding, ...]]:
    """Lay the grower's `[[task]]` tables over the packaged tasks.

    A table with a known id changes what it names and leaves the rest; another one adds a task. A
    faulty table changes nothing and is told; so does the second table of one id.

    Args:
        packaged: The tasks of the package.
        own: What rack.toml holds under `task`, as parsed; None where it holds nothing.
        file: The file's name for the findings.
    """
    tasks = {task.id: task for task in packaged}
    findings: list[Finding] = []
    if own is None:
        return tuple(tasks.values()), ()
    if not isinstance(own, Sequence) or isinstance(own, str):
        do = _("Write each task as a table of its own under [[task]].")
        return tuple(tasks.values()), (_finding(file, "task", _("`task` is not a list of tables"), do),)
    seen: set[str] = set()
    for number, table in enumerate(own, start=1):
        if not isinstance(table, Mapping):
            do = _("Write each task as a table of its own under [[task]].")
            findings.append(
                _finding(file, f"task.{number}", _("task {n} is not a table").format(n=number), do)
            )
            continue
        task_id = str(table.get("id", ""))
        faults = task_faults(table, new=task_id not in tasks)
        if task_id and task_id in seen:
            what = _("two tasks have the id {id}").format(id=task_id)
            faults = ((f"task.{number}.id", what, _("Keep one, or give the second another id.")),)
        if faults:
            named = task_id or _("number {n}").format(n=number)
            findings.extend(
                _finding(
                    file,
                    key.replace("#", str(number)),
                    _("task {id}: {what}").format(id=named, what=what),
                    do,
                )
                for key, what, do in faults
            )
            continue
        seen.add(task_id)
        tasks[task_id] = replace(_task(table, tasks.get(task_id, _blank(task_id))), own=True)
    return tuple(tasks.values()), tuple(findings)


def with_silenced(own: object, task_id: str, reason: str) -> list[dict[str, object]]:
    """Give the new list of `[[task]]` tables in which the task is silenced for this reason.

    Raises:
        ValueError: If no reason is given.
    """
    if not reason.strip():
        raise ValueError("silencing needs a reason")
    return _with(own, task_id, {"silenced": reason.strip()})


def with_restored(own: object, task_id: str) -> list[dict[str, object]]:
    """Give the new list of `[[task]]` tables in which the task speaks again."""
    tables = _with(own, task_id, {})
    for table in tables:
        if table.get("id") == task_id:
            table.pop("silenced", None)
    return [table for table in tables if set(table) != {"id"}]


def _with(own: object, task_id: str, change: Mapping[str, object]) -> list[dict[str, object]]:
    tables = [dict(t) for t in own if isinstance(t, Mapping)] if isinstance(own, Sequence) else []
    for table in tables:
        if table.get("id") == task_id:
            table.update(change)
            return tables
    return [*tables, {"id": task_id, **change}]


def _blank(task_id: str) -> Task:
    return Task(
        id=task_id,
        what="",
        place=_("rack"),
        cadence=Cadence(text="event", trigger="event"),
        minutes=5.0,
        who="grower",
        how=(),
        good="",
        if_not="",
        severity="week",
        why="",
        source=_("the grower's own"),
    )


_TEXTS = frozenset(
    {
        "what",
        "place",
        "good",
        "if_not",
        "only_if",
        "why",
        "wrong",
        "source",
        "known",
        "row",
        "group",
        "needs",
        "opens",
        "first",
        "region_key",
        "silenced",
    }
)
_PLAIN = frozenset({"place", "known", "row", "group", "needs", "opens", "first", "region_key", "silenced"})
_SIGNS = ("adult_only", "hands_in_water", "chemical", "may_not_apply")


def _task(table: Mapping[str, object], under: Task) -> Task:
    change = _words_of(table)
    change["id"] = table.get("id", under.id)
    for key in LISTS:
        if key in table:
            change[key] = tuple(_(text) if key == "how" else text for text in texts(table[key]))
    for key in CADENCES:
        if isinstance(value := table.get(key), str):
            change[key] = read_cadence(value)
    change.update({key: table[key] for key in ("who", "severity", "laid_up") if key in table})
    for key in ("minutes", "risk", "after_tanks"):
        if isinstance(value := table.get(key), int | float):
            change[key] = float(value)
    for key in ("after_days", "reads_after"):
        if isinstance(whole := table.get(key), int):
            change[key] = whole
    change.update({key: bool(table[key]) for key in _SIGNS if key in table})
    if table.get("silenced") is False:
        change["silenced"] = ""
    if not change.get("how", under.how):
        change["how"] = (change.get("what", under.what),)
    return replace(under, **change)


def _words_of(table: Mapping[str, object]) -> dict[str, object]:
    given = {key: value.strip() for key, value in table.items() if key in _TEXTS and isinstance(value, str)}
    return {key: text if key in _PLAIN else _(text) for key, text in given.items()}


def _finding(file: str, key: str, what: str, do: str) -> Finding:
    return Finding(file=file, key=key, what=what, do=do, severity="warning")
