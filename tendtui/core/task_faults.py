"""What can be wrong with a table that describes a task."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tendtui.core.recurrence import read_cadence
from tendtui.words import _

__all__ = ["CADENCES", "LISTS", "Fault", "task_faults", "texts"]

CADENCES = ("cadence", "hot", "cold", "young")
"""Keys that hold a cadence."""

LISTS = ("how", "on", "done_by", "reads")
"""Keys that hold a list of texts."""

_SEVERITIES = ("stop", "today", "week")
_LAID_UP = ("too", "only")
_WHO = ("anyone", "shown", "grower")
_READS = ("buffers", "standard", "flow", "source", "drops", "levels")

Fault = tuple[str, str, str]
"""The key (`#` for the table's number), what is wrong, what to do."""


def task_faults(table: Mapping[str, object], *, new: bool) -> tuple[Fault, ...]:
    """Give everything wrong with the table, each with what to do.

    Args:
        table: As parsed.
        new: Whether no task of this id exists yet, so that it must say what and how often.
    """
    return (*_names(table, new=new), *_kinds(table), *_amounts(table), *_silence(table))


def texts(value: object) -> tuple[str, ...]:
    """Give the texts of a list, without empty ones; nothing where it is no list."""
    if not isinstance(value, Sequence) or isinstance(value, str):
        return ()
    return tuple(item for item in value if isinstance(item, str) and item.strip())


def _names(table: Mapping[str, object], *, new: bool) -> list[Fault]:
    found: list[Fault] = []
    task_id = table.get("id")
    if not isinstance(task_id, str) or not _is_id(task_id):
        do = _("Give it an id of lower-case words with hyphens, like clean-the-lid.")
        found.append(("task.#.id", _("it has no usable id"), do))
    if new and not str(table.get("what", "")).strip():
        found.append(("task.#.what", _("it doesn't say what to do"), _('Add what = "…".')))
    if new and "cadence" not in table:
        found.append(("task.#.cadence", _("it doesn't say how often"), _cadence_do()))
    return found


def _kinds(table: Mapping[str, object]) -> list[Fault]:
    found: list[Fault] = []
    for key in CADENCES:
        if key in table and not _is_cadence(table[key]):
            what = _("{value} is no cadence").format(value=table[key])
            found.append((f"task.#.{key}", what, _cadence_do()))
    for key, allowed in (("who", _WHO), ("severity", _SEVERITIES), ("laid_up", _LAID_UP)):
        if key in table and table[key] not in allowed:
            what = _("{key} can't be {value}").format(key=key, value=table[key])
            do = _("Choose one of: {words}.").format(words=", ".join(allowed))
            found.append((f"task.#.{key}", what, do))
    if any(word not in _READS for word in texts(table.get("reads", ()))):
        do = _("Choose one of: {words}.").format(words=", ".join(_READS))
        found.append(("task.#.reads", _("it reads something unknown"), do))
    return found


def _amounts(table: Mapping[str, object]) -> list[Fault]:
    found: list[Fault] = []
    for key in ("minutes", "risk", "after_tanks"):
        if key in table and not _is_amount(table[key]):
            what = _("{key} is no number above zero").format(key=key)
            found.append((f"task.#.{key}", what, _("Write a number like 5 or 0.5.")))
    for key in LISTS:
        if key in table and not texts(table[key]):
            what = _("{key} is no list of texts").format(key=key)
            found.append((f"task.#.{key}", what, _('Write it like ["one", "two"].')))
    return found


def _silence(table: Mapping[str, object]) -> list[Fault]:
    silenced = table.get("silenced", False)
    if silenced is False or (isinstance(silenced, str) and silenced.strip()):
        return []
    do = _('Say why, like silenced = "the rack stands indoors", or take the line out.')
    return [("task.#.silenced", _("it is silenced without a reason"), do)]


def _cadence_do() -> str:
    return _("Write daily, weekly, monthly, every 10 days, every 2 months, change-day, crop-change or event.")


def _is_cadence(value: object) -> bool:
    try:
        read_cadence(value if isinstance(value, str) else "")
    except ValueError:
        return False
    return True


def _is_id(text: str) -> bool:
    return all(
        part and part.isascii() and part.isalnum() and part == part.lower() for part in text.split("-")
    )


def _is_amount(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < 1e6
