"""Drives a walk of a real session by answers, as a person would."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta

from tendtui.core.prompt import Kind, Prompt, Question
from tendtui.session.session import Outcome, Session
from tendtui.store.folder import Folder
from tendtui.value import value_class

__all__ = ["Tick", "open_at", "walk_through"]

MOST = 200


@value_class(frozen=False, kw_only=False)
class Tick:
    """A clock that a test moves on."""

    at: datetime

    def now(self) -> datetime:
        return self.at


def open_at(folder: Folder, at: datetime, *, by: str = "") -> tuple[Session, Tick]:
    clock = Tick(at)
    return Session(folder, clock=clock, by=by), clock


def walk_through(
    session: Session,
    kind: str,
    answers: Mapping[str, str] | Callable[[Question], str],
    *,
    outcome: Outcome,
    clock: Tick | None = None,
) -> tuple[tuple[Prompt, ...], tuple[str, ...]]:
    """Answer every question of one kind of walk; pauses get Enter, waits are waited out.

    Returns:
        The prompts as they came, and what was said at the end.
    """
    seen: list[Prompt] = []
    for _turn in range(MOST):
        prompt = outcome.prompt
        if prompt is None or prompt.walk != kind:
            return tuple(seen), outcome.said
        seen.append(prompt)
        question = prompt.question
        if clock is not None:
            clock.at += timedelta(seconds=5)
            if question.until is not None and clock.at < question.until:
                clock.at = question.until
        typed = (
            ""
            if question.kind is Kind.PAUSE
            else answers(question)
            if callable(answers)
            else answers[question.key]
        )
        outcome = session.enter(kind, key=question.key, typed=typed)
    raise AssertionError(f"{kind} does not end")
