"""The full reader of a command's words: help, and everything unusual."""

from __future__ import annotations

import argparse
from typing import NoReturn

from tendtui.errors import CallError
from tendtui.words import _

__all__ = ["Parser"]


class Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line and leaves the exit to us."""

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing the usage.

        Raises:
            CallError: Always.
        """
        raise CallError(message, _("See: {prog} --help").format(prog=self.prog))
