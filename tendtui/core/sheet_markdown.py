"""The stand-in's sheet as Markdown: readable as it stands, printable by anything."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.sheet import Sheet
from tendtui.words import _

__all__ = ["escaped_markdown", "sheet_markdown"]

_SIGNS = "\\`*_{}[]<>#|!~&$"
"""What Markdown would take for its own, wherever it stands in a line."""


def sheet_markdown(sheet: Sheet) -> str:
    """Give the whole sheet; no name in it can become markup."""
    parts = (
        f"# {escaped_markdown(sheet.title)}",
        f"{escaped_markdown(sheet.dates)}",
        f"**{escaped_markdown(sheet.first)}**",
        _section(_("Four looks"), (f"**{_e(what)}**: {_e(good)}" for what, good in sheet.looks), "1."),
        _section(sheet.act_title, (_e(line) for line in sheet.act), "1."),
        _section(_("Ring if"), (_e(line) for line in sheet.ring), "-"),
        _section(_("Who to ring"), (f"{_e(who)}: **{_e(number)}**" for who, number in sheet.phones), "-"),
        _section(_("Danger"), (_e(line) for line in sheet.danger), "-"),
        _e(sheet.switch),
        _section(_("Never"), (_e(line) for line in sheet.never), "-"),
        f"## {_e(_('Day by day'))}",
        _e(sheet.bottle_note),
        _days(sheet),
        *(_section(drill.title, (_e(line) for line in drill.lines), "1.") for drill in sheet.drills),
        *(_e(line) for line in sheet.more),
        f"_{_e(sheet.advice)}_",
    )
    return "\n\n".join(parts) + "\n"


def escaped_markdown(text: str) -> str:
    """Take the meaning out of every sign that Markdown, a terminal or a browser knows."""
    plain = "".join(c if c.isprintable() else " " for c in text)
    escaped = "".join(f"\\{c}" if c in _SIGNS else c for c in plain)
    # a sentence that begins like a list would become one
    return f"\\{escaped}" if escaped[:1] in ("-", "+", "=") else _no_number(escaped)


def _no_number(text: str) -> str:
    """Keep `1. ` from becoming a list, and `5.5` as it is."""
    digits = len(text) - len(text.lstrip("0123456789"))
    listed = (
        bool(digits)
        and text[digits : digits + 1] in (".", ")")
        and text[digits + 1 : digits + 2] in (" ", "")
    )
    return f"{text[:digits]}\\{text[digits:]}" if listed else text


_e = escaped_markdown


def _section(title: str, lines: Iterable[str], mark: str) -> str:
    counted = mark == "1."  # read as it stands too, so each line carries its own number
    marked = enumerate(lines, start=1)
    listed = "\n".join(f"{n}. {line}" if counted else f"{mark} {line}" for n, line in marked)
    return f"## {_e(title)}\n\n{listed}"


def _days(sheet: Sheet) -> str:
    heads = (_("day"), _("bottle"), *sheet.columns)
    rows = [
        (sheet.day_words(bottle), sheet.bottle_words(bottle), *([""] * len(sheet.columns)))
        for bottle in sheet.bottles
    ]
    lines = [heads, ["---"] * len(heads), *([_e(cell) for cell in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
