"""The engine of every walk: round, dose, set-up, tasks, change day.

A walk is its entries, in the order they were made; what is answered, where one stands and what
comes next is folded from them. The script says what is asked (it may depend on what was answered)
and how a number is judged. Everything is a value: `enter` and its sisters give a new walk, or raise
and leave the old one as it was. Every entry names its question's key, so that a key typed early or
twice can't answer the next question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import Protocol

from tendtui.core.entry import read_choice, read_number, read_text
from tendtui.core.event import Event, Note
from tendtui.core.prompt import Kind, Mark, Prompt, Question, Row, Station
from tendtui.core.rack import Meter, Show
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.words import _

__all__ = [
    "Act",
    "Answer",
    "Answers",
    "Entry",
    "Finish",
    "Judgement",
    "Script",
    "Turn",
    "Walk",
    "enter",
    "fold",
    "here",
    "look_back",
    "note",
    "prompt",
    "redo",
    "skip",
    "undo",
]


class Act(StrEnum):
    """What an entry does."""

    ANSWER = "answer"
    FIRST = "first"  # an unusual value, to be measured again
    SKIP = "skip"
    NOTE = "note"
    BACK = "back"
    REDO = "redo"
    UNDO = "undo"


@dataclass(frozen=True, slots=True, kw_only=True)
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
    """Ids of the log's events that this entry made."""


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What a number looks like beside its band and its past."""

    again: str = ""
    """Why it should be measured a second time; empty: it is usual."""
    notice: str = ""
    """A sentence about it (above the band, say); empty: nothing to say."""
    look: bool = False
    """Whether the station is to be marked `[!]`."""


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """A walk under way."""

    kind: str
    id: str
    began: datetime
    by: str
    entries: tuple[Entry, ...] = ()
    context: Mapping[str, object] = field(default_factory=dict)
    """What the script was made from and must not change under way (plain TOML values)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What one act led to: the new walk, events for the log, and words for the person."""

    walk: Walk
    events: tuple[Event, ...] = ()
    said: str = ""
    notice: str = ""


def fold(entries: Iterable[Entry], stations: Iterable[Station] = ()) -> Answers:
    """Fold entries into what counts; an undone entry never happened.

    Args:
        entries: In the order they were made.
        stations: Needed only to know which questions a redone section holds.
    """
    live: list[Entry] = []
    for entry in entries:
        if entry.act is Act.UNDO:
            if live:
                live.pop()
        else:
            live.append(entry)
    sections: dict[str, list[str]] = {}
    for station in stations:
        sections.setdefault(station.section, []).extend(q.key for q in station.questions)
    by_key: dict[str, Answer] = {}
    firsts: dict[str, Entry] = {}
    notes: dict[str, str] = {}
    cursor: str | None = None
    for entry in live:
        match entry.act:
            case Act.ANSWER | Act.SKIP:
                by_key.pop(entry.key, None)  # so that the newest answer stands last
                by_key[entry.key] = _answer_of(entry)
                firsts.pop(entry.key, None)
                cursor = None
            case Act.FIRST:
                firsts[entry.key] = entry
                cursor = entry.key
            case Act.NOTE:
                notes[entry.key] = entry.text
            case Act.BACK:
                cursor = entry.key
            case Act.REDO:
                for key in entry.text.split("\n"):
                    by_key.pop(key, None)
                    firsts.pop(key, None)
                cursor = None
            case _:
                pass
    return Answers(by_key=by_key, firsts=firsts, notes=notes, cursor=cursor)


def here(walk: Walk, script: Script) -> tuple[Station, Question] | None:
    """Give where one stands, or None where nothing is left to ask."""
    answers = fold(walk.entries)
    stations = script.stations(answers)
    if answers.cursor is not None:
        for station in stations:
            for question in station.questions:
                if question.key == answers.cursor:
                    return station, question
    for station in stations:
        for question in station.questions:
            if not answers.done(question.key):
                return station, question
    return None


def enter(
    walk: Walk, script: Script, *, key: str, typed: str, now: datetime, by: str, same: bool = False
) -> Turn:
    """Take what was typed for the question `key`.

    Raises:
        OutOfTurnError: If `key` is not the question asked; nothing has changed.
        RefusedError: If it can't be taken; the sentence says what to do.
    """
    _station, question = _asked(walk, script, key)
    answers = fold(walk.entries)
    entry = _read(script, question, typed, now=now, by=by, same=same)
    refused = script.refuse(question, entry, answers)
    if refused:
        raise RefusedError(refused)
    notice = ""
    if entry.value is not None and question.kind is Kind.NUMBER:
        judged = script.judge(question, entry.value, answers)
        first = answers.firsts.get(key)
        if judged.again and first is None:
            return Turn(walk=_with(walk, replace(entry, act=Act.FIRST)), notice="[!] " + judged.again)
        entry, notice = _settle(script, question, entry, first, judged)
    events = _named(walk, script.events(question, entry, answers))
    entry = replace(entry, events=tuple(event.id for event in events))
    return Turn(walk=_with(walk, entry), events=events, notice=notice)


def skip(
    walk: Walk, script: Script, *, key: str, reason: str, text: str = "", now: datetime, by: str
) -> Turn:
    """Leave a question not done, for a reason.

    Raises:
        OutOfTurnError: If `key` is not the question asked.
        RefusedError: If this question can't be left out.
    """
    _station, question = _asked(walk, script, key)
    if not question.may_skip:
        raise RefusedError(_("This one can't be left out"), _("Answer it, or press Esc to pause."))
    entry = Entry(key=key, act=Act.SKIP, at=now, by=by, word=reason, text=text)
    return Turn(walk=_with(walk, entry), said=_("Noted as not done."))


def note(walk: Walk, script: Script, *, text: str, now: datetime, by: str) -> Turn:
    """Put a note on the station one stands at (it replaces an earlier one there)."""
    place = here(walk, script)
    station = place[0].id if place is not None else ""
    cleaned = read_text(text)
    return Turn(
        walk=_with(walk, Entry(key=station, act=Act.NOTE, at=now, by=by, text=cleaned)),
        said=_("Note kept."),
    )


def look_back(walk: Walk, script: Script, *, now: datetime, by: str) -> Turn:
    """Go back to the question answered before this one; nothing is lost.

    Raises:
        RefusedError: If this is the first question.
    """
    answers = fold(walk.entries)
    order = [q.key for station in script.stations(answers) for q in station.questions]
    place = here(walk, script)
    at = len(order) if place is None else order.index(place[1].key)
    before = [key for key in order[:at] if answers.done(key)]
    if not before:
        raise RefusedError(_("This is the first question"), _("There is nothing before it."))
    return Turn(walk=_with(walk, Entry(key=before[-1], act=Act.BACK, at=now, by=by)))


def redo(walk: Walk, script: Script, *, section: str, now: datetime, by: str) -> Turn:
    """Take the answers of a section back, to do it again."""
    answers = fold(walk.entries)
    keys = [
        q.key
        for station in script.stations(answers)
        if station.section == section
        for q in station.questions
        if answers.done(q.key)
    ]
    entry = Entry(key=section, act=Act.REDO, at=now, by=by, text="\n".join(keys))
    return Turn(walk=_with(walk, entry), said=_("This part starts again."))


def undo(walk: Walk, script: Script, *, now: datetime, by: str) -> Turn:
    """Cancel the last entry that still counts, and the log's events that it made.

    Raises:
        RefusedError: If there is nothing to undo.
    """
    live: list[Entry] = []
    for entry in walk.entries:
        if entry.act is Act.UNDO:
            live.pop()
        else:
            live.append(entry)
    if not live:
        raise RefusedError(_("There is nothing to undo"), _("This walk has no answers yet."))
    last = live[-1]
    cancel = _named(
        walk,
        tuple(
            Note(id="", seq=0, at=now, by=by, text=_("taken back"), replaces=event_id)
            for event_id in last.events
        ),
    )
    said = _("Taken back: {what}.").format(what=last.typed or last.text or last.word or last.act.value)
    if last.events:
        said += " " + _("This changes the diary, not the water.")
    del script
    return Turn(walk=_with(walk, Entry(key=last.key, act=Act.UNDO, at=now, by=by)), events=cancel, said=said)


def prompt(walk: Walk, script: Script, *, notice: str = "", said: str = "") -> Prompt | None:
    """Give what to show now, or None where nothing is left to ask."""
    place = here(walk, script)
    if place is None:
        return None
    station, question = place
    answers = fold(walk.entries)
    stations = script.stations(answers)
    listed = [s for s in stations if s.listed and s.questions]
    first = answers.firsts.get(question.key)
    answer = answers.by_key.get(question.key)
    return Prompt(
        walk=walk.kind,
        title=script.title,
        stage=_stage(station, question, listed),
        question=question,
        rows=tuple(_row(n, s, station, script, answers) for n, s in enumerate(listed, start=1)),
        first="" if first is None else first.typed,
        notice=notice or ("" if first is None else _("[!] Measure it again and type what you read now.")),
        said=said,
        note=answers.notes.get(station.id, ""),
        answered="" if answer is None else answer.typed or answer.text or answer.word,
        recent=_recent(answers, stations),
    )


def _asked(walk: Walk, script: Script, key: str) -> tuple[Station, Question]:
    place = here(walk, script)
    if place is None or place[1].key != key:
        asked = _("nothing") if place is None else place[1].key
        raise OutOfTurnError(
            _("{key} is not the question asked now; {asked} is").format(key=key, asked=asked),
            _("Nothing was changed."),
        )
    return place


def _read(script: Script, question: Question, typed: str, *, now: datetime, by: str, same: bool) -> Entry:
    entry = Entry(key=question.key, act=Act.ANSWER, at=now, by=by, typed=typed.strip(), same=same)
    if not typed.strip() and question.optional:
        return replace(entry, word="unknown")
    match question.kind:
        case Kind.NUMBER:
            if question.quantity is None:
                raise ValueError(f"question {question.key} asks for a number without saying of what")
            return replace(
                entry,
                value=read_number(typed, quantity=question.quantity, show=script.show, meter=script.meter),
            )
        case Kind.CHOICE:
            choice, text = read_choice(typed, question.choices)
            return replace(entry, word=choice.word, text=text, look=choice.look)
        case Kind.TEXT:
            return replace(entry, text=read_text(typed, expects=question.expects))
        case Kind.PAUSE:
            if typed.strip():
                raise RefusedError(_("Here is nothing to type"), _("Press Enter to go on."))
            return replace(entry, word="seen")


def _settle(
    script: Script, question: Question, entry: Entry, first: Entry | None, judged: Judgement
) -> tuple[Entry, str]:
    if first is None or first.value is None or entry.value is None:
        return replace(entry, look=judged.look), judged.notice
    entry = replace(entry, first=first.value)
    if not judged.again:
        return replace(entry, look=judged.look), judged.notice or _(
            "The second reading counts. Both are kept."
        )
    if script.near(question, first.value, entry.value):
        return replace(entry, look=True), _("Twice the same: it is taken as true and marked.")
    return (
        replace(entry, look=True, doubt=True),
        _("[!] Two readings that don't agree. The second is kept with a mark; measure it again later."),
    )


def _answer_of(entry: Entry) -> Answer:
    return Answer(
        typed=entry.typed,
        value=entry.value,
        word="" if entry.act is Act.SKIP else entry.word,
        text=entry.text,
        first=entry.first,
        doubt=entry.doubt,
        look=entry.look,
        same=entry.same,
        reason=entry.word if entry.act is Act.SKIP else "",
        at=entry.at,
        by=entry.by,
    )


def _named(walk: Walk, events: tuple[Event, ...]) -> tuple[Event, ...]:
    """Give events their ids: unique, since the walk's id is, and the same if the save is tried again."""
    return tuple(replace(event, id=f"{walk.id}-{len(walk.entries)}-{n}") for n, event in enumerate(events))


