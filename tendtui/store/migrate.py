"""Bringing files of older versions up to this one: pure steps, the original kept, twice is once.

A file that names no version was written before versions were named, or by hand; it counts as 0.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, MutableMapping
from pathlib import Path

from tendtui.store.atomic import read_file, unless_changed
from tendtui.store.rack_file import keep_beside
from tendtui.store.schema import names_schema, schema_in
from tendtui.store.toml_read import SCHEMA, read_toml

__all__ = ["STEPS", "Step", "is_older", "upgrade_file", "upgraded"]

Step = Callable[[MutableMapping[str, object]], None]
"""Changes a file's tables from one version to the next, in place; comments stay where they are."""


def from_0_to_1(table: MutableMapping[str, object]) -> None:
    """Name the version."""
    table["schema"] = 1


STEPS: Mapping[int, Step] = {0: from_0_to_1}
"""Version -> the step to the next; one for every version there ever was."""


def is_older(data: bytes) -> bool:
    """Say whether a file is of an older version than this program writes."""
    return _version(data) < SCHEMA


def upgraded(data: bytes, *, steps: Mapping[int, Step] = STEPS, to: int = SCHEMA) -> bytes:
    """Give the bytes of a file as the wanted version has them; those of that version or newer as they are."""
    version = _version(data)
    if version >= to:
        return data
    import tomlkit

    document = tomlkit.parse(data.decode())
    for number in range(version, to):
        steps[number](document)
    return tomlkit.dumps(document).encode()


def upgrade_file(path: Path, *, steps: Mapping[int, Step] = STEPS, to: int = SCHEMA) -> Path | None:
    """Bring a file up to the wanted version; give where the original is kept, or None if nothing was to do.

    Raises:
        StateError: If the file can't be read or written; nothing was changed.
    """
    data = read_file(path)
    if data is None or _version(data) >= to:
        return None
    read_toml(data, path)  # a damaged file is named, not upgraded
    new = upgraded(data, steps=steps, to=to)
    kept = keep_beside(path, data)
    unless_changed(path, data, new)
    return kept


def _version(data: bytes) -> int:
    return schema_in(data) if names_schema(data) else 0
