"""All commands of the screens, in the order in which footers name them."""

from __future__ import annotations

from tendtui.tui.command import Command
from tendtui.tui.page_commands import (
    ByHand,
    Correct,
    DiaryNote,
    DrawAgain,
    Filter,
    GoBack,
    Leave,
    LogDrill,
    LookDown,
    LookUp,
    NextReach,
    OneAlone,
    Open,
    OpenDiary,
    OpenDrills,
    OpenHelp,
    OpenLists,
    OpenPlants,
    OpenProblems,
    OpenSigns,
    OpenTasks,
    OpenTrends,
    PlainSigns,
    SayHappened,
    SayRenewed,
    SayWho,
    SwapForm,
    SwapTable,
)
from tendtui.tui.walk_commands import (
    BackToQuestion,
    Clear,
    Explain,
    GoOn,
    LookBack,
    NotDone,
    Pause,
    RedoPart,
    Same,
    ShowPlace,
    TakeIt,
    Undo,
    WriteNote,
)
from tendtui.words import _

__all__ = [
    "ASIDE",
    "DIARY",
    "DRILL",
    "DRILLS",
    "EVENT",
    "FIRST",
    "HELP",
    "LISTS",
    "NOTE",
    "PROBLEMS",
    "TASKS",
    "TAUGHT",
    "TODAY",
    "TOLD",
    "TRENDS",
    "WALK",
    "groups",
    "key_table",
]

WALK: tuple[Command, ...] = (
    GoOn(), TakeIt(), OpenDrills(), Same(), RedoPart(), NotDone(), Explain(), Undo(), WriteNote(), Pause(),
    LookBack(), Clear(), SwapForm(), ShowPlace(), LookUp(), LookDown(),
    DrawAgain(),
)  # fmt: skip
ASIDE: tuple[Command, ...] = (
    GoOn(), TakeIt(), OpenDrills(), BackToQuestion(), Clear(), LookUp(), LookDown(), DrawAgain(),
)  # fmt: skip
TODAY: tuple[Command, ...] = (
    Open(), OpenDrills(), OpenDiary(), OpenLists(), OpenHelp(), OpenTrends(), SayWho(),
    DiaryNote(), OpenSigns(), OpenPlants(), SayHappened(), SwapForm(), OpenProblems(), Leave(),
    LookUp(), LookDown(),
    DrawAgain(),
)  # fmt: skip
LISTS: tuple[Command, ...] = (
    Open(),
    OpenTasks(),
    OpenDrills(),
    OpenHelp(),
    GoBack(),
    LookUp(),
    LookDown(),
    DrawAgain(),
)
DIARY: tuple[Command, ...] = (
    Open(),
    OpenDrills(),
    Filter(),
    SayRenewed(),
    OpenHelp(),
    GoBack(),
    LookUp(),
    LookDown(),
    DrawAgain(),
)
TRENDS: tuple[Command, ...] = (
    OneAlone(), OpenDrills(), NextReach(), SwapTable(), PlainSigns(), OpenHelp(), GoBack(),
    LookUp(), LookDown(),
    DrawAgain(),
)  # fmt: skip
TAUGHT: tuple[Command, ...] = (
    ByHand(), SayRenewed(), OpenDrills(), GoBack(), LookUp(), LookDown(), DrawAgain(),
)  # fmt: skip
EVENT: tuple[Command, ...] = (
    Correct(), OpenDrills(), OpenHelp(), GoBack(), LookUp(), LookDown(), DrawAgain(),
)  # fmt: skip
PROBLEMS: tuple[Command, ...] = (OpenDrills(), GoBack(), LookUp(), LookDown(), DrawAgain())
DRILLS: tuple[Command, ...] = (Open(), GoBack(), LookUp(), LookDown(), DrawAgain())
DRILL: tuple[Command, ...] = (LogDrill(), GoBack(), LookUp(), LookDown(), DrawAgain())
TASKS: tuple[Command, ...] = (Open(), OpenDrills(), GoBack(), LookUp(), LookDown(), DrawAgain())
FIRST: tuple[Command, ...] = (Open(), Leave(), LookUp(), LookDown(), DrawAgain())
TOLD: tuple[Command, ...] = (
    GoOn(), OpenDrills(), SwapForm(), GoBack(), LookUp(), LookDown(), DrawAgain(),
)  # fmt: skip
NOTE: tuple[Command, ...] = (TakeIt(), OpenDrills(), GoBack(), DrawAgain())
HELP: tuple[Command, ...] = (OpenDrills(), GoBack(), LookUp(), LookDown(), DrawAgain())


def groups() -> tuple[tuple[str, tuple[Command, ...]], ...]:
    """Give the commands by page, for the help page and the README's key table."""
    return (
        (_("Everywhere something is asked"), WALK),
        (_("Today's page"), TODAY),
        (_("Lists"), (LISTS[1],)),
        (_("Diary"), DIARY),
        (_("Trends"), TRENDS),
        (_("What it taught"), TAUGHT[:2]),
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
