"""`tendtui check`: read every file, name each fault with its line and what to do."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

from tendtui.session.clock import clock_of_the_machine
from tendtui.session.language import missing_language
from tendtui.store.check import check_folder
from tendtui.store.folder import Folder, find_folder
from tendtui.words import _, n_

if TYPE_CHECKING:
    from datetime import datetime

    from tendtui.core.finding import Finding

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument(
        "--mend", action="store_true", help="show what can be repaired, and ask before doing it"
    )
    parser.add_argument("--yes", action="store_true", help="with --mend: do it without asking")
    parser.epilog = _("Like: tendtui check; what it offers to repair: tendtui check --mend")


def run(args: argparse.Namespace) -> int:
    """Print the findings; 1 where something needs doing."""
    now = clock_of_the_machine().now()
    folder = Folder(find_folder(args.state))
    if args.mend:
        _mend(folder, ask=not args.yes)
    findings = check_folder(folder, now=now)
    if args.json:
        _print_json(findings, now)
    else:
        _print(folder, findings)
    return int(any(finding.severity != "advice" for finding in findings))


def _mend(folder: Folder, *, ask: bool) -> None:
    """Show what can be repaired and, if the person agrees, do it; originals are kept."""
    from tendtui.store.mend import mend, repairs_for

    repairs = repairs_for(folder)
    if not repairs:
        print(_("There is nothing that can be mended here."), file=sys.stderr)
        return
    for repair in repairs:
        print(f"{repair.path}: {repair.what}.", file=sys.stderr)
    if ask and not _agrees():
        print(_("Nothing was changed."), file=sys.stderr)
        return
    for kept in mend(folder, repairs):
        print(_("The original is kept as {file}.").format(file=kept), file=sys.stderr)


def _agrees() -> bool:
    if not sys.stdin.isatty():
        print(_("Nobody is there to ask; tendtui check --mend --yes does it."), file=sys.stderr)
        return False
    print(_("Do this? Originals are kept. Type yes: "), end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().casefold() in (_("yes"), _("y"))


def _print_json(findings: Iterable[Finding], now: datetime) -> None:
    import json

    rows = [
        {
            "file": finding.file,
            "line": finding.line,
            "key": finding.key,
            "what": finding.what,
            "do": finding.do,
            "severity": finding.severity,
        }
        for finding in findings
    ]
    print(json.dumps({"schema": 1, "at": now.isoformat(), "findings": rows}, ensure_ascii=False, indent=1))


def _print(folder: Folder, findings: tuple[Finding, ...]) -> None:
    words = {"error": _("wrong"), "warning": _("look"), "advice": _("good to know")}
    for finding in findings:
        place = finding.file if finding.line is None else f"{finding.file}:{finding.line}"
        line = f"{place}: {words[finding.severity]}: {finding.what}. {finding.do}".rstrip()
        print("".join(c if c.isprintable() else "?" for c in line))
    wrong = sum(finding.severity != "advice" for finding in findings)
    if wrong:
        told = n_("{n} thing needs doing in {folder}.", "{n} things need doing in {folder}.", wrong)
    else:
        told = _("Every file in {folder} is in order.")
    print(told.format(n=wrong, folder=folder.path))
    language = missing_language()
    if language:
        print(language)
