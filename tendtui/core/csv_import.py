"""Earlier readings from a table: what is certain is taken, what isn't is asked, the rest is named."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from hashlib import sha256

from tendtui.core.csv_columns import Ask, Column, columns_of, number_in, unit_asks
from tendtui.core.csv_date import Order, needs_order, order_of, read_moment
from tendtui.core.entry import LIMITS
from tendtui.core.event import Event, Note, Reading
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.units import unit_named
from tendtui.errors import RefusedError
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Ask", "Imported", "Refused", "read_table"]

_FIELDS: Mapping[str, str] = {
    "level": "level_l",
    "conductivity": "conductivity_ms_cm",
    "ph": "ph",
    "temperature": "temperature_c",
    "alkalinity": "alkalinity_meq_l",
}
_EMPTY = ("", "-", "–", "n/a", "na", "nan", "none", "null", "?")
_MICRO_FROM, _FAHRENHEIT_FROM = 20.0, 45.0


@value_class
class Refused:
    """A line that was not taken."""

    line: int
    """Counted from 1, the heads included."""
    why: str


@value_class
class Imported:
    """What became of the table."""

    asks: tuple[Ask, ...] = ()
    """What has to be answered first; then nothing was read."""
    columns: tuple[Column, ...] = ()
    events: tuple[Event, ...] = ()
    """Readings and notes, in time order; their ids come from their content, so that nothing doubles."""
    refused: tuple[Refused, ...] = ()
    already: int = 0
    """Lines that the log holds already."""


def read_table(
    text: str,
    *,
    rack: Rack,
    answers: Mapping[str, str],
    known_ids: Iterable[str],
    now: datetime,
    local: Callable[[datetime], datetime],
) -> Imported:
    """Turn a table into readings.

    Args:
        text: The file.
        rack: For its tiers, units and limits.
        answers: To the questions asked before: `column.HEAD`, `unit.MEANING`, `decimal`, `dates`.
        known_ids: Ids of the log, for what was imported before.
        now: Nothing may lie after this.
        local: Gives a moment without a zone the zone of the place.

    Raises:
        RefusedError: If it is no table, or mixes two orders of dates.
    """
    rows = _rows(text)
    heads = [head.strip() for head in rows[0][1]]
    body = [(line, _fitting(cells, len(heads))) for line, cells in rows[1:]]
    columns, asks = columns_of(heads, tiers=[tier.name for tier in rack.tiers], answers=answers)
    if asks:
        return Imported(asks=asks)
    place = {column.head: n for n, head in enumerate(heads) for column in columns if column.head == head}
    cells = {head: [row[n] for _line, row in body] for head, n in place.items()}
    decimal, asked = _decimal(columns, cells, answers)
    order, order_asked = _order(columns, place, body, answers)
    columns, unit_asked = unit_asks(columns, cells, decimal=decimal, show=rack.show, answers=answers)
    asks = (*asked, *order_asked, *unit_asked)
    if not any(column.meaning in ("at", "date") for column in columns):
        raise RefusedError(
            _("No column holds a date"), _("Name it with --answer column.HEAD=date, or add one to the table.")
        )
    if asks:
        return Imported(asks=asks, columns=columns)
    reader = _Reader(
        columns=columns, place=place, decimal=decimal, order=order, rack=rack, now=now, local=local
    )
    return _taken(reader, body, set(known_ids))


@value_class
class _Reader:
    """Everything that reading one line takes."""

    columns: tuple[Column, ...]
    place: Mapping[str, int]
    decimal: str
    order: Order
    rack: Rack
    now: datetime
    local: Callable[[datetime], datetime]

    def events(self, row: Sequence[str]) -> tuple[Event, ...]:
        """Give the reading of a line, and its note; nothing where the line holds no number.

        Raises:
            RefusedError: If something in it can't be.
        """
        at = self._moment(row)
        values: dict[str, float] = {}
        flows: dict[str, float] = {}
        for column in self.columns:
            quantity = column.quantity
            cell = row[self.place[column.head]].strip()
            if quantity is None or cell.casefold() in _EMPTY:
                continue
            value = self._value(cell, column, quantity)
            if column.meaning in _FIELDS:
                values[_FIELDS[column.meaning]] = value
            else:
                flows[column.meaning.partition(".")[2]] = value
        by, note = self._text(row, "by"), self._text(row, "note")
        made: list[Event] = []
        if values or flows:
            id_ = _id(at, values, flows)
            made.append(
                Reading(
                    id=id_, seq=0, at=at, by=by, flow_l_min=flows, source="import",
                    level_l=values.get("level_l"), conductivity_ms_cm=values.get("conductivity_ms_cm"),
                    ph=values.get("ph"), temperature_c=values.get("temperature_c"),
                    alkalinity_meq_l=values.get("alkalinity_meq_l"),
                )
            )  # fmt: skip
        if note:
            made.append(Note(id=_id(at, {}, {}, note), seq=0, at=at, by=by, text=note))
        return tuple(made)

    def _moment(self, row: Sequence[str]) -> datetime:
        day = self._text(row, "at") or self._text(row, "date")
        found = read_moment(day, self._text(row, "time"), order=self.order)
        if found is None:
            raise RefusedError(_("there is no date in it"))
        at = found if found.tzinfo is not None else self.local(found)
        if at > self.now:
            raise RefusedError(_("{at} is in the future").format(at=day))
        return at

    def _value(self, cell: str, column: Column, quantity: Quantity) -> float:
        read = number_in(cell, decimal=self.decimal)
        if read is None:
            raise RefusedError(_("{head}: {cell} is not a number").format(head=column.head, cell=cell[:24]))
        number, written = read
        name = written or column.unit
        if name == "by-size":
            name = _by_size(quantity, number)
        unit = unit_named(name, quantity, ppm_scale=self.rack.meter.ppm_scale)
        if unit is None:
            raise RefusedError(
                _("{head}: {unit} is no unit known here").format(head=column.head, unit=name[:24])
            )
        stored = unit.stored(number)
        low, high = LIMITS[quantity]
        high = min(high, _MICRO_FROM) if quantity is Quantity.CONDUCTIVITY else high
        if not low <= stored <= high:
            raise RefusedError(_("{head}: {cell} can't be").format(head=column.head, cell=cell[:24]))
        return round(stored, 6)

    def _text(self, row: Sequence[str], meaning: str) -> str:
        head = next((column.head for column in self.columns if column.meaning == meaning), None)
        if head is None:
            return ""
        text = row[self.place[head]]
        return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:500]


def _taken(reader: _Reader, body: Sequence[tuple[int, list[str]]], known: set[str]) -> Imported:
    events: list[Event] = []
    refused: list[Refused] = []
    already = 0
    for line, row in body:
        if not any(cell.strip() for cell in row):
            continue
        try:
            made = reader.events(row)
        except RefusedError as error:
            refused.append(Refused(line=line, why=error.what))
            continue
        if not made:
            refused.append(Refused(line=line, why=_("there is no reading in it")))
        new = [event for event in made if event.id not in known]
        already += bool(made) and not new
        known |= {event.id for event in new}
        events += new
    events.sort(key=lambda event: event.at)
    return Imported(columns=reader.columns, events=tuple(events), refused=tuple(refused), already=already)


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Cut the text into lines of cells by whichever sign cuts its first line into most."""
    plain = text.removeprefix("﻿")
    first = next((line for line in plain.splitlines() if line.strip()), "")
    sign = max(",;\t|", key=first.count)
    if first.count(sign) == 0:
        raise RefusedError(
            _("This is no table: its first line has one column"),
            _("Export it as CSV, with the names of the columns in the first line."),
        )
    reader = csv.reader(plain.splitlines(), delimiter=sign)
    rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    if len(rows) < 2:
        raise RefusedError(_("The table has no lines under its names"), _("Is it the right file?"))
    return rows


