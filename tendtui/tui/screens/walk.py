"""The page of every walk: round, dose, leaving, set-up, tasks, change day.

It shows the session's prompt and hands back what was typed; it knows nothing of readings or doses.
Questions of the page's own (`tendtui.tui.screens.asides`) are asked in the same place.
"""

from __future__ import annotations

from collections.abc import Iterator

from textual import on

from tendtui.core.prompt import Kind, Prompt
from tendtui.core.whereabouts import Whereabouts, whereabouts
from tendtui.errors import OutOfTurnError, TendError
from tendtui.tui.command import Command, harmless_keys, keys_of, letters_of
from tendtui.tui.commands import ASIDE, WALK
from tendtui.tui.desk import Outcome
from tendtui.tui.draw.rack_picture import rack_picture
from tendtui.tui.draw.sheet import Sheet, beside, offered
from tendtui.tui.draw.walk_sheet import WalkView, draw_walk
from tendtui.tui.form import swap_form
from tendtui.tui.line import span
from tendtui.tui.messages import FieldChanged
from tendtui.tui.screens.asides import AsidePage
from tendtui.tui.widgets.ask import Ask, Takes
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


class WalkPage(AsidePage):
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
        self._reread = False
        """Whether the walk was just read anew, since it had moved on by another hand."""

    # drawing

    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the question asked."""
        learner = (self.tend.desk.person().form == "learner") is not self.swapped
        question = self.question
        if self.aside is None:
            shown = replace(self.prompt, question=replace(question, before=(*self.told, *question.before)))
        else:
            shown = replace(self.prompt, question=question, first="", answered="")
        view = WalkView(
            prompt=shown,
            by=self.tend.desk.by,
            at=self.tend.desk.now(),
            learner=learner,
            commands=offered(self.active(), words=question.kind is Kind.TEXT),
            typed=self.entry.text,
            notice=self.notice or (self.prompt.notice if self.aside is None else ""),
            hint="   ".join(self._hints(learner=learner)),
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
        here = self._whereabouts()
        picture = rack_picture(
            today,
            show=show,
            width=_PICTURE - 2,
            height=min(height - 5, 26),
            signs=view.signs,
            here=here.tier,
            at_reservoir=here.at_reservoir,
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
        if self.kind == "setup":
            hidden.add("ShowPlace")
        if self.aside is not None:
            hidden |= {"WriteNote", "Undo", "Explain", "LookBack", "RedoPart", "SwapForm", "ShowPlace"}
        offers = ASIDE if self.aside is not None and self.aside.leads_back else WALK
        if not (question.where or question.how or question.why or question.good):
            hidden.add("Explain")
        return tuple(command for command in offers if command.name not in hidden)

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
            empty=self._may_be_empty(),
        )

    def _may_be_empty(self) -> bool:
        """Say whether Enter alone is an answer: `don't know`, going on, or keeping what was answered."""
        question = self.question
        return question.kind is Kind.PAUSE or question.optional or bool(self.prompt.answered)

    def _hints(self, *, learner: bool) -> Iterator[str]:
        """Name the keys that have no place in the footer and matter here."""
        if learner and self.aside is None and self.kind != "setup" and self._whereabouts().words:
            yield _("p: this place on the rack")
        if self._may_look_back():
            yield _("Backspace: back one question")

    def _may_look_back(self) -> bool:
        return self.aside is None and bool(self.prompt.recent)

    # what is typed

    def entered(self, typed: str) -> None:
        """Hand the answer over."""
        if self.aside is not None:
            self.aside.then(typed.strip())
            return
        if not typed.strip() and self.entry.signs_refused and not self._may_be_empty():
            self.notice = _("Nothing of that was taken: a number begins with a digit, like 1.42 or 21.")
            self.entry.mend()
            self.redraw()
            return
        choice = self.chosen(typed)
        if choice is not None and choice.ask_text:
            self.say_what(choice)
            return
        key, kind, same = self.question.key, self.kind, self.entered_same
        desk = self.tend.desk
        self.save(lambda: desk.enter(kind, key=key, typed=typed, same=same), self.went_on)

    def command(self, name: str) -> bool:
        """Answer a command of the walk."""
        desk, kind = self.tend.desk, self.kind
        match name:
            case "NotDone":
                self.ask_why_not()
            case "WriteNote":
                self.ask_note()
            case "Undo":
                self.save(lambda: desk.undo(kind), self.went_on)
            case "LookBack":
                self.save(lambda: desk.look_back(kind), self._looked_back)
            case "SwapForm":
                self._swap_form()
            case "RedoPart":
                self.save(lambda: desk.redo(kind), self.went_on)
            case "Explain":
                return self._explain()
            case "BackToQuestion":
                self.back_to_walk()
            case "ShowPlace":
                from tendtui.tui.screens.place import PlacePage

                self.app.push_screen(PlacePage(self._whereabouts()))
                self.reopen_field()
            case "Pause":
                self.save(lambda: desk.leave(kind), lambda _left: self.tend.to_today())
            case _:
                return False
        return True

    def _explain(self) -> bool:
        """Show the long form for one question, and put it away again; whoever has it anyway keeps it."""
        if self.tend.desk.person().form == "learner":
            self.notice = _(
                "This is all there is to say here; PageDown shows what found no room. b: fewer words."
            )
            self.reopen_field()
            return True
        self.swapped = not self.swapped
        self.scroll_rows = 0
        return False

    def _whereabouts(self) -> Whereabouts:
        """Tell where the question is asked; nowhere, while there is no rack yet."""
        if self.kind == "setup":
            return Whereabouts()
        return whereabouts(self.prompt, [tier.name for tier in self.tend.desk.rack.tiers])

    def _looked_back(self, outcome: Outcome) -> None:
        self.went_on(outcome)
        if outcome.prompt is not None and outcome.prompt.answered:
            self.notice = _("Back at this one. Enter keeps its answer; a new one takes its place.")
            self.redraw()

    def _swap_form(self) -> None:
        desk = self.tend.desk

        def swapped(told: str) -> None:
            self.swapped, self.notice, self.changed = False, told, told
            self.open_field()

        self.save(lambda: swap_form(desk), swapped)

    def went_on(self, outcome: Outcome) -> None:
        """Show the next question, or the end."""
        self.aside, self.stale, self.taken_up, self.told = None, False, (), ()
        self.swapped, self.scroll_rows, self.notice, self._reread = False, 0, "", False
        self.changed = ""
        if outcome.prompt is None:
            self._end(outcome.said)
            return
        ended = self.prompt.title
        self.prompt = outcome.prompt
        self.kind = outcome.prompt.walk
        if outcome.said:
            self.tell(ended, outcome.said)
        else:
            self.open_field()

    def _end(self, said: tuple[str, ...]) -> None:
        from tendtui.tui.screens.told import ToldPage

        if self.kind.startswith(("task:", "happened")):
            self.tend.see_stops(self.tend.desk.slow_list().open)
        then = "round" if self.kind == "setup" and self.tend.is_first_run else ""
        offers_brief = self.tend.desk.person().may_be_brief
        self.app.switch_screen(ToldPage(_("Finished"), said, then=then, offers_brief=offers_brief))

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
            self.save(lambda: desk.resume(kind), self.went_on)

    @on(FieldChanged)
    def _on_field_changed(self, event: FieldChanged) -> None:
        """Name the answer that the digit means."""
        event.stop()
        if event.text:
            self.notice = ""
        self.redraw()
