"""The chart as one page for a browser or a printer: the picture, and the newest numbers."""

from __future__ import annotations

from tendtui.core.chart import chart_svg, escaped
from tendtui.core.show import date_words, show_number
from tendtui.core.trend import Trend, Trends, act_name
from tendtui.core.trend_table import LETTERS, TableRow, table_rows
from tendtui.words import _

__all__ = ["chart_page"]

_ROWS = 28
"""Readings in the table under the picture; the log has them all."""

_STYLE = """
@page { size: A4; margin: 10mm; }
body { font: 10pt/1.35 system-ui, "Helvetica Neue", Arial, sans-serif; color: #1a1a1a; background: #fff;
  margin: 0 auto; max-width: 190mm; }
svg { width: 100%; height: auto; }
table { border-collapse: collapse; width: 100%; font-size: 8.5pt; margin-top: 4mm; }
caption { text-align: left; font-weight: bold; padding-bottom: 1mm; }
th, td { border-bottom: 0.2mm solid #999; padding: 0.3mm 1.5mm; text-align: right; }
td { white-space: nowrap; } td:last-child { white-space: normal; }
th:first-child, td:first-child, th:last-child, td:last-child { text-align: left; }
tr { break-inside: avoid; }
"""


def chart_page(trends: Trends, *, title: str, language: str = "en") -> str:
    """Give the whole page; every name in it is text and nothing else.

    Args:
        trends: What is drawn.
        title: The rack's name.
        language: Of its words.
    """
    return (
        f'<!doctype html>\n<html lang="{escaped(language)}"><head><meta charset="utf-8"/>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"/>'
        f"<title>{escaped(title)}</title><style>{_STYLE}</style></head><body>\n"
        f"{chart_svg(trends, title=title)}{_table(trends)}</body></html>\n"
    )


def _table(trends: Trends) -> str:
    shown = tuple(trend for trend in trends.trends if trend.samples)
    rows = table_rows(trends, shown)[-_ROWS:]
    if not rows:
        return ""
    heads = "".join(f"<th>{escaped(head)}</th>" for head in (_("when"), *(t.name for t in shown), _("done")))
    body = "\n".join(_row(row, shown, trends) for row in reversed(rows))
    caption = escaped(_("The newest readings; ! is outside the band, ? was not measured twice"))
    return (
        f"<table><caption>{caption}</caption><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>\n"
    )


def _row(row: TableRow, shown: tuple[Trend, ...], trends: Trends) -> str:
    cells = [f"{date_words(row.at)} {row.at:%H:%M}"]
    for trend, sample in zip(shown, row.values, strict=True):
        if sample is None:
            cells.append("")
            continue
        sign = " ?" if sample.doubt else " !" if trend.is_outside(sample.value) else ""
        cells.append(show_number(sample.value, trend.quantity, trends.show) + sign)
    cells.append(", ".join(_acts(row.done)))
    return "<tr>" + "".join(f"<td>{escaped(cell)}</td>" for cell in cells) + "</tr>"


def _acts(letters: str) -> list[str]:
    return [act_name(act) for act, letter in LETTERS.items() if letter in letters]
