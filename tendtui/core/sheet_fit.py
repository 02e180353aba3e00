"""How large the letters of the printed sheet may be, so that each of its two sides takes its share.

Lines are counted as a wide common font would break them: a browser's own is seldom wider.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil

from tendtui.core.sheet import Sheet

__all__ = ["ROOM_MM", "back_mm", "drill_pt", "front_mm", "front_pt", "row_mm"]

ROOM_MM = 275.0
"""Height of A4 (297 mm, ISO 216) without the page's margins."""

_SPARE_MM = 6.0
"""Left free, since fonts differ."""

_PT_MM = 25.4 / 72.0
_LETTER = 0.53
"""Width of a letter over the size of the font: DejaVu Sans, measured over these sentences; Arial has 0.5."""

_WIDE_MM = 186.0
_HALF_MM = 90.0
_LIST_MM = 5.5
_BOX_MM = 6.0
_PICTURE_MM = 64.0

_FRONT_PT = (10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
_DRILL_PT = (9.8, 9.2, 8.8, 8.4, 8.0, 7.6, 7.2, 7.0, 6.8)
_ROWS_MM = ((14, 7.0), (21, 5.4), (28, 4.6))
"""Days -> height of a row. [mm]"""


def front_pt(sheet: Sheet) -> float:
    """Give the size of the first side's letters. [pt]."""
    return _fitting(_FRONT_PT, [front_mm(sheet, pt) for pt in _FRONT_PT])


def drill_pt(sheet: Sheet) -> float:
    """Give the size of the drills' letters on the second side. [pt]."""
    return _fitting(_DRILL_PT, [back_mm(sheet, pt) for pt in _DRILL_PT])


def row_mm(sheet: Sheet) -> float:
    """Give the height of a day's row. [mm]."""
    return next((mm for days, mm in _ROWS_MM if len(sheet.bottles) <= days), _ROWS_MM[-1][1])


def front_mm(sheet: Sheet, pt: float) -> float:
    """Give about how high the first side stands with letters of this size. [mm]."""
    line, half = 1.3 * pt * _PT_MM, _HALF_MM - _LIST_MM
    looks = [f"{what}: {good}" for what, good in sheet.looks]
    left = _lines([*looks, *sheet.act], half, pt) * line + 2.0 * _head(pt) + 3.0
    boxes = max(
        _lines(texts, half - _BOX_MM, pt) * line + _head(pt) + 6.0 for texts in (sheet.ring, sheet.never)
    )
    numbers = [f"{who}: {number}" for who, number in sheet.phones]
    phones = _lines(numbers, _WIDE_MM - _LIST_MM - _BOX_MM, 1.19 * pt) * 1.19 * line + _head(pt) + 7.0
    danger = _lines(sheet.danger, _WIDE_MM - _LIST_MM - _BOX_MM, pt) * line
    danger += _lines([sheet.switch], _WIDE_MM - _BOX_MM, pt) * line + _head(pt) + 8.0
    more = _lines(sheet.more, _WIDE_MM, pt) * line + 1.2 * len(sheet.more) + 3.0
    advice = _lines([sheet.advice], _WIDE_MM, 0.81 * pt) * 0.81 * line + 1.2
    return _top(sheet) + max(left, _PICTURE_MM) + boxes + phones + danger + more + advice


def back_mm(sheet: Sheet, pt: float) -> float:
    """Give about how high the second side stands with drills of this size. [mm]."""
    line = 1.22 * pt * _PT_MM
    drills = [
        _lines(drill.lines, _HALF_MM - _LIST_MM, pt) * line + 1.35 * line + 4.0 for drill in sheet.drills
    ]
    # two columns; a drill is never cut, so the longest may stand out by half of it
    columns = max(max(drills, default=0.0), sum(drills) / 2.0 + 0.25 * max(drills, default=0.0))
    note = _lines([sheet.bottle_note], _WIDE_MM, 10.5) * 1.3 * 10.5 * _PT_MM
    return 9.0 + note + row_mm(sheet) * (len(sheet.bottles) + 1) + 3.0 + columns


def _top(sheet: Sheet) -> float:
    title = _lines([sheet.title], _WIDE_MM, 17.0) * 1.1 * 17.0 * _PT_MM + 1.0
    dates = _lines([sheet.dates], _WIDE_MM, 10.5) * 1.3 * 10.5 * _PT_MM + 1.2
    return title + dates + _lines([sheet.first], _WIDE_MM, 13.0) * 1.3 * 13.0 * _PT_MM + 4.0


def _head(pt: float) -> float:
    """Give the height of a section's heading with the room round it. [mm]."""
    return 1.3 * 1.1 * pt * _PT_MM + 4.0


def _lines(texts: Iterable[str], wide_mm: float, pt: float) -> int:
    # words that don't fit leave a gap: a line takes a letter or three less than it could
    letters = max(wide_mm / (_LETTER * pt * _PT_MM) - 1.0, 8.0)
    return sum(max(1, ceil(len(text) / letters)) for text in texts)


def _fitting(sizes: Sequence[float], heights: Sequence[float]) -> float:
    fits = (pt for pt, mm in zip(sizes, heights, strict=True) if mm <= ROOM_MM - _SPARE_MM)
    return next(fits, sizes[-1])
