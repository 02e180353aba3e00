"""A page as lines, with the place of its entry field, and the parts that all pages share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from tendtui.tui.command import Command
from tendtui.tui.line import Line, Look, columns, fit, span, width_of, wrap
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "Sheet",
    "Spot",
    "bar",
    "footer",
    "head",
    "marked",
    "offered",
    "rule",
    "said",
    "too_small",
    "window",
]


@value_class
class Spot:
    """Where the entry field stands."""

    row: int
    column: int
    width: int


@value_class
class Sheet:
    """A page ready to be shown."""

    lines: tuple[Line, ...]
    field: Spot | None = None
    scrolls: tuple[int, int] = (0, 0)
    """How far one can look up (negative) and down from where the page stands. [rows]"""


def head(left: Iterable[str], right: str, width: int) -> Line:
    """Give the first line: the page's name, the parts that fit, and who is here at the right."""
    name, *rest = left
    who = span(fit(right, width // 2) + " ")
    words: list[tuple[str, Look]] = [(" " + name, Look.BOLD)]
    for part in (part for part in rest if part):
        if width_of(tuple(words)) + cell_len(part) + 4 + width_of(who) < width:
            words.append(("    " + part, Look.PLAIN))
        elif len(words) == 1:
            words.append(("    " + part, Look.PLAIN))
            break
    return columns(tuple(words), who, width)


def rule(width: int, signs: str) -> Line:
    """Give a line across the page."""
    return span(("-" if signs == "ascii" else "─") * (width - 1), Look.PIPE)


def bar(stops: Sequence[str], width: int) -> tuple[Line, ...]:
    """Give the bar that stands on every page until each stop is cleared."""
    stop = _("STOP") + "  "
    room = width - 6 - cell_len(stop)
    return tuple(((" [!] ", Look.LOOK), (stop + fit(words, room), Look.BOLD)) for words in stops[:2]) + (
        () if len(stops) <= 2 else (span(f"     + {len(stops) - 2}"),)
    )


def marked(text: str, width: int, *, indent: str = " ") -> tuple[Line, ...]:
    """Give a sentence, its `[!]` in the look of another look."""
    if not text:
        return ()
    mark = "[!] " if text.startswith("[!]") else ""
    rest = text.removeprefix("[!]").strip()
    lines = wrap(rest, width - len(indent) - len(mark))
    first: Line = ((indent, Look.PLAIN), (mark, Look.LOOK), (lines[0], Look.PLAIN))
    return (first, *(span(indent + " " * len(mark) + line) for line in lines[1:]))


def said(text: str, width: int) -> Line:
    """Give the status line."""
    return span(" " + fit(text, width - 2)) if text else ()


def footer(commands: Sequence[tuple[str, str]], width: int) -> Line:
    """Give the last line: at most six keys.

    Args:
        commands: Key and words; where they don't fit, the last but one gives way first.
        width: Of the page.
    """
    kept = list(commands)
    while len(kept) > 6 or (len(kept) > 2 and _footer_width(kept, 2) > width - 2):
        del kept[-2]
    gap = 3 if _footer_width(kept, 3) <= width - 2 else 2
    line: list[tuple[str, Look]] = [(" ", Look.PLAIN)]
    for number, (key, words) in enumerate(kept):
        line += [(" " * (gap if number else 0), Look.PLAIN), (key, Look.BOLD), (" " + words, Look.PLAIN)]
    return tuple(line)


def _footer_width(commands: Sequence[tuple[str, str]], gap: int) -> int:
    return sum(cell_len(key) + 1 + cell_len(words) for key, words in commands) + gap * (len(commands) - 1)


def offered(commands: Iterable[Command], *, words: bool = False) -> tuple[tuple[str, str], ...]:
    """Give key and words of the commands that have a place in the footer."""
    return tuple((c.shown_key(words=words), c.footer()) for c in commands if c.footer())


def window(lines: Sequence[Line], height: int, at: int) -> tuple[tuple[Line, ...], int]:
    """Give the part of a long page that fits, and where it begins.

    Args:
        lines: All of it.
        height: Rows there are.
        at: The row wanted at the top.
    """
    top = max(0, min(at, len(lines) - height))
    return tuple(lines[top : top + height]), top


def too_small(width: int, height: int) -> Sheet:
    """Say that the window is too small for the pages, and what to do."""
    text = _(
        "This window has {width} columns and {height} rows; the pages need 60 and 16. "
        "Make it larger, or press p then Enter: line by line it works in any window."
    )
    words = text.format(width=width, height=height)
    lines = [span(line) for line in wrap(words, max(20, width - 1), first=" ")][: height - 1]
    return Sheet(lines=(*lines, span(" >", Look.HERE)), field=Spot(row=len(lines), column=3, width=4))


def beside(sheet: Sheet, picture: Sequence[Line], *, width: int, at: int) -> Sheet:
    """Put a picture to the right of a page.

    Args:
        sheet: The page, drawn `width` cells wide.
        picture: Rows to put beside it.
        width: Of the page.
        at: The row at which the picture begins.
    """
    lines = list(sheet.lines)
    for row, drawn in enumerate(picture, start=at):
        if row < len(lines) - 1:
            gap = (" " * max(0, width - width_of(lines[row])), Look.PLAIN)
            lines[row] = (*lines[row], gap, *drawn)
    return replace(sheet, lines=tuple(lines))
