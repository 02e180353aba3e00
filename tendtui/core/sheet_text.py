"""The stand-in's sheet and the glossary as plain lines, for the pages of the program."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.glossary import Term
from tendtui.core.printed_page import PrintedPage
from tendtui.core.sheet import Sheet
from tendtui.words import _

__all__ = ["glossary_page", "sheet_printed"]


def glossary_page(terms: Iterable[Term]) -> PrintedPage:
    """Give the glossary as a page: each term, then its sentence."""
    lines = [part for term in terms for part in (term.name, f"  {term.says}")]
    return PrintedPage(
        id="glossary", name=_("Glossary"), about=_("each term in a sentence"), lines=tuple(lines)
    )


def sheet_printed(sheet: Sheet) -> PrintedPage:
    """Give the stand-in's sheet as a page; paper has more room, and a table to tick."""
    parts = [
        (sheet.title, [sheet.dates, sheet.first]),
        (_("Four looks"), [f"{what}: {good}" for what, good in sheet.looks]),
        (sheet.act_title, list(sheet.act)),
        (_("Ring if"), list(sheet.ring)),
        (_("Who to ring"), [f"{who}: {number}" for who, number in sheet.phones]),
        (_("Danger"), list(sheet.danger)),
        (_("Never"), list(sheet.never)),
        (_("Day by day"), [sheet.bottle_note, *(_day(sheet, n) for n in range(len(sheet.bottles)))]),
        *((drill.title, list(drill.lines)) for drill in sheet.drills),
        (_("On paper"), [_("tendtui sheet --html > sheet.html, then print it."), *sheet.missing]),
    ]
    lines: list[str] = []
    for title, inside in parts:
        lines += ["", title] if lines else [title]
        lines += [f"  {line}" for line in inside]
    return PrintedPage(
        id="sheet", name=_("Stand-in's sheet"), about=_("for whoever looks after it"), lines=tuple(lines)
    )


def _day(sheet: Sheet, n: int) -> str:
    bottle = sheet.bottles[n]
    return f"{sheet.day_words(bottle)}: {sheet.bottle_words(bottle)}"
