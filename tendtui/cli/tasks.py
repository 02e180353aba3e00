"""`tendtui tasks`: the checklists, when each item is next due, and what was just done."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tendtui.errors import CallError
from tendtui.words import _, n_

if TYPE_CHECKING:
    from datetime import datetime

    from tendtui.core.slow_list import SlowList
    from tendtui.session.session import Session

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--json", action="store_true", help="print it for a script")
    parser.add_argument("--done", nargs="+", metavar="ID", default=[], help="log these as done, now")
    parser.add_argument(
        "--silence", metavar="ID", default="", help="take one off what is due; wants --reason"
    )
    parser.add_argument(
        "--reason", metavar="TEXT", default="", help="why it is silenced; it stays on the list"
    )
    parser.add_argument("--restore", metavar="ID", default="", help="let a silenced one speak again")
    parser.add_argument("--by", metavar="NAME", default="", help="who did it")
    parser.epilog = _(
        'Like: tendtui tasks --done calibrate-ph. Or: tendtui tasks --silence sow-next --reason "no seed"'
    )


def run(args: argparse.Namespace) -> int:
    """Print the lists, after logging what was done."""
    from tendtui.cli.opened import open_session
    from tendtui.session.knowledge import slow_list_of

    session = open_session(args.state, by=args.by)
    if args.reason and not args.silence:
        raise CallError(_("--reason goes with --silence ID"), _("Say which task."))
    if args.silence or args.restore:
        _silence_or_restore(session, args)
        if not args.json and not args.done:
            return 0
    if args.done:
        _log_done(session, args.done)
        if not args.json:
            print(
                n_("{n} task logged as done.", "{n} tasks logged as done.", len(set(args.done))).format(
                    n=len(set(args.done))
                )
            )
            return 0
    slow, now = slow_list_of(session), session.now()
    if args.json:
        import json

        from tendtui.core.task_rows import tasks_json

        print(json.dumps(tasks_json(slow.dues, now), ensure_ascii=False, indent=1))
    else:
        _print_lists(slow, now)
    return 0


def _silence_or_restore(session: Session, args: argparse.Namespace) -> None:
    from tendtui.session.tasks_silenced import restore_task, silence_task

    if args.silence:
        task = silence_task(session, args.silence, args.reason)
        said = _("Silenced: {what}. It stays on the list with its reason.")
        _tell(args, said.format(what=task.what))
    if args.restore:
        task = restore_task(session, args.restore)
        _tell(args, _("Speaks again: {what}.").format(what=task.what))


def _tell(args: argparse.Namespace, said: str) -> None:
    if not args.json:
        print(said)


def _log_done(session: Session, ids: list[str]) -> None:
    from tendtui.session.tasks_done import log_done

    log_done(session, ids)


def _print_lists(slow: SlowList, now: datetime) -> None:
    from tendtui.core.task_rows import by_list, list_name, row_words

    for finding in slow.open:
        print(_("[!] open: {what} ({id})").format(what=finding.said, id=finding.id))
    for kind, dues in by_list(slow.dues):
        print()
        print(list_name(kind))
        for due in dues:
            what, when = row_words(due, now)
            print(f"  {what}")
            print(f"      {due.task.id}: {when}")
    for fault in slow.findings:
        print(f"[!] {fault}")
