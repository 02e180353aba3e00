"""One file of the log, read: its events, and what is odd about it."""

from __future__ import annotations

from pathlib import Path

from tendtui.core.event import Event
from tendtui.core.finding import Finding
from tendtui.store.atomic import read_file
from tendtui.store.event_table import KINDS, decode_event
from tendtui.store.fields import Faults, Fields
from tendtui.store.schema import newer_words, refuse_newer, schema_in
from tendtui.store.toml_read import SCHEMA, read_toml
from tendtui.value import value_class

__all__ = ["Month", "parse_month", "read_month"]


@value_class
class Month:
    """One file of the log, as read."""

    path: Path
    data: bytes
    events: tuple[Event, ...]
    findings: tuple[Finding, ...]
    unknown: tuple[str, ...] = ()
    """Tables that are no kind of event."""


def read_month(path: Path) -> Month:
    """Read one file of the log.

    Raises:
        StateError: If it can't be read or is damaged; it names the line.
    """
    data = read_file(path)
    month, faults = parse_month(b"schema = 1\n" if data is None else data, path)
    if faults.errors and schema_in(month.data) > SCHEMA:
        refuse_newer(month.data, file=str(path))
    faults.raise_first()
    return month


def parse_month(data: bytes, path: Path) -> tuple[Month, Faults]:
    """Read the bytes of a file of the log, all faults of its events kept.

    Raises:
        StateError: If the bytes aren't TOML.
    """
    faults = Faults(file=str(path), text=data)
    top = Fields(read_toml(data, path), (), faults)
    if schema_in(data) > SCHEMA:
        faults.add(("schema",), *newer_words(), severity="warning")
    events = [
        event for name in KINDS for row in top.rows(name) if (event := decode_event(name, row)) is not None
    ]
    events.sort(key=lambda event: event.seq)
    unknown = tuple(key for key in top.rest() if key != "schema")
    month = Month(path=path, data=data, events=tuple(events), findings=tuple(faults.found), unknown=unknown)
    return month, faults
