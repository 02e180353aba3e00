"""Lines for plain mode: wrapped, unadorned, in the order they are to be heard."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator

from tendtui.core.prompt import Choice, Kind, Prompt, Question, twice_words
from tendtui.words import _

__all__ = ["choice_lines", "command_words", "help_lines", "question_lines", "say", "state_lines"]

_NARROWEST, _WIDEST = 20, 78


def command_words() -> dict[str, str]:
    """Give what can be typed instead of an answer: the English word, which always works -> the one in use."""
    return {
        "back": _("back"),
        "undo": _("undo"),
        "skip": _("skip"),
        "note": _("note"),
        "same": _("same"),
        "list": _("list"),
        "help": _("help"),
        "pause": _("pause"),
        "drill": _("drill"),
        "brief": _("brief"),
        "learner": _("learner"),
    }


def say(lines: Iterable[str]) -> None:
    """Print lines, each wrapped to the terminal's width, continuation lines indented."""
    columns = max(_NARROWEST, min(shutil.get_terminal_size((_WIDEST + 1, 24)).columns - 1, _WIDEST))
    for line in map(_printable, lines):
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        print("\n".join(textwrap.wrap(line, columns, subsequent_indent=indent)))
    sys.stdout.flush()


def _printable(line: str) -> str:
    """Leave out what steers a terminal: names come from files that people edit by hand."""
    return "".join(c if c.isprintable() or c in "\u200c\u200d" else " " for c in line)


def question_lines(prompt: Prompt, *, learner: bool) -> Iterator[str]:
    """Give a question as it is read out: where one stands, what is known, what is asked, how to answer."""
    question = prompt.question
    yield ""
    yield f"{prompt.title}, {prompt.stage}" if prompt.stage else prompt.title
    yield from question.before
    yield from (_("Safety: {line}").format(line=line) for line in question.safety)
    placed = question.place and question.kind is not Kind.PAUSE
    yield f"{question.place}: {question.ask}" if placed else question.ask
    if learner:
        yield from _explained(question)
    yield from (f"  {name}: {value}" for name, value in question.facts)
    if prompt.first:
        yield f"  {twice_words(question)[0]}: {prompt.first}"
    if prompt.answered:
        yield "  " + _("answered: {typed} (Enter keeps it)").format(typed=prompt.answered)
    if prompt.note:
        yield "  " + _("note: {note}").format(note=prompt.note)
    yield from choice_lines(question.choices)
    if prompt.first:
        again = twice_words(question)[1]
        yield again[:1].upper() + again[1:] + ":"
    yield _("In an emergency type: {drill}").format(drill=command_words()["drill"])
    yield from _how_to_answer(question)


def choice_lines(choices: Iterable[Choice]) -> Iterator[str]:
    """Give a numbered list."""
    return (f"  {choice.digit}  {choice.text}" for choice in choices)


def state_lines(prompt: Prompt) -> Iterator[str]:
    """Give the list of stations, each with its mark and what was found."""
    for row in prompt.rows:
        found = f": {row.found}" if row.found else ""
        yield f"{row.mark.value} {row.number} {row.name}{found}"


def help_lines(prompt: Prompt, *, learner: bool) -> Iterator[str]:
    """Explain the question and the words that can be typed."""
    if not learner:
        yield from _explained(prompt.question)
    said = {
        "back": _("look at the question before"),
        "undo": _("take the last answer back"),
        "skip": _("this was not done, and why"),
        "note": _("keep a few words: note the pump hums"),
        "list": _("where this walk stands"),
        "pause": _("stop here; everything so far is saved"),
        "drill": _("in an emergency: what to do, and whom to ring"),
        "brief": _("ask with fewer words"),
        "learner": _("ask with where, how and why"),
    }
    if prompt.question.same:
        said["same"] = _("the same as last time ({same})").format(same=prompt.question.same)
    words = command_words()
    yield _("Instead of an answer you can type:")
    yield from (f"  {words[word]}: {what}" for word, what in said.items())


def _explained(question: Question) -> Iterator[str]:
    named = (
        (_("Where"), question.where),
        (_("How"), question.how),
        (_("Why"), question.why),
        (_("Good"), question.good),
    )
    return (f"  {name}: {text}" for name, text in named if text)


def _how_to_answer(question: Question) -> Iterator[str]:
    match question.kind:
        case Kind.NUMBER:
            unit = f" ({question.unit})" if question.unit else ""
            yield _("Type a number{unit}, or help.").format(unit=unit)
        case Kind.CHOICE:
            yield _("Type a number of the list, or help.")
        case Kind.TEXT:
            yield _("Type the name, or help.") if question.expects else _("Type words, or help.")
        case Kind.PAUSE:
            yield _("Press Enter to go on.")
    if question.optional:
        yield _("Press Enter alone if it is not known.")
