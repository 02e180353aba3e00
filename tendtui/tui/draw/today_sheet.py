"""Today's page: stop findings, what was left open, what is due and why, later, the last round, the rack."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from tendtui.core.rack import Show
from tendtui.core.show import clock, date_words
from tendtui.core.today import Item, Today
from tendtui.tui.draw.question_block import more_words
from tendtui.tui.draw.rack_picture import rack_lines, rack_picture
from tendtui.tui.draw.sheet import Sheet, Spot, bar, footer, head, marked, rule, window
from tendtui.tui.line import Line, Look, cut, fit, pad, span, width_of, wrap
from tendtui.value import value_class
from tendtui.words import _, n_

__all__ = ["TodayView", "draw_today", "numbered"]

_APART = "   "
"""What stands between two values in a row."""
_PICTURE_FROM = 78
"""Columns from which the rack stands beside the lists."""


@value_class
class TodayView:
    """Everything that the page shows."""

    today: Today
    show: Show
    commands: tuple[tuple[str, str], ...]
    notice: str = ""
    troubles: tuple[str, ...] = ()
    scroll: int = 0
    signs: str = "ascii"


def numbered(today: Today) -> tuple[Item, ...]:
    """Give the items in the order of their digits; the first is 1."""
    return (*today.stop, *today.left_open, *today.due, *today.later)


def draw_today(view: TodayView, width: int, height: int) -> Sheet:
    """Draw the page."""
    top = _head(view, width)
    notices = tuple(line for text in (*view.troubles, view.notice) for line in marked(text, width - 1))
    state = (
        () if notices else (span(" " + fit(_("Nothing is unsaved. Type a number, then Enter."), width - 2)),)
    )
    field: Line = ((" ", Look.PLAIN), ("> ", Look.HERE))
    foot: tuple[Line, ...] = (*notices, *state, field, footer(view.commands, width))
    room = height - len(top) - len(foot)
    if width >= _PICTURE_FROM:
        body, most = _beside(view, width, room)
    else:
        body, most = _stacked(view, width, room)
    row = len(top) + room + len(foot) - 2
    lines = (*top, *body, *[()] * (room - len(body)), *foot)
    return Sheet(lines=lines, field=Spot(row=row, column=3, width=4), scrolls=(0, most))


def _head(view: TodayView, width: int) -> tuple[Line, ...]:
    today = view.today
    water = (
        ""
        if today.water_days is None
        else n_("day {n} of this water", "day {n} of this water", today.water_days).format(n=today.water_days)
    )
    day = f"{date_words(today.at)}  {clock(today.at)}"
    first = head((_("TODAY"), day, today.rack, water), today.by or _("who is here? press w"), width)
    stops = bar(tuple(item.what for item in today.stop), width) if view.scroll else ()
    return (first, *stops, rule(width, view.signs))


def _beside(view: TodayView, width: int, room: int) -> tuple[tuple[Line, ...], int]:
    picture_width = max(30, min(58, width * 2 // 5))
    left_width = width - picture_width - 1
    left, most = _looked_through(_lists(view, left_width), _lists(view, left_width, tight=True), room, view)
    picture = rack_picture(
        view.today, show=view.show, width=picture_width, height=min(room, 40), signs=view.signs
    )
    rows = []
    for number in range(max(len(left), len(picture))):
        one = cut(left[number], left_width) if number < len(left) else ()
        other = picture[number] if number < len(picture) else ()
        fill = (" " * max(0, left_width - width_of(one)), Look.PLAIN)
        rows.append((*one, fill, *other))
    return tuple(rows[:room]), most


def _stacked(view: TodayView, width: int, room: int) -> tuple[tuple[Line, ...], int]:
    rack = rack_lines(view.today, show=view.show, width=width, signs=view.signs)
    lists, tight = _lists(view, width), _lists(view, width, tight=True)
    if len(rack) > room // 2:  # the rack is looked at below the lists: too many tiers for the window
        part = span(" " + _("RACK"), Look.BOLD)
        lists, tight, rack = (*lists, (), part, *rack), (*tight, part, *rack), ()
    upper = room - len(rack)
    shown, most = _looked_through(lists, tight, upper, view)
    return (*shown, *[()] * (upper - len(shown)), *rack), most


def _looked_through(
    lines: tuple[Line, ...], tight: tuple[Line, ...], room: int, view: TodayView
) -> tuple[tuple[Line, ...], int]:
    """Give what fits, and how far one can look down; what doesn't fit is told in a row of its own."""
    if len(lines) <= room:
        return lines, 0
    if len(tight) <= room:
        return tight, 0
    shown, top = window(tight, room - 1, view.scroll)
    below = len(tight) - top - len(shown)
    return (*shown, span(" .. " + more_words(top, below))), len(tight) - len(shown)


