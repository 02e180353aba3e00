"""`tendtui back`: after some days away, the paper sheet typed in with its own times, then the round."""

from __future__ import annotations

import argparse

from tendtui.cli.walk_face import add_face, walk_in_face
from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    add_face(parser)
    parser.epilog = _(
        "One line a day, as the sheet has it: 18:10 5 38 21 1.4 6.1; Enter alone for an empty one."
    )


def run(args: argparse.Namespace) -> int:
    """Walk the way back in the face that fits the terminal."""
    return walk_in_face(args, "return")
