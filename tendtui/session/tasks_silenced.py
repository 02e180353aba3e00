"""Silencing a task of the slow list with a reason, and letting it speak again: changes to rack.toml."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tendtui.core.entry import read_text
from tendtui.core.event import Note
from tendtui.core.role import Act, may, role_of
from tendtui.errors import CallError, RefusedError
from tendtui.session.knowledge import slow_list_of
from tendtui.session.tasks_done import not_known
from tendtui.store.rack_file import edit_rack
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.task import Task
    from tendtui.session.session import Session

__all__ = ["restore_task", "silence_task"]


def silence_task(session: Session, task_id: str, reason: str) -> Task:
    """Silence a task; it stays on the list with its reason, and the diary says who silenced it.

    Returns:
        The task.

    Raises:
        CallError: If there is no such task, or no reason is given; nothing was changed.
        RefusedError: If whoever is here may not do it.
        StateError: If rack.toml can't be read or written.
    """
    task = _task(session, task_id)
    if not reason.strip():
        raise CallError(_("a task is silenced for a reason"), _("Say it: --reason TEXT"))
    words = read_text(reason)
    number, table = _own(session, task_id)
    changes: dict[str, object] = {f"task.{number}.silenced": words}
    if table is None:
        changes = {f"task.{number}.id": task_id, **changes}
    _edit(session, changes, _("silenced: {what}: {why}").format(what=task.what, why=words))
    return task


def restore_task(session: Session, task_id: str) -> Task:
    """Let a silenced task speak again; what else the grower changed of it stays.

    Returns:
        The task.

    Raises:
        CallError: If there is no such task, or it isn't silenced; nothing was changed.
        RefusedError: If whoever is here may not do it.
        StateError: If rack.toml can't be read or written.
    """
    task = _task(session, task_id)
    number, table = _own(session, task_id)
    if table is None or "silenced" not in table:
        raise CallError(_("{id} is not silenced").format(id=task_id), _("See: tendtui tasks"))
    place = f"task.{number}.silenced"
    if set(table) <= {"id", "silenced"}:  # nothing else of it was changed: it needs no table
        place = "task" if len(_tables(session)) == 1 else f"task.{number}"
    _edit(session, {place: None}, _("speaks again: {what}").format(what=task.what))
    return task


def _task(session: Session, task_id: str) -> Task:
    if not may(role_of(session.rack, session.by), Act.DESCRIBE):
        raise RefusedError(_("What is on the list is for the grower to say"), _("Ring the grower."))
    tasks = {due.task.id: due.task for due in slow_list_of(session).dues}
    if task_id not in tasks:
        raise CallError(*not_known(task_id, set(tasks)))
    return tasks[task_id]


def _own(session: Session, task_id: str) -> tuple[int, Mapping[str, object] | None]:
    """Give the place of the grower's table of a task, one past the end where there is none."""
    tables = _tables(session)
    for number, table in enumerate(tables):
        if isinstance(table, Mapping) and table.get("id") == task_id:
            return number, table
    return len(tables), None


def _tables(session: Session) -> list[object]:
    own = session.rack.extra.get("task")
    return list(own) if isinstance(own, Sequence) else []


def _edit(session: Session, changes: Mapping[str, object], said: str) -> None:
    edit_rack(session.folder, changes)
    session.forget()
    session.record_events((Note(id="", seq=0, at=session.now(), by=session.by, text=said),))
