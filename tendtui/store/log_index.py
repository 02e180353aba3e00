"""What is remembered about each month, so that ten years of log needn't be read for one new event.

Only facts that a glance at the months gives again; a month whose size or time differs from what is
remembered is looked at anew. Deleting the index loses nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tendtui.errors import StateError
from tendtui.store.atomic import read_file, replace_loosely
from tendtui.store.folder import Folder
from tendtui.store.plain_toml import read_plain
from tendtui.store.toml_text import rows_text
from tendtui.words import _

__all__ = ["MonthFacts", "conflict_copies", "month_files", "remember", "survey"]

_MONTH = re.compile(r"[0-9]{4}-(?:0[1-9]|1[0-2])\.toml")
_COPY = re.compile(r"[0-9]{4}-(?:0[1-9]|1[0-2]).+\.toml")
_SEQ = re.compile(rb"^[ \t]*seq[ \t]*=[ \t]*\+?([0-9]{1,15})\b", re.MULTILINE)
_REPLACES = re.compile(rb"^[ \t]*replaces[ \t]*=[ \t]*[\"']([^\"'\r\n]*)[\"']", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthFacts:
    """A month in short."""

    size: int
    """Bytes."""
    time_ns: int
    """When the file was last written. [ns]"""
    last_seq: int
    replaced: tuple[str, ...]
    """Ids that its events replace; these may stand in other months."""


def month_files(folder: Folder) -> tuple[Path, ...]:
    """Give the log's files, oldest month first.

    Raises:
        StateError: If the log's folder can't be looked into.
    """
    return tuple(path for path in _names(folder) if _MONTH.fullmatch(path.name))


def conflict_copies(folder: Folder) -> tuple[Path, ...]:
    """Give files beside the months that a file sync left when two machines wrote at once.

    Raises:
        StateError: If the log's folder can't be looked into.
    """
    return tuple(p for p in _names(folder) if _COPY.fullmatch(p.name) and not _MONTH.fullmatch(p.name))


def survey(folder: Folder) -> Mapping[str, MonthFacts]:
    """Give the facts of every month and conflict copy, by file name; unreadable ones are left out."""
    known = _remembered(folder)
    facts: dict[str, MonthFacts] = {}
    for path in (*month_files(folder), *conflict_copies(folder)):
        with suppress(StateError, OSError):
            about = path.stat()
            old = known.get(path.name)
            if old is not None and (old.size, old.time_ns) == (about.st_size, about.st_mtime_ns):
                facts[path.name] = old
            else:
                facts[path.name] = _look(read_file(path) or b"", about.st_size, about.st_mtime_ns)
    return facts


def remember(folder: Folder, facts: Mapping[str, MonthFacts]) -> None:
    """Keep the facts for next time; that this can fail is no loss."""
    rows = [
        {
            "name": name,
            "size": f.size,
            "time_ns": f.time_ns,
            "last_seq": f.last_seq,
            "replaced": list(f.replaced),
        }
        for name, f in facts.items()
    ]
    with suppress(StateError):
        replace_loosely(folder.index, rows_text("month", rows).encode())


def _look(data: bytes, size: int, time_ns: int) -> MonthFacts:
    replaced = tuple(found.decode("utf-8", "replace") for found in _REPLACES.findall(data))
    last_seq = max(map(int, _SEQ.findall(data)), default=0)
    return MonthFacts(size=size, time_ns=time_ns, last_seq=last_seq, replaced=replaced)


def _remembered(folder: Folder) -> dict[str, MonthFacts]:
    """Read what is remembered; anything odd about it and nothing is."""
    try:
        data = read_file(folder.index)
        rows = (read_plain(data.decode()) or {}).get("month") if data else None
        if not isinstance(rows, list):
            return {}
        return {str(row["name"]): _facts(row) for row in rows}
    except (StateError, ValueError, TypeError, KeyError):
        return {}


def _facts(row: Mapping[str, object]) -> MonthFacts:
    size, time_ns, last_seq, replaced = (row[k] for k in ("size", "time_ns", "last_seq", "replaced"))
    if not (isinstance(size, int) and isinstance(time_ns, int) and isinstance(last_seq, int)):
        raise TypeError("not a number")
    if not isinstance(replaced, list):
        raise TypeError("not a list")
    return MonthFacts(
        size=size, time_ns=time_ns, last_seq=last_seq, replaced=tuple(str(name) for name in replaced)
    )


def _names(folder: Folder) -> list[Path]:
    try:
        return sorted(path for path in folder.log_dir.iterdir() if path.suffix == ".toml")
    except FileNotFoundError:
        return []
    except OSError as fault:
        raise StateError(
            _("the log's folder can't be looked into ({why})").format(why=fault.strerror),
            _("Put the folder back from a copy, or give yourself the right to read it."),
            file=str(folder.log_dir),
        ) from fault
