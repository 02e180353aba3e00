"""What counts of a walk's entries, and where one stands.

Laws: an undone entry never happened; looking back changes no answer; the newest answer to a question
is the one that counts.
"""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.prompt import Question, Station
from tendtui.core.walk_value import Act, Answer, Answers, Entry, Script, Walk
from tendtui.value import replace

__all__ = ["answer_of", "fold", "here", "live_entries", "made_by"]


def live_entries(entries: Iterable[Entry]) -> list[Entry]:
    """Give the entries that were not undone.

    An undo takes the last thing that was said; having looked back is no such thing and goes with it.
    Its own `events` are those that stand for an older answer again, whose first ones had been replaced.
    """
    live: list[Entry] = []
    for entry in entries:
        if entry.act is not Act.UNDO:
            live.append(entry)
            continue
        while live and live[-1].act is Act.BACK:
            live.pop()
        if live:
            live.pop()
        if entry.events:
            live = [replace(e, events=entry.events) if e is made_by(live, entry.key) else e for e in live]
    return live


def made_by(live: list[Entry], key: str) -> Entry | None:
    """Give the newest answer to a question whose events still stand in the log, or None."""
    last = next((e for e in reversed(live) if e.key == key and e.act in (Act.ANSWER, Act.SKIP)), None)
    return last if last is not None and last.events else None


def fold(entries: Iterable[Entry]) -> Answers:
    """Fold entries into what counts."""
    by_key: dict[str, Answer] = {}
    firsts: dict[str, Entry] = {}
    notes: dict[str, str] = {}
    cursor: str | None = None
    for entry in live_entries(entries):
        match entry.act:
            case Act.ANSWER | Act.SKIP:
                by_key.pop(entry.key, None)  # so that the newest answer stands last
                by_key[entry.key] = answer_of(entry)
                firsts.pop(entry.key, None)
                cursor = None
            case Act.FIRST:
                firsts[entry.key] = entry
                cursor = entry.key
            case Act.NOTE:
                notes[entry.key] = "; ".join(filter(None, (notes.get(entry.key, ""), entry.text)))
            case Act.BACK:
                cursor = entry.key or None
            case Act.REDO:
                for key in entry.text.split("\n"):
                    by_key.pop(key, None)
                    firsts.pop(key, None)
                cursor = None
            case Act.UNDO:  # pragma: no cover - so that a new act can't be forgotten here
                raise AssertionError("live entries hold no undo")
    return Answers(by_key=by_key, firsts=firsts, notes=notes, cursor=cursor)


def here(walk: Walk, script: Script) -> tuple[Station, Question] | None:
    """Give where one stands, or None where nothing is left to ask."""
    answers = fold(walk.entries)
    places = [(station, q) for station in script.stations(answers) for q in station.questions]
    if answers.cursor is not None:
        for place in places:
            if place[1].key == answers.cursor:
                return place
    return next((place for place in places if not answers.done(place[1].key)), None)


def answer_of(entry: Entry) -> Answer:
    """Give what counts of an entry."""
    skipped = entry.act is Act.SKIP
    return Answer(
        typed=entry.typed,
        value=entry.value,
        word="" if skipped else entry.word,
        text=entry.text,
        first=entry.first,
        doubt=entry.doubt,
        look=entry.look,
        same=entry.same,
        reason=entry.word if skipped else "",
        at=entry.at,
        by=entry.by,
    )
