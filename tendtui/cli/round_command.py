"""`tendtui round`: the daily round, in the full screen or line by line."""

from __future__ import annotations

import argparse
import os
import sys

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--plain", action="store_true", help="ask line by line: screen readers, poor links")
    parser.add_argument("--by", metavar="NAME", default="", help="who walks it")
    parser.add_argument(
        "--practice", action="store_true", help="on a copy, with two planted faults; nothing is logged"
    )


def run(args: argparse.Namespace) -> int:
    """Walk the round in the face that fits the terminal."""
    drawable = sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"
    if args.plain or not drawable:
        from tendtui.cli import round_plain

        return _practise(args) if args.practice else round_plain.run(args)
    from tendtui.cli.opening import run_screen

    return run_screen(args.state, start="practice" if args.practice else "round", by=args.by)


def _practise(args: argparse.Namespace) -> int:
    from tendtui.cli.opened import open_session
    from tendtui.cli.round_plain import walk_plain

    session = open_session(args.state, by=args.by)
    return walk_plain(session, session.start("practice", by=args.by))
