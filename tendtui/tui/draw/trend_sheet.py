"""The trends: a strip for each quantity over one time axis, one of them alone, or the numbers as a table."""

from __future__ import annotations

from datetime import datetime, timedelta

from rich.cells import cell_len, set_cell_size

from tendtui.core.rack import Show
from tendtui.core.show import date_words, show_band, show_number, show_value, weekday
from tendtui.core.trend import Reach, Trend, Trends, reach_name
from tendtui.core.trend_table import TableRow, table_rows
from tendtui.tui.draw.plot import acts_row, column_of, plot_rows
from tendtui.tui.draw.sheet import Sheet, Spot, bar, footer, head, marked, rule, window
from tendtui.tui.line import Line, Look, clean, cut, pad, span, wrap
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["TrendView", "draw_trends", "strips_seen"]

_STRIP = 3
"""Rows that a strip takes at least: its name, its last value, its band."""

_TALLEST = 8


@value_class
class TrendView:
    """Everything that the page shows."""

    trends: Trends
    commands: tuple[tuple[str, str], ...]
    alone: int | None = None
    """Place of the one that is shown alone."""
    as_table: bool = False
    by: str = ""
    notice: str = ""
    stops: tuple[str, ...] = ()
    scroll: int = 0
    """First strip, or first row of the table."""
    signs: str = "ascii"


def draw_trends(view: TrendView, width: int, height: int) -> Sheet:
    """Draw the page."""
    notice = marked(view.notice, width - 1)
    field: Line = ((" ", Look.PLAIN), ("> ", Look.HERE))
    foot = (*notice, field, footer(view.commands, width))
    stops = bar(view.stops, width)
    room = height - 2 - len(stops) - len(foot)
    body, told, most = (_table if view.as_table else _strips)(view, width, room)
    span_words = _span_words(view.trends)
    first = head((_("TRENDS"), span_words, told), view.by, width)
    top = (first, *stops, rule(width, view.signs))
    lines = (*top, *body[:room], *[()] * (room - len(body)), *foot)
    return Sheet(
        lines=tuple(cut(line, width) for line in lines),
        field=Spot(row=height - 2, column=3, width=4),
        scrolls=(0, most),
    )


