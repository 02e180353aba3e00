"""What is remembered about each month, so that ten years of log needn't be read for one new event.

Only facts that a glance at the months gives again; a month whose size or time differs from what is
remembered is looked at anew. Deleting the index loses nothing.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from tendtui.errors import StateError
from tendtui.store.atomic import list_folder, read_file, replace_loosely
from tendtui.store.folder import Folder
from tendtui.store.plain_toml import read_plain
from tendtui.value import value_class

__all__ = ["MonthFacts", "conflict_copies", "month_files", "refresh", "remember", "survey"]

_MONTHS = frozenset(f"{month:02d}" for month in range(1, 13))
_SEQ = rb"(?m)^[ \t]*seq[ \t]*=[ \t]*\+?([0-9]{1,15})\b"
_REPLACES = rb"(?m)^[ \t]*replaces[ \t]*=[ \t]*[\"']([^\"'\r\n]*)[\"']"


@value_class
class MonthFacts:
    """A month in short."""

    size: int
    """Bytes."""
    time_ns: int
    """When the file was last written. [ns]"""
    last_seq: int
    replaced: tuple[str, ...]
    """Ids that its events replace; these may stand in other months."""


def month_files(folder: Folder, *, since: str = "") -> tuple[Path, ...]:
    """Give the log's files, oldest month first.

    Args:
        folder: The state folder.
        since: The first month, `2026-05`; empty: all there are.

    Raises:
        StateError: If the log's folder can't be looked into.
    """
    names = (entry.name for entry in _entries(folder) if _is_month(entry.name) and entry.name[:7] >= since)
    return tuple(folder.log_dir / name for name in names)


def conflict_copies(folder: Folder) -> tuple[Path, ...]:
    """Give files beside the months that a file sync left when two machines wrote at once.

    Raises:
        StateError: If the log's folder can't be looked into.
    """
    return tuple(folder.log_dir / entry.name for entry in _entries(folder) if not _is_month(entry.name))


def survey(folder: Folder) -> dict[str, MonthFacts]:
    """Give the facts of every month and conflict copy, by file name; unreadable ones are left out.

    Raises:
        StateError: If the log's folder can't be looked into.
    """
    known = _remembered(folder)
    facts: dict[str, MonthFacts] = {}
    for entry in _entries(folder):
        with suppress(StateError, OSError):
            about = entry.stat()
            old = known.get(entry.name)
            if old is not None and (old.size, old.time_ns) == (about.st_size, about.st_mtime_ns):
                facts[entry.name] = old
            else:
                data = read_file(Path(entry.path)) or b""
                facts[entry.name] = _look(data, about.st_size, about.st_mtime_ns)
    return facts


def remember(folder: Folder, facts: Mapping[str, MonthFacts]) -> None:
    """Keep the facts for next time; that this can fail is no loss."""
    from tendtui.store.toml_text import table_text

    lines = {
        name: f"{f.size} {f.time_ns} {f.last_seq} {' '.join(f.replaced)}".rstrip()
        for name, f in facts.items()
        if not any(" " in replaced or not replaced for replaced in f.replaced)
    }
    with suppress(StateError):
        replace_loosely(folder.index, table_text({"month": lines}).encode())


def refresh(folder: Folder, facts: Mapping[str, MonthFacts], names: Iterable[str]) -> dict[str, MonthFacts]:
    """Keep the facts after these months were written, and give them."""
    fresh = dict(facts)
    for name in names:
        with suppress(StateError, OSError):
            path = folder.log_dir / name
            about = path.stat()
            fresh[name] = _look(read_file(path) or b"", about.st_size, about.st_mtime_ns)
    remember(folder, fresh)
    return fresh


def _look(data: bytes, size: int, time_ns: int) -> MonthFacts:
    from re import findall

    replaced = tuple(found.decode("utf-8", "replace") for found in findall(_REPLACES, data))
    last_seq = max(map(int, findall(_SEQ, data)), default=0)
    return MonthFacts(size=size, time_ns=time_ns, last_seq=last_seq, replaced=replaced)


def _remembered(folder: Folder) -> dict[str, MonthFacts]:
    """Read what is remembered; anything odd about it and nothing is."""
    try:
        data = read_file(folder.index)
        lines = (read_plain(data.decode()) or {}).get("month") if data else None
        return {name: _facts(line.split()) for name, line in lines.items()} if isinstance(lines, dict) else {}
    except (StateError, ValueError, AttributeError):
        return {}


def _facts(words: list[str]) -> MonthFacts:
    size, time_ns, last_seq, *replaced = words
    return MonthFacts(size=int(size), time_ns=int(time_ns), last_seq=int(last_seq), replaced=tuple(replaced))


def _entries(folder: Folder) -> list[os.DirEntry[str]]:
    """Give what may be a part of the log, oldest month first."""
    return [entry for entry in list_folder(folder.log_dir) if _is_part(entry.name)]


@lru_cache(maxsize=1024)
def _is_part(name: str) -> bool:
    year = name[:4]
    begins = year.isascii() and year.isdigit() and name[4:5] == "-" and name[5:7] in _MONTHS
    return begins and name.endswith(".toml") and "\n" not in name


def _is_month(name: str) -> bool:
    return len(name) == len("2026-11.toml") and _is_part(name)
