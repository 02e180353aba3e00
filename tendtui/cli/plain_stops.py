"""A stop that stands, told line by line: what was found, what to do, whom to ring."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.finding_follow import OpenFinding
    from tendtui.session.session import Session

__all__ = ["stop_lines"]


def stop_lines(session: Session, stop: OpenFinding) -> Iterator[str]:
    """Give the lines of a stop.

    Args:
        session: For the task in which it was found, and the rack's numbers.
        stop: The finding.
    """
    from tendtui.core.ring import ring_grower
    from tendtui.core.slow_list import FILES, tasks_of
    from tendtui.store.data_file import read_data

    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, session.rack)
    task = next((task for task in tasks if task.id == stop.task), None)
    name = "" if task is None else task.wrong or task.what
    yield _("[!] STOP: {what}").format(what=": ".join(filter(None, (name, stop.what))))
    if task is not None and task.if_not:
        yield task.if_not
    yield ring_grower(session.rack)
    yield _("What to do, step by step: tendtui drill")
