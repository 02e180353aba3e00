"""Holding, freeing or forgetting a learned figure in two keys; the diary says who did it and when."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from tendtui.core.event import Event, Note
from tendtui.core.figure import FORGOTTEN, FREED, HELD, figure_name, figures_of, note_of
from tendtui.core.learned import Learning
from tendtui.core.learned_words import figure_lesson
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.rack_script import RackScript
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["FigureScript"]

_FIGURE, _ACT = "figure.which", "figure.act"
_LEAVE = "leave"


@value_class
class FigureScript(RackScript):
    """The walk that does one thing with one figure."""

    learning: Learning
    """What was learned, and what is held."""
    after: Callable[[str, str], Mapping[str, object]]
    """Act and figure -> the new content of `[learned]`."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "figure"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("LEARNED, BY HAND")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask for the figure, then for what to do with it."""
        questions = [self._which()]
        if answers.word(_FIGURE):
            questions.append(self._act(answers.word(_FIGURE)))
        return (Station(id="figure", name=_("a learned figure"), questions=tuple(questions)),)

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was chosen."""
        del station
        figure = answers.word(_FIGURE)
        return figure_name(figure) if figure else ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Nothing yet: the note goes with the new figures, at the end."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the note and the new figures."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        act, figure = answers.word(_ACT), answers.word(_FIGURE)
        if act == _LEAVE:
            return Finish(events=notes, said=(_("Nothing was changed."),))
        note = note_of(act, figure, at=now, by=walk.by)
        said = _("{what}. It stands in the diary.").format(what=note.text[:1].upper() + note.text[1:])
        return Finish(events=(*notes, note), said=(said,), learned=self.after(act, figure))

    def _which(self) -> Question:
        rows = tuple((name, self._told(name)) for name in figures_of(self.rack)[:9])
        return _choice(_FIGURE, _("Which figure?"), rows)

    def _told(self, figure: str) -> str:
        """Name a figure, with what was learned of it and whether it is held."""
        lesson = figure_lesson(self.rack, self.learning, figure)
        held = _("held by hand") if figure in self.learning.frozen else ""
        told = "; ".join(part for part in (lesson or _("nothing learned yet"), held) if part)
        return f"{figure_name(figure)}: {told}"

    def _act(self, figure: str) -> Question:
        hold = (HELD, _("keep it as it is, from now on"))
        if figure in self.learning.frozen:
            hold = (FREED, _("let it learn again, from the whole diary"))
        rows = (
            hold,
            (FORGOTTEN, _("forget it: learn it anew from now on")),
            (_LEAVE, _("leave it as it is")),
        )
        return _choice(_ACT, _("What shall become of it?"), rows, before=(self._told(figure),))


def _choice(key: str, ask: str, rows: tuple[tuple[str, str], ...], before: tuple[str, ...] = ()) -> Question:
    choices = tuple(
        Choice(digit=str(n), word=word, text=text) for n, (word, text) in enumerate(rows, start=1)
    )
    return Question(
        key=key,
        place=_("what this rack taught"),
        ask=ask,
        kind=Kind.CHOICE,
        choices=choices,
        before=before,
        may_skip=False,
    )
