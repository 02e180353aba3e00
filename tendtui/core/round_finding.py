"""What a look of the round leaves open: a finding that stays until somebody closes it."""

from __future__ import annotations

from tendtui.core.event import TaskDone
from tendtui.core.finding_follow import follow_due
from tendtui.core.looks import RoundWords, answer_seen
from tendtui.core.prompt import Kind, Question, called
from tendtui.core.walk_value import Answers, Entry
from tendtui.words import _

__all__ = ["found_in", "stop_seen"]


def found_in(question: Question, entry: Entry, words: RoundWords) -> tuple[TaskDone, ...]:
    """Give the finding that an answer opens; nothing where it is only looked at again."""
    seen = answer_seen(question.key, entry.word, words) if question.kind is Kind.CHOICE else None
    if seen is None or not seen.follow:
        return ()
    found = TaskDone(
        id="",
        seq=0,
        at=entry.at,
        by=entry.by,
        task=seen.follow,
        outcome="found",
        text=f"{called(question)}: {_(seen.short)}",
        severity=seen.severity,
        due=follow_due(seen.severity, entry.at),
    )
    return (found,)


def stop_seen(answers: Answers, words: RoundWords) -> str:
    """Give what was seen that bars hands over the water; an empty text: nothing."""
    for key, answer in answers.by_key.items():
        seen = answer_seen(key, answer.word, words)
        if seen is not None and seen.severity == "stop":
            return _(seen.short)
    return ""