def strips_seen(view: TrendView, height: int) -> int:
    """Give how many strips a page of so many rows shows at once."""
    return max(1, min(len(view.trends.trends), (height - 9 - len(view.stops[:3])) // _STRIP))


def _span_words(trends: Trends) -> str:
    if trends.reach is Reach.SEASON:
        return _("season, since {day}").format(day=date_words(trends.first))
    return _("{span}, since {day}").format(span=reach_name(trends.reach), day=date_words(trends.first))


def _strips(view: TrendView, width: int, room: int) -> tuple[tuple[Line, ...], str, int]:
    trends = view.trends
    if not trends.trends or not any(t.samples for t in trends.trends):
        return _nothing(width), "", 0
    label, edge = _columns(trends, width)
    across = width - label - edge - 2
    legend = tuple(span(line) for line in wrap(_legend(view.signs), width - 1, first=" "))
    rows = room - len(legend) - 2
    shown, most, told = _chosen(view, rows)
    heights = _heights(len(shown), rows)
    lines: list[Line] = []
    for (place, trend), tall in zip(shown, heights, strict=True):
        lines += _strip(view, trend, place, (label, edge, across), tall)
    gap = " " * (label + edge + 1)
    lines.append(
        ((pad(" " + _("done"), label + edge + 1), Look.PLAIN), (acts_row(trends, across), Look.BOLD))
    )
    lines.append(((gap, Look.PLAIN), (_dates(trends, across), Look.PLAIN)))
    return (*lines, *[()] * (rows + 2 - len(lines)), *legend), told, most


def _chosen(view: TrendView, rows: int) -> tuple[list[tuple[int, Trend]], int, str]:
    numbered = list(enumerate(view.trends.trends, start=1))
    if view.alone is not None:
        return [numbered[view.alone]], 0, ""
    many = max(1, min(len(numbered), rows // _STRIP))
    most = len(numbered) - many
    first = max(0, min(view.scroll, most))
    told = ""
    if most:
        told = _("{first} to {last} of {all}: PageUp, PageDown").format(
            first=first + 1, last=first + many, all=len(numbered)
        )
    return numbered[first : first + many], most, told


def _heights(count: int, rows: int) -> list[int]:
    """Share the rows out; the first strips get what is left over."""
    each, over = divmod(rows, count)
    tall = [each + (1 if place < over else 0) for place in range(count)]
    return tall if count == 1 else [min(_TALLEST, rows_of) for rows_of in tall]


def _columns(trends: Trends, width: int) -> tuple[int, int]:
    """Give the cells for the words at the left and for the numbers at the axis."""
    edge = max(cell_len(_edge(value, t, trends.show)) for t in trends.trends for value in (t.low, t.high))
    label = 18 if width < 76 else 22
    return label, edge


def _strip(view: TrendView, trend: Trend, place: int, columns: tuple[int, int, int], tall: int) -> list[Line]:
    label, edge, across = columns
    show = view.trends.show
    plot = plot_rows(trend, view.trends, width=across, height=tall, signs=view.signs)
    words = _words(trend, place, show, label)
    axis = "|" if view.signs == "ascii" else "│"
    drawn: list[Line] = []
    for row in range(tall):
        told = words[row] if row < len(words) else ((" " * label, Look.PLAIN),)
        number = ""
        if trend.samples and (row == 0 or (row == tall - 1 and tall > 1)):
            number = _edge(trend.high if row == 0 else trend.low, trend, show)
        drawn.append((*told, (f"{number:>{edge}}{axis}", Look.PIPE), *plot[row]))
    return drawn


def _words(trend: Trend, place: int, show: Show, width: int) -> list[Line]:
    """Say the strip's number and name, its last value, its band."""
    last = trend.last
    name: Line = ((f" {place} ", Look.BOLD), (pad(trend.name, width - len(f" {place} ")), Look.BOLD))
    if last is None:
        return [name, ((pad("     " + _("not read"), width), Look.PLAIN),)]
    mark = "[!] " if trend.is_outside(last.value) else "    "
    value = show_value(last.value, trend.quantity, show)
    if cell_len(value) > width - 5:
        value = show_number(last.value, trend.quantity, show)
    told: list[Line] = [name, ((mark, Look.LOOK), (pad(" " + value, width - 4), Look.PLAIN))]
    if trend.band is not None:
        band = show_band(trend.band, trend.quantity, show)
        told.append(((pad("     " + band, width), Look.PLAIN),))
    return told


def _edge(value: float, trend: Trend, show: Show) -> str:
    return show_number(round(value, 2 if trend.high - trend.low < 2.0 else 1), trend.quantity, show)


def _legend(signs: str) -> str:
    told = _("C change  F feed  A acid, alkali  D drained  W water  N new bottle or meter")
    return told if signs in ("shades", "blocks") else told + "  " + _("! outside")


def _dates(trends: Trends, width: int) -> str:
    """Write days under the axis, as many as fit, and today at its end."""
    today = _("today")
    row = " " * (width - cell_len(today)) + today
    whole = (trends.now - trends.first) / timedelta(days=1)
    if whole <= 0.0:
        return row
    room = 6 if whole <= 8.0 else 11
    step = max(1, round(whole / max(1, width // room) + 0.49))
    midnight = trends.first.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    day, free = midnight, 0
    while day < trends.now:
        at = column_of(trends.share(day), width)
        words = weekday(day) if whole <= 8.0 else _day(day)
        if at >= free and at + cell_len(words) < width - cell_len(today):
            row = row[:at] + words + row[at + len(words) :]
            free = at + cell_len(words) + 2
        day += timedelta(days=step)
    return row


def _day(day: datetime) -> str:
    return date_words(day).partition(" ")[2]


def _table(view: TrendView, width: int, room: int) -> tuple[tuple[Line, ...], str, int]:
    shown = view.trends.trends if view.alone is None else (view.trends.trends[view.alone],)
    table = _Table(shown=shown, show=view.trends.show, narrow=width < 76, width=width)
    lines = [line for row in reversed(table_rows(view.trends, shown)) for line in table.lines(row)]
    if not lines:
        return _nothing(width), "", 0
    heads = table.heads()
    legend = _(
        "! outside the band   ? not measured twice   C change  F feed  A acid, alkali  D drained  W water"
    )
    foot = tuple(span(line) for line in wrap(legend, width - 1, first=" "))
    space = room - len(heads) - len(foot)
    part, top = window(lines, space, view.scroll)
    told = _("{first} to {last} of {all}: PageUp, PageDown").format(
        first=top + 1, last=top + len(part), all=len(lines)
    )
    body = (*heads, *part, *[()] * (space - len(part)), *foot)
    return body, told if len(lines) > space else "", max(0, len(lines) - space)


@value_class
class _Table:
    """Columns of numbers; those that don't fit stand in a further line under the first."""

    shown: tuple[Trend, ...]
    show: Show
    narrow: bool
    width: int

    @property
    def cell(self) -> int:
        """Give the cells of a column, its sign counted."""
        return 6 if self.narrow else 7

    @property
    def lead(self) -> int:
        """Give the cells of day and clock."""
        return 13 if self.narrow else 17

    def blocks(self) -> tuple[tuple[int, ...], ...]:
        """Give the columns of each line."""
        each = max(1, (self.width - self.lead - 6) // self.cell)
        places = tuple(range(len(self.shown)))
        return tuple(places[n : n + each] for n in range(0, len(places), each))

    def heads(self) -> tuple[Line, ...]:
        """Give the names over the columns."""
        drawn = []
        for number, block in enumerate(self.blocks()):
            names = "".join(
                f"{set_cell_size(clean(self._name(self.shown[n])), self.cell - 1).strip():>{self.cell - 1}} "
                for n in block
            )
            first = pad(" " + _("when"), self.lead) if number == 0 else " " * self.lead
            drawn.append(span(first + names + (" " + _("done") if number == 0 else ""), Look.BOLD))
        return tuple(drawn)

    def lines(self, row: TableRow) -> list[Line]:
        """Give the lines of one reading."""
        day = f" {row.at:%m-%d %H:%M}" if self.narrow else f" {weekday(row.at)} {row.at:%m-%d %H:%M}"
        drawn: list[Line] = []
        for number, block in enumerate(self.blocks()):
            if number and not any(row.values[n] for n in block):
                continue
            lead = pad(day if number == 0 else "", self.lead)
            cells = [part for n in block for part in self._cell(row, n)]
            done = ((" " + row.done, Look.BOLD),) if number == 0 else ()
            drawn.append(((lead, Look.PLAIN), *cells, *done))
        return drawn

    def _cell(self, row: TableRow, n: int) -> tuple[tuple[str, Look], ...]:
        sample, trend = row.values[n], self.shown[n]
        if sample is None:
            return ((" " * self.cell, Look.PLAIN),)
        number = show_number(sample.value, trend.quantity, self.show)
        sign = "?" if sample.doubt else "!" if trend.is_outside(sample.value) else " "
        return ((f"{number:>{self.cell - 1}}", Look.PLAIN), (sign, Look.PLAIN if sign == " " else Look.LOOK))

    def _name(self, trend: Trend) -> str:
        names = {
            "level": _("level"),
            "at_full": _("full"),
            "ph": _("pH"),
            "temperature": f"°{self.show.temperature}",
        }
        return names.get(trend.id, trend.id.removeprefix("flow."))


def _nothing(width: int) -> tuple[Line, ...]:
    words = _("Nothing was read in this time. s shows another one.")
    return marked(words, width - 2, indent="  ")
