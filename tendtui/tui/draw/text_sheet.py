"""A page of text with a head and a foot: what help, problems, lists, the diary and ends of walks share."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from tendtui.tui.draw.sheet import Sheet, Spot, bar, footer, head, marked, rule, window
from tendtui.tui.line import Line, Look, pad, span
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["TextView", "draw_text"]


@value_class
class TextView:
    """A page of text."""

    title: str
    lines: Sequence[Line]
    commands: tuple[tuple[str, str], ...]
    aside: str = ""
    """What stands beside the title."""
    by: str = ""
    label: str = ""
    """What stands before the field."""
    field: int = 4
    """Cells of the field; 0: none."""
    notice: str = ""
    stops: tuple[str, ...] = ()
    scroll: int = 0
    numbers: tuple[int, ...] = ()
    """The number of the entry that each line belongs to, 0 for none; empty: lines are counted."""
    signs: str = "ascii"


def draw_text(view: TextView, width: int, height: int) -> Sheet:
    """Draw the part of the text that fits; PageUp and PageDown look at the rest."""
    top = (head((view.title, view.aside), view.by, width), *bar(view.stops, width), rule(width, view.signs))
    label = f" {view.label} " if view.label else " "
    field: Line = ((label, Look.PLAIN), ("> ", Look.HERE))
    foot = (*marked(view.notice, width - 1), field, footer(view.commands, width))
    room = height - len(top) - len(foot) - 1
    shown, at = window(view.lines, room, view.scroll)
    told = _told(view, at, len(shown)) if len(view.lines) > room else ""
    body = (*shown, *[()] * (room - len(shown)), span(" " + pad(told, width - 2)))
    spot = Spot(row=height - 2, column=cell_len(label) + 2, width=max(1, view.field))
    return Sheet(
        lines=(*top, *body, *foot),
        field=spot if view.field else None,
        scrolls=(0, max(0, len(view.lines) - room)),
    )


def _told(view: TextView, at: int, rows: int) -> str:
    """Say which part is in view, in entries where the lines belong to some."""
    entries = [number for number in view.numbers[at : at + rows] if number]
    if entries:
        more = _("entries {first} to {last} of {all}: PageUp, PageDown")
        return more.format(first=entries[0], last=entries[-1], all=max(view.numbers))
    more = _("lines {first} to {last} of {all}: PageUp, PageDown")
    return more.format(first=at + 1, last=at + rows, all=len(view.lines))
