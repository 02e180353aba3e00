"""The engine of every walk: round, dose, set-up, tasks, change day.

A walk is its entries, in the order they were made; what is answered, where one stands and what
comes next is folded from them. The script says what is asked (it may depend on what was answered)
and how a number is judged. Everything is a value: `enter` and its sisters give a new walk, or raise
and leave the old one as it was. Every entry names its question's key, so that a key typed early or
twice can't answer the next question.

What a script may count on, beyond the protocol:

- `Choice.skips` makes an answer a thing not done, its word the reason; `Choice.advice` is said when it
  is chosen; `Question.after` is said after any answer (what was seen last time).
- `Question.jug_l` lets a FLOW question take seconds for that vessel.
- Enter on an empty field of a question one looked back at keeps its answer and goes on.
- An answer given anew replaces the events that its first one made; a section done again keeps every
  answer that made events (what was poured was poured); undo brings older events back.
- Notes on one station add up.
"""

from __future__ import annotations

from datetime import datetime

from tendtui.core.entry import read_choice, read_number, read_text, scale_said
from tendtui.core.event import Event, Note
from tendtui.core.prompt import Kind, Question, Station, called, is_amount
from tendtui.core.reason import reasons
from tendtui.core.walk_fold import answer_of, fold, here, live_entries, made_by
from tendtui.core.walk_prompt import answer_words, prompt
from tendtui.core.walk_value import (
    Act,
    Answer,
    Answers,
    Entry,
    Finish,
    Judgement,
    Script,
    Turn,
    Walk,
)
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.value import replace
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
    "live_entries",
    "look_back",
    "note",
    "prompt",
    "redo",
    "skip",
    "undo",
]


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
    if _is_kept(question, answers, typed):
        going_on = Entry(key="", act=Act.BACK, at=now, by=by)
        return Turn(walk=_with(walk, going_on), said=_("Kept as it was."))
    entry, told = _read(script, question, typed, now=now, by=by, same=same)
    notice = told
    refused = script.refuse(question, entry, answers)
    if refused:
        raise RefusedError(refused.strip().removesuffix("."))
    if entry.value is not None:
        judged = script.judge(question, entry.value, answers)
        first = answers.firsts.get(key)
        if judged.again and first is None:
            return Turn(walk=_with(walk, replace(entry, act=Act.FIRST)), notice="[!] " + judged.again)
        entry, notice = _settle(script, question, entry, first, judged)
        notice = " ".join(filter(None, (notice, told)))
    made = script.events(question, entry, answers) if entry.act is Act.ANSWER else ()
    events = _instead(walk, key, made, now=now, by=by)
    kept = tuple(event.id for event in events[: len(made)])
    return Turn(walk=_with(walk, replace(entry, events=kept)), events=events, notice=notice)


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
        raise RefusedError(_("This one can't be left out"), _("Answer it, or pause."))
    first = fold(walk.entries).firsts.get(key)
    entry = Entry(
        key=key,
        act=Act.SKIP,
        at=now,
        by=by,
        word=reason,
        text=read_text(text) if text.strip() else "",
        first=None if first is None else first.value,
    )
    events = _instead(walk, key, (), now=now, by=by)
    return Turn(walk=_with(walk, entry), events=events, said=_("Noted as not done."))


def note(walk: Walk, script: Script, *, text: str, now: datetime, by: str) -> Turn:
    """Put a note on the station one stands at; a second one there is added to the first.

    Raises:
        RefusedError: If there are no words in it, or too many.
    """
    place = here(walk, script)
    station = place[0].id if place is not None else ""
    entry = Entry(key=station, act=Act.NOTE, at=now, by=by, text=read_text(text))
    return Turn(walk=_with(walk, entry), said=_("Note kept."))


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
    """Take the answers of a section back, to do it again; those that made events stay.

    Raises:
        RefusedError: If nothing of the section can be done again.
    """
    answers, live = fold(walk.entries), live_entries(walk.entries)
    keys = [
        q.key
        for station in script.stations(answers)
        if station.section == section
        for q in station.questions
        if (answers.done(q.key) or q.key in answers.firsts) and made_by(live, q.key) is None
    ]
    if not keys:
        raise RefusedError(_("There is nothing here to do again"), _("Go on where you stand."))
    entry = Entry(key=section, act=Act.REDO, at=now, by=by, text="\n".join(keys))
    return Turn(walk=_with(walk, entry), said=_("This part starts again."))


def undo(walk: Walk, script: Script, *, now: datetime, by: str) -> Turn:
    """Cancel the last thing said that still counts, and the log's events that it made.

    Raises:
        RefusedError: If there is nothing to undo.
    """
    live = live_entries(walk.entries)
    while live and live[-1].act is Act.BACK:
        live.pop()
    if not live:
        raise RefusedError(_("There is nothing to undo"), _("Nothing was answered here yet."))
    asked = _question_of(script, live, live[-1].key)
    last = live.pop()
    again = _made_before(script, live, last)
    events = _replacing(walk, last.events, again, now=now, by=by)
    brought = tuple(event.id for event in events[: len(again)])
    entry = Entry(key=last.key, act=Act.UNDO, at=now, by=by, events=brought)
    said = _("Taken back: {what}.").format(what=_named(last, asked, script))
    if events:
        said += " " + _("This changes the diary, not the water.")
    return Turn(walk=_with(walk, entry), events=events, said=said)


def _question_of(script: Script, live: list[Entry], key: str) -> Question | None:
    stations = script.stations(fold(live))
    return next((q for station in stations for q in station.questions if q.key == key), None)