def _lists(view: TodayView, width: int, *, tight: bool = False) -> tuple[Line, ...]:
    today = view.today
    number = 1
    blocks: list[tuple[Line, ...]] = []
    for title, items in (
        (_("STOP"), today.stop), (_("LEFT OPEN"), today.left_open), (_("DUE NOW"), today.due),
    ):  # fmt: skip
        if items:
            blocks.append((span(" " + title, Look.BOLD), *_items(items, number, width)))
            number += len(items)
    if not today.due and not today.left_open and not today.stop:
        blocks.append((span(" " + _("Nothing is due now."), Look.BOLD),))
    warnings = tuple(text for text in today.words if text.startswith("[!]"))
    if warnings:
        blocks.append((span(" " + _("LOOK AGAIN"), Look.BOLD), *_sentences(warnings, width)))
    if today.later:
        blocks.append((span(" " + _("LATER"), Look.BOLD), *_items(today.later, number, width)))
    if today.last_round:
        told = tuple(line for text in today.last_round for line in _values(text, width))
        blocks.append((span(" " + _("LAST ROUND"), Look.BOLD), *told))
    if len(warnings) < len(today.words):
        blocks.append(_sentences((text for text in today.words if text not in warnings), width))
    lines: list[Line] = []
    for block in blocks:
        if lines and not tight:
            lines.append(())
        lines += block
    return tuple(lines)


def _sentences(texts: Iterable[str], width: int) -> tuple[Line, ...]:
    return tuple(line for text in texts for line in marked(text, width - 1, indent="  "))


def _values(text: str, width: int) -> tuple[Line, ...]:
    """Give values that stand apart by three blanks, none of them broken."""
    drawn: list[str] = []
    for part in text.split(_APART):
        joined = drawn[-1] + _APART + part if drawn else "  " + part
        if drawn and cell_len(joined) > width - 1:
            drawn.append("    " + part)
        else:
            drawn[-1:] = [joined]
    return tuple(
        span(line) for whole in drawn for line in wrap(whole.strip(), width - 1, first=_indent(whole))
    )


def _indent(text: str) -> str:
    return " " * (len(text) - len(text.lstrip()))


def _items(items: Sequence[Item], number: int, width: int) -> tuple[Line, ...]:
    """Give the lines of a list: mark, digit, what, and because; beside it where both fit, else below."""
    room = width - 10
    column = max((cell_len(item.what) for item in items), default=0) + 2
    beside = all(column + cell_len(item.because) <= room for item in items)
    drawn: list[Line] = []
    for place, item in enumerate(items, start=number):
        mark: Line = ((f"  {item.mark or '   '} ", Look.LOOK), (f"{place:>2}  ", Look.BOLD))
        if beside:
            drawn.append((*mark, (pad(item.what, column), Look.PLAIN), (item.because, Look.PLAIN)))
            continue
        joined = f"{item.what}: {item.because}" if item.because else item.what
        first, *rest = wrap(joined, room)
        drawn.append((*mark, (first, Look.PLAIN)))
        drawn += [span(" " * 10 + line) for line in rest]
    return tuple(drawn)
