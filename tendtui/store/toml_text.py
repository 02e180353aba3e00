"""Values to TOML text, in the one form that the log and the state file are written in.

Lists of tables always stand as `[[name]]`, so that a month can grow by text put at its end; moments
carry their `T`; a float always shows its point.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta, timezone
from math import isfinite

TYPE_CHECKING = False
if TYPE_CHECKING:
    import re

__all__ = ["key_text", "rows_text", "table_text", "value_text"]

_BARE = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-")
_ESCAPED = '["\\\\\x00-\x08\x0a-\x1f\x7f\ud800-\udfff]'
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\b": "\\b", "\f": "\\f"}


def table_text(table: Mapping[str, object], *, name: str = "") -> str:
    """Give a table's keys, then the tables in it, each under its header.

    Args:
        table: Plain values; what is None is left out.
        name: The dotted name of the table, as it stands in headers; empty for the whole file.
    """
    return "".join(_lines(table, name))


def rows_text(name: str, rows: Iterable[Mapping[str, object]]) -> str:
    """Give tables of a list, each under `[[name]]`."""
    return "".join(f"[[{name}]]\n{table_text(row, name=name)}" for row in rows)


def key_text(key: str) -> str:
    """Give a key as it stands in a header or before `=`."""
    return key if key and _BARE.issuperset(key) else _text(key)


def value_text(value: object) -> str:
    """Give a value as it stands after `=`.

    Raises:
        TypeError: If TOML has no such value.
        ValueError: If it is a number without an end.
    """
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case float():
            return _number(value)
        case str():
            return _text(value)
        case datetime():
            return _moment(value)
        case date() | time():
            return value.isoformat()
        case Mapping():
            inner = ", ".join(
                f"{key_text(str(k))} = {value_text(v)}" for k, v in value.items() if v is not None
            )
            return f"{{{inner}}}"
        case list() | tuple():
            return f"[{', '.join(value_text(item) for item in value)}]"
        case _:
            raise TypeError(f"TOML has no {type(value).__name__}")


def _lines(table: Mapping[str, object], name: str) -> Iterator[str]:
    deeper: list[tuple[str, object]] = []
    for key, value in table.items():
        if isinstance(value, Mapping) or _is_rows(value):
            deeper.append((key, value))
        elif value is not None:
            yield f"{key_text(key)} = {value_text(value)}\n"
    for key, value in deeper:
        inner = f"{name}.{key_text(key)}" if name else key_text(key)
        if isinstance(value, Mapping):
            yield f"[{inner}]\n{table_text(value, name=inner)}"
        else:
            yield rows_text(inner, value)  # type: ignore[arg-type]  # `_is_rows` said so


def _is_rows(value: object) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _number(value: float) -> str:
    if not isfinite(value):
        raise ValueError(f"{value} is not a number that can be kept")
    text = repr(value)
    return text if "." in text or "e" in text else f"{text}.0"


def _text(value: str) -> str:
    if value.isprintable() and '"' not in value and "\\" not in value:  # nothing of `_ESCAPED` is in it
        return f'"{value}"'
    import re

    return f'"{re.sub(_ESCAPED, _escape, value)}"'


def _escape(found: re.Match[str]) -> str:
    char = found[0]
    if "\ud800" <= char <= "\udfff":  # half a letter, from a file name or a broken terminal
        return "\ufffd"
    return _SHORT.get(char) or f"\\u{ord(char):04x}"


def _moment(value: datetime) -> str:
    offset = value.utcoffset()
    if offset is None:
        raise ValueError("a moment without offset can't be kept")
    minutes = round(offset.total_seconds() / 60)  # TOML knows whole minutes; old local times have seconds
    return value.astimezone(timezone(timedelta(minutes=minutes))).isoformat()
