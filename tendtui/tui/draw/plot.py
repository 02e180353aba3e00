"""One course as a small picture of signs: dots of braille where the terminal has them, else plain ASCII.

The limits of the band are dotted lines; what lies beyond them is seen by its place. Hue repeats it.
"""

from __future__ import annotations

from collections.abc import Iterator

from tendtui.core.trend import Trend, Trends
from tendtui.core.trend_table import LETTERS
from tendtui.tui.line import Line, Look
from tendtui.value import field, value_class

__all__ = ["acts_row", "column_of", "plot_rows"]

_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Braille: bit of each dot by row and column (Unicode block 2800)."""

_DOWN = 0x05
"""Two dots of the left column: a dotted upright line."""

_THIRDS = "_-'"
"""ASCII: a value in the lower, middle, upper third of its row."""

_LIMIT_EVERY = 6
"""Dots from one point of a limit to the next; in ASCII four cells. Fewer points, fewer bytes."""


@value_class(frozen=False)
class _Grid:
    """Cells to be filled; what is drawn later gives way to what stands there."""

    width: int
    height: int
    cells: dict[tuple[int, int], tuple[str, Look]] = field(default_factory=dict)

    def put(self, row: int, column: int, sign: str, look: Look, *, over: bool = False) -> None:
        if 0 <= row < self.height and 0 <= column < self.width and (over or (row, column) not in self.cells):
            self.cells[row, column] = (sign, look)

    def lines(self) -> tuple[Line, ...]:
        return tuple(self._line(row) for row in range(self.height))

    def _line(self, row: int) -> Line:
        spans: list[tuple[str, Look]] = []
        for column in range(self.width):
            sign, look = self.cells.get((row, column), (" ", None))
            if spans and (look is None or spans[-1][1] is look):
                spans[-1] = (spans[-1][0] + sign, spans[-1][1])
            else:
                spans.append((sign, look or Look.PLAIN))
        return tuple(spans)


def plot_rows(trend: Trend, trends: Trends, *, width: int, height: int, signs: str) -> tuple[Line, ...]:
    """Draw one course, now at the right.

    Args:
        trend: What is drawn.
        trends: What it belongs to, for the time and the changes.
        width: In cells.
        height: In rows.
        signs: What the terminal can show; braille for `shades` and `blocks`.
    """
    grid = _Grid(width=width, height=height)
    if signs in ("shades", "blocks"):
        _braille(grid, trend, trends)
    else:
        _ascii(grid, trend, trends)
    return grid.lines()


def acts_row(trends: Trends, width: int) -> str:
    """Give the row of letters that tells what was done, the heaviest where several meet."""
    row = [" "] * width
    for act, letter in reversed(tuple(LETTERS.items())):
        for mark in trends.marks:
            if mark.act == act:
                row[column_of(trends.share(mark.at), width)] = letter
    return "".join(row)


def column_of(share: float, width: int) -> int:
    """Give the cell of a place from 0 to 1."""
    return max(0, min(width - 1, int(share * width)))


def _height_of(trend: Trend, value: float) -> float:
    """Give where a value lies, 0 at the lower edge and 1 at the upper."""
    whole = trend.high - trend.low
    return max(0.0, min(1.0, (value - trend.low) / whole)) if whole > 0.0 else 0.5


def _row_of(trend: Trend, value: float, rows: int) -> int:
    return max(0, min(rows - 1, round((1.0 - _height_of(trend, value)) * (rows - 1))))


def _braille(grid: _Grid, trend: Trend, trends: Trends) -> None:
    wide, high = 2 * grid.width, 4 * grid.height
    bits: dict[tuple[int, int], int] = {}
    beyond: set[tuple[int, int]] = set()

    def dot(x: int, y: int) -> tuple[int, int]:
        cell = (y // 4, x // 2)
        bits[cell] = bits.get(cell, 0) | _DOTS[y % 4][x % 2]
        return cell

    def spot(at_share: float, value: float) -> tuple[int, int]:
        return column_of(at_share, wide), _row_of(trend, value, high)

    for one, other in trend.joined():
        for x, y in _between(
            spot(trends.share(one.at), one.value), spot(trends.share(other.at), other.value)
        ):
            dot(x, y)
    for sample in trend.samples:
        x, y = spot(trends.share(sample.at), sample.value)
        if sample.doubt:
            grid.put(y // 4, x // 2, "?", Look.LOOK)
            continue
        cell = dot(x, y)
        if trend.is_outside(sample.value):
            beyond.add(cell)
    for (row, column), set_dots in bits.items():
        look = Look.LOOK if (row, column) in beyond else Look.PLAIN
        grid.put(row, column, chr(0x2800 + set_dots), look)
    for value in _limits(trend):
        y = _row_of(trend, value, high)
        for x in range(0, wide, _LIMIT_EVERY):
            grid.put(y // 4, x // 2, chr(0x2800 + _DOTS[y % 4][0]), Look.PIPE)
    _uprights(grid, trends, chr(0x2800 + _DOWN))


def _ascii(grid: _Grid, trend: Trend, trends: Trends) -> None:
    fine = 3 * grid.height
    crowded = len(trend.samples) * 2 > grid.width

    def put(share: float, value: float, sign: str, look: Look) -> None:
        y = _row_of(trend, value, fine)
        drawn = sign or _THIRDS[2 - y % 3]
        grid.put(y // 3, column_of(share, grid.width), drawn, look, over=bool(sign))

    for sample in trend.samples:
        share = trends.share(sample.at)
        if sample.doubt:
            put(share, sample.value, "?", Look.LOOK)
        elif trend.is_outside(sample.value):
            put(share, sample.value, "!", Look.LOOK)
        else:
            put(share, sample.value, "" if crowded else "o", Look.PLAIN)
    for one, other in trend.joined():
        a = (column_of(trends.share(one.at), grid.width), _row_of(trend, one.value, fine))
        b = (column_of(trends.share(other.at), grid.width), _row_of(trend, other.value, fine))
        for x, y in _between(a, b):
            if a[0] < x < b[0]:
                grid.put(y // 3, x, _THIRDS[2 - y % 3], Look.PLAIN)
    for value in _limits(trend):
        y = _row_of(trend, value, fine)
        for x in range(0, grid.width, _LIMIT_EVERY - 2):
            grid.put(y // 3, x, ".", Look.PIPE)
    _uprights(grid, trends, "|")


def _limits(trend: Trend) -> tuple[float, ...]:
    return () if trend.band is None else (trend.band.low, trend.band.high)


def _uprights(grid: _Grid, trends: Trends, sign: str) -> None:
    """Draw a dotted upright line at each change."""
    for mark in trends.marks:
        if mark.act == "change":
            for row in range(grid.height):
                grid.put(row, column_of(trends.share(mark.at), grid.width), sign, Look.PIPE)


def _between(one: tuple[int, int], other: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """Give the dots of a straight line."""
    (x, y), (to_x, to_y) = one, other
    steps = max(abs(to_x - x), abs(to_y - y), 1)
    for n in range(steps + 1):
        yield round(x + (to_x - x) * n / steps), round(y + (to_y - y) * n / steps)
