"""`tendtui calendar`: the due tasks as iCalendar."""

from __future__ import annotations

import argparse
import sys

from tendtui.cli.opened import open_session
from tendtui.core.calendar_text import calendar_entries, calendar_text, few_entries
from tendtui.session.knowledge import slow_list_of
from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--no-daily", action="store_true", help=_("leave the daily tasks out"))
    parser.add_argument(
        "--few",
        action="store_true",
        help=_("one entry for the round, each group of checks, and what stands alone"),
    )
    parser.add_argument(
        "--todo", action="store_true", help=_("to-dos instead of all-day entries; fewer calendars take them")
    )
    parser.epilog = _("Save it and open it with your calendar: tendtui calendar --few > rack.ics")


def run(args: argparse.Namespace) -> int:
    """Print the calendar, with the line ends that the standard asks for."""
    session = open_session(args.state)
    rack, now = session.rack, session.now()
    dues = slow_list_of(session).dues
    if args.few:
        entries = few_entries(dues, rack=rack, now=now)
    else:
        entries = calendar_entries(dues, rack=rack, now=now, daily=not args.no_daily)
    text = calendar_text(entries, name=rack.name, now=now, todo=args.todo)
    sys.stdout.flush()
    out = getattr(sys.stdout, "buffer", None)
    if out is None:  # somebody put a plain text stream in its place
        sys.stdout.write(text)
    else:
        out.write(text.encode())
        out.flush()
    return 0
