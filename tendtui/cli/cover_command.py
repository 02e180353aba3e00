"""`tendtui cover`: from when till when somebody else looks after the rack, and what to do before leaving."""

from __future__ import annotations

import argparse

from tendtui.cli.walk_face import add_face, walk_in_face
from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    add_face(parser)
    parser.epilog = _("Then print the stand-in's sheet: tendtui sheet. Back again: tendtui back.")


def run(args: argparse.Namespace) -> int:
    """Walk the preparation of an absence in the face that fits the terminal."""
    return walk_in_face(args, "cover")