def _with(walk: Walk, entry: Entry) -> Walk:
    return replace(walk, entries=(*walk.entries, entry))


def _stage(station: Station, question: Question, listed: list[Station]) -> str:
    ids = [s.id for s in listed]
    if station.id not in ids:
        return ""
    keys = [q.key for q in station.questions]
    return _("station {n} of {many}, question {q} of {qs}").format(
        n=ids.index(station.id) + 1, many=len(listed), q=keys.index(question.key) + 1, qs=len(keys)
    )


def _row(number: int, station: Station, at: Station, script: Script, answers: Answers) -> Row:
    keys = [q.key for q in station.questions]
    given = [answers.by_key[key] for key in keys if key in answers.by_key]
    if station.id == at.id:
        mark = Mark.HERE
    elif any(answer.look or answer.doubt for answer in given):
        mark = Mark.LOOK
    elif len(given) < len(keys):
        mark = Mark.OPEN
    elif given and all(answer.reason for answer in given):
        mark = Mark.NOT_DONE
    else:
        mark = Mark.DONE
    return Row(
        mark=mark, number=number, name=station.name, found=script.found(station, answers) if given else ""
    )


def _recent(answers: Answers, stations: tuple[Station, ...]) -> tuple[str, ...]:
    asks = {q.key: q for station in stations for q in station.questions}
    told = [
        f"{asks[key].place}: {answer.typed or answer.text or answer.word or answer.reason}"
        for key, answer in answers.by_key.items()
        if key in asks and asks[key].kind is not Kind.PAUSE
    ]
    return tuple(told[-2:])
