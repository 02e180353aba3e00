"""The last months of the log as they were read, and what of the years before still matters.

Reading months of text at every command would cost more than everything else, so writers leave beside the log
what readers would find in it. It is never believed by itself: a month counts only while its file begins with
the very bytes that were read, the years before only while every older file has its size and time. Deleting
it loses nothing, and readers never write it.
"""

from __future__ import annotations

import marshal
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import datetime
from functools import cache
from zlib import crc32

from tendtui import __version__
from tendtui.errors import StateError
from tendtui.store.atomic import read_file, replace_loosely
from tendtui.store.event_table import KINDS, kind_of
from tendtui.value import fields, remade, usual_fields, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.event import Event
    from tendtui.store.folder import Folder

__all__ = ["KeptMonth", "Memory", "kept", "read_memory", "write_memory"]

_MOMENTS = ("at", "due")


@value_class(kw_only=False)
class KeptMonth:
    """The first part of a month's file, as it was read."""

    size: int
    """Bytes that were read."""
    mark: int
    """A checksum of them."""
    rows: tuple[tuple[str, Mapping[str, object]], ...]

    def begins(self, data: bytes) -> bool:
        """Say whether a file begins with the bytes that were read."""
        return len(data) >= self.size and crc32(memoryview(data)[: self.size]) == self.mark

    def events(self) -> tuple[Event, ...]:
        """Make the events."""
        return tuple(_event(kind, row) for kind, row in self.rows)


@value_class(kw_only=False)
class Memory:
    """What was kept."""

    months: Mapping[str, KeptMonth]
    """File name -> what was read of it."""
    cut: str = ""
    """The first month, `2026-05`, that isn't among the years before."""
    key: str = ""
    """What the years before looked like when `before` was picked from them."""
    before: KeptMonth = KeptMonth(0, 0, ())


def kept(data: bytes, events: Iterable[Event]) -> KeptMonth | None:
    """Give what is kept of bytes read; None where they hold what can't be kept this way."""
    rows = tuple((kind_of(event), _row(event)) for event in events)
    try:
        marshal.dumps(rows)
    except ValueError:  # a key of another program's, with a date in it
        return None
    return KeptMonth(len(data), crc32(data), rows)


def read_memory(folder: Folder) -> Memory:
    """Read what was kept; anything odd about it and nothing is."""
    with suppress(StateError, ValueError, EOFError, TypeError):
        data = read_file(folder.memory) or b""
        head, _line, body = data.partition(b"\n")
        if head == _head(body):
            months, cut, key, before = marshal.loads(body)  # noqa: S302 - only data, and its checksum is right
            known = {name: KeptMonth(*month) for name, month in months.items()}
            return Memory(known, cut, key, KeptMonth(*before))
    return Memory({})


def write_memory(folder: Folder, memory: Memory) -> None:
    """Keep it for next time; that this can fail is no loss."""
    months = {name: (month.size, month.mark, month.rows) for name, month in memory.months.items()}
    before = (memory.before.size, memory.before.mark, memory.before.rows)
    with suppress(StateError, ValueError):
        body = marshal.dumps((months, memory.cut, memory.key, before))  # type: ignore[arg-type]  # `kept` has tried
        replace_loosely(folder.memory, _head(body) + b"\n" + body)


def _head(body: bytes) -> bytes:
    """Give the first line: who wrote it, in which form, and the checksum of the rest."""
    form = repr([(name, [field.name for field in fields(kind.event)]) for name, kind in KINDS.items()])
    words = ("tendtui", __version__, sys.implementation.cache_tag, crc32(form.encode()), crc32(body))
    return " ".join(map(str, words)).encode()


def _row(event: Event) -> dict[str, object]:
    """Give the fields that aren't as they usually are."""
    usual = _usual(kind_of(event))
    held = {name: value for name, value in event.__dict__.items() if name in usual}
    row = {name: value for name, value in held.items() if value != usual[name]}
    for name in _MOMENTS:
        moment = row.get(name)
        if isinstance(moment, datetime):
            row[name] = moment.isoformat()
    return row


def _event(kind: str, row: Mapping[str, object]) -> Event:
    held = {**_usual(kind), **row, "at": datetime.fromisoformat(str(row["at"]))}
    if isinstance(due := row.get("due"), str):
        held["due"] = datetime.fromisoformat(due)
    return remade(KINDS[kind].event, held)


@cache
def _usual(kind: str) -> Mapping[str, object]:
    """Give each field of a kind and its default; empty tables are shared, as nobody changes a value's."""
    return usual_fields(KINDS[kind].event)
