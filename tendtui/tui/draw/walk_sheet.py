"""One question of any walk, drawn: the stations, the question, its field, the keys that work now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from rich.cells import cell_len

from tendtui.core.prompt import Kind, Mark, Prompt, Question, Row
from tendtui.tui.draw.sheet import Sheet, Spot, bar, footer, head, marked, rule
from tendtui.tui.line import Line, Look, columns, fit, pad, span, wrap
from tendtui.words import _

__all__ = ["WalkView", "draw_walk"]

_LEAST_BODY = 7
"""Rows the question keeps before the list of stations folds."""


@dataclass(frozen=True, slots=True, kw_only=True)
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
    resumed: tuple[str, ...] = ()
    """What whoever takes the walk up again should know."""
    stops: tuple[str, ...] = ()
    scroll: int = 0
    """Rows looked down (up, where negative) from where the question stands."""
    signs: str = "ascii"


def draw_walk(view: WalkView, width: int, height: int) -> Sheet:
    """Draw the question so that it fits; what doesn't is reached by looking down."""
    top = _head(view, width)
    question = view.prompt.question
    answer, spot = _answer(view, width)
    notices = (*marked(view.notice, width - 1), *_resumed(view, width))
    foot = (_foot(view, width), footer(view.commands, width))
    body = _body(view, width, spacious=True)
    fixed = len(top) + len(answer) + len(notices) + len(foot)
    if fixed + len(body) + _list_height(view) > height:
        body = _body(view, width, spacious=False)
    fewest = fixed + (2 if view.prompt.rows else 0)
    for shed in (1, 2, 3):
        if fewest + len(body) > height and view.learner and not view.scroll:
            body = _body(view, width, spacious=False, shed=shed)
    spare = height - fixed - len(body)
    listed = _list(view, width, spare)
    room = max(3, height - fixed - len(listed))
    if len(body) > room:
        body = _looked_at(body, room, view.scroll, question)
    blank = max(0, height - fixed - len(listed) - len(body))
    roomy = 1 if blank > 1 and body else 0
    lines = [*top, *listed, *body, *[()] * roomy, *answer]
    row = len(lines) - len(answer)
    if notices and blank - roomy > 0:
        roomy += 1
        lines.append(())
    lines += [*notices, *[()] * (blank - roomy), *foot]
    return Sheet(lines=tuple(lines), field=Spot(row=row, column=spot.column, width=spot.width))


def _head(view: WalkView, width: int) -> tuple[Line, ...]:
    prompt = view.prompt
    form = _("learner") if view.learner else _("brief")
    who = f"{view.by}, {form}" if view.by else form
    until = prompt.question.until
    wait = "" if until is None else _("read again {time}").format(time=f"{until:%H:%M}")
    first = head((prompt.title.upper(), prompt.stage, f"{view.at:%H:%M}", wait), who, width)
    return (first, *bar(view.stops, width), rule(width, view.signs))


def _list_height(view: WalkView) -> int:
    return len(view.prompt.rows) + 1 if view.prompt.rows else 0


def _list(view: WalkView, width: int, room: int) -> tuple[Line, ...]:
    """Give the station list in at most `room` rows, its rule counted; at least one row."""
    rows = view.prompt.rows
    if not rows:
        return ()
    line = rule(width, view.signs)
    if len(rows) + 1 <= room:
        return (*(_row(row, rows, width) for row in rows), line)
    if room >= 5:
        return (*_part(rows, room - 1, width, view.scroll), line)
    return (_folded(rows, width), line) if room >= 2 else (_folded(rows, width),)


