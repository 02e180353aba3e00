"""What stops the program, one class per exit status.

An error is a place, what is wrong in the reader's words, and what to do now.
Things that can be collected (a bad key in a file, an unusual reading) are values, not errors:
see `tendtui.core.finding`.
"""

from __future__ import annotations

__all__ = [
    "CallError",
    "ChangedError",
    "HeldError",
    "NoRackError",
    "OutOfTurnError",
    "RefusedError",
    "StateError",
    "TendError",
]


class TendError(Exception):
    """Something that can't go on, said so that the reader knows what to do."""

    exit_code = 1

    def __init__(self, what: str, do: str = "", *, file: str | None = None, line: int | None = None) -> None:
        """Keep the parts of the sentence.

        Args:
            what: What is wrong, a clause without a full stop.
            do: What to do now, a sentence; empty only where `what` says it all.
            file: The file at fault, as the reader knows it.
            line: The line in that file, counted from 1.
        """
        super().__init__(what)
        self.what = what
        self.do = do
        self.file = file
        self.line = line

    def __str__(self) -> str:
        place = (
            ""
            if self.file is None
            else f"{self.file}: "
            if self.line is None
            else f"{self.file}:{self.line}: "
        )
        words = f"{place}{self.what}. {self.do}".strip()
        # names out of files and of files may hold what a terminal obeys, or halves of letters
        return "".join(c if c.isprintable() or c == "\n" else "?" for c in words)


class CallError(TendError):
    """The words of the call are wrong."""

    exit_code = 2


class StateError(TendError):
    """The state folder, or a file in it, can't be read or written."""

    exit_code = 3


class ChangedError(StateError):
    """A file was changed underneath; nothing was overwritten."""


class NoRackError(StateError):
    """There is no rack.toml yet."""


class HeldError(TendError):
    """Another tendtui holds the folder."""

    exit_code = 4


class RefusedError(TendError):
    """What was typed can't be taken; the field is kept and the sentence stands beside it."""

    exit_code = 2


class OutOfTurnError(TendError):
    """An answer came for a question that isn't the one asked; nothing has changed."""

    exit_code = 2
