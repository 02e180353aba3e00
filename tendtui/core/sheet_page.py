"""The stand-in's sheet as one page of HTML that needs nothing else: two sides of A4 at most."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from tendtui.core.sheet import TICKS, Sheet
from tendtui.core.sheet_fit import drill_pt, front_pt, row_mm
from tendtui.core.sheet_picture import rack_svg
from tendtui.words import _

__all__ = ["sheet_page"]

_IN_A_NUMBER = re.compile(r"(?<=\d) (?=\d)")

_STYLE = """
@page { size: A4; margin: 11mm 12mm; }
* { box-sizing: border-box; }
body { font: FRONTpt/1.3 system-ui, "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff;
  margin: 0 auto; max-width: 190mm; overflow-wrap: anywhere; }
h1 { font-size: 17pt; line-height: 1.1; margin: 0 0 1mm; }
h2 { font-size: 1.1em; margin: 3mm 0 1mm; border-bottom: 0.4mm solid #000; break-after: avoid; }
p, ol, ul { margin: 0 0 1.2mm; } ol, ul { padding-left: 5.5mm; }
.first { font-size: 13pt; font-weight: bold; margin: 2mm 0; }
.two { display: flex; gap: 6mm; } .two > * { flex: 1 1 0; min-width: 0; }
.box { border: 0.6mm solid #000; padding: 1mm 3mm 1.5mm; margin-top: 2.5mm; break-inside: avoid; }
.more { margin-top: 3mm; }
.box h2 { border: 0; margin-top: 0.5mm; }
.numbers ul { font-size: 1.19em; } .numbers b { white-space: nowrap; }
.side { break-before: page; font-size: 10.5pt; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; font-size: 9pt; margin-bottom: 2mm; }
th, td { border: 0.2mm solid #000; padding: 0 1mm; text-align: left; height: ROWmm; line-height: 1;
  overflow: hidden; white-space: nowrap; }
th { font-size: 6.5pt; padding: 0 0.5mm; white-space: normal; overflow-wrap: normal; hyphens: auto; }
th:first-child { width: 21mm; } th:nth-child(2) { width: 17mm; } th:last-child { width: 28mm; }
.tick { width: 10.5mm; }
.drills { columns: 2; column-gap: 6mm; font-size: DRILLpt; line-height: 1.22; }
.drills section { break-inside: avoid; } .drills h2 { font-size: 1.1em; margin: 1mm 0 0.5mm; }
.small { font-size: 0.81em; }
svg { width: 100%; max-height: 62mm; }
"""


def sheet_page(sheet: Sheet, *, language: str = "en") -> str:
    """Give the whole page; every name in it is text and nothing else.

    Args:
        sheet: What stands on it.
        language: Of its words, for readers aloud and hyphenation.
    """
    sizes = {"FRONT": front_pt(sheet), "DRILL": drill_pt(sheet), "ROW": row_mm(sheet)}
    style = _STYLE
    for name, size in sizes.items():
        style = style.replace(name, str(size))
    head = (
        f'<!doctype html>\n<html lang="{_e(language)}"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{_e(sheet.title)}</title><style>{style}</style></head><body>\n"
    )
    return head + _front(sheet) + _back(sheet) + "</body></html>\n"


def _front(sheet: Sheet) -> str:
    looks = _list((f"<b>{_e(what)}</b>: {_e(good)}" for what, good in sheet.looks), "ol")
    phones = _list((f"{_e(who)}: <b>{_e(number)}</b>" for who, number in sheet.phones), "ul")
    ring, never = _box(_("Ring if"), _plain(sheet.ring, "ul")), _box(_("Never"), _plain(sheet.never, "ul"))
    danger = _plain(sheet.danger, "ul") + f"<p>{_e(sheet.switch)}</p>"
    return (
        f"<h1>{_e(sheet.title)}</h1><p>{_e(sheet.dates)}</p>\n<p class='first'>{_e(sheet.first)}</p>\n"
        f"<div class='two'><div><h2>{_e(_('Four looks'))}</h2>{looks}"
        f"<h2>{_e(sheet.act_title)}</h2>{_plain(sheet.act, 'ol')}</div>"
        f"<div>{rack_svg(sheet.rack)}</div></div>\n"
        f"<div class='two'>{ring}{never}</div>\n"
        f"{_box(_('Who to ring'), phones, kind='box numbers')}\n{_box(_('Danger'), danger)}\n"
        f"<div class='more'>{''.join(f'<p>{_e(line)}</p>' for line in sheet.more)}"
        f"<p class='small'>{_e(sheet.advice)}</p></div>\n"
    )


def _back(sheet: Sheet) -> str:
    heads = "".join(
        f"<th{' class=tick' if 2 <= n < 2 + TICKS else ''}>{_e(head)}</th>"
        for n, head in enumerate((_("day"), _("bottle"), *sheet.columns))
    )
    empty = "<td></td>" * len(sheet.columns)
    rows = "".join(
        f"<tr><td>{_e(sheet.day_words(bottle))}</td><td>{_e(sheet.bottle_words(bottle))}</td>{empty}</tr>"
        for bottle in sheet.bottles
    )
    drills = "".join(
        f"<section><h2>{_e(drill.title)}</h2>{_plain(drill.lines, 'ol')}</section>" for drill in sheet.drills
    )
    return (
        f"<div class='side'><h2>{_e(_('Day by day'))}</h2><p>{_e(sheet.bottle_note)}</p>"
        f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
        f"<div class='drills'>{drills}</div></div>\n"
    )


def _e(text: str) -> str:
    plain = escape("".join(c if c.isprintable() else " " for c in text))
    return _IN_A_NUMBER.sub("&nbsp;", plain)  # a number to ring stays on one line


def _box(title: str, inside: str, *, kind: str = "box") -> str:
    return f"<div class='{kind}'><h2>{_e(title)}</h2>{inside}</div>"


def _plain(lines: Iterable[str], kind: str) -> str:
    return _list((_e(line) for line in lines), kind)


def _list(items: Iterable[str], kind: str) -> str:
    return f"<{kind}>{''.join(f'<li>{item}</li>' for item in items)}</{kind}>"
