"""`tendtui ahead`: what lies ahead, or what happens on some days away."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tendtui.errors import CallError, RefusedError
from tendtui.words import _

if TYPE_CHECKING:
    from datetime import date

__all__ = ["add", "run"]

_LONGEST_DAYS = 45
"""Farther ahead nothing is promised."""


def add(parser: argparse.ArgumentParser) -> None:
    """Name the days."""
    parser.add_argument(
        "--from", dest="first", metavar="DATE", help=_("the first day away; tomorrow without it")
    )
    parser.add_argument("--till", metavar="DATE", help=_("the last day away: thu, 3 Dec, 2026-12-03"))
    parser.epilog = _("Without days: how long it can be left as it stands, the change, the bottles.")


def run(args: argparse.Namespace) -> int:
    """Print it.

    Raises:
        CallError: If a day can't be read, is past, or lies too far ahead.
    """
    from tendtui.cli.opened import open_session
    from tendtui.session.ahead import absence_now, ahead_now

    session = open_session(args.state)
    if args.first is None and args.till is None:
        lines = ahead_now(session)
    else:
        first, last = _days(args.first, args.till, session.now().date())
        lines = absence_now(session, first=first, last=last)
    for line in lines:
        print("".join(c if c.isprintable() else "?" for c in line))
    return 0


def _days(first_typed: str | None, till_typed: str | None, today: date) -> tuple[date, date]:
    from datetime import timedelta

    if till_typed is None:
        raise CallError(_("--from needs --till too"), _("Write it like: --from fri --till thu"))
    first = today + timedelta(days=1) if first_typed is None else _day(first_typed, today)
    last = _day(till_typed, first if first_typed is not None else today)
    if first_typed is None and last == today:
        first = today
    if first < today:
        raise CallError(_("{day} is in the past").format(day=first), _("Name the first day away."))
    if last < first:
        raise CallError(
            _("{last} is before {first}").format(last=last, first=first), _("Name the last day away.")
        )
    if (last - today).days > _LONGEST_DAYS:
        raise CallError(
            _("more than {days} days ahead nothing can be promised").format(days=_LONGEST_DAYS),
            _("Name a nearer day."),
        )
    return first, last


def _day(typed: str, today: date) -> date:
    from tendtui.core.cover_date import read_day

    try:
        return read_day(typed, today=today)
    except RefusedError as error:
        raise CallError(error.what, error.do) from None