def _named(entry: Entry, asked: Question | None, script: Script) -> str:
    """Give what an entry was, and of what, in a few words."""
    match entry.act:
        case Act.REDO:
            return _("doing this part again")
        case Act.NOTE:
            return _("the note: {text}").format(text=entry.text)
        case Act.SKIP:
            said = next((c.text for c in reasons() if c.word == entry.word), entry.typed or entry.word)
            what = _("not done: {why}").format(why=entry.text or said)
        case _ if asked is None or asked.kind is Kind.PAUSE:
            return entry.typed or entry.text or _("going on")
        case _:
            what = answer_words(asked, answer_of(entry), show=script.show)
    return ", ".join(filter(None, ("" if asked is None else called(asked), what)))


def _asked(walk: Walk, script: Script, key: str) -> tuple[Station, Question]:
    place = here(walk, script)
    if place is None or place[1].key != key:
        asked = _("nothing") if place is None else place[1].key
        raise OutOfTurnError(
            _("{key} is not the question asked now; {asked} is").format(key=key, asked=asked),
            _("Nothing was changed."),
        )
    return place


def _is_kept(question: Question, answers: Answers, typed: str) -> bool:
    looked_back = answers.cursor == question.key and answers.done(question.key)
    return looked_back and not typed.strip() and question.key not in answers.firsts


def _read(
    script: Script, question: Question, typed: str, *, now: datetime, by: str, same: bool
) -> tuple[Entry, str]:
    """Read what was typed, and give what is to be said about it whatever it is worth."""
    typed = typed.strip()
    same = same and bool(typed) and typed == question.same.strip()
    entry = Entry(key=question.key, act=Act.ANSWER, at=now, by=by, typed=typed, same=same)
    if not typed and question.optional:
        return replace(entry, word="unknown"), question.after
    match question.kind:
        case Kind.NUMBER:
            if not typed and not question.may_skip:
                raise RefusedError(_("Nothing was typed"), question.needed or _("Type the number."))
            value = _number(script, question, typed)
            return replace(entry, value=value), " ".join(
                filter(None, (_scale(script, question, typed, value), question.after))
            )
        case Kind.CHOICE:
            choice, text = read_choice(typed, question.choices)
            act = Act.SKIP if choice.skips else Act.ANSWER
            notice = "[!] " + choice.advice if choice.advice and choice.look else choice.advice
            said = " ".join(filter(None, (notice, question.after)))
            return replace(entry, act=act, word=choice.word, text=text, look=choice.look), said
        case Kind.TEXT:
            return replace(entry, text=read_text(typed, expects=question.expects)), question.after
        case Kind.PAUSE:  # pragma: no branch - there is no other kind
            if typed:
                raise RefusedError(_("Here is nothing to type"), _("Press Enter to go on."))
            return replace(entry, word="seen"), question.after


def _number(script: Script, question: Question, typed: str) -> float:
    if question.quantity is None:
        raise ValueError(f"question {question.key} asks for a number without saying of what")
    return read_number(
        typed, quantity=question.quantity, show=script.show, meter=script.meter, jug_l=question.jug_l
    )


def _scale(script: Script, question: Question, typed: str, value: float) -> str:
    quantity = question.quantity
    if quantity is None:
        return ""
    return scale_said(typed, value, quantity=quantity, show=script.show, meter=script.meter)


def _settle(
    script: Script, question: Question, entry: Entry, first: Entry | None, judged: Judgement
) -> tuple[Entry, str]:
    """Weigh a reading, where it is the second beside the first."""
    second = entry.value
    if first is None or first.value is None or second is None:
        return replace(entry, look=judged.look), judged.notice
    entry = replace(entry, first=first.value)
    if not judged.again:
        said = judged.notice or _("{what}: the second counts. Both are kept.").format(what=called(question))
        return replace(entry, look=judged.look), said
    what = called(question)
    if script.near(question, first.value, second):
        said = _("[!] {what}: twice the same. It is taken as true and marked.")
        return replace(entry, look=True), said.format(what=what)
    said = _(
        "[!] {what}: two readings that don't agree. The second is kept with a mark; measure it again later."
    )
    if is_amount(question):
        said = _("[!] {what}: two amounts that don't agree. The second counts.")
    return replace(entry, look=True, doubt=True), said.format(what=what)


def _made_before(script: Script, live: list[Entry], last: Entry) -> tuple[Event, ...]:
    """Make the events of the older answer again, which those of the undone one had replaced."""
    older = made_by(live, last.key)
    if older is None or last.act not in (Act.ANSWER, Act.SKIP):
        return ()
    answers = fold(entry for entry in live if entry is not older)
    asked = (q for station in script.stations(answers) for q in station.questions)
    question = next((q for q in asked if q.key == last.key), None)
    return () if question is None else script.events(question, older, answers)


def _instead(walk: Walk, key: str, made: tuple[Event, ...], *, now: datetime, by: str) -> tuple[Event, ...]:
    older = made_by(live_entries(walk.entries), key)
    return _replacing(walk, () if older is None else older.events, made, now=now, by=by)


def _replacing(
    walk: Walk, old: tuple[str, ...], made: tuple[Event, ...], *, now: datetime, by: str
) -> tuple[Event, ...]:
    """Let new events replace old ones; an old one without a successor is taken back by a note.

    The ids are unique, since the walk's id is, and the same if the save is tried again.
    """
    paired = [
        replace(event, replaces=event.replaces or (old[n] if n < len(old) else None))
        for n, event in enumerate(made)
    ]
    taken_back = [
        Note(id="", seq=0, at=now, by=by, text=_("taken back"), replaces=event_id)
        for event_id in old[len(made) :]
    ]
    place = len(walk.entries)
    return tuple(
        replace(event, id=f"{walk.id}-{place}-{n}") for n, event in enumerate((*paired, *taken_back))
    )


def _with(walk: Walk, entry: Entry) -> Walk:
    return replace(walk, entries=(*walk.entries, entry))
