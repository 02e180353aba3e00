"""`tendtui learned`: what this tank has taught, in plain words; rebuilt, held or forgotten by hand."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tendtui.errors import CallError
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.state import State
    from tendtui.session.session import Session

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument(
        "--rebuild", action="store_true", help="learn everything anew from the log, and keep it"
    )
    parser.add_argument("--hold", metavar="NAME", help="keep a figure as it is: feed, pipes, response.BOTTLE")
    parser.add_argument("--free", metavar="NAME", help="let a held figure learn again")
    parser.add_argument("--forget", metavar="NAME", help="learn a figure anew from now on")


def run(args: argparse.Namespace) -> int:
    """Print what was learned, after doing what was asked.

    Raises:
        CallError: If there is no such figure.
    """
    from tendtui.cli.opened import open_session
    from tendtui.core.learned import lessons
    from tendtui.session.learning import learning_now

    session = open_session(args.state)
    if any((args.rebuild, args.hold, args.free, args.forget)):
        _change(session, args)
        session = open_session(args.state)
    told = lessons(session.rack, learning_now(session.rack, session.events, session.state))
    for line in told or (_("Nothing yet: a few pourings with readings before and after teach it."),):
        print(line)
    return 0


def _change(session: Session, args: argparse.Namespace) -> None:
    from tendtui.session.learning import frozen_by_hand, keep_learned, reset_by_hand

    for name in (args.hold, args.free, args.forget):
        if name is not None and name not in _names(session):
            raise CallError(
                _("there is no figure {name!r}").format(name=name),
                _("There are: {names}.").format(names=", ".join(_names(session))),
            )
    now = session.now()

    def change(state: State) -> State:
        if args.hold:
            state = frozen_by_hand(state, args.hold, hold=True)
        if args.free:
            state = frozen_by_hand(state, args.free, hold=False)
        return reset_by_hand(state, args.forget, now) if args.forget else state

    keep_learned(session, change)


def _names(session: Session) -> tuple[str, ...]:
    bottles = (f"response.{adjuster.name}" for adjuster in session.rack.adjusters)
    return ("feed", "pipes", *bottles)
