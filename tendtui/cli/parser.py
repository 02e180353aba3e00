"""The full reader of a command's words: help, and everything unusual."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import NoReturn

from tendtui.errors import CallError
from tendtui.words import _

__all__ = ["Parser", "whole_number"]

# The library looks its own words up under this name when it prints them. So they stand in our catalogue
# (`_library_words` names them); a library that does so no longer speaks English, and nothing else changes.
argparse._ = _  # type: ignore[attr-defined]


class Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line and leaves the exit to us."""

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing the usage.

        Raises:
            CallError: Always.
        """
        raise CallError(message, _("See: {prog} --help").format(prog=self.prog))

    def read(self, words: list[str]) -> argparse.Namespace:
        """Read the words of the call.

        Raises:
            CallError: If there is a fault in them; the nearest right option is named.
        """
        args, rest = self.parse_known_args(words)
        if rest:
            raise CallError(
                _("unrecognized arguments: %s") % " ".join(rest),
                self._nearest(rest) or _("See: {prog} --help").format(prog=self.prog),
            )
        return args

    def _nearest(self, words: Iterable[str]) -> str:
        from difflib import get_close_matches

        known = [name for action in self._actions for name in action.option_strings]
        for word in words:
            near = get_close_matches(word.partition("=")[0], known, n=1)
            if word.startswith("-") and near:
                return _("Did you mean: {prog} {near}?").format(prog=self.prog, near=near[0])
        return ""


def whole_number(text: str) -> int:
    """Read a whole number.

    Raises:
        argparse.ArgumentTypeError: If it is none.
    """
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(_("{text!r} is no whole number").format(text=text)) from None


def _library_words() -> tuple[str, ...]:
    """Give what the library says itself, so that it is found and translated with the rest."""
    return (
        _("usage: "),
        _("positional arguments"),
        _("options"),
        _("show this help message and exit"),
        _("argument %(argument_name)s: %(message)s"),
        _("not allowed with argument %s"),
        _("ignored explicit argument %r"),
        _("the following arguments are required: %s"),
        _("expected one argument"),
        _("expected at most one argument"),
        _("expected at least one argument"),
        _("invalid choice: %(value)r (choose from %(choices)s)"),
    )
