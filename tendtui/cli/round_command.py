"""`tendtui round`: the daily round, in the full screen or line by line."""

from __future__ import annotations

import argparse

from tendtui.cli.walk_face import add_face, is_drawable
from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    add_face(parser)
    parser.add_argument(
        "--practice", action="store_true", help="on a copy, with two planted faults; nothing is logged"
    )
    parser.epilog = _(
        "First: tendtui round --practice. One that was left goes on where it stood, in either face: "
        "tendtui round --plain --by Zoe"
    )


def run(args: argparse.Namespace) -> int:
    """Walk the round in the face that fits the terminal."""
    if args.plain or not is_drawable():
        from tendtui.cli import round_plain

        return _practise(args) if args.practice else round_plain.run(args)
    from tendtui.cli.opening import run_screen

    return run_screen(args.state, start="practice" if args.practice else "round", by=args.by)


def _practise(args: argparse.Namespace) -> int:
    from tendtui.cli.opened import open_session
    from tendtui.cli.round_plain import walk_plain

    session = open_session(args.state, by=args.by)
    return walk_plain(session, session.start("practice", by=args.by))
