"""`tendtui manpage`: the manual page, made from the parsers."""

from __future__ import annotations

import argparse

from tendtui import __version__
from tendtui.cli.call_shape import CommandShape, OptionShape, WordShape, shapes
from tendtui.words import _

__all__ = ["add", "manpage", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Say how it is read."""
    parser.epilog = _("Read it: tendtui manpage | man -l -   Keep it: in a folder man1 on your MANPATH.")


def run(args: argparse.Namespace) -> int:
    """Print it."""
    del args
    print(manpage(), end="")
    return 0


def manpage() -> str:
    """Give the page in the language of man pages."""
    from tendtui.cli.main import EXAMPLES

    parts = [
        f'.TH TENDTUI 1 "" "tendtui {__version__}" "{_escaped(_("User commands"))}"',
        ".SH " + _heading(_("Name")),
        "tendtui \\- "
        + _escaped(_("tend a small hydroponic rack: a daily round, the dose to pour, the slow tasks")),
        ".SH " + _heading(_("Synopsis")),
        ".B tendtui\n[\\fB\\-\\-state\\fR \\fIDIR\\fR] [\\fICOMMAND\\fR ...]",
        ".SH " + _heading(_("Description")),
        _escaped(_("Without a command it opens on today's page; on first use, on the set-up.")),
        ".SH " + _heading(_("Commands")),
        *(_command(command) for command in shapes()),
        ".SH " + _heading(_("Files")),
        *(_entry(name, told) for name, told in _files()),
        ".SH " + _heading(_("Environment")),
        *(_entry(name, told) for name, told in _environment()),
        ".SH " + _heading(_("Exit status")),
        *(_entry(name, told) for name, told in _statuses()),
        ".SH " + _heading(_("Examples")),
        ".nf\n" + _escaped(_(EXAMPLES)) + "\n.fi",
    ]
    return "\n".join(parts) + "\n"


def _command(command: CommandShape) -> str:
    words = " ".join(_word(word) for word in command.words)
    head = f".SS {_escaped(command.name)}{' ' + words if words else ''}\n{_escaped(command.line)}."
    parts = [head, *(_option(option) for option in command.options if "--help" not in option.names)]
    parts += [_entry(word.value, word.help) for word in command.words if word.help]
    if command.epilog:
        parts.append(".PP\n" + _escaped(command.epilog))
    return "\n".join(parts)


def _word(word: WordShape) -> str:
    shown = _escaped("|".join(word.choices) or word.value) + ("..." if word.many else "")
    return f"[{shown}]" if word.optional else shown


def _option(option: OptionShape) -> str:
    names = ", ".join(f"\\fB{_escaped(name)}\\fR" for name in option.names)
    value = f" \\fI{_escaped(option.value)}\\fR" if option.value else ""
    return f".TP\n{names}{value}\n{_escaped(option.help)}"


def _entry(name: str, told: str) -> str:
    return f".TP\n\\fB{_escaped(name)}\\fR\n{_escaped(told)}"


def _files() -> tuple[tuple[str, str], ...]:
    return (
        ("rack.toml", _("what the rack is; meant for hand editing")),
        ("state.toml", _("the walks under way, when each task was last done, what was learned")),
        ("log/YYYY-MM.toml", _("what happened, one table for each event, in time order")),
    )


def _environment() -> tuple[tuple[str, str], ...]:
    return (
        ("TENDTUI_STATE", _("the state folder, where --state doesn't name one")),
        ("TENDTUI_NOW", _("a time that replaces the clock, to catch up a paper log")),
        ("TENDTUI_DEBUG", _("show the whole story of a fault of the program")),
        (
            "LANGUAGE, LC_ALL, LC_MESSAGES, LANG",
            _("the language of the sentences, where there is a translation"),
        ),
        ("NO_COLOR, TERM", _("as everywhere: no colour; dumb asks line by line")),
    )


def _statuses() -> tuple[tuple[str, str], ...]:
    return (
        ("0", _("done; for status: nothing needs doing")),
        ("1", _("status, check: something does")),
        ("2", _("the words of the call are wrong")),
        ("3", _("the state folder or a file in it can't be read or written, or there is no rack yet")),
        ("4", _("another tendtui holds the folder")),
    )


def _heading(text: str) -> str:
    return f'"{_escaped(text.upper())}"'


def _escaped(text: str) -> str:
    """Keep text from being taken for an order: signs, and a point or quote at a line's start."""
    escaped = text.replace("\\", "\\e").replace("-", "\\-").replace('"', "\\(dq").replace("'", "\\(aq")
    return "\n".join(f"\\&{line}" if line.startswith(".") else line for line in escaped.split("\n"))