def _fitting(cells: list[str], many: int) -> list[str]:
    return [*cells, *([""] * (many - len(cells)))][:many]


def _decimal(
    columns: Sequence[Column], cells: Mapping[str, Sequence[str]], answers: Mapping[str, str]
) -> tuple[str, tuple[Ask, ...]]:
    """Say which sign is the point: by numbers that can be read one way only, else it is asked."""
    answered = {"comma": ",", "point": "."}.get(answers.get("decimal", ""))
    if answered is not None:
        return answered, ()
    numbers = [cell.strip() for c in columns if c.quantity is not None for cell in cells[c.head]]
    commas = [cell for cell in numbers if "," in cell]
    if not commas:
        return ".", ()
    # 1,420 is one and a half or a thousand and a half; 1,42 is a decimal comma
    doubtful = [cell for cell in commas if re.match(r"\d{1,3},\d{3}(?!\d)", cell)]
    if len(doubtful) < len(commas):
        return ",", ()
    if any("." in cell for cell in commas):
        return ".", ()
    ask = _("Is the comma in {cell} the decimal point?").format(cell=doubtful[0])
    choices = (
        ("comma", _("yes: {cell} is between 1 and 1000").format(cell=doubtful[0])),
        ("point", _("no, it parts thousands")),
    )
    return ".", (Ask(key="decimal", ask=ask, choices=choices),)


def _order(
    columns: Sequence[Column],
    place: Mapping[str, int],
    body: Sequence[tuple[int, list[str]]],
    answers: Mapping[str, str],
) -> tuple[Order, tuple[Ask, ...]]:
    heads = [column.head for column in columns if column.meaning in ("at", "date")]
    if not heads:
        return "", ()
    dates = [(line, row[place[heads[0]]]) for line, row in body]
    found = order_of(dates)
    if found or not needs_order(cell for _line, cell in dates):
        return found, ()
    match answers.get("dates"):
        case "day-first":
            return "day-first", ()
        case "month-first":
            return "month-first", ()
    example = next(cell.strip() for _line, cell in dates if cell.strip())
    ask = _("Which comes first in {date}?").format(date=example)
    return "", (
        Ask(key="dates", ask=ask, choices=(("day-first", _("the day")), ("month-first", _("the month")))),
    )


def _by_size(quantity: Quantity, number: float) -> str:
    if quantity is Quantity.CONDUCTIVITY:
        return "mS/cm" if number < _MICRO_FROM else "uS/cm"
    return "C" if number < _FAHRENHEIT_FROM else "F"


def _id(at: datetime, values: Mapping[str, float], flows: Mapping[str, float], note: str = "") -> str:
    content = repr((at.timestamp(), sorted(values.items()), sorted(flows.items()), note))
    return f"import-{sha256(content.encode()).hexdigest()[:20]}"
