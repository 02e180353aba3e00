"""`tendtui round --plain`: the round line by line, for screen readers, slow links and narrow terminals.

The same engine, questions, checks and words as the full screen: a walk begun in one face can be finished
in the other. No colour, no redraw, no echo of what was typed. The end of the input is a pause.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING

from tendtui.cli.opened import open_session
from tendtui.cli.plain_page import choice_lines, command_words, help_lines, question_lines, say, state_lines
from tendtui.core.entry import read_choice, read_text
from tendtui.core.people import people_at
from tendtui.core.prompt import Choice, Kind, Prompt
from tendtui.core.reason import reasons
from tendtui.core.show import how_long
from tendtui.errors import CallError, OutOfTurnError, RefusedError, TendError
from tendtui.value import value_class
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.session.session import Outcome, Session

__all__ = ["CHAIN", "PausedError", "Talk", "add", "run", "throw_away_early_keys", "walk_named", "walk_plain"]

CHAIN = ("leaving", "change", "dose", "round")
"""What belongs to a round, the last part first: the one to take up where several are open."""

_LEAVING = ("quit", "exit", "stop", "q")
"""What people type to get out of programs; it does what `pause` does."""
_SHORT = {"=": "same", "?": "help", "x": "skip", "n": "note", "u": "undo"}
"""The full screen's keys, for fingers that know them."""

_CLEAN_ROUNDS_TO_OFFER_BRIEF = 5


class PausedError(Exception):
    """The person stops here, or the input has ended."""


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--by", metavar="NAME", default="", help="who walks it")


def run(args: argparse.Namespace) -> int:
    """Walk the round, its dose and the leaving list.

    Returns:
        0, also where it was paused: what was confirmed is saved.
    """
    session = open_session(args.state, by=args.by)
    talk = Talk(session=session, read=_read_line)
    try:
        by = args.by or talk.who()
        talk.clear_stops(by)
        return talk.walk(talk.begin(by))
    except (PausedError, KeyboardInterrupt):
        say(["", _("Paused. Every answer so far is saved. Go on with: tendtui round --plain")])
        return 0


def walk_plain(session: Session, outcome: Outcome, read: Callable[[], str] | None = None) -> int:
    """Walk any walk line by line to its end.

    Args:
        session: The session it is walked in.
        outcome: What its start gave.
        read: Gives the next line, or raises EOFError; None: standard input.
    """
    try:
        return Talk(session=session, read=read or _read_line).walk(outcome)
    except (PausedError, KeyboardInterrupt):
        say(["", _("Paused. Every answer so far is saved.")])
        return 0


def walk_named(session: Session, kind: str, *, by: str) -> int:
    """Walk a walk by its kind, begun or taken up, once it is said who is there.

    Args:
        session: The session it is walked in.
        kind: The walk's kind.
        by: Who walks it; empty: asked, where the rack knows more than one.
    """
    talk = Talk(session=session, read=_read_line)
    try:
        return talk.walk(session.start(kind, by=by or talk.who()))
    except (PausedError, KeyboardInterrupt):
        say(["", _("Paused. Every answer so far is saved.")])
        return 0


