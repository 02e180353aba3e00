"""The list of stations: all of it, the part round where one stands, or one line of signs."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from tendtui.core.prompt import Mark, Row
from tendtui.tui.draw.question_block import more_words
from tendtui.tui.draw.sheet import rule
from tendtui.tui.line import Line, Look, fit, pad, span

__all__ = ["LEAST_LISTED", "MOST_LISTED", "station_list"]

MOST_LISTED = 10
"""Rows of stations in view at most, so that the question stays where it was."""
LEAST_LISTED = 4
"""Rows of stations below which the list folds into one line."""


def station_list(rows: Sequence[Row], width: int, room: int, *, scroll: int, signs: str) -> tuple[Line, ...]:
    """Give the station list in at most `room` rows, its rule counted; none where there is no room."""
    if not rows or room < 1:
        return ()
    line = rule(width, signs)
    if len(rows) + 1 <= room:
        return (*(_row(row, rows, width) for row in rows), line)
    if room > LEAST_LISTED:
        return (*_part(rows, room - 1, width, scroll), line)
    return (_folded(rows, width), line) if room >= 2 else (_folded(rows, width),)


def _row(row: Row, rows: Sequence[Row], width: int) -> Line:
    name_width = min(38, max(cell_len(r.name) for r in rows) + 2, width // 2)
    digits = len(str(rows[-1].number))
    return (
        (" ", Look.PLAIN),
        _mark(row.mark),
        (f" {row.number:>{digits}} ", Look.PLAIN),
        (pad(row.name, name_width), Look.BOLD if row.mark is Mark.HERE else Look.PLAIN),
        (" " + fit(row.found, width - name_width - digits - 8), Look.PLAIN),
    )


def _mark(mark: Mark) -> tuple[str, Look]:
    looks = {Mark.HERE: Look.HERE, Mark.LOOK: Look.LOOK}
    return mark.value, looks.get(mark, Look.PLAIN)


def _part(rows: Sequence[Row], room: int, width: int, scroll: int) -> tuple[Line, ...]:
    """Give the rows round the one where one stands, and how many there are above and below."""
    here = next((n for n, row in enumerate(rows) if row.mark is Mark.HERE), 0)
    inner = room - 1
    top = max(0, min(here - inner // 2 + scroll, len(rows) - inner))
    above, below = top, len(rows) - top - inner
    told = more_words(above, below)
    return (
        *(_row(row, rows, width) for row in rows[top : top + inner]),
        span("     " + fit(told, width - 6)),
    )


def _folded(rows: Sequence[Row], width: int) -> Line:
    """Give the whole list in one line: the marks, then where one stands."""
    here = next((row for row in rows if row.mark is Mark.HERE), None)
    signs = {Mark.DONE: "x", Mark.HERE: ">", Mark.OPEN: ".", Mark.NOT_DONE: "-", Mark.LOOK: "!"}
    line: list[tuple[str, Look]] = [(" [", Look.PLAIN)]
    line += [(signs[row.mark], _mark(row.mark)[1]) for row in rows]
    line.append(("] ", Look.PLAIN))
    if here is not None:
        line.append((fit(f"{here.number} {here.name}", width - len(rows) - 6), Look.BOLD))
    return tuple(line)
