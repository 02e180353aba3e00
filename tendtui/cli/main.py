"""`tendtui`: finds the command, runs it, and turns every error into one line and an exit status."""

from __future__ import annotations

import gc
import importlib
import io
import os
import sys

from tendtui import __version__
from tendtui.cli.quick import QuickWords
from tendtui.errors import CallError, TendError
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from typing import Protocol

    from tendtui.cli.parser import Parser
else:
    Protocol = object

__all__ = ["COMMANDS", "main", "parser_of"]

COMMANDS: dict[str, tuple[str, str]] = {
    "round": ("round_command", "the daily round (--plain: line by line)"),
    "setup": ("setup_command", "describe the rack, or --from FILE"),
    "record": ("record", "log readings or pourings without a screen"),
    "dose": ("dose", "what to pour, and why"),
    "drill": ("drill", "in an emergency: power cut, water on the floor, splash in the eye"),
    "status": ("status", "what is due, what is wrong, last readings"),
    "learned": ("learned", "what this tank has taught the program"),
    "tasks": ("tasks", "the checklists and when each item is next due"),
    "cover": ("cover_command", "before some days away: who stands in, what to do first"),
    "sheet": ("sheet", "the stand-in's sheet"),
    "back": ("back_command", "after some days away: the paper sheet typed in, then the round"),
    "calendar": ("calendar", "the due tasks as iCalendar"),
    "ahead": ("ahead", "what happens while nobody is there, and what to do before"),
    "chart": ("chart", "the course of everything as a picture for the wall"),
    "export": ("export", "the log as CSV or JSON lines"),
    "import": ("import_csv", "earlier readings from a CSV table"),
    "backup": ("backup", "one file holding the whole state folder"),
    "restore": ("restore", "bring a backup back"),
    "check": ("check", "read every file and name each fault"),
    "demo": ("demo", "try it on a copy of the demo rack"),
    "completion": ("completion", "words for the Tab key of bash, zsh and fish"),
    "manpage": ("manpage", "the manual page"),
}
"""Command -> its module in `tendtui.cli`, imported only when it is called, and one line of help."""

EXAMPLES = """\
A first day:
  tendtui                                  set up your rack, then today's page
  tendtui demo                             look around on a rack that isn't real
  tendtui round                            the daily round
  tendtui round --plain                    the same, line by line

Without a screen:
  tendtui record level=44 conductivity=1.2 ph=6.3
  tendtui dose
  tendtui record "poured.Feed A=32.5" added_water=10
  tendtui status

Every command explains itself: tendtui COMMAND --help
The state folder: --state DIR, or TENDTUI_STATE, or your own data folder."""


class _Module(Protocol):
    def add(self, parser: argparse.ArgumentParser) -> None: ...

    def run(self, args: argparse.Namespace) -> int: ...


def parser_of(name: str) -> Parser:
    """Build the parser of one command."""
    from tendtui.cli.parser import Parser

    parser = Parser(prog=f"tendtui {name}", description=_(COMMANDS[name][1]), allow_abbrev=False)
    parser.add_argument("--state", metavar="DIR", help="the state folder")
    _module_of(name).add(parser)
    for action in parser._actions:  # the library offers no public list of what a parser takes
        action.help = _(action.help) if action.help else action.help
    return parser


def main(argv: list[str] | None = None) -> int:
    """Run the program.

    Args:
        argv: The words of the call after the program's name; None takes the process's own.

    Returns:
        The exit status of the contract.
    """
    if argv is not None:
        return _told(argv)
    gc.disable()  # a short command leaves no rubbish worth a tenth of its time; the screens turn it on
    status = _told(sys.argv[1:])
    gc.freeze()  # nor is any sought at the end
    if "textual" not in sys.modules:
        _end_at_once(status)
    return status


