"""`tendtui demo`: a walk about on a rack that isn't real."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.words import _

if TYPE_CHECKING:
    import argparse
    from pathlib import Path

__all__ = ["add", "named_as_demo", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Describe the call."""
    parser.epilog = _("Nothing you do in the demo is kept.")


def named_as_demo(folder: Path) -> Path:
    """Let every page say by the rack's name that this is a copy to be thrown away."""
    from tendtui.store.folder import Folder
    from tendtui.store.rack_file import edit_rack, read_rack

    state = Folder(folder)
    edit_rack(state, {"name": _("DEMO: {rack}").format(rack=read_rack(state).name)})
    return folder


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
        return opening.run(str(named_as_demo(copy_demo(Path(folder), now))))
