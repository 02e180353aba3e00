"""The page of every walk: round, dose, leaving, set-up, tasks, change day.

It shows the session's prompt and hands back what was typed; it knows nothing of readings or doses.
Why something was not done, the words of a note, and what an answer `something else` means are asked in
the same place, as questions of the page's own.
"""

from __future__ import annotations

from collections.abc import Callable

from textual import on

from tendtui.core.prompt import Choice, Kind, Prompt, Question
from tendtui.core.reason import reasons
from tendtui.errors import OutOfTurnError, TendError
from tendtui.tui.command import Command, harmless_keys, keys_of, letters_of
from tendtui.tui.commands import WALK
from tendtui.tui.desk import Outcome
from tendtui.tui.draw.rack_picture import rack_picture
from tendtui.tui.draw.sheet import Sheet, beside, offered
from tendtui.tui.draw.walk_sheet import WalkView, draw_walk
from tendtui.tui.line import span
from tendtui.tui.messages import FieldChanged
from tendtui.tui.screens.page import Page
from tendtui.tui.widgets.number_entry import Ask, Takes
from tendtui.value import replace
from tendtui.words import _

__all__ = ["WalkPage"]

_TAKES = {
    Kind.NUMBER: Takes.NUMBER,
    Kind.CHOICE: Takes.DIGITS,
    Kind.TEXT: Takes.WORDS,
    Kind.PAUSE: Takes.NOTHING,
}

_WIDE, _PICTURE = 116, 46
"""Columns from which the rack stands beside the question, and the columns it takes."""

Aside = Callable[[str], None]
"""What to do with the answer to a question of the page's own."""


