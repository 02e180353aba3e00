"""What can still be read of a damaged file: every table that is whole, byte for byte."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise
from pathlib import Path

from tendtui.core.event import Event
from tendtui.errors import StateError
from tendtui.store.log_file import parse_month
from tendtui.store.toml_read import SCHEMA, read_toml
from tendtui.value import value_class

__all__ = ["Part", "Salvaged", "month_of", "parts_of", "salvage_month"]

_HEADER = re.compile(rb"^(?=[ \t]*\[\[)", re.MULTILINE)


@value_class(kw_only=False)
class Part:
    """One event's table with all that stands under it."""

    event: Event
    data: bytes


@value_class(kw_only=False)
class Salvaged:
    """What is left of a month."""

    parts: tuple[Part, ...]
    lost_lines: tuple[int, ...]
    """The lines on which tables begin that can't be read."""


def salvage_month(data: bytes, path: Path) -> Salvaged:
    """Give the events of a damaged month that can be read, each with its own bytes."""
    parts: list[Part] = []
    lost: list[int] = []
    for line, chunk in _chunks(data):
        event = _event(chunk, path)
        if event is not None:
            parts.append(Part(event, chunk if chunk.endswith(b"\n") else chunk + b"\n"))
        elif chunk.strip(b"\0 \t\r\n"):
            lost.append(line)
    return Salvaged(tuple(parts), tuple(lost))


def parts_of(data: bytes, path: Path) -> tuple[Part, ...]:
    """Give the events of a sound month, each with its own bytes."""
    return salvage_month(data, path).parts


def month_of(parts: Iterable[Part]) -> bytes:
    """Give the bytes of a month that holds these events, each once, in the order of their numbers."""
    once = {part.event.id: part for part in reversed(list(parts))}
    ordered = sorted(once.values(), key=lambda part: part.event.seq)
    return f"schema = {SCHEMA}\n".encode() + b"".join(part.data for part in ordered)


def _chunks(data: bytes) -> list[tuple[int, bytes]]:
    """Cut before every `[[`, and give the line on which each piece begins; a sound head is left out."""
    places = [found.start() for found in _HEADER.finditer(data)]
    head = data[: places[0]] if places else data
    spans = pairwise([*places, len(data)])
    pieces = [(data.count(b"\n", 0, start) + 1, data[start:end].rstrip(b"\0")) for start, end in spans]
    return pieces if _is_sound(head) else [(1, head), *pieces]


def _is_sound(head: bytes) -> bool:
    try:
        read_toml(head, "")
    except StateError:
        return False
    return True


def _event(chunk: bytes, path: Path) -> Event | None:
    try:
        month, faults = parse_month(chunk, path)
    except StateError:
        return None
    return month.events[0] if len(month.events) == 1 and not faults.errors else None
