"""The courses as one picture for the wall: SVG that needs nothing else, in light colours for paper.

Every panel has its band shaded and dashed, values outside it as open diamonds, changes as upright dashed
lines; colour repeats what shape and words say. No script, no link, no font from elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from html import escape

from tendtui.core.show import date_words, show_band, show_number, unit_words
from tendtui.core.trend import Sample, Trend, Trends, act_name, reach_name
from tendtui.core.trend_table import LETTERS
from tendtui.words import _, n_

__all__ = ["chart_svg", "escaped"]

_WIDE = 1000
_LEFT = 190
_RIGHT = 24
_HEAD = 64
_PANEL = 112
_GAP = 14
_LEGEND = 92
_LETTER = 13
"""Height of the row of letters. All in the picture's own units: a page's width is 1000."""

_INK, _PALE, _BAND, _EDGE = "#1a1a1a", "#8a8a8a", "#e6f0e4", "#7aa27a"


def chart_svg(trends: Trends, *, title: str) -> str:
    """Give the picture.

    Args:
        trends: What is drawn.
        title: The rack's name, at the top.
    """
    panels = [t for t in trends.trends if t.samples]
    high = _HEAD + max(1, len(panels)) * (_PANEL + _GAP) + _LEGEND
    about = escaped(_("how {rack} went").format(rack=title))
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {high}" role="img" '
        f'aria-label="{about}" font-family="system-ui, Helvetica, Arial, sans-serif" font-size="13" '
        f'fill="{_INK}">',
        f'<title>{about}</title><rect width="{_WIDE}" height="{high}" fill="#fff"/>',
        _text(20, 30, title, size=20, weight="bold"),
        _text(20, 50, _span_words(trends)),
    ]
    if not panels:
        parts.append(_text(20, _HEAD + 40, _("Nothing was read in this time.")))
    for place, trend in enumerate(panels):
        parts += _panel(trend, trends, _HEAD + place * (_PANEL + _GAP))
    foot = _HEAD + len(panels) * (_PANEL + _GAP)
    if panels:
        parts += [*_changes(trends, _HEAD, foot - _GAP), *_foot(trends, foot)]
    return "\n".join([*parts, "</svg>\n"])


def escaped(text: str) -> str:
    """Give text that is text and nothing else, in SVG and HTML; signs that XML forbids become blanks."""
    return escape("".join(c if c.isprintable() else " " for c in text))


def _span_words(trends: Trends) -> str:
    readings = len({s.event for t in trends.trends for s in t.samples})
    return _("{span}: {first} to {last} {year}; {readings}").format(
        span=reach_name(trends.reach),
        first=date_words(trends.first),
        last=date_words(trends.now),
        year=trends.now.year,
        readings=n_("{n} reading", "{n} readings", readings).format(n=readings),
    )


def _panel(trend: Trend, trends: Trends, top: int) -> Iterator[str]:
    across, bottom = _WIDE - _LEFT - _RIGHT, top + _PANEL
    if trend.band is not None:
        yield from _band(trend, top)
    yield f'<path d="M{_LEFT} {top} V{bottom} H{_LEFT + across}" fill="none" stroke="{_PALE}"/>'
    yield from _words(trend, trends, top)
    for value, y in ((trend.high, top + 10), (trend.low, bottom)):
        number = show_number(round(value, 2), trend.quantity, trends.show)
        yield _text(_LEFT - 6, y, number, size=11, anchor="end", fill="#555")
    for line in _lines(trend):
        points = " ".join(f"{_x(trends, s.at):.1f},{_y(trend, s.value, top):.1f}" for s in line)
        yield f'<polyline points="{points}" fill="none" stroke="{_INK}" stroke-width="1.6"/>'
    for sample in trend.samples:
        yield _sign(trend, sample, _x(trends, sample.at), _y(trend, sample.value, top))


def _band(trend: Trend, top: int) -> Iterator[str]:
    if trend.band is None:
        return
    across = _WIDE - _LEFT - _RIGHT
    upper, lower = _y(trend, trend.band.high, top), _y(trend, trend.band.low, top)
    yield (
        f'<rect x="{_LEFT}" y="{upper:.1f}" width="{across}" height="{lower - upper:.1f}" fill="{_BAND}"/>'
    )
    for y in (upper, lower):
        yield (
            f'<path d="M{_LEFT} {y:.1f} h{across}" stroke="{_EDGE}" stroke-width="1" stroke-dasharray="6 4"/>'
        )


def _words(trend: Trend, trends: Trends, top: int) -> Iterator[str]:
    show, last = trends.show, trend.last
    yield _text(20, top + 20, _short(trend.name, 22), size=15, weight="bold")
    unit = unit_words(trend.quantity, show)
    if unit:
        yield _text(20, top + 38, unit, fill="#555")
    if last is not None:
        outside = " " + _("(outside)") if trend.is_outside(last.value) else ""
        value = show_number(last.value, trend.quantity, show)
        yield _text(20, top + 58, _("last {value}").format(value=value) + outside)
    if trend.band is not None:
        band = show_band(trend.band, trend.quantity, show)
        yield _text(20, top + 78, _("band {band}").format(band=band))
        yield _text(20, top + 98, _("outside: {n}").format(n=trend.outside))


def _lines(trend: Trend) -> Iterator[list[Sample]]:
    """Give the runs of values that one line joins."""
    run: list[Sample] = []
    for one, other in trend.joined():
        if run and run[-1] is not one:
            yield run
            run = []
        run = [*(run or [one]), other]
    if run:
        yield run


def _sign(trend: Trend, sample: Sample, x: float, y: float) -> str:
    if sample.doubt:
        return _text(x, y + 4, "?", size=13, weight="bold", anchor="middle")
    if trend.is_outside(sample.value):
        return (
            f'<path d="M{x:.1f} {y - 5.5:.1f} l5.5 5.5 l-5.5 5.5 l-5.5 -5.5 z" fill="#fff" '
            f'stroke="{_INK}" stroke-width="1.6"/>'
        )
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.2"/>'


def _changes(trends: Trends, top: int, bottom: int) -> Iterator[str]:
    for mark in trends.marks:
        if mark.act == "change":
            x = _x(trends, mark.at)
            line = 'stroke="#555" stroke-width="1.2" stroke-dasharray="2 4"'
            yield f'<path d="M{x:.1f} {top} V{bottom}" {line}/>'


def _foot(trends: Trends, top: int) -> Iterator[str]:
    """Give what was done, the days, and the legend in words."""
    yield _text(_LEFT - 20, top + 10, _("done"), size=11, anchor="end", fill="#555")
    drawn: set[tuple[int, str]] = set()
    for row, (act, letter) in enumerate(LETTERS.items()):
        for mark in (m for m in trends.marks if m.act == act):
            x = _x(trends, mark.at)
            cell = (round(x / 10), letter)
            if cell not in drawn and not any((cell[0], other) in drawn for other in LETTERS.values()):
                drawn.add(cell)
                weight = "bold" if row == 0 else "normal"
                yield _text(x, top + 10, letter, size=11, anchor="middle", weight=weight)
    for x, words in _days(trends):
        yield f'<path d="M{x:.1f} {top + _LETTER + 2} v6" stroke="{_PALE}"/>'
        yield _text(x, top + 34, words, size=11, anchor="middle")
    yield _text(_WIDE - _RIGHT, top + 34, _("today"), size=11, anchor="end", weight="bold")
    letters = "   ".join(f"{letter} {act_name(act)}" for act, letter in LETTERS.items())
    yield _text(20, top + 58, letters)
    yield _text(
        20,
        top + 78,
        _("shaded: the band   diamond: outside it   ?: not measured twice   dotted upright: a change"),
    )


def _days(trends: Trends) -> Iterator[tuple[float, str]]:
    whole = (trends.now - trends.first) / timedelta(days=1)
    step = max(1, round(whole / 10.0 + 0.49))
    day = trends.first.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    while day < trends.now:
        x = _x(trends, day)
        if x < _WIDE - _RIGHT - 75:
            yield x, date_words(day)
        day += timedelta(days=step)


def _x(trends: Trends, at: datetime) -> float:
    return _LEFT + trends.share(at) * (_WIDE - _LEFT - _RIGHT)


def _y(trend: Trend, value: float, top: int) -> float:
    whole = trend.high - trend.low
    share = max(0.0, min(1.0, (value - trend.low) / whole)) if whole > 0.0 else 0.5
    return top + (1.0 - share) * _PANEL


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _text(
    x: float,
    y: float,
    words: str,
    *,
    size: int = 13,
    weight: str = "normal",
    anchor: str = "start",
    fill: str = _INK,
) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" font-weight="{weight}" text-anchor="{anchor}" '
        f'fill="{fill}" xml:space="preserve">{escaped(words)}</text>'
    )
