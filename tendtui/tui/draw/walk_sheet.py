"""One question of any walk, drawn: the stations, the question, its field, the keys that work now."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rich.cells import cell_len

from tendtui.core.prompt import Kind, Prompt, Question
from tendtui.tui.draw.question_block import Blocks, blocks_of, squeezed, stacked
from tendtui.tui.draw.sheet import Sheet, Spot, bar, footer, head, marked, rule
from tendtui.tui.draw.station_list import LEAST_LISTED, MOST_LISTED, station_list
from tendtui.tui.line import Line, Look, columns, fit, span
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["WalkView", "draw_walk"]


@value_class
class WalkView:
    """Everything that the page of a walk shows."""

    prompt: Prompt
    by: str
    at: datetime
    learner: bool
    """Whether where, how, why and good are in view."""
    commands: tuple[tuple[str, str], ...]
    """Key and words of what can be done now."""
    typed: str = ""
    """What stands in the field, to name the answer that a digit means."""
    notice: str = ""
    hint: str = ""
    """A key that has no place in the footer."""
    resumed: tuple[str, ...] = ()
    """What whoever takes the walk up again should know."""
    stops: tuple[str, ...] = ()
    scroll: int = 0
    """Rows looked down (up, where negative) from where the question stands."""
    signs: str = "ascii"


def draw_walk(view: WalkView, width: int, height: int) -> Sheet:
    """Draw the question so that it fits; what doesn't is reached by looking down."""
    top = _head(view, width)
    answer, spot = _answer(view, width)
    notices = tuple(line for text in (view.notice, *view.resumed) for line in marked(text, width - 1))
    foot = (_foot(view, width), footer(view.commands, width))
    room = height - len(top) - len(answer) - len(notices) - len(foot)
    blocks, spacious, list_room = _shares(view, width, room)
    listed = station_list(view.prompt.rows, width, list_room, scroll=view.scroll, signs=view.signs)
    body = stacked(blocks, spacious=spacious)
    most = max(0, len(body) - (room - len(listed)))
    if most:
        body = squeezed(blocks, max(1, room - len(listed)), view.scroll)
    blank = max(0, room - len(listed) - len(body))
    before_answer = 1 if blank > 1 and body else 0
    before_notice = 1 if notices and blank > before_answer else 0
    lines = [*top, *listed, *body, *[()] * before_answer]
    row = len(lines)
    lines += [*answer, *[()] * before_notice, *notices]
    lines += [*[()] * (height - len(lines) - len(foot)), *foot]
    rows = len(view.prompt.rows)
    return Sheet(
        lines=tuple(lines),
        field=Spot(row=row, column=spot.column, width=spot.width),
        scrolls=(-rows, max(rows, most + 1)),
    )


def _shares(view: WalkView, width: int, room: int) -> tuple[Blocks, bool, int]:
    """Share the rows between the list of stations and the question: the question comes first.

    Returns:
        The question's parts, whether they stand apart, and the rows left for the list.
    """
    rows = len(view.prompt.rows)
    whole, part, folded = (min(rows, MOST_LISTED) + 1, min(rows, LEAST_LISTED) + 1, 2) if rows else (0, 0, 0)
    for least, spacious, shed in _shapes(whole, part, folded, learner=view.learner and not view.scroll):
        blocks = blocks_of(view.prompt, width, learner=view.learner, shed=shed)
        taken = len(stacked(blocks, spacious=spacious))
        if least + taken <= room:
            return blocks, spacious, min(whole, room - taken)
    blocks = blocks_of(view.prompt, width, learner=view.learner)
    stays = len(blocks.safety) + len(blocks.asked) + len(blocks.choices)
    if view.prompt.question.kind is Kind.PAUSE:
        folded = 0  # a page to be read: the list comes back with the next question
    return blocks, False, max(0, min(folded, room - stays - 2))


def _shapes(whole: int, part: int, folded: int, *, learner: bool) -> Iterator[tuple[int, bool, int]]:
    """Give the shapes a page may take, best first: rows of list, parts apart, lines that give way."""
    yield from ((whole, True, 0), (whole, False, 0), (part, True, 0), (part, False, 0))
    if learner:
        yield (whole, False, 1)
    yield from ((folded, True, 0), (folded, False, 0))
    if learner:
        yield from ((folded, False, shed) for shed in (1, 2, 3))


def _head(view: WalkView, width: int) -> tuple[Line, ...]:
    prompt = view.prompt
    brief = "" if view.learner else _("brief")  # where few words are shown, it is said that there are more
    who = ", ".join(part for part in (view.by, brief) if part)
    until = prompt.question.until
    wait = "" if until is None else _("read again {time}").format(time=f"{until:%H:%M}")
    first = head((prompt.title.upper(), wait, prompt.stage, f"{view.at:%H:%M}"), who, width)
    return (first, *bar(view.stops, width), rule(width, view.signs))


def _answer(view: WalkView, width: int) -> tuple[tuple[Line, ...], Spot]:
    """Give the row of the field: its label, the field, the unit in words or the answer that a digit means."""
    question = view.prompt.question
    label = _label(view.prompt)
    column = cell_len(label) + 6
    match question.kind:
        case Kind.NUMBER:
            field, beside = 12, question.unit
        case Kind.CHOICE:
            field, beside = 4, _meant(question, view.typed)
        case Kind.TEXT:
            field, beside = max(10, width - column - 2), ""
        case Kind.PAUSE:
            field, beside = 1, ""
    room = width - column - field - 2
    line: Line = (
        (f"   {label} ", Look.PLAIN), ("> ", Look.HERE), (" " * field, Look.PLAIN), ("  ", Look.PLAIN),
        (fit(beside, room) if room > 2 else "", Look.PLAIN),
    )  # fmt: skip
    return (line,), Spot(row=0, column=column, width=field)


def _label(prompt: Prompt) -> str:
    if prompt.first:
        return _("second reading")
    if prompt.question.kind is Kind.PAUSE:
        return _("Enter to go on")
    return _("your answer")


def _meant(question: Question, typed: str) -> str:
    return next((choice.text for choice in question.choices if choice.digit == typed.strip()), "")


def _foot(view: WalkView, width: int) -> Line:
    """Give the row above the keys: what was just done, and the note of this place."""
    note = view.prompt.note
    right = span(fit(_("note: {text}").format(text=note), width // 2) + " ") if note else ()
    return columns(span(" " + (view.prompt.said or view.hint)), right, width)
