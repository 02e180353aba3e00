"""`tendtui learned`: what this tank has taught, in plain words; rebuilt, held or forgotten by hand."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tendtui.errors import CallError
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.session.session import Session

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument(
        "--rebuild", action="store_true", help=_("learn everything anew from the log, and keep it")
    )
    parser.add_argument(
        "--hold", metavar="NAME", help=_("keep a figure as it is: feed, pipes, response.BOTTLE")
    )
    parser.add_argument("--free", metavar="NAME", help=_("let a held figure learn again"))
    parser.add_argument("--forget", metavar="NAME", help=_("learn a figure anew from now on"))
    parser.add_argument("--by", metavar="NAME", default="", help=_("who says so, for the diary"))
    parser.epilog = _("Like: tendtui learned; a new bottle: tendtui learned --forget feed")


def run(args: argparse.Namespace) -> int:
    """Print what was learned, after doing what was asked.

    Raises:
        CallError: If there is no such figure.
    """
    from tendtui.cli.opened import open_session
    from tendtui.core.ahead_words import held_lines
    from tendtui.core.learned import lessons
    from tendtui.session.learning import learning_now

    session = open_session(args.state, by=args.by)
    if any((args.rebuild, args.hold, args.free, args.forget)):
        _change(session, args)
        session = open_session(args.state)
    learning = learning_now(session.rack, session.events, session.state)
    told = lessons(session.rack, learning)
    nothing = _("Nothing yet: a few pourings with readings before and after teach it.")
    for line in (*(told or (nothing,)), *held_lines(learning)):
        print(line)
    return 0


def _change(session: Session, args: argparse.Namespace) -> None:
    from tendtui.core.figure import FORGOTTEN, FREED, HELD, figures_of
    from tendtui.session.by_hand import do_by_hand
    from tendtui.session.learning import keep_learned

    names = figures_of(session.rack)
    acts = [(act, n) for act, n in ((HELD, args.hold), (FREED, args.free), (FORGOTTEN, args.forget)) if n]
    for _act, name in acts:
        if name not in names:
            raise CallError(
                _("there is no figure {name!r}").format(name=name),
                _("There are: {names}.").format(names=", ".join(names)),
            )
    if args.rebuild:
        keep_learned(session)
    for act, name in acts:
        do_by_hand(session, act, name)
