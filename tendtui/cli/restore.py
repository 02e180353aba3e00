"""`tendtui restore FILE`: bring a backup back; what stood there is kept."""

from __future__ import annotations

import argparse
from pathlib import Path

from tendtui.store.archive import restore
from tendtui.store.folder import Folder, find_folder
from tendtui.words import _

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("file", metavar="FILE", help="a file that tendtui backup made")
    parser.epilog = _("Like: tendtui restore rack.tar. What was there before is kept beside it.")


def run(args: argparse.Namespace) -> int:
    """Bring it back and say where the former files are."""
    folder = Folder(find_folder(args.state))
    kept = restore(folder, Path(args.file).expanduser())
    print(_("{folder} is as the backup holds it.").format(folder=folder.path))
    if kept is not None:
        print(_("What stood there is kept in {place}.").format(place=kept))
    return 0
