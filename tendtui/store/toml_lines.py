"""Where in a TOML text a key stands: tomllib says it only for faults of form."""

from __future__ import annotations

import re

__all__ = ["Path", "line_of", "lines_of_keys"]

Path = tuple[str | int, ...]
"""Keys from the top, with the position in a list of tables: `("tier", 0, "name")`."""

_HEADER = re.compile(r"\s*(\[\[?)\s*(.+?)\s*\]\]?\s*(?:#.*)?$")
_PART = re.compile(r"""\s*(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*(\.|=|$)""")


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """Give the line of a key, else of the nearest table around it, else None."""
    for end in range(len(path), 0, -1):
        line = lines.get(path[:end])
        if line is not None:
            return line
    return None


def lines_of_keys(text: str) -> dict[Path, int]:
    """Give the line, counted from 1, of every table's header and every key that begins a line."""
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    inside: Path = ()
    open_text = ""
    depth = 0
    for number, line in enumerate(text.split("\n"), start=1):
        if not open_text and depth == 0:
            header = _HEADER.match(line)
            if header is not None:
                many = header[1] == "[["
                inside = _table_path(_names(header[2]), counts, many=many)
                if many:
                    found.setdefault(inside[:-1], number)  # the list itself
                found.setdefault(inside, number)
                continue
            names = _names(line) if "=" in line else ()
            for end in range(1, len(names) + 1):
                found.setdefault((*inside, *names[:end]), number)
        open_text, depth = _carry(line, open_text, depth)
    return found


def _names(text: str) -> tuple[str, ...]:
    names: list[str] = []
    place = 0
    while part := _PART.match(text, place):
        names.append(next(group for group in part.groups()[:3] if group is not None))
        place = part.end()
        if part[4] != ".":
            break
    return tuple(names)


def _table_path(names: tuple[str, ...], counts: dict[Path, int], *, many: bool) -> Path:
    path: Path = ()
    for name in names[:-1]:
        path = (*path, name)
        if path in counts:
            path = (*path, counts[path])
    path = (*path, *names[-1:])
    if not many:
        return path
    counts[path] = counts.get(path, -1) + 1
    return (*path, counts[path])


def _carry(line: str, open_text: str, depth: int) -> tuple[str, int]:
    """Say which long text and how many brackets are still open after this line."""
    place = 0
    while place < len(line):
        if open_text:
            end = line.find(open_text, place)
            if end < 0:
                return open_text, depth
            place, open_text = end + 3, ""
            continue
        char = line[place]
        if line.startswith(('"""', "'''"), place):
            open_text = line[place : place + 3]
            place += 3
        elif char in "\"'":
            place = _after_text(line, place)
        elif char == "#":
            break
        else:
            depth = max(0, depth + (char in "[{") - (char in "]}"))
            place += 1
    return open_text, depth


def _after_text(line: str, place: int) -> int:
    quote = line[place]
    place += 1
    while place < len(line) and line[place] != quote:
        place += 2 if line[place] == "\\" and quote == '"' else 1
    return place + 1
