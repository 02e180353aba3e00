"""`tendtui drill`: what to do in an emergency, line by line, with this rack's own litres and numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.errors import CallError
from tendtui.words import _

if TYPE_CHECKING:
    import argparse

    from tendtui.core.drill import Drill

__all__ = ["add", "run", "told_of"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the words of the call."""
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help="a digit of the list, or a word: power, floor, pump, eye"
    )
    parser.epilog = _("Like: tendtui drill floor")


def run(args: argparse.Namespace) -> int:
    """Print the list of drills, or one of them."""
    from tendtui.cli.opened import open_session
    from tendtui.cli.plain_page import say
    from tendtui.session.pages import drills_of

    say(told_of(" ".join(args.names), drills_of(open_session(args.state)), call="tendtui drill"))
    return 0


def told_of(word: str, found: tuple[Drill, ...], *, call: str) -> tuple[str, ...]:
    """Give the list of drills, or the one that a word names.

    Args:
        word: As typed; empty: the list.
        found: All drills.
        call: What opens one, to be typed before its digit.

    Raises:
        CallError: If no drill goes by this word.
    """
    from tendtui.core.drill import drill_list, drill_named

    if not word.strip():
        return (_("In an emergency:"), *drill_list(found), _("One of them: {call} 2").format(call=call))
    drill = drill_named(word, found)
    if drill is None:
        names = ", ".join(f"{drill.key} {drill.name}" for drill in found)
        raise CallError(
            _("there is no drill called {word!r}").format(word=word),
            _("There are: {names}.").format(names=names),
        )
    return drill.name.upper(), *drill.lines