def _row(row: Row, rows: Sequence[Row], width: int) -> Line:
    name_width = min(30, max(cell_len(r.name) for r in rows) + 2, width // 2)
    digits = len(str(rows[-1].number))
    return (
        (" ", Look.PLAIN),
        _mark(row.mark),
        (f" {row.number:>{digits}} ", Look.PLAIN),
        (pad(row.name, name_width), Look.BOLD if row.mark is Mark.HERE else Look.PLAIN),
        (" " + fit(row.found, width - name_width - digits - 8), Look.PLAIN),
    )


def _mark(mark: Mark) -> tuple[str, Look]:
    looks = {Mark.HERE: Look.HERE, Mark.LOOK: Look.LOOK}
    return mark.value, looks.get(mark, Look.PLAIN)


def _part(rows: Sequence[Row], room: int, width: int, scroll: int) -> tuple[Line, ...]:
    """Give the rows round the one where one stands, and how many there are above and below."""
    here = next((n for n, row in enumerate(rows) if row.mark is Mark.HERE), 0)
    inner = room - 1
    top = max(0, min(here - inner // 2 + scroll, len(rows) - inner))
    above, below = top, len(rows) - top - inner
    told = _("{above} more above, {below} below: PageUp, PageDown").format(above=above, below=below)
    return (
        *(_row(row, rows, width) for row in rows[top : top + inner]),
        span("     " + fit(told, width - 6)),
    )


def _folded(rows: Sequence[Row], width: int) -> Line:
    """Give the whole list in one line: the marks, then where one stands."""
    here = next((row for row in rows if row.mark is Mark.HERE), None)
    signs = {Mark.DONE: "x", Mark.HERE: ">", Mark.OPEN: ".", Mark.NOT_DONE: "-", Mark.LOOK: "!"}
    line: list[tuple[str, Look]] = [(" [", Look.PLAIN)]
    line += [(signs[row.mark], _mark(row.mark)[1]) for row in rows]
    line.append(("] ", Look.PLAIN))
    if here is not None:
        line.append((fit(f"{here.number} {here.name}", width - len(rows) - 6), Look.BOLD))
    return tuple(line)


def _body(view: WalkView, width: int, *, spacious: bool, shed: int = 0) -> tuple[Line, ...]:
    """Give what is asked and all that stands with it.

    Args:
        view: The page's values.
        width: Cells there are.
        spacious: Whether blocks stand apart.
        shed: How many of the learner's lines give way where rows are few; `?` shows them all.
    """
    question, prompt = view.prompt.question, view.prompt
    blocks: list[tuple[Line, ...]] = []
    if question.before:
        blocks.append(tuple(line for text in question.before for line in marked(text, width - 1)))
    if question.safety:
        blocks.append(_safety(question.safety, width))
    blocks.append(_asked(question, width))
    if view.learner:
        blocks.append(_labelled(_explained(question, shed), width))
    facts = (*question.facts, *(((_("first reading"), prompt.first),) if prompt.first else ()))
    if prompt.answered:
        facts = (*facts, (_("answered"), prompt.answered))
    blocks.append(_facts(facts, width))
    blocks.append(_choices(question, width))
    lines: list[Line] = []
    for block in blocks:
        if block and lines and spacious:
            lines.append(())
        lines += block
    return tuple(lines)


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
        return (((" " + place, Look.BOLD), ("   " + question.ask, Look.PLAIN)),)
    titled = span(" " + fit(place, width - 2), Look.BOLD)
    lines = tuple(span(line) for line in wrap(question.ask, width - 1, first=" "))
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


def _resumed(view: WalkView, width: int) -> tuple[Line, ...]:
    return tuple(line for text in view.resumed for line in marked(text, width - 1))


def _foot(view: WalkView, width: int) -> Line:
    """Give the row above the keys: what was just done, and the note of this place."""
    note = view.prompt.note or _("none")
    right = span(fit(_("note: {text}").format(text=note), width // 2) + " ")
    return columns(span(" " + view.prompt.said), right, width)


def _looked_at(body: Sequence[Line], room: int, scroll: int, question: Question) -> tuple[Line, ...]:
    """Give the part of a body too long for its room; the choices stand at its end and show first."""
    last = len(body) - (room - 1)
    top = max(0, min(last, (last if question.choices else 0) + scroll))
    told = _("more above and below: PageUp, PageDown")
    return (*body[top : top + room - 1], span(" .. " + fit(told, 70)))
