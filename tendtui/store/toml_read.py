"""TOML bytes to tables, every fault of form named with its line and what to do."""

from __future__ import annotations

from pathlib import Path

from tendtui.errors import StateError
from tendtui.store.plain_toml import read_plain
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeGuard

__all__ = ["SCHEMA", "Table", "is_table", "read_toml", "schema_of"]

Table = dict[str, object]

SCHEMA = 1
"""The version of the files that this program writes."""

_MOST_DOTS = 200
_QUOTED = r"\"[^\"]*\"|'[^']*'"
_PLACE = r"\s*\(at (?:line (\d+), column \d+|end of document)\)$"


def is_table(value: object) -> TypeGuard[Table]:
    """Say whether a parsed value is a table."""
    return isinstance(value, dict)


def schema_of(table: Table) -> int:
    """Give the file's version; a file without one is taken as the first."""
    schema = table.get("schema", SCHEMA)
    return schema if isinstance(schema, int) and not isinstance(schema, bool) else SCHEMA


def read_toml(data: bytes, file: str | Path) -> Table:
    """Read the bytes of a file.

    Raises:
        StateError: If they aren't TOML in UTF-8; it names the line.
    """
    file = str(file)
    text = _text(data, file)
    plain = read_plain(text)
    if plain is not None:
        return plain
    _refuse_endless_keys(text, file)
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise _bad_form(text, str(fault), file) from fault
    except (RecursionError, ValueError, OverflowError) as fault:
        raise _too_deep(file, _longest_line(text)) from fault


def _text(data: bytes, file: str) -> str:
    restore = _("Put it back from a copy (tendtui restore), or move it away to begin anew.")
    if not data.strip():
        raise StateError(_("the file is empty, so something has damaged it"), restore, file=file, line=1)
    if not data.strip(b"\0\r\n\t "):
        raise StateError(_("the file holds only zero bytes, so it is damaged"), restore, file=file, line=1)
    if data.startswith((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")):
        raise StateError(
            _("the file begins with a mark that some editors put there"),
            _("Save it again as plain UTF-8, without a byte order mark."),
            file=file,
            line=1,
        )
    try:
        text = data.decode()
    except UnicodeDecodeError as fault:
        raise StateError(
            _("a letter here is not written in UTF-8"),
            _("Type it anew and save the file as UTF-8."),
            file=file,
            line=data.count(b"\n", 0, fault.start) + 1,
        ) from fault
    nul = text.find("\0")
    if nul >= 0:
        raise StateError(
            _("there are zero bytes here, so the file is damaged"),
            restore,
            file=file,
            line=text.count("\n", 0, nul) + 1,
        )
    return text


def _refuse_endless_keys(text: str, file: str) -> None:
    """Stop before a key of thousands of dots, on which the full reader would work for hours."""
    from re import sub

    for number, line in enumerate(text.split("\n"), start=1):
        if line.count(".") > _MOST_DOTS and sub(_QUOTED, "", line).count(".") > _MOST_DOTS:
            raise _too_deep(file, number)


def _too_deep(file: str, line: int) -> StateError:
    return StateError(
        _("this line holds something too long or too deeply nested to be meant"),
        _("Correct the line, or put the file back from a copy."),
        file=file,
        line=line,
    )


def _bad_form(text: str, told: str, file: str) -> StateError:
    from re import search

    place = search(_PLACE, told)
    why = told if place is None else told[: place.start()]
    last = text.count("\n", 0, len(text.rstrip())) + 1
    line = last if place is None or place[1] is None else int(place[1])
    return StateError(
        _("this can't be read ({why})").format(why=_lower_first(why)),
        _("Correct the line; the forms are shown in the README."),
        file=file,
        line=line,
    )


def _lower_first(words: str) -> str:
    return words[:1].lower() + words[1:]


def _longest_line(text: str) -> int:
    lines = text.split("\n")
    return max(range(len(lines)), key=lambda n: len(lines[n])) + 1
