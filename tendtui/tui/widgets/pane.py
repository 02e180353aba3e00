"""A pane draws lines of styled text and sends only the rows that changed.

It goes round the styles of the screen library on purpose: every cell is drawn in the terminal's own
ink and paper, and a row that stays the same costs no byte on a thin link.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from tendtui.tui.line import Line, Look, clean
from tendtui.tui.terminal import Terminal

__all__ = ["Pane", "palette"]

_SHAPES = {Look.BOLD: Style(bold=True), Look.FIELD: Style(reverse=True), Look.LOOK: Style(bold=True)}
_FEW = {Look.HERE: Style(color="cyan"), Look.LOOK: Style(color="yellow")}
_MANY = {
    Look.WATER: Style(color="color(31)"),
    Look.LEAF: Style(color="color(64)"),
    Look.PIPE: Style(color="color(244)"),
}


def palette(terminal: Terminal) -> dict[Look, Style]:
    """Give the looks that this terminal can draw; a look that isn't there is plain."""
    looks = dict(_SHAPES)
    if terminal.hues != "none":
        looks |= _FEW
    if terminal.hues == "many":
        looks |= _MANY
    return looks


class Pane(Widget):
    """Rows of text, as wide as the screen."""

    DEFAULT_CSS = "Pane { width: 1fr; height: 1fr; layer: paper; }"

    def __init__(self, terminal: Terminal) -> None:
        super().__init__()
        self._looks = palette(terminal)
        self._lines: tuple[Line, ...] = ()
        self._strips: list[Strip] = []

    @property
    def is_drawn(self) -> bool:
        """Whether there is a picture to send."""
        return bool(self._strips)

    @property
    def text(self) -> str:
        """What stands on the pane, as words."""
        return "\n".join("".join(clean(text) for text, _look in line).rstrip() for line in self._lines)

    def show(self, lines: Sequence[Line]) -> None:
        """Draw these lines from the top; what is below them is blank."""
        self._lines = tuple(lines)
        self._draw()

    def on_resize(self) -> None:
        """Draw again for the new size."""
        self._draw()

    def _draw(self) -> None:
        size = self.size
        if not size:
            return
        blank = Strip([Segment(" " * size.width)], size.width)
        fresh = [self._strip(line, size) for line in self._lines[: size.height]]
        fresh += [blank] * (size.height - len(fresh))
        changed = [
            Region(0, row, _end_of_change(old, new, size.width), 1)
            for row, (old, new) in enumerate(zip_longest(self._strips, fresh))
            if new is not None and old != new
        ]
        self._strips = fresh
        if changed:
            self.refresh(*changed)

    def _strip(self, line: Line, size: Size) -> Strip:
        parts = [Segment(clean(text), self._looks.get(look)) for text, look in line if text]
        return Strip(parts).simplify().adjust_cell_length(size.width).simplify()

    def render_lines(self, crop: Region) -> list[Strip]:
        """Give the rows asked for, as they were drawn."""
        blank = Strip([Segment(" " * crop.width)], crop.width)
        rows = self._strips[crop.y : crop.bottom]
        rows += [blank] * (crop.height - len(rows))
        return [row.crop_extend(crop.x, crop.right, None) for row in rows]


def _end_of_change(old: Strip | None, new: Strip, width: int) -> int:
    """Give the column after the last one that differs, so that an unchanged tail isn't sent."""
    if old is None or old.cell_length != new.cell_length:
        return width
    before, after = list(old), list(new)
    while before and after and before[-1] == after[-1]:
        before.pop()
        width -= after.pop().cell_length
    if before and after and before[-1].style == after[-1].style:
        one, other = before[-1].text, after[-1].text
        if one.isascii() and other.isascii():
            while one and other and one[-1] == other[-1]:
                one, other, width = one[:-1], other[:-1], width - 1
    return max(1, width)
