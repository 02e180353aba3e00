"""What can be written after `tendtui`, read off the parsers: completion and the man page come from it."""

from __future__ import annotations

from tendtui.value import value_class

__all__ = ["CommandShape", "OptionShape", "WordShape", "shapes"]


@value_class
class OptionShape:
    """An option of a command."""

    names: tuple[str, ...]
    """`--state`, or `-h` and `--help`."""
    value: str
    """What stands after it (`DIR`, `FILE`, `NAME`); empty: nothing."""
    help: str
    choices: tuple[str, ...] = ()


@value_class
class WordShape:
    """A word of a command that is no option."""

    value: str
    help: str
    many: bool
    optional: bool
    choices: tuple[str, ...] = ()


@value_class
class CommandShape:
    """One command."""

    name: str
    line: str
    """What it does, in a line."""
    options: tuple[OptionShape, ...]
    words: tuple[WordShape, ...]
    epilog: str


def shapes() -> tuple[CommandShape, ...]:
    """Give every command, in the order of the help."""
    from tendtui.cli.main import COMMANDS

    return tuple(_shape(name) for name in COMMANDS)


def _shape(name: str) -> CommandShape:
    from tendtui.cli.main import parser_of

    parser = parser_of(name)
    options: list[OptionShape] = []
    words: list[WordShape] = []
    # the library offers no public list of what a parser takes
    for action in parser._actions:
        choices = tuple(str(choice) for choice in action.choices or ())
        value = action.metavar if isinstance(action.metavar, str) else (action.dest or "").upper()
        if action.option_strings:
            takes = action.nargs != 0
            options.append(
                OptionShape(
                    names=tuple(action.option_strings),
                    value=value if takes else "",
                    help=_plain(action.help),
                    choices=choices if takes else (),
                )
            )
        else:
            words.append(
                WordShape(
                    value=value,
                    help=_plain(action.help),
                    many=action.nargs in ("*", "+"),
                    optional=action.nargs in ("*", "?"),
                    choices=choices,
                )
            )
    return CommandShape(
        name=name,
        line=parser.description or "",
        options=tuple(options),
        words=tuple(words),
        epilog=parser.epilog or "",
    )


def _plain(text: str | None) -> str:
    """Undo the doubling of percent signs that the library's help asks for."""
    return (text or "").replace("%%", "%")
