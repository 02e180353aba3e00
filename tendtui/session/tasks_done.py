"""Logging tasks as done without walking them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tendtui.core.due import CHANGE
from tendtui.core.event import Change, Event, TaskDone
from tendtui.core.task import GROUPS
from tendtui.errors import CallError
from tendtui.session.knowledge import slow_list_of
from tendtui.value import replace
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.state import State
    from tendtui.session.session import Session

__all__ = ["log_done", "not_known"]


def log_done(session: Session, ids: Sequence[str]) -> None:
    """Log these tasks as done now, all or none.

    Change day done means the solution was changed: that is logged with it. What was found in a task
    can't be closed this way, since closing wants words and a look.

    Raises:
        CallError: If an id is not on the list; nothing was logged.
        StateError: If it can't be written; nothing was.
        HeldError: If another writer holds the folder.
    """
    known = {due.task.id for due in slow_list_of(session).dues}
    wanted = tuple(dict.fromkeys(ids))
    for task_id in wanted:
        if task_id not in known:
            raise CallError(*not_known(task_id, known))
    now = session.now()
    events: list[Event] = [TaskDone(id="", seq=0, at=now, by=session.by, task=task_id) for task_id in wanted]
    if CHANGE in wanted:
        events.append(Change(id="", seq=0, at=now, by=session.by))

    def remembered(state: State) -> State:
        return replace(state, done={**state.done, **dict.fromkeys(wanted, now)})

    session.change_state(remembered, events)


def not_known(task_id: str, known: set[str]) -> tuple[str, str]:
    """Say that there is no such task, and which was meant."""
    if task_id in GROUPS:
        return (
            _("{id} is a list of checks, not a task").format(id=task_id),
            _("Name the checks that were done, or walk them with: tendtui"),
        )
    if task_id.startswith("follow-"):
        return (
            _("{id} is closed by saying what was done about it").format(id=task_id),
            _("Open it from today's page: tendtui"),
        )
    from difflib import get_close_matches

    near = get_close_matches(task_id, known, n=1)
    hint = _("Did you mean {near}?").format(near=near[0]) if near else _("See: tendtui tasks")
    return _("there is no task {id}").format(id=task_id), hint
