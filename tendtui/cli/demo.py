"""`tendtui demo`: a walk about on a rack that isn't real."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.words import _

if TYPE_CHECKING:
    import argparse

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Describe the call."""
    parser.epilog = _("Nothing you do in the demo is kept.")


def run(args: argparse.Namespace) -> int:
    """Open the screens on a copy that is thrown away afterwards; `--state` says where to keep it."""
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from tendtui.cli import opening
    from tendtui.session.clock import clock_of_the_machine
    from tendtui.session.demo import copy_demo

    now = clock_of_the_machine().now()
    if args.state is not None:
        return opening.run(str(copy_demo(Path(args.state), now)))
    with TemporaryDirectory(prefix="tendtui-demo-") as folder:
        return opening.run(str(copy_demo(Path(folder), now)))
