"""The help page, made from the list of commands."""

from __future__ import annotations

from tendtui.tui.commands import HELP, groups
from tendtui.tui.line import Line, Look, pad, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _

__all__ = ["HelpPage", "help_lines"]

_KEYS = 20


class HelpPage(TextPage[None]):
    """What every key does, what the signs mean."""

    OFFERS = HELP
    FIELD = 1

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("HELP"), _("what every key does")

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give signs and keys."""
        return help_lines(width)


def help_lines(width: int) -> tuple[Line, ...]:
    """Give the text of the help page."""
    signs = (
        ("[x]", _("done")), ("[>]", _("you are here")), ("[ ]", _("not done yet")),
        ("[-]", _("not done, with a reason")), ("[!]", _("look again")),
    )  # fmt: skip
    lines: list[Line] = [span(" " + _("Signs"), Look.BOLD)]
    lines += [
        ((f"  {sign:<6}", Look.LOOK if sign == "[!]" else Look.PLAIN), (words, Look.PLAIN))
        for sign, words in signs
    ]
    for title, commands in groups():
        lines += [(), span(" " + title, Look.BOLD)]
        for command in (command for command in commands if command.told()):
            keys = command.all_keys() or command.hint
            told = wrap(command.told(), width - _KEYS - 3)
            lines.append((("  " + pad(keys, _KEYS), Look.BOLD), (told[0], Look.PLAIN)))
            lines += [span(" " * (_KEYS + 2) + line) for line in told[1:]]
    lines.append(())
    for text in (
        _("A letter is a command only while the field is empty; after a digit it is the unit: 840ppm500."),
        _("Where words are typed, letters are words: use the F keys there."),
        _("Nothing counts without Enter, and what is shown as taken is on disk."),
    ):
        lines += [span(line) for line in wrap(text, width - 1, first=" ")]
    return tuple(lines)
