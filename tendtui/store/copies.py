"""What is remembered of the last backup."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime

from tendtui.errors import StateError
from tendtui.store.atomic import read_file, replace_file
from tendtui.store.folder import Folder
from tendtui.store.toml_read import SCHEMA, read_toml
from tendtui.store.toml_text import table_text
from tendtui.value import value_class

__all__ = ["Copy", "last_copy", "note_copy"]


@value_class
class Copy:
    """A backup that was made."""

    at: datetime
    file: str
    """Where it was put then."""


def last_copy(folder: Folder) -> Copy | None:
    """Give the last backup made of this folder, or None; what can't be read says none."""
    with suppress(StateError):
        data = read_file(folder.copies)
        table = {} if data is None else read_toml(data, folder.copies)
        at, file = table.get("at"), table.get("file")
        if isinstance(at, datetime) and at.utcoffset() is not None and isinstance(file, str):
            return Copy(at=at, file=file)
    return None


def note_copy(folder: Folder, copy: Copy) -> None:
    """Remember a backup; in a folder that can't be written it is not remembered, and no harm done."""
    with suppress(StateError):
        table = {"schema": SCHEMA, "at": copy.at, "file": copy.file}
        replace_file(folder.copies, table_text(table).encode())
