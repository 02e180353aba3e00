"""All commands of the screens, in the order in which footers name them."""

from __future__ import annotations

from tendtui.tui.command import Command
from tendtui.words import _

__all__ = [
    "DIARY",
    "DRILLS",
    "EVENT",
    "FIRST",
    "HELP",
    "LISTS",
    "PROBLEMS",
    "TODAY",
    "WALK",
    "groups",
    "key_table",
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
        return _("Show where, how, why and what good looks like; once more for fewer words.")


class Pause(Command):
    """Leave the walk as it is."""

    keys = ("escape", "ctrl+c")
    harmless = True

    def footer(self) -> str:
        return _("pause")

    def told(self) -> str:
        return _("Stop here. Everything taken is on disk; you, or somebody else, go on at this question.")


class LookBack(Command):
    """Back one question."""

    letters = ("backspace",)

    def told(self) -> str:
        return _("In an empty field: go back to the question before. Nothing is lost.")


class RedoPart(Command):
    """Start a part again after a long pause."""

    letters = ("r",)

    def footer(self) -> str:
        return _("redo part")

    def told(self) -> str:
        return _("After a long pause: measure this part again.")


class OpenDrills(Command):
    """To the drills, from anywhere."""

    letters, keys = ("d",), ("f9",)
    harmless = True

    def told(self) -> str:
        return _("Drills: power cut, water on the floor, pump silent, splash in the eye. Then its digit.")


class LookUp(Command):
    """Look further up."""

    keys = ("pageup",)
    harmless = True

    def told(self) -> str:
        return _("Look further up. Nothing changes.")


class LookDown(Command):
    """Look further down."""

    keys = ("pagedown",)
    harmless = True

    def told(self) -> str:
        return _("Look further down. Nothing changes.")


class DrawAgain(Command):
    """Draw the page anew."""

    keys = ("ctrl+l",)
    harmless = True

    def told(self) -> str:
        return _("Draw the page anew, where something else has written over it.")


class Open(Command):
    """Enter, as the footers of lists name it."""

    hint = "Enter"

    def footer(self) -> str:
        return _("open")

    def told(self) -> str:
        return _("Open the line whose number stands in the field.")


class OpenDiary(Command):
    """To the diary."""

    letters = ("h",)

    def footer(self) -> str:
        return _("diary")

    def told(self) -> str:
        return _("Everything that happened, newest first.")


class OpenLists(Command):
    """To the lists of tasks."""

    letters = ("l",)

    def footer(self) -> str:
        return _("lists")

    def told(self) -> str:
        return _("All tasks, walks and their dates.")


class SayWho(Command):
    """Say who is here."""

    letters = ("w",)

    def footer(self) -> str:
        return _("who is here")

    def told(self) -> str:
        return _("Say who is at the rack now; every answer carries the name.")


class OpenHelp(Command):
    """To the help page."""

    letters, keys = ("?",), ("f1",)
    harmless = True

    def footer(self) -> str:
        return _("help")

    def told(self) -> str:
        return _("This page: what every key does.")


class SwapForm(Command):
    """Learner's form or brief form, once for all."""

    letters = ("b",)

    def told(self) -> str:
        return _("Be asked in fewer words from now on (brief), or in all of them again (learner).")


class OpenProblems(Command):
    """To what was found in the files."""

    letters = ("p",)

    def told(self) -> str:
        return _("Read every file and say what is wrong with it, line by line, and what to do.")


class Leave(Command):
    """Out of the program."""

    letters, keys = ("q",), ("ctrl+c", "ctrl+q")

    def footer(self) -> str:
        return _("leave")

    def told(self) -> str:
        return _("Leave the program. Nothing is unsaved.")


class GoBack(Command):
    """One page back."""

    letters, keys = ("q", "backspace"), ("escape", "ctrl+c")
    hint = "Esc"
    harmless = True

    def footer(self) -> str:
        return _("back")

    def told(self) -> str:
        return _("Back to the page before.")


class Filter(Command):
    """The next kind of event."""

    letters = ("f",)

    def footer(self) -> str:
        return _("filter")

    def told(self) -> str:
        return _("Show one kind only: readings, pours, changes, tasks, notes; then all again.")


class Correct(Command):
    """Correct an event."""

    hint = "Enter"

    def footer(self) -> str:
        return _("correct")

    def told(self) -> str:
        return _("Type the right numbers. The old event stays in the file; the new one counts.")


WALK: tuple[Command, ...] = (
    GoOn(), TakeIt(), Same(), RedoPart(), NotDone(), Explain(), Undo(), WriteNote(), Pause(),
    LookBack(), OpenDrills(), LookUp(), LookDown(),
    DrawAgain(),
)  # fmt: skip
TODAY: tuple[Command, ...] = (
    Open(), OpenDiary(), OpenLists(), OpenHelp(), SayWho(), SwapForm(), OpenProblems(), Leave(),
    OpenDrills(), LookUp(), LookDown(),
    DrawAgain(),
)  # fmt: skip
LISTS: tuple[Command, ...] = (Open(), OpenHelp(), GoBack(), OpenDrills(), LookUp(), LookDown(), DrawAgain())
DIARY: tuple[Command, ...] = (
    Open(),
    Filter(),
    OpenHelp(),
    GoBack(),
    OpenDrills(),
    LookUp(),
    LookDown(),
    DrawAgain(),
)
EVENT: tuple[Command, ...] = (Correct(), OpenHelp(), GoBack(), LookUp(), LookDown(), DrawAgain())
PROBLEMS: tuple[Command, ...] = (GoBack(), LookUp(), LookDown(), DrawAgain())
DRILLS: tuple[Command, ...] = (Open(), GoBack(), LookUp(), LookDown(), DrawAgain())
FIRST: tuple[Command, ...] = (Open(), Leave(), LookUp(), LookDown(), DrawAgain())
HELP: tuple[Command, ...] = (GoBack(), LookUp(), LookDown(), DrawAgain())


def groups() -> tuple[tuple[str, tuple[Command, ...]], ...]:
    """Give the commands by page, for the help page and the README's key table."""
    return (
        (_("Everywhere something is asked"), WALK),
        (_("Today's page"), TODAY),
        (_("Diary"), DIARY),
        (_("One event"), EVENT),
    )


def key_table() -> str:
    """Give the README's table of keys, in Markdown."""
    rows = ["| where | key | what it does |", "| --- | --- | --- |"]
    for title, commands in groups():
        for command in (command for command in commands if command.told()):
            keys = ", ".join(f"`{key}`" for key in (command.all_keys() or command.hint).split(", "))
            rows.append(f"| {title} | {keys} | {command.told()} |")
            title = ""
    return "\n".join(rows)