@value_class(frozen=False, kw_only=False)
class Talk:
    """One conversation: what is asked, and the lines that answer."""

    session: Session
    read: Callable[[], str]
    unsaved: TendError | None = None
    """The last save that failed and was not tried again with success."""

    def who(self) -> str:
        """Ask who is there, where the rack or its diary knows more than one."""
        people = people_at(self.session.rack, self.session.events)
        if len(people) == 1:
            return people[0]
        choices = tuple(Choice(digit=str(n), word=name, text=name) for n, name in enumerate(people, start=1))
        while True:
            say(["", _("Who is here?"), *choice_lines(choices), _("Type a number of the list, or a name.")])
            typed = self.line()
            named = next((choice.word for choice in choices if choice.digit == typed.strip()), typed)
            try:
                return read_text(named)
            except RefusedError as error:
                say([str(error)])

    def begin(self, by: str) -> Outcome:
        """Begin a round, or take up what was left open."""
        left = next((kind for kind in CHAIN if kind in self.session.state.walks), None)
        if left is None:
            return self.session.start("round", by=by)
        walk = self.session.state.walks[left]
        lain = self.session.left_for(left)
        since = how_long(lain)
        stale = self.session.is_stale(left)
        outcome = self.session.start(left, by=by)
        title = left if outcome.prompt is None else outcome.prompt.title
        said = _("{title}: left open by {who}, {since} ago.")
        say(["", said.format(title=title, who=walk.by or _("somebody"), since=since)])
        if lain < timedelta(0):
            say([_("[!] This clock stands before the last answer. Look whether its day and time are right.")])
        if outcome.prompt is not None:
            say([*state_lines(outcome.prompt), *(f"  {line}" for line in outcome.prompt.recent)])
        waits = outcome.prompt is not None and outcome.prompt.question.until is not None
        return self._taken_up(left, by, outcome) if stale and not waits else outcome

    def clear_stops(self, by: str) -> None:
        """Ask what was done about every stop that stands, until none does or the person lets it stand."""
        from tendtui.cli.plain_stops import stop_lines
        from tendtui.core.finding_follow import stop_findings

        choices = (
            Choice(digit="1", word="done", text=_("say what was done about it")),
            Choice(digit="2", word="drill", text=_("show what to do in an emergency")),
            Choice(digit="3", word="stands", text=_("nothing yet: let it stand")),
        )
        while True:
            stop = next(iter(stop_findings(self.session.events)), None)
            if stop is None:
                return
            say(["", *stop_lines(self.session, stop)])
            choice, _text = self._chosen(_("What now?"), choices)
            match choice.word:
                case "done":
                    self.walk(self.session.start(f"task:{stop.id}", by=by))
                    if stop.task in {found.task for found in stop_findings(self.session.events)}:
                        raise PausedError
                case "drill":
                    self.tell_drill("")
                case _:
                    raise PausedError

    def walk(self, outcome: Outcome) -> int:
        """Ask until nothing is left to ask.

        Returns:
            The exit status.
        """
        while True:
            prompt = outcome.prompt
            if prompt is not None:  # what the last answer led to comes before what the end of a walk says
                say(line for line in (prompt.said, prompt.notice) if line)
            if outcome.said:
                say(["", *outcome.said])
            if prompt is None:
                return self._end()
            outcome = self._asked(prompt)

    def line(self) -> str:
        """Take one line.

        Raises:
            PausedError: At the end of the input.
            TendError: There too, where the last answer could not be saved.
        """
        print("> ", end="", flush=True)
        try:
            return self.read()
        except EOFError:
            if self.unsaved is not None:
                raise self.unsaved from None
            raise PausedError from None

    def _asked(self, prompt: Prompt) -> Outcome:
        """Put one question until it has led to another."""
        if prompt.question.quiet:
            throw_away_early_keys()
        say(question_lines(prompt, learner=self._is_learner()))
        while True:
            typed = self.line()
            try:
                outcome = self._taken(prompt, typed)
            except OutOfTurnError as error:
                say([str(error)])
                return self.session.resume(prompt.walk)
            except RefusedError as error:
                say([str(error).strip()])
            except TendError as error:  # the folder can't be written, or is held elsewhere for now
                self._not_saved(error)
            else:
                self.unsaved = None
                if outcome is not None:
                    return outcome
                say(question_lines(prompt, learner=self._is_learner()))

    def _taken(self, prompt: Prompt, typed: str) -> Outcome | None:
        """Take a line: a command, or the answer; None: ask the same again."""
        word, _blank, rest = typed.strip().partition(" ")
        command = _command(word, prompt.question.kind)
        if command == "note":
            return self._note(prompt, rest)
        if command == "drill":
            self.tell_drill(rest)
            return None
        if command and not rest:
            return self._command(prompt, command)
        if prompt.question.kind is Kind.CHOICE:
            typed = self._with_words(prompt, typed)
        return self.session.enter(prompt.walk, key=prompt.question.key, typed=typed)

    def tell_drill(self, word: str) -> None:
        """Tell the drills, or the one that a word names; the question waits."""
        from tendtui.cli.drill import told_of
        from tendtui.session.pages import drills_of

        try:
            say(["", *told_of(word, drills_of(self.session), call=command_words()["drill"]), ""])
        except CallError as error:
            raise RefusedError(error.what, error.do) from None

    def _command(self, prompt: Prompt, command: str) -> Outcome | None:
        kind, question = prompt.walk, prompt.question
        match command:
            case "back":
                return self.session.look_back(kind)
            case "undo":
                return self.session.undo(kind)
            case "skip":
                return self._skip(prompt)
            case "same" if question.same:
                return self.session.enter(kind, key=question.key, typed=question.same, same=True)
            case "same":
                raise RefusedError(_("Same as last is not taken here"), _("Measure it, or type skip."))
            case "list":
                say(state_lines(prompt))
            case "brief" | "learner":
                self.session.set_form(self.session.by, command)
            case "pause":
                raise PausedError
            case _:
                say(help_lines(prompt, learner=self._is_learner()))
        return None

    def _skip(self, prompt: Prompt) -> Outcome:
        if not prompt.question.may_skip:
            raise RefusedError(_("This one can't be left out"), _("Answer it, or type pause."))
        choice, text = self._chosen(_("Why was it not done?"), reasons())
        return self.session.skip(prompt.walk, key=prompt.question.key, reason=choice.word, text=text)

    def _note(self, prompt: Prompt, text: str) -> Outcome:
        if not text.strip():
            say([_("Type the note.")])
            text = self.line()
        return self.session.note(prompt.walk, text=text)

    def _with_words(self, prompt: Prompt, typed: str) -> str:
        """Ask for the words that an answer wants, where only its digit was typed."""
        choice = next((c for c in prompt.question.choices if c.digit == typed.strip()), None)
        if choice is None or not choice.ask_text:
            return typed
        say([_("Say in a few words what it is.")])
        return f"{choice.digit} {self.line()}"

    def _chosen(self, ask: str, choices: tuple[Choice, ...]) -> tuple[Choice, str]:
        """Ask for one of a list until it is one, and for its words where it wants them."""
        while True:
            say([ask, *choice_lines(choices)])
            typed = self.line()
            wanted = next((c for c in choices if c.digit == typed.strip() and c.ask_text), None)
            if wanted is not None:
                say([_("Say in a few words what it is.")])
                typed = f"{wanted.digit} {self.line()}"
            try:
                return read_choice(typed, choices)
            except RefusedError as error:
                say([str(error)])

    def _taken_up(self, kind: str, by: str, outcome: Outcome) -> Outcome:
        again = Choice(digit="2", word="redo", text=_("do this part again"))
        choices = (
            Choice(digit="1", word="on", text=_("go on where it was left")),
            *((again,) if kind == "round" else ()),  # what was poured can't be poured again
            Choice(digit="3", word="new", text=_("leave it and begin a new round")),
        )
        choice, _text = self._chosen(_("It has lain for a while. What now?"), choices)
        match choice.word:
            case "redo":
                try:
                    return self.session.redo(kind)
                except RefusedError as error:
                    say([str(error)])
                    return outcome
            case "new":
                self._leave_open_walks()
                return self.session.start("round", by=by)
            case _:
                return outcome

    def _leave_open_walks(self) -> None:
        """Give up what a new round takes the place of; a change under way stays open."""
        for kind in CHAIN:
            if kind != "change" and kind in self.session.state.walks:
                self.session.abandon(kind)

    def _is_learner(self) -> bool:
        return self.session.person().form != "brief"

    def _not_saved(self, error: TendError) -> None:
        self.unsaved = error
        say(
            [
                _("[!] Not saved: {error}").format(error=error),
                _("Your answer does not count yet. Type it again."),
            ]
        )

    def _end(self) -> int:
        say(["", *(f"[!] {trouble}" for trouble in self.session.troubles)])
        person = self.session.person()
        if person.form != "brief" and person.clean_rounds >= _CLEAN_ROUNDS_TO_OFFER_BRIEF:
            say([_("Five clean rounds. If you like fewer words, type brief at the next question.")])
        say([_("Finished. Everything is saved."), *self._stopped()])
        return 0

    def _stopped(self) -> tuple[str, ...]:
        """Say what to do about a stop that stands, at the end of a walk that raised it or left it."""
        from tendtui.core.finding_follow import stop_findings

        stops = stop_findings(self.session.events)
        if not stops:
            return ()
        from tendtui.cli.plain_stops import stop_lines

        lines = [line for stop in stops for line in stop_lines(self.session, stop)]
        return (*lines, _("Say what was done about it: tendtui round --plain"))


def _command(word: str, kind: Kind) -> str:
    """Give the command that a word stands for, or an empty text; letters are words where words are asked."""
    folded = word.casefold()
    if kind is not Kind.TEXT and folded in _SHORT:
        return _SHORT[folded]
    if kind is not Kind.TEXT and folded in _LEAVING:
        return "pause"
    return next((name for name, own in command_words().items() if folded in (name, own.casefold())), "")


def throw_away_early_keys() -> None:
    """Drop lines typed before a look, a pause or a pour was read out; only a terminal holds such."""
    if not sys.stdin.isatty():
        return
    import termios

    termios.tcflush(sys.stdin.fileno(), termios.TCIFLUSH)


def _read_line() -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line.rstrip("\r\n")
