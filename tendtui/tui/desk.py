"""What the screens need of the session: its verbs, and what it knows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, timedelta

    from tendtui.core.event import Event
    from tendtui.core.finding import Finding
    from tendtui.core.looks import RoundWords
    from tendtui.core.printed_page import PrintedPage
    from tendtui.core.prompt import Prompt
    from tendtui.core.rack import Rack
    from tendtui.core.slow_list import SlowList
    from tendtui.core.state import Person, State
    from tendtui.core.today import Today
    from tendtui.core.trend import Trends

__all__ = ["Desk", "Outcome"]


class Outcome(Protocol):
    """What to show after a verb."""

    @property
    def prompt(self) -> Prompt | None:
        """The question asked now; None: everything that belonged together is finished."""

    @property
    def said(self) -> tuple[str, ...]:
        """What a finished walk leaves to say."""


class Desk(Protocol):
    """The verbs; each writes before it returns, and raises an error of `tendtui.errors` where it can't."""

    by: str

    @property
    def troubles(self) -> list[str]:
        """Writes that failed after the answer was already safe."""

    def now(self) -> datetime:
        """Give the time."""

    @property
    def rack(self) -> Rack:
        """The rack as its file says."""

    @property
    def state(self) -> State:
        """Walks under way and people."""

    @property
    def events(self) -> tuple[Event, ...]:
        """What happened and still counts, in time order."""

    @property
    def diary(self) -> tuple[Event, ...]:
        """All of the last months, in time order."""

    def diary_before(self, at: datetime) -> tuple[Event, ...]:
        """Read on into what is older, in time order."""

    def findings(self) -> tuple[Finding, ...]:
        """Read every file and give what is wrong with each."""

    def task_names(self) -> Mapping[str, str]:
        """Give task id -> what is done, in words."""

    def pages(self) -> tuple[PrintedPage, ...]:
        """Make the pages to read and to print."""

    def trends(self) -> Trends:
        """Read the whole log and give the courses of level, strength, pH, warmth and flow."""

    def ahead_page(self, name: str) -> PrintedPage:
        """Make a page: `ahead` what lies ahead, `away` some days away, `taught` what was learned."""

    def forget(self) -> None:
        """Read everything anew at the next look."""

    def person(self, by: str | None = None) -> Person:
        """Tell how somebody likes to be asked."""

    def today(self, by: str | None = None) -> Today:
        """Make today's page."""

    def hold(self) -> None:
        """Take the folder's walks for this screen."""

    def let_go(self) -> None:
        """Give the folder's walks back."""

    def start(self, kind: str, *, by: str, context: Mapping[str, object] | None = None) -> Outcome:
        """Begin a walk, or take up the open one of this kind."""

    def resume(self, kind: str) -> Outcome:
        """Show the question at which a walk stands."""

    def left_for(self, kind: str) -> timedelta:
        """Tell how long a walk under way has lain."""

    def is_stale(self, kind: str) -> bool:
        """Say whether a section should be offered again."""

    def leave(self, kind: str) -> None:
        """Go away from a walk; one in which nothing was answered is given up."""

    def enter(self, kind: str, *, key: str, typed: str, same: bool = False) -> Outcome:
        """Take an answer."""

    def skip(self, kind: str, *, key: str, reason: str, text: str = "") -> Outcome:
        """Leave a question not done."""

    def note(self, kind: str, *, text: str) -> Outcome:
        """Put a note on the station one stands at."""

    def undo(self, kind: str) -> Outcome:
        """Take the last thing back."""

    def look_back(self, kind: str) -> Outcome:
        """Go back to the question before."""

    def redo(self, kind: str) -> Outcome:
        """Do the section one stands in again."""

    def round_words(self) -> RoundWords:
        """Give the words of the round, in which looks are said."""

    def slow_list(self) -> SlowList:
        """Give every task, when it is due, and what was found and is not closed."""

    def held_elsewhere(self) -> str:
        """Say which other screen has a walk open, since when and where; empty: none."""

    def silence_task(self, task_id: str, reason: str) -> None:
        """Silence a task for a reason."""

    def restore_task(self, task_id: str) -> None:
        """Let a silenced task speak again."""

    def add_note(self, text: str) -> None:
        """Put a note in the diary."""

    def correct(self, event_id: str, changes: Mapping[str, str]) -> None:
        """Correct an event by a new one."""

    def set_form(self, by: str, form: str) -> None:
        """Choose how somebody is asked."""