class WalkPage(Page[None]):
    """One walk, and those that follow it, until nothing is left to ask."""

    OFFERS = WALK

    def __init__(
        self, kind: str, outcome: Outcome, *, taken_up: tuple[str, ...] = (), stale: bool = False
    ) -> None:
        """Take a walk that was begun.

        Args:
            kind: The walk's kind.
            outcome: What the session gave when it was started or taken up.
            taken_up: What whoever takes it up again should know.
            stale: Whether its part is offered to be done again.
        """
        super().__init__()
        if outcome.prompt is None:
            raise ValueError(f"the walk {kind} has nothing to ask")
        self.kind = kind
        self.prompt: Prompt = outcome.prompt
        self.taken_up = taken_up
        self.stale = stale
        self.told = outcome.said
        """What the session said when the walk began."""
        self.swapped = False
        self.aside: tuple[Question, Aside] | None = None
        self._reread = False
        """Whether the walk was just read anew, since it had moved on by another hand."""

    # drawing

    @property
    def question(self) -> Question:
        """What is asked just now, by the walk or by the page itself."""
        return self.prompt.question if self.aside is None else self.aside[0]

    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the question asked."""
        learner = self.tend.desk.person().form == "learner"
        question = self.question
        if self.aside is None:
            shown = replace(self.prompt, question=replace(question, before=(*self.told, *question.before)))
        else:
            shown = replace(self.prompt, question=question, first="", answered="")
        view = WalkView(
            prompt=shown,
            by=self.tend.desk.by,
            at=self.tend.desk.now(),
            learner=learner is not self.swapped,
            commands=offered(self.active(), words=question.kind is Kind.TEXT),
            typed=self.entry.text,
            notice=self.notice or (self.prompt.notice if self.aside is None else ""),
            resumed=(*self.taken_up, *(f"[!] {trouble}" for trouble in self.tend.desk.troubles)),
            stops=self.tend.stops,
            scroll=self.scroll_rows,
            signs=self.tend.terminal.signs,
        )
        return self._with_picture(view, width, height)

    def _with_picture(self, view: WalkView, width: int, height: int) -> Sheet:
        """Put the rack beside the question where the window is wide, the tier one stands at marked."""
        seen = self.tend.seen
        if width < _WIDE or seen is None:
            return draw_walk(view, width, height)
        left = width - _PICTURE
        today, show = seen
        picture = rack_picture(
            today,
            show=show,
            width=_PICTURE - 2,
            height=min(height - 5, 26),
            signs=view.signs,
            here=self.prompt.question.place,
        )
        captioned = (span("  " + _("the rack as last read")), *picture)
        return beside(draw_walk(view, left, height), captioned, width=left + 1, at=1)

    def active(self) -> tuple[Command, ...]:
        """Give the commands that hold for this question."""
        question = self.question
        hidden: set[str] = set()
        hidden.add("TakeIt" if question.kind is Kind.PAUSE else "GoOn")
        if not question.same:
            hidden.add("Same")
        if not self.stale:
            hidden.add("RedoPart")
        if not question.may_skip or self.aside is not None:
            hidden.add("NotDone")
        if self.aside is not None:
            hidden |= {"WriteNote", "Undo", "Explain", "LookBack", "RedoPart"}
        if not (question.where or question.how or question.why or question.good):
            hidden.add("Explain")
        return tuple(command for command in WALK if command.name not in hidden)

    def ask(self) -> Ask:
        """Open the field for the question asked now."""
        question, commands = self.question, self.active()
        again = bool(self.prompt.first) and self.aside is None
        return Ask(
            key=question.key,
            takes=_TAKES[question.kind],
            quiet=question.quiet or question.kind is Kind.PAUSE or again,
            same=question.same,
            letters=letters_of(commands),
            keys=keys_of(commands),
            harmless=harmless_keys(commands),
        )

    # what is typed

    def entered(self, typed: str) -> None:
        """Hand the answer over."""
        if self.aside is not None:
            self._aside_entered(typed)
            return
        choice = self._chosen(typed)
        if choice is not None and choice.ask_text:
            self._say_what(choice)
            return
        key, kind, same = self.question.key, self.kind, self.entered_same
        desk = self.tend.desk
        self.save(lambda: desk.enter(kind, key=key, typed=typed, same=same), self._went_on)

    def command(self, name: str) -> bool:
        """Answer a command of the walk."""
        desk, kind = self.tend.desk, self.kind
        match name:
            case "NotDone":
                self._ask_why_not()
            case "WriteNote":
                self._ask_note()
            case "Undo":
                self.save(lambda: desk.undo(kind), self._went_on)
            case "LookBack":
                self.save(lambda: desk.look_back(kind), self._went_on)
            case "RedoPart":
                self.save(lambda: desk.redo(kind), self._went_on)
            case "Explain":
                self.swapped = not self.swapped
                self.scroll_rows = 0
                return False
            case "Pause":
                self._pause()
            case _:
                return False
        return True

    def _went_on(self, outcome: Outcome) -> None:
        """Show the next question, or the end."""
        self.aside, self.stale, self.taken_up, self.told = None, False, (), ()
        self.swapped, self.scroll_rows, self.notice, self._reread = False, 0, "", False
        if outcome.prompt is None:
            self._end(outcome.said)
            return
        ended = self.prompt.title
        self.prompt = outcome.prompt
        self.kind = outcome.prompt.walk
        if outcome.said:
            self._tell(ended, outcome.said)
        else:
            self.open_field()

    def _tell(self, place: str, said: tuple[str, ...]) -> None:
        """Say what a walk that ended on the way leaves to say, before the next begins."""
        question = Question(
            key="told",
            place=place,
            ask=_("This is finished. Next: {title}.").format(title=self.prompt.title),
            kind=Kind.PAUSE,
            before=said,
            may_skip=False,
            quiet=True,
        )
        self._ask_aside(question, lambda _typed: self._back_to_walk())

    def _end(self, said: tuple[str, ...]) -> None:
        from tendtui.tui.screens.told import ToldPage

        if self.tend.desk.person().may_be_brief:
            offer = _(
                "Clean rounds, one after another. If fewer words will do: b on today's page, once for all."
            )
            said = (*said, offer)
        self.app.switch_screen(ToldPage(_("Finished"), said))

    def refused(self, error: TendError) -> None:
        """Say why; where the walk moved on by another hand, show where it stands now."""
        if not isinstance(error, OutOfTurnError):
            super().refused(error)
        elif self._reread:
            self.tend.to_today("[!] " + str(error))
        else:
            self._reread = True
            desk, kind = self.tend.desk, self.kind
            desk.forget()
            self.save(lambda: desk.resume(kind), self._went_on)

    # questions of the page's own

    def _ask_aside(self, question: Question, then: Aside) -> None:
        self.aside = (question, then)
        self.notice, self.scroll_rows = "", 0
        self.open_field()

    def _aside_entered(self, typed: str) -> None:
        if self.aside is not None:
            self.aside[1](typed.strip())

    def _back_to_walk(self, notice: str = "") -> None:
        self.aside, self.notice = None, notice
        self.open_field()

    def _own(self, key: str, ask: str, kind: Kind, choices: tuple[Choice, ...] = ()) -> Question:
        question = self.prompt.question
        return Question(
            key=f"{question.key}/{key}",
            place=question.place,
            ask=ask,
            kind=kind,
            choices=choices,
            may_skip=False,
        )

    def _chosen(self, typed: str) -> Choice | None:
        return next((c for c in self.question.choices if c.digit == typed.strip()), None)

    def _ask_why_not(self) -> None:
        key = self.question.key
        self._ask_aside(
            self._own("why", _("Why is it not done?"), Kind.CHOICE, reasons()),
            lambda typed: self._why_not(key, typed),
        )

    def _why_not(self, key: str, typed: str) -> None:
        choice = self._chosen(typed)
        if choice is None:
            self.notice = _("Type the number in front of the reason, then Enter. Esc goes back.")
            self.entry.mend()
            self.redraw()
        elif choice.ask_text:
            word = choice.word
            self._ask_aside(
                self._own("words", _("What kept you from it?"), Kind.TEXT),
                lambda text: self._skip(key, word, text),
            )
        else:
            self._skip(key, choice.word, "")

    def _skip(self, key: str, reason: str, text: str) -> None:
        desk, kind = self.tend.desk, self.kind
        self.save(lambda: desk.skip(kind, key=key, reason=reason, text=text), self._went_on)

    def _ask_note(self) -> None:
        desk, kind = self.tend.desk, self.kind

        def keep(text: str) -> None:
            if text:
                self.save(lambda: desk.note(kind, text=text), self._went_on)
            else:
                self._back_to_walk()

        self._ask_aside(self._own("note", _("Your note about this place. Enter keeps it."), Kind.TEXT), keep)

    def _say_what(self, choice: Choice) -> None:
        desk, kind, key = self.tend.desk, self.kind, self.question.key

        def give(text: str) -> None:
            typed = f"{choice.digit} {text}"
            self.save(lambda: desk.enter(kind, key=key, typed=typed), self._went_on)

        self._ask_aside(self._own("say", _("Say what you see, in your own words."), Kind.TEXT), give)

    def _pause(self) -> None:
        if self.aside is not None:
            self._back_to_walk()
        else:
            self.tend.to_today()

    @on(FieldChanged)
    def _on_field_changed(self, event: FieldChanged) -> None:
        """Name the answer that the digit means."""
        event.stop()
        if event.text:
            self.notice = ""
        self.redraw()
