"""What the first fill leaves in the log: its water, what was read of it, the checks that were looked at."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from tendtui.core.event import Change, Event, Poured, Reading, TaskDone
from tendtui.core.setup_fill import FIRST_FILL, FillFound, filled_before
from tendtui.core.walk_value import Answers

__all__ = ["checks_done", "poured_at", "water_logged", "water_read"]

_SEEN_L = 0.05
"""Difference from the fill before that is worth an entry. [L] Source: chosen here."""


def checks_done(check_ids: Iterable[str], answers: Answers, *, by: str) -> tuple[Event, ...]:
    """Log each safety check that was said to be found good, so that none is due again at once."""
    answer = answers.by_key.get("fill.checked")
    if answer is None or answer.word != "yes" or answer.at is None:
        return ()
    return tuple(TaskDone(id="", seq=0, at=answer.at, by=by, task=task_id) for task_id in check_ids)


def poured_at(answers: Answers) -> datetime | None:
    """Give when the last water of the fill was typed; the change and all of its water bear that one moment.

    What is dated after a change counts as a top-up, which the water for the pipes is not.
    """
    typed = (answers.by_key.get(key) for key in ("fill.full", "fill.pipes"))
    return max((answer.at for answer in typed if answer is not None and answer.at is not None), default=None)


def water_logged(found: FillFound, past: Iterable[Event], *, at: datetime, by: str) -> tuple[Event, ...]:
    """Log the water of the fill; after a fill before it, only what the rack holds more or less."""
    if found.full_l is None:
        return ()
    litres = found.full_l + (found.pipes_l or 0.0)
    already_l = filled_before(past)
    if already_l is not None:
        more_l = litres - already_l
        if abs(more_l) < _SEEN_L:
            return ()
        what = "water" if more_l > 0.0 else "drained"
        return (Poured(id="", seq=0, at=at, by=by, what=what, litres=round(abs(more_l), 3)),)
    return (
        Change(id="", seq=0, at=at, by=by, litres=found.full_l, reason=FIRST_FILL),
        Poured(id="", seq=0, at=at, by=by, what="water", litres=round(litres, 3)),
    )


def water_read(found: FillFound, answers: Answers, *, at: datetime, by: str) -> tuple[Event, ...]:
    """Log what was read of the water, where the rack is tight."""
    if found.full_l is None or not found.tight:
        return ()
    return (
        Reading(
            id="",
            seq=0,
            at=at,
            by=by,
            level_l=found.full_l,
            conductivity_ms_cm=answers.value("fill.conductivity"),
            ph=answers.value("fill.ph"),
            temperature_c=answers.value("fill.temperature"),
            source="task",
        ),
    )
