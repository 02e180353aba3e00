"""`tendtui sheet`: what a stand-in needs, on paper."""

from __future__ import annotations

import argparse
import sys
from datetime import timedelta
from typing import TYPE_CHECKING

from tendtui.cli.opened import open_session
from tendtui.cli.parser import whole_number
from tendtui.core.cover import LONGEST_DAYS, Cover
from tendtui.errors import CallError
from tendtui.session.handover import cover_for, sheet_of
from tendtui.value import replace
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.sheet import Sheet
    from tendtui.session.session import Session

__all__ = ["add", "run", "sheet_for_days"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument(
        "--days", type=whole_number, metavar="N", help=_("how many days; as long as the cover, or 7")
    )
    parser.add_argument("--html", action="store_true", help=_("one page for the printer instead of Markdown"))
    parser.epilog = _(
        "Print it: tendtui sheet --html > sheet.html, open it with a browser, print on both sides."
    )


def run(args: argparse.Namespace) -> int:
    """Print the sheet; what is missing on it is told beside it."""
    session = open_session(args.state)
    sheet = sheet_for_days(session, days=args.days)
    if args.html:
        from tendtui.core.sheet_page import sheet_page
        from tendtui.session.language import language

        text = sheet_page(sheet, language=language())
    else:
        from tendtui.core.sheet_markdown import sheet_markdown

        text = sheet_markdown(sheet)
    print(text, end="")
    for sentence in sheet.missing:
        print(f"tendtui: {sentence}", file=sys.stderr)
    return 0


def sheet_for_days(session: Session, *, days: int | None) -> Sheet:
    """Make the sheet for the cover under way or the next one; without one, from today on.

    Raises:
        CallError: If there are too many days for two sides of paper, or none.
    """
    if days is not None and not 1 <= days <= LONGEST_DAYS:
        raise CallError(
            _("--days is 1 to {most}").format(most=LONGEST_DAYS),
            _("Print a second sheet for a longer absence."),
        )
    cover = cover_for(session, days=days)
    last = min(cover.last, cover.first + timedelta(days=LONGEST_DAYS - 1))
    sheet = sheet_of(session, replace(cover, last=last))
    return replace(sheet, missing=(*sheet.missing, *_too_long(cover)))


def _too_long(cover: Cover) -> tuple[str, ...]:
    if cover.days <= LONGEST_DAYS:
        return ()
    again = cover.first + timedelta(days=LONGEST_DAYS)
    return (
        _("One sheet holds {most} days: print another one on {day}.").format(most=LONGEST_DAYS, day=again),
    )
