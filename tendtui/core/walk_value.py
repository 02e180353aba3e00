"""What a walk is made of: entries, what counts of them, and what its script says.

The acts that make entries stand in `tendtui.core.walk`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from enum import StrEnum

from tendtui.value import field, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    from tendtui.core.event import Event
    from tendtui.core.prompt import Question, Station
    from tendtui.core.rack import Meter, Show
else:
    Protocol = object

__all__ = ["Act", "Answer", "Answers", "Entry", "Finish", "Judgement", "Script", "Turn", "Walk"]


class Act(StrEnum):
    """What an entry does."""

    ANSWER = "answer"
    FIRST = "first"  # an unusual value, to be measured again
    SKIP = "skip"
    NOTE = "note"
    BACK = "back"  # to the question named; to the first open one where none is
    REDO = "redo"
    UNDO = "undo"


@value_class
class Entry:
    """One thing a person did in a walk, as it is kept on disk."""

    key: str
    act: Act
    at: datetime
    by: str = ""
    typed: str = ""
    value: float | None = None
    word: str = ""
    text: str = ""
    first: float | None = None
    doubt: bool = False
    look: bool = False
    same: bool = False
    events: tuple[str, ...] = ()
    """Ids of the log's events that this entry made; for UNDO: that stand for an older answer's again."""


@value_class
class Answer:
    """What counts for one question; `reason` is set where it was not done."""

    typed: str = ""
    value: float | None = None
    word: str = ""
    text: str = ""
    first: float | None = None
    doubt: bool = False
    look: bool = False
    same: bool = False
    reason: str = ""
    at: datetime | None = None
    by: str = ""


@value_class
class Answers:
    """All that counts, folded from the entries."""

    by_key: Mapping[str, Answer] = field(default_factory=dict)
    firsts: Mapping[str, Entry] = field(default_factory=dict)
    """First readings that still want their second."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """Station id -> note."""
    cursor: str | None = None
    """The key one has gone back to; None: the first open question."""

    def value(self, key: str) -> float | None:
        """Give the number answered, or None where there is none."""
        answer = self.by_key.get(key)
        return None if answer is None else answer.value

    def word(self, key: str) -> str:
        """Give the word chosen, or an empty text."""
        answer = self.by_key.get(key)
        return "" if answer is None else answer.word

    def text(self, key: str) -> str:
        """Give the text typed, or an empty text."""
        answer = self.by_key.get(key)
        return "" if answer is None else answer.text

    def done(self, key: str) -> bool:
        """Say whether the question has an answer or a reason."""
        return key in self.by_key


@value_class
class Judgement:
    """What a number looks like beside its band and its past."""

    again: str = ""
    """Why it should be measured a second time; empty: it is usual."""
    notice: str = ""
    """A sentence about it (above the band, say); empty: nothing to say."""
    look: bool = False
    """Whether the station is to be marked `[!]`."""


@value_class
class Finish:
    """What the end of a walk leaves behind."""

    events: tuple[Event, ...] = ()
    """For the log; ids may be empty, the session names them."""
    then: str | None = None
    """The kind of walk that follows at once (`dose` after `round`, `leaving` after `dose`)."""
    context: Mapping[str, object] = field(default_factory=dict)
    """What the walk that follows starts from."""
    said: tuple[str, ...] = ()
    """What was found, what was done, what is next: shown before "finished" may appear."""
    learned: Mapping[str, object] | None = None
    """New content of `[learned]` in the state file; None: unchanged."""
    away: Mapping[str, object] | None = None
    """New content of `[away]` in the state file; None: unchanged."""


class Script(Protocol):
    """What a walk asks and how it judges; pure, made from the rack, the log and the day."""

    @property
    def kind(self) -> str:
        """The walk's kind, its key in the state file."""

    @property
    def title(self) -> str:
        """A word or two for the head of the page."""

    @property
    def show(self) -> Show:
        """The person's units."""

    @property
    def meter(self) -> Meter:
        """What the meters can show."""

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops as they stand after these answers; keys of answered questions stay."""

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Judge a number just typed."""

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether a second reading confirms the first."""

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Give the sentence that refuses an answer as a whole, or an empty text."""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was found there, for the list."""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Give what this answer leaves in the log at once (the engine names them, the store numbers them)."""

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Give what a walk with nothing left to ask leaves behind."""


@value_class
class Walk:
    """A walk under way."""

    kind: str
    id: str
    began: datetime
    by: str
    entries: tuple[Entry, ...] = ()
    context: Mapping[str, object] = field(default_factory=dict)
    """What the script was made from and must not change under way (plain TOML values)."""


@value_class
class Turn:
    """What one act led to: the new walk, events for the log, and words for the person."""

    walk: Walk
    events: tuple[Event, ...] = ()
    said: str = ""
    notice: str = ""
