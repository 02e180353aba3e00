"""Where a walk stands, as the value that every face shows."""

from __future__ import annotations

from tendtui.core.prompt import Kind, Mark, Prompt, Question, Row, Station, called, number_said
from tendtui.core.rack import Show
from tendtui.core.reason import reasons
from tendtui.core.walk_fold import fold, here
from tendtui.core.walk_value import Answer, Answers, Script, Walk
from tendtui.words import _

__all__ = ["answer_words", "prompt"]


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
        notice=notice or ("" if first is None else "[!] " + _again(script, question, answers)),
        said=said,
        note=answers.notes.get(station.id, ""),
        answered="" if answer is None else answer_words(question, answer),
        recent=_recent(answers, stations, script),
    )


def _again(script: Script, question: Question, answers: Answers) -> str:
    """Say once more why a second reading is wanted: one may come back to it a day later."""
    first = answers.firsts[question.key]
    why = "" if first.value is None else script.judge(question, first.value, answers).again
    return why or _("Measure it again and type what you read now.")


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


def _recent(answers: Answers, stations: tuple[Station, ...], script: Script) -> tuple[str, ...]:
    asks = {q.key: q for station in stations for q in station.questions}
    told = [
        f"{called(asks[key])}: {answer_words(asks[key], answer, show=script.show)}"
        for key, answer in answers.by_key.items()
        if key in asks and asks[key].kind is not Kind.PAUSE
    ]
    return tuple(told[-2:])


def answer_words(question: Question, answer: Answer, *, show: Show | None = None) -> str:
    """Give an answer as one would say it: the words behind a digit, the reason behind its word.

    Args:
        question: What was asked.
        answer: What counts.
        show: For numbers with their unit; None: as they were typed.
    """
    if answer.reason:
        choices = (*question.choices, *reasons())
        said = next((c.text for c in choices if c.word == answer.reason), answer.reason)
        return answer.text or said
    if question.kind is Kind.CHOICE:
        chosen = next((c.text for c in question.choices if c.word == answer.word), answer.typed)
        return answer.text or chosen
    if show is not None and answer.value is not None:
        return number_said(question, answer.value, show)
    return answer.typed or answer.text or answer.word