def _told(words: list[str]) -> int:
    _choose_language()
    _print_what_the_terminal_knows()
    try:
        return _printed(words)
    except TendError as error:
        return _say(str(error), error.exit_code)
    except BrokenPipeError:  # the reader of our output went away
        _print_no_more()
        return 0
    except KeyboardInterrupt:
        return _say(_("Stopped. What was confirmed is saved."), 130)
    except Exception as error:
        if (
            isinstance(error, OSError) and error.filename is None
        ):  # files of the rack are named in a TendError
            _print_no_more()
            what = _("what is printed can't be written ({why}). Make room, or print it somewhere else.")
            return _say(what.format(why=error.strerror or type(error).__name__), 3)
        if os.environ.get("TENDTUI_DEBUG"):
            raise
        return _say(
            _(
                "a fault of the program ({kind}: {error}). Nothing confirmed is lost. Run it with "
                "TENDTUI_DEBUG=1 and report what it prints."
            ).format(kind=type(error).__name__, error=error),
            1,
        )


def _print_what_the_terminal_knows() -> None:
    """Put a `?` for a sign that an older encoding lacks, rather than stop at it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.encoding.lower() not in ("utf-8", "utf8"):
            stream.reconfigure(errors="replace")


def _printed(words: list[str]) -> int:
    """Run the command, and let all that it printed go out now, where a fault can still be told."""
    try:
        return _run(words)
    finally:
        if sys.stdout is not None:  # it is None where the caller closed it
            sys.stdout.flush()


def _print_no_more() -> None:
    """Point stdout at nothing, so that what is left in it makes no fault at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _end_at_once(status: int) -> None:
    """End without taking the program apart, which is a fortieth of a short command; all is written by now."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()
    os._exit(status)


def _choose_language() -> None:
    """Install a translation where one is asked for; English costs nothing."""
    named = (os.environ.get(name, "") for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"))
    if any(not name.startswith(("en", "C", "POSIX")) for name in named if name):
        from tendtui.session.language import choose_language

        choose_language()


def _run(words: list[str]) -> int:
    state, name, rest = _split(words)
    if name is None:
        from tendtui.cli import opening

        return opening.run(state)
    if name == "help":  # what many type first
        if rest and rest[0] in COMMANDS:
            parser_of(rest[0]).print_help()
        else:
            _help()
        return 0
    if name not in COMMANDS:
        raise CallError(_("there is no command {name!r}").format(name=name), _nearest(name))
    args = _read(name, rest)
    if args.state is None:
        args.state = state
    return _module_of(name).run(args)


def _module_of(name: str) -> _Module:
    module: _Module = importlib.import_module(f"tendtui.cli.{COMMANDS[name][0]}")
    return module


def _read(name: str, words: list[str]) -> argparse.Namespace:
    """Read the words of a command."""
    quick = QuickWords()
    quick.add_argument("--state")
    add = _module_of(name).add
    try:
        add(quick)  # type: ignore[arg-type]  # it takes what parsers take, or refuses
        args: argparse.Namespace | None = quick.read(words)  # type: ignore[assignment]  # the same attributes
    except AttributeError:  # it asks for more than the quick reader has
        args = None
    return parser_of(name).read(words) if args is None else args


def _split(words: list[str]) -> tuple[str | None, str | None, list[str]]:
    """Find `--state DIR` before the command's name, and the name."""
    state: str | None = None
    rest = list(words)
    while rest and rest[0].startswith("-"):
        word = rest.pop(0)
        if word in ("-h", "--help"):
            _help()
            raise SystemExit(0)
        if word == "--version":
            print(f"tendtui {__version__}")
            raise SystemExit(0)
        if word == "--state" and rest:
            state = rest.pop(0)
        elif word.startswith("--state="):
            state = word.partition("=")[2]
        elif word == "--state":
            raise CallError(_("--state wants a folder"), _("Write it like: --state ~/rack"))
        else:
            raise CallError(_("there is no option {word}").format(word=word), _("See: tendtui --help"))
    if not rest:
        return state, None, []
    return state, rest[0], rest[1:]


def _nearest(name: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, COMMANDS, n=1)
    if near:
        return _("Did you mean: tendtui {near}?").format(near=near[0])
    return _("See: tendtui --help")


def _help() -> None:
    print(_("tendtui tends a small hydroponic rack: a daily round, the dose to pour, the slow tasks."))
    print()
    for name, (_module, line) in COMMANDS.items():
        print(f"  {name:<10} {_(line)}")
    print()
    print(_(EXAMPLES))


def _say(text: str, status: int) -> int:
    print(f"tendtui: {text}".replace("\n", " "), file=sys.stderr)
    return status
