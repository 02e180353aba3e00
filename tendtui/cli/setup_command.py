"""`tendtui setup`: describe the rack in the full screen, or take a finished rack.toml."""

from __future__ import annotations

import argparse

from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--from", dest="source", metavar="FILE", help="a rack.toml to install as it is")
    parser.epilog = _("Like: tendtui setup; or: tendtui setup --from rack.toml, checked, the old file kept.")


def run(args: argparse.Namespace) -> int:
    """Install a file, or open the set-up."""
    if args.source is not None:
        from tendtui.cli import setup_from

        return setup_from.run(args)
    from tendtui.cli.opening import run_screen

    return run_screen(args.state, start="setup")
