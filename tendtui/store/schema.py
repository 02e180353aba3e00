"""Versions of the files: what is older is upgraded, what is newer is read and never written."""

from __future__ import annotations

from tendtui.errors import StateError
from tendtui.store.toml_read import SCHEMA
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    import re

__all__ = ["names_schema", "newer_words", "refuse_newer", "schema_in"]

_SCHEMA = rb"(?m)^[ \t]*schema[ \t]*=[ \t]*([0-9]{1,9})[ \t]*(?:#.*)?\r?$"
_FIRST_TABLE = rb"(?m)^[ \t]*\["
_USUAL = f"schema = {SCHEMA}".encode()
"""How this program says it."""


def schema_in(data: bytes) -> int:
    """Give the version that a file says it has, without reading the rest; the first where it says none."""
    for line in data[:2000].split(b"\n")[:-1]:  # most files say it first, under a remark or two
        if line == _USUAL or line.startswith(b"["):
            return SCHEMA
        if line and not line.startswith(b"#"):
            break
    found = _named(data)
    return SCHEMA if found is None else int(found[1])


def names_schema(data: bytes) -> bool:
    """Say whether a file names its version."""
    return _named(data) is not None


def _named(data: bytes) -> re.Match[bytes] | None:
    import re

    table = re.search(_FIRST_TABLE, data)
    return re.compile(_SCHEMA).search(data, 0, len(data) if table is None else table.start())


def refuse_newer(data: bytes, *, file: str) -> None:
    """Stop before a newer program's file is written.

    Raises:
        StateError: If the file's version is above this program's.
    """
    if schema_in(data) > SCHEMA:
        raise StateError(*newer_words(), file=file)


def newer_words() -> tuple[str, str]:
    """Say that a file is newer than the program, and what to do."""
    return (
        _("a newer tendtui wrote this file, so this one only reads it"),
        _("Bring tendtui up to date. Nothing was changed."),
    )
