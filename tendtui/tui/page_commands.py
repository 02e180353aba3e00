"""The commands of the pages: opening, looking round, leaving."""

from __future__ import annotations

from tendtui.tui.command import Command
from tendtui.words import _

__all__ = [
    "ByHand",
    "Correct",
    "DiaryNote",
    "DrawAgain",
    "Filter",
    "GoBack",
    "Leave",
    "LogDrill",
    "LookDown",
    "LookUp",
    "NextReach",
    "OneAlone",
    "Open",
    "OpenDiary",
    "OpenDrills",
    "OpenHelp",
    "OpenLists",
    "OpenPlants",
    "OpenProblems",
    "OpenSigns",
    "OpenTasks",
    "OpenTrends",
    "PlainSigns",
    "SayHappened",
    "SayRenewed",
    "SayWho",
    "SwapForm",
    "SwapTable",
]


class OpenDrills(Command):
    """To the drills, from anywhere."""

    letters, keys = ("d",), ("f9",)
    harmless = True

    def footer(self) -> str:
        return _("emergency")

    def told(self) -> str:
        return _("Drills: power cut, water on the floor, pump silent, splash in the eye. Then its digit.")


class LookUp(Command):
    """Look further up."""

    keys = ("pageup", "up")
    harmless = True

    def told(self) -> str:
        return _("Look further up. Nothing changes.")


class LookDown(Command):
    """Look further down."""

    keys = ("pagedown", "down")
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


class OpenTrends(Command):
    """To the trends."""

    letters = ("t",)

    def footer(self) -> str:
        return _("trends")

    def told(self) -> str:
        return _("How level, strength, pH, warmth and flow went: week, month, season.")


class OpenSigns(Command):
    """To what the readings say."""

    letters = ("m",)

    def told(self) -> str:
        return _("What the readings say together: how sure, by which of them, what to check, what to do.")


class OpenTasks(Command):
    """To every task."""

    letters = ("a",)

    def footer(self) -> str:
        return _("all tasks")

    def told(self) -> str:
        return _("All tasks with their dates: do one, silence it, say what was done about a finding.")


class OpenPlants(Command):
    """To the plants."""

    letters = ("g",)

    def told(self) -> str:
        return _("Plants: what was sown, moved up, harvested or pulled.")


class SayHappened(Command):
    """Something happened that makes tasks due."""

    letters = ("e",)

    def told(self) -> str:
        return _("Say what happened: power cut, leak, trip, new device, back from days away.")


class LogDrill(Command):
    """The drill was no drill."""

    letters = ("y",)

    def footer(self) -> str:
        return _("it happened")

    def told(self) -> str:
        return _("Put it into the diary; the tasks after it are then due.")


class DiaryNote(Command):
    """A note for the diary."""

    letters, keys = ("n",), ("f2",)

    def told(self) -> str:
        return _("Write a note for the diary.")


class SayRenewed(Command):
    """A bottle or a meter is new."""

    letters = ("r",)

    def footer(self) -> str:
        return _("new bottle")

    def told(self) -> str:
        return _("Say that a bottle or a meter is new: what was learned of the old one is kept aside.")


class ByHand(Command):
    """Hold, free or forget a figure."""

    letters = ("k",)

    def footer(self) -> str:
        return _("by hand")

    def told(self) -> str:
        return _("Keep a learned figure as it is, let it learn again, or learn it anew from now on.")


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


class OneAlone(Command):
    """Enter, as the trends' footer names it."""

    hint = "Enter"

    def footer(self) -> str:
        return _("one alone")

    def told(self) -> str:
        return _("Show the line whose number stands in the field alone and large; without one, all again.")


class NextReach(Command):
    """The next span of time."""

    letters = ("s",)

    def footer(self) -> str:
        return _("span")

    def told(self) -> str:
        return _("Another span of time: month, season, week.")


class SwapTable(Command):
    """From the pictures to the same numbers, and back."""

    letters = ("t",)

    def footer(self) -> str:
        return _("table")

    def told(self) -> str:
        return _("The same numbers as a table; once more for the pictures.")


class PlainSigns(Command):
    """Draw with keyboard signs only."""

    letters = ("a",)

    def footer(self) -> str:
        return _("plain signs")

    def told(self) -> str:
        return _("Draw with the signs of a keyboard, where dots look wrong; once more for dots.")


class Correct(Command):
    """Correct an event."""

    hint = "Enter"

    def footer(self) -> str:
        return _("correct")

    def told(self) -> str:
        return _("Type the right numbers. The old event stays in the file; the new one counts.")
