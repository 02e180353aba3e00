"""Questions of the page's own, asked in the place of the walk's: why not, a note, what it is in words."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import ClassVar

from tendtui.core.prompt import Choice, Kind, Prompt, Question
from tendtui.core.reason import reasons
from tendtui.tui.desk import Outcome
from tendtui.tui.screens.page import Page
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Aside", "AsidePage"]


@value_class
class Aside:
    """A question of the page's own, and what is done with its answer."""

    question: Question
    then: Callable[[str], None]
    leads_back: bool = True
    """Whether Esc leads back to the walk's question; else it pauses the walk."""


class AsidePage(Page[None]):
    """A page that walks, with its own questions; they are answered in the same field."""

    SAID: ClassVar[str] = "told"
    kind: str
    prompt: Prompt
    aside: Aside | None = None

    @abstractmethod
    def went_on(self, outcome: Outcome) -> None:
        """Show what a verb led to."""

    @property
    def question(self) -> Question:
        """What is asked just now, by the walk or by the page itself."""
        return self.prompt.question if self.aside is None else self.aside.question

    def ask_aside(self, question: Question, then: Callable[[str], None], *, leads_back: bool = True) -> None:
        """Ask a question of the page's own."""
        self.aside = Aside(question=question, then=then, leads_back=leads_back)
        self.notice, self.scroll_rows = "", 0
        self.open_field()

    def back_to_walk(self, notice: str = "") -> None:
        """Ask again what the walk asks."""
        self.aside, self.notice = None, notice
        self.open_field()

    def tell(self, place: str, said: tuple[str, ...]) -> None:
        """Say what a walk that ended on the way leaves to say, before the next begins."""
        question = Question(
            key=self.SAID,
            place=place,
            ask=_("This is finished. Next: {title}.").format(title=self.prompt.title),
            kind=Kind.PAUSE,
            before=said,
            may_skip=False,
            quiet=True,
        )
        self.ask_aside(question, lambda _typed: self.back_to_walk(), leads_back=False)

    def ask_why_not(self) -> None:
        """Ask why the walk's question is left out."""
        key = self.question.key
        self.ask_aside(
            self._own("why", _("Why is it not done?"), Kind.CHOICE, reasons()),
            lambda typed: self._why_not(key, typed),
        )

    def ask_note(self) -> None:
        """Ask for the words of a note."""
        desk, kind = self.tend.desk, self.kind

        def keep(text: str) -> None:
            if text:
                self.save(lambda: desk.note(kind, text=text), self.went_on)
            else:
                self.back_to_walk()

        self.ask_aside(self._own("note", _("Your note about this place. Enter keeps it."), Kind.TEXT), keep)

    def say_what(self, choice: Choice) -> None:
        """Ask what an answer `something else` means."""
        desk, kind, key = self.tend.desk, self.kind, self.question.key

        def give(text: str) -> None:
            if not text.strip():
                self.notice = _("Type a few words, then Enter. Esc goes back.")
                self.open_field()
                return
            typed = f"{choice.digit} {text}"
            self.save(lambda: desk.enter(kind, key=key, typed=typed), self.went_on)

        asked = choice.text[:1].upper() + choice.text[1:] + "."  # it says itself what is wanted
        self.ask_aside(self._own("say", asked, Kind.TEXT), give)

    def chosen(self, typed: str) -> Choice | None:
        """Give the answer that a digit means."""
        return next((c for c in self.question.choices if c.digit == typed.strip()), None)

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

    def _why_not(self, key: str, typed: str) -> None:
        choice = self.chosen(typed)
        if choice is None:
            self.notice = _("Type the number in front of the reason, then Enter. Esc goes back.")
            self.entry.mend()
            self.redraw()
        elif choice.ask_text:
            word = choice.word
            self.ask_aside(
                self._own("words", _("What kept you from it?"), Kind.TEXT),
                lambda text: self._skip(key, word, text),
            )
        else:
            self._skip(key, choice.word, "")

    def _skip(self, key: str, reason: str, text: str) -> None:
        desk, kind = self.tend.desk, self.kind
        self.save(lambda: desk.skip(kind, key=key, reason=reason, text=text), self.went_on)
