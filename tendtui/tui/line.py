"""Lines of text with looks: what every page is drawn from, and how text is fitted to cells.

A page is a tuple of lines, a line a tuple of spans. The words carry the meaning; a look only repeats it.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from rich.cells import cell_len, chop_cells, set_cell_size

__all__ = [
    "Line",
    "Look",
    "Span",
    "clean",
    "columns",
    "cut",
    "fit",
    "pad",
    "plain",
    "span",
    "width_of",
    "wrap",
]


class Look(Enum):
    """How a span may be drawn; each terminal draws what it can of it."""

    PLAIN = "plain"
    BOLD = "bold"  # the one thing that matters
    HERE = "here"  # cyan: where one stands
    LOOK = "look"  # yellow: look again
    FIELD = "field"  # reverse: the entry field
    WATER = "water"  # pictures only, from here on: never a carrier of meaning
    LEAF = "leaf"
    PIPE = "pipe"


Span = tuple[str, Look]
Line = tuple[Span, ...]

_CONTROLS = (*range(32), *range(127, 160), 0x2028, 0x2029)
_UNSEEN = (
    *range(0x202A, 0x202F),
    *range(0x2060, 0x206A),
    *range(0x200B, 0x2010),
    *range(0xFE00, 0xFE10),
    0xFEFF,
)
_CONTROL: dict[int, str | None] = {**dict.fromkeys(_CONTROLS, "\N{MIDDLE DOT}"), **dict.fromkeys(_UNSEEN)}


def clean(text: str) -> str:
    """Give text that can't move the cursor, turn the line round or join cells unseen.

    Control characters become a dot; what has no width of its own and changes its neighbours' is left out.
    """
    return text if text.isascii() and text.isprintable() else text.translate(_CONTROL)


def span(text: str, look: Look = Look.PLAIN) -> Line:
    """Give a line of one span."""
    return ((text, look),)


def plain(line: Line) -> str:
    """Give the words of a line."""
    return "".join(text for text, _look in line)


def width_of(line: Line) -> int:
    """Give the cells that a line takes."""
    return sum(cell_len(text) for text, _look in line)


def fit(text: str, width: int) -> str:
    """Cut text to a width; what was cut leaves two dots."""
    text = clean(text)
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, max(0, width - 2)).rstrip() + ".." if width > 2 else set_cell_size(text, width)


def pad(text: str, width: int) -> str:
    """Cut or fill text to exactly this width."""
    return set_cell_size(fit(text, width), width)


def cut(line: Line, width: int) -> Line:
    """Cut a line to a width."""
    kept: list[Span] = []
    for text, look in line:
        if width <= 0:
            break
        text = fit(text, width)
        kept.append((text, look))
        width -= cell_len(text)
    return tuple(kept)


def columns(left: Line, right: Line, width: int) -> Line:
    """Put one line at the left edge and one at the right; the left one gives way."""
    room = width - width_of(right)
    kept: list[Span] = []
    for text, look in left:
        if room <= 1:
            break
        text = fit(text, room - 1)
        kept.append((text, look))
        room -= cell_len(text)
    return (*kept, (" " * max(0, room), Look.PLAIN), *right)


def wrap(text: str, width: int, *, first: str = "", rest: str | None = None) -> tuple[str, ...]:
    """Break a sentence into lines of at most `width` cells.

    Args:
        text: The sentence; its own line ends are kept.
        width: Cells a line may take, its indent counted.
        first: What the first line begins with.
        rest: What the others begin with; None: blanks as wide as `first`.
    """
    follow = " " * cell_len(first) if rest is None else rest
    lines: list[str] = []
    for part in text.split("\n"):
        indent = follow if lines else first
        lines.extend(_broken(clean(part), max(8, width), indent, follow))
    return tuple(lines)


def _broken(text: str, width: int, first: str, follow: str) -> Iterable[str]:
    line, empty = first, True
    for word in text.split(" "):
        gap = "" if empty else " "
        if cell_len(line) + len(gap) + cell_len(word) <= width:
            line, empty = line + gap + word, False
            continue
        if not empty:
            yield line.rstrip()
            line = follow
        pieces = chop_cells(word, max(4, width - cell_len(line))) or [""]
        for piece in pieces[:-1]:
            yield line + piece
            line = follow
        line, empty = line + pieces[-1], False
    yield line.rstrip()
