"""Walking something in the face that fits the terminal: the full screen, or line by line."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

__all__ = ["add_face", "is_drawable", "walk_in_face"]


def add_face(parser: argparse.ArgumentParser) -> None:
    """Name the options of every command that walks."""
    parser.add_argument("--plain", action="store_true", help="ask line by line: screen readers, poor links")
    parser.add_argument("--by", metavar="NAME", default="", help="who walks it")


def is_drawable() -> bool:
    """Say whether this terminal can show the full screen."""
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"


def walk_in_face(args: argparse.Namespace, kind: str) -> int:
    """Walk one walk, and what follows it, to its end.

    Args:
        args: What `add_face` and the state folder's option gave.
        kind: The walk's kind.
    """
    if args.plain or not is_drawable():
        from tendtui.cli.opened import open_session
        from tendtui.cli.round_plain import walk_named

        return walk_named(open_session(args.state, by=args.by), kind, by=args.by)
    from tendtui.cli.opening import run_screen

    return run_screen(args.state, start=kind, by=args.by)
