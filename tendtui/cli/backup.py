"""`tendtui backup FILE`: the whole state folder in one file."""

from __future__ import annotations

import argparse
from pathlib import Path

from tendtui.session.clock import clock_of_the_machine
from tendtui.store.archive import backup
from tendtui.store.folder import Folder, find_folder
from tendtui.words import _, n_

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("file", metavar="FILE", help="where to put it, rack-backup.tar.gz for example")
    parser.epilog = _("Like: tendtui backup rack.tar, onto another disk.")


def run(args: argparse.Namespace) -> int:
    """Make the backup and say where it is."""
    file = Path(args.file).expanduser()
    many = backup(Folder(find_folder(args.state)), file, now=clock_of_the_machine().now())
    print(n_("{n} file saved in {file}.", "{n} files saved in {file}.", many).format(n=many, file=file))
    return 0
