"""A question in blocks: what was found, safety, the question itself, how to do it, facts, answers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from tendtui.core.prompt import Prompt, Question
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look, fit, pad, span, wrap
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Blocks", "blocks_of", "more_words", "squeezed", "stacked"]

_LEAST_WINDOW = 1
"""Rows of a long text that stay in view while one looks through it."""


@value_class
class Blocks:
    """The parts of a question, in the order in which they are read."""

    told: tuple[Line, ...]
    safety: tuple[Line, ...]
    asked: tuple[Line, ...]
    explained: tuple[Line, ...]
    facts: tuple[Line, ...]
    choices: tuple[Line, ...]


def blocks_of(prompt: Prompt, width: int, *, learner: bool, shed: int = 0) -> Blocks:
    """Draw every part of a question.

    Args:
        prompt: The question as it stands.
        width: Cells there are.
        learner: Whether where, how, why and good are in view.
        shed: How many of these give way where rows are few.
    """
    question = prompt.question
    first = ((_("first reading"), prompt.first),) if prompt.first else ()
    answered = ((_("answered"), prompt.answered),) if prompt.answered else ()
    return Blocks(
        told=tuple(line for text in question.before for line in marked(text, width - 1)),
        safety=_safety(question.safety, width),
        asked=_asked(question, width),
        explained=_labelled(_explained(question, shed), width) if learner else (),
        facts=_facts((*question.facts, *first, *answered), width),
        choices=_choices(question, width),
    )


def stacked(blocks: Blocks, *, spacious: bool) -> tuple[Line, ...]:
    """Put the parts under each other, apart where there is room."""
    lines: list[Line] = []
    for block in _in_order(blocks):
        if block and lines and spacious:
            lines.append(())
        lines += block
    return tuple(lines)


def _in_order(blocks: Blocks) -> Iterable[tuple[Line, ...]]:
    return (blocks.told, blocks.safety, blocks.asked, blocks.explained, blocks.facts, blocks.choices)


def squeezed(blocks: Blocks, room: int, scroll: int) -> tuple[Line, ...]:
    """Put the parts into too few rows: safety, question and answers stay, one looks through the rest.

    Args:
        blocks: The parts.
        room: Rows there are.
        scroll: Rows looked down.
    """
    text = (*blocks.told, *blocks.explained)
    for moved, stays in (
        ((), (*blocks.safety, *blocks.asked, *blocks.facts, *blocks.choices)),
        (blocks.facts, (*blocks.safety, *blocks.asked, *blocks.choices)),
        ((*blocks.safety, *blocks.facts), (*blocks.asked, *blocks.choices)),
    ):
        rows = room - len(stays) - 1
        whole = (*moved, *text)
        if rows >= min(_LEAST_WINDOW, len(whole)):
            return (*_window(whole, rows, scroll), *stays)
    return _window((*_in_one(blocks),), max(1, room - 1), scroll)


def _in_one(blocks: Blocks) -> Iterable[Line]:
    return (line for block in _in_order(blocks) for line in block)


def _window(text: Sequence[Line], rows: int, scroll: int) -> tuple[Line, ...]:
    top = max(0, min(scroll, len(text) - rows))
    above, below = top, len(text) - top - rows
    return (*text[top : top + rows], span("    " + more_words(above, below)))


def more_words(above: int, below: int) -> str:
    """Say how many rows are out of view, and which keys show them."""
    told = [
        words.format(n=count)
        for words, count in ((_("{n} more above"), above), (_("{n} more below"), below))
        if count > 0
    ]
    return _("{what}: PageUp, PageDown").format(what=", ".join(told)) if told else ""


def _explained(question: Question, shed: int) -> tuple[tuple[str, str], ...]:
    """Give the learner's lines; why gives way first, then where, then good."""
    told = (
        (_("Where"), question.where, 2),
        (_("How"), question.how, 4),
        (_("Why"), question.why, 1),
        (_("Good"), question.good, 3),
    )
    return tuple((label, text) for label, text, goes_at in told if text and shed < goes_at)


def _asked(question: Question, width: int) -> tuple[Line, ...]:
    place = question.place.upper()
    if place and cell_len(place) + cell_len(question.ask) + 6 <= width:
        return (((" " + place + "   ", Look.PLAIN), (question.ask, Look.BOLD)),)
    titled = span(" " + fit(place, width - 2))
    lines = tuple(span(line, Look.BOLD) for line in wrap(question.ask, width - 1, first=" "))
    return (titled, *lines) if place else lines


def _safety(lines: Sequence[str], width: int) -> tuple[Line, ...]:
    label = pad(_("Safe"), 7)
    drawn: list[Line] = []
    for number, text in enumerate(lines):
        for part, broken in enumerate(wrap(text, width - 10)):
            mark = label if number == part == 0 else " " * 7
            drawn.append(((" " + mark, Look.BOLD), (broken, Look.PLAIN)))
    return tuple(drawn)


def _labelled(pairs: Sequence[tuple[str, str]], width: int) -> tuple[Line, ...]:
    room = max((cell_len(label) for label, _text in pairs), default=0) + 2
    drawn: list[Line] = []
    for label, text in pairs:
        for part, broken in enumerate(wrap(text, width - room - 2)):
            drawn.append(((" " + pad(label if part == 0 else "", room), Look.BOLD), (broken, Look.PLAIN)))
    return tuple(drawn)


def _facts(facts: Sequence[tuple[str, str]], width: int) -> tuple[Line, ...]:
    """Give what stands beside the field, two facts a row where both fit."""
    room = max((cell_len(label) for label, _value in facts), default=0) + 2
    cells = [f"{pad(label, room)}{value}" for label, value in facts]
    half = (width - 4) // 2
    drawn: list[Line] = []
    at = 0
    while at < len(cells):
        pair = cells[at : at + 2]
        if len(pair) == 2 and all(cell_len(cell) <= half - 1 for cell in pair):
            drawn.append(span("   " + pad(pair[0], half) + fit(pair[1], half)))
            at += 2
        else:
            drawn += [span(line) for line in wrap(pair[0], width - 1, first="   ", rest=" " * (room + 3))]
            at += 1
    return tuple(drawn)


def _choices(question: Question, width: int) -> tuple[Line, ...]:
    drawn: list[Line] = []
    for choice in question.choices:
        for part, broken in enumerate(wrap(choice.text, width - 8)):
            digit = f"{choice.digit if part == 0 else '':>4}  "
            drawn.append(((digit, Look.BOLD), (broken, Look.PLAIN)))
    return tuple(drawn)
