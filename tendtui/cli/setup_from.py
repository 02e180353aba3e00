"""`tendtui setup --from FILE`: check a rack.toml and install it byte for byte."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tendtui.core.finding import Finding
from tendtui.errors import CallError, StateError
from tendtui.store.atomic import read_file
from tendtui.store.folder import Folder, find_folder
from tendtui.store.rack_file import install_rack, parse_rack
from tendtui.words import _, n_

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument(
        "--from", dest="source", metavar="FILE", required=True, help="the rack.toml to install"
    )


def run(args: argparse.Namespace) -> int:
    """Check and install the file; what is odd but possible is told and doesn't stop it."""
    source = Path(args.source).expanduser()
    data = read_file(source)
    if data is None:
        raise CallError(_("there is no file {file}").format(file=source), _("Name the rack.toml to install."))
    rack, findings = parse_rack(data, file=source)
    if rack is None:
        raise _fault([finding for finding in findings if finding.severity == "error"])
    folder = Folder(find_folder(args.state))
    kept = install_rack(folder, data)
    for finding in findings:
        print(f"tendtui: {finding}", file=sys.stderr)
    print(_("{name} is set up in {folder}.").format(name=rack.name, folder=folder.path))
    if kept is not None:
        print(_("The former rack.toml is kept as {file}.").format(file=kept))
    return 0


def _fault(errors: list[Finding]) -> StateError:
    first, *others = errors
    lines = sorted({str(finding.line) for finding in others if finding.line is not None}, key=int)
    told = n_("Look at line {lines} too.", "Look at lines {lines} too.", len(lines))
    more = "" if not lines else " " + told.format(lines=", ".join(lines))
    return StateError(first.what, first.do + more, file=first.file, line=first.line)
