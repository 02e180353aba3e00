"""The commands of what is asked: answering, leaving out, noting, looking back."""

from __future__ import annotations

from tendtui.tui.command import Command
from tendtui.words import _

__all__ = [
    "BackToQuestion",
    "Clear",
    "Explain",
    "GoOn",
    "LookBack",
    "NotDone",
    "Pause",
    "RedoPart",
    "Same",
    "ShowPlace",
    "TakeIt",
    "Undo",
    "WriteNote",
]


class GoOn(Command):
    """Enter, where there is nothing to type."""

    hint = "Enter"

    def footer(self) -> str:
        return _("go on")


class TakeIt(Command):
    """Enter, as the footers of walks name it; the field itself takes the key."""

    hint = "Enter"

    def footer(self) -> str:
        return _("take it")

    def told(self) -> str:
        return _("Take what stands in the field. Nothing counts without it.")


class Same(Command):
    """`=`, where it is offered; the field itself takes the key."""

    hint = "="

    def footer(self) -> str:
        return _("same")

    def told(self) -> str:
        return _("Put the last answer into the empty field, where that is offered. It still needs Enter.")


class NotDone(Command):
    """Leave a question out."""

    letters, keys = ("x",), ("f8",)

    def footer(self) -> str:
        return _("not done")

    def told(self) -> str:
        return _("Leave this one out and say why. It stays open and is named on today's page.")


class WriteNote(Command):
    """Write a note on the station."""

    letters, keys = ("n",), ("f2",)

    def footer(self) -> str:
        return _("note")

    def told(self) -> str:
        return _("Write a note about where you stand.")


class Undo(Command):
    """Take the last thing back."""

    letters, keys = ("u",), ("ctrl+z",)

    def footer(self) -> str:
        return _("undo")

    def told(self) -> str:
        return _("Take the last answer back. The diary keeps both.")


class Explain(Command):
    """More or fewer words for one question."""

    letters, keys = ("?",), ("f1",)
    harmless = True

    def footer(self) -> str:
        return _("explain")

    def told(self) -> str:
        return _("Show where, how, why and what good looks like for this question; once more puts it away.")


class ShowPlace(Command):
    """To the picture of the rack."""

    letters, keys = ("p",), ("f4",)
    harmless = True

    def told(self) -> str:
        return _("Show the rack with the place marked where you stand. Esc leads back to the question.")


class Pause(Command):
    """Leave the walk as it is."""

    keys = ("escape", "ctrl+c")
    harmless = True

    def footer(self) -> str:
        return _("pause")

    def told(self) -> str:
        return _("Stop here. Everything taken is on disk; you, or somebody else, go on at this question.")


class BackToQuestion(Command):
    """From a question of the page's own back to the one it was asked at."""

    keys = ("escape", "ctrl+c")
    harmless = True

    def footer(self) -> str:
        return _("back")


class LookBack(Command):
    """Back one question."""

    letters = ("backspace",)

    def told(self) -> str:
        return _(
            "In an empty field: go back to the question before. Nothing is lost. Where something was rubbed "
            "out just now, it asks for a second press."
        )


class Clear(Command):
    """Empty the field; the field itself takes the key."""

    hint = "ctrl+u"

    def told(self) -> str:
        return _("Empty the field. After a refused answer the next digit does so too.")


class RedoPart(Command):
    """Start a part again after a long pause."""

    letters = ("r",)

    def footer(self) -> str:
        return _("redo part")

    def told(self) -> str:
        return _("After a long pause: measure this part again.")
