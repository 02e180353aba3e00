"""The one entry field: numbers, digits of a list, and words.

It cuts its text inside the Enter key's own handler, tags it with the question it was typed for, closes
and posts. Keys that come while it is closed are held. The page then asks the next question: a reading
gets the held keys, whole and in order; a look, a pause or a pour throws them away and waits until no key
has come for half a second, so that nothing is answered that was not read.
"""

from __future__ import annotations

from collections.abc import Iterable

from rich.cells import cell_len
from rich.segment import Segment
from textual import events
from textual.geometry import Offset, Region
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from tendtui.tui.line import Look, clean
from tendtui.tui.messages import CommandGiven, FieldChanged, KeysRefused, KeysThrownAway, TextEntered
from tendtui.tui.terminal import Terminal
from tendtui.tui.widgets.ask import Ask, Takes, longest, refusal
from tendtui.tui.widgets.pane import palette
from tendtui.tui.widgets.typed_ahead import ENTER, as_typed, begins_with_enter, without_bare_enters
from tendtui.value import replace
from tendtui.words import _

__all__ = ["NumberEntry"]

QUIET_S = 0.5
"""How long no key may have come before a question that must be read takes one."""
_ONE_WORD_S = 0.5
"""Letters that follow each other within this belong to one word. Source: chosen here; a typist's slowest."""
_RUB_OUT = frozenset({"backspace", "ctrl+h"})
_CLEAR = "ctrl+u"
_TO_MEND = 40
"""Signs above which a refused text is too dear to be replaced by the next key; more of it is then mended."""


class NumberEntry(Widget, can_focus=True):
    """A field of one row; it never sees the session."""

    DEFAULT_CSS = "NumberEntry { position: absolute; height: 1; width: 10; layer: field; }"

    def __init__(self, terminal: Terminal) -> None:
        super().__init__()
        self._looks = palette(terminal)
        self._ask = Ask(key="", takes=Takes.NOTHING)
        self._open = False
        self._text = ""
        self._same = False
        self._held: list[events.Key] = []
        self._leaving = False
        """Whether another page is on its way, for which the keys are meant that come now."""
        self._quiet: Timer | None = None
        self._thrown = False
        self._refused = False
        """Whether what stands in the field was refused: the next sign begins anew."""
        self._held_words = False
        """Whether there were words in the field since the question was asked."""
        self.signs_refused = False
        """Whether signs were refused since the field last changed."""
        self._refused_at = float("-inf")
        """When a letter was last refused: those that follow at once are its word, and no commands. [s]"""
        self._dropped = False
        """Whether a sign was refused amid the digits of an answer."""
        self._over = False
        """Whether a sign found no room: what stands there is not all that was typed."""
        self._rubbed_at = float("-inf")
        """When Backspace came last. [s]"""
        self._warned = False
        """Whether it was said that the next Backspace looks back."""
        self._impatient = False
        """Whether one had to wait so long that Enter may have been pressed for that alone."""
        self.quiet_s = QUIET_S

    @property
    def text(self) -> str:
        """What stands in the field."""
        return self._text

    @property
    def same(self) -> bool:
        """Whether what stands in the field came from `=`."""
        return self._same

    @property
    def is_open(self) -> bool:
        """Whether the next key goes into the field."""
        return self._open and self._quiet is None and not self._leaving

    def ask(self, question: Ask) -> None:
        """Open the field for a question; held keys go in, or are thrown away."""
        held = self._released()
        thrown = self._impatient and question.empty and begins_with_enter(held)
        held = [] if thrown else held if question.empty else list(without_bare_enters(held))
        self._ask, self._open = question, True
        self._refused = self._over = self._warned = self._impatient = self.signs_refused = False
        self._dropped = False
        self._held_words = bool(question.text)
        self._stop_waiting()
        self._put(question.text, same=False)
        if question.quiet:
            self._thrown = False
            self._wait_for_quiet()
            if held or thrown:
                self._throw_away()
            return
        if thrown:
            self.post_message(KeysThrownAway())
        for place, key in enumerate(held):
            if not self._open:
                self._held = held[place:]
                return
            self._take(key)

    def leave(self) -> None:
        """Hold the keys that come now: they are meant for the page that is being opened."""
        self._leaving = True

    def hand_over(self) -> tuple[events.Key, ...]:
        """Give the keys held for another page, and take keys again."""
        held = tuple(self._held) if self._leaving else ()
        if self._leaving:
            self._held = []
        self._leaving = False
        return held

    def take_over(self, keys: Iterable[events.Key]) -> None:
        """Hold keys typed while this page was being opened, until its field asks."""
        self._held.extend(keys)

    def _released(self) -> list[events.Key]:
        """Give the keys held for the next question; those for another page stay held."""
        if self._leaving:
            return []
        held, self._held = self._held, []
        return held

    def was_slow(self) -> None:
        """Learn that one has had to wait: an Enter pressed meanwhile answers nothing."""
        self._impatient = not self._open

    def reopen(self) -> None:
        """Go on with the same question after a command that changed nothing; held keys follow."""
        refused, over = self._refused, self._over
        held = self._released()
        self.ask(replace(self._ask, text=self._text, quiet=self._quiet is not None))
        self._refused, self._over = refused, over
        for key in held:
            self._on_one_key(key)

    def mend(self, *, refused: bool = True) -> None:
        """Open again with an answer in the field that was not taken; keys typed after it meant another.

        Args:
            refused: Whether the answer is at fault, so that the next sign begins anew.
        """
        held = bool(self._released())
        self.ask(replace(self._ask, text=self._text, quiet=held))
        self._refused = refused and bool(self._text)

    def place(self, column: int, row: int, width: int) -> None:
        """Stand at this place of the page."""
        wanted = Offset(column, row)
        if self.styles.offset.x.value != column or self.styles.offset.y.value != row:
            self.styles.offset = wanted
        if self.styles.width is None or self.styles.width.value != width:
            self.styles.width = width
        self._point(wanted, width)

    def on_key(self, event: events.Key) -> None:
        """Take, hold or throw away one key."""
        event.stop()
        event.prevent_default()
        for key in as_typed(event):
            self._on_one_key(key)

    def _on_one_key(self, event: events.Key) -> None:
        if not self._open or self._leaving:
            self._held.append(event)
        elif self._quiet is not None and event.key not in self._ask.harmless:
            self._throw_away()
        else:
            self._take(event)

    def on_paste(self, event: events.Paste) -> None:
        """Take a paste whole, if it is one answer; else nothing of it."""
        event.stop()
        event.prevent_default()
        text = event.text.strip()
        if not self.is_open or self._ask.takes is Takes.NOTHING:
            self.post_message(KeysRefused(_("What was pasted was not taken: nothing is asked for just now.")))
        elif not text or len(self._text) + len(text) > self._longest or self._refuses_any(text):
            self.post_message(KeysRefused(_("What was pasted was not taken: it is not one answer.")))
        else:
            self._put(self._text + text, same=False)

    def _refuses_any(self, text: str) -> bool:
        return any(refusal(self._ask.takes, self._text, character) for character in text)

    def _take(self, event: events.Key) -> None:
        key, character = event.key, event.character
        if key in ENTER:
            self._enter()
        elif key in self._ask.keys:
            self._command(self._ask.keys[key])
        elif key in _RUB_OUT:
            self._rub_out(event.time)
        elif key == _CLEAR:
            self._put("", same=False)
            self._dropped = False
        elif character is None or not character.isprintable():
            return
        else:
            self._sign(character, event.time)

    def _sign(self, character: str, at_s: float) -> None:
        """Take a sign: a command where the field is empty or holds a refused text, else a part of it."""
        self._warned = False
        if self._refused and len(self._text) <= _TO_MEND:
            self._put("", same=False)
        if not self._text and character == "=" and self._ask.same:
            self._put(self._ask.same, same=True)
        elif not self._text and self._is_command(character, at_s):
            self._command(self._ask.letters[character])
        else:
            self._add(character)
            if self.signs_refused and character.isalpha():
                self._refused_at = at_s

    def _is_command(self, character: str, at_s: float) -> bool:
        """Say whether a sign in the empty field is a command, and not the next letter of a stray word."""
        if character not in self._ask.letters or self._ask.takes is Takes.WORDS:
            return False
        return not (character.isalpha() and at_s - self._refused_at < _ONE_WORD_S)

    def _enter(self) -> None:
        if self._over:
            self.post_message(KeysRefused(_("Not all of it found room: make it shorter, then Enter.")))
            return
        if self._dropped:
            self._dropped = False
            if self._ask.takes is Takes.NOTHING:
                self.post_message(
                    KeysRefused(_("The number was not taken: none is asked here. Enter goes on."))
                )
                return
            said = _("Not all that was typed was taken: {text} stands there. Enter again takes it.")
            self.post_message(KeysRefused(said.format(text=self._text)))
            return
        # Cut here, not where the message is read: keys that come before that belong to the next question.
        typed, same = self._text, self._same
        self._open = False
        self.post_message(TextEntered(self._ask.key, typed, same))

    def _command(self, command: str) -> None:
        self._open = False
        self.post_message(CommandGiven(self._ask.key, command))

    def _rub_out(self, at_s: float) -> None:
        """Rub a sign out; on the empty field look back, but not for one Backspace too many or a held key."""
        paused, self._rubbed_at = at_s - self._rubbed_at >= self.quiet_s, at_s
        if self._text:
            self._put(self._text[:-1], same=False)
            self._dropped = self._dropped and bool(self._text)
        elif "backspace" not in self._ask.letters:
            return
        elif paused and (self._warned or not self._held_words):
            self._command(self._ask.letters["backspace"])
        else:
            self._warned = True
            self.post_message(KeysRefused(_("The field is empty. Backspace again: back one.")))

    def _add(self, character: str) -> None:
        refused = refusal(self._ask.takes, self._text, character)
        if refused:
            self.signs_refused = True
            self._dropped = (bool(self._text) and self._ask.takes is Takes.DIGITS) or (
                self._ask.takes is Takes.NOTHING and character.isdigit()
            )
            self.post_message(KeysRefused(refused))
        elif len(self._text) >= self._longest:
            self._over = True
            self.post_message(KeysRefused(_("The field is full: {n} signs at most.").format(n=self._longest)))
        else:
            self._put(self._text + character, same=False)

    @property
    def _longest(self) -> int:
        return longest(self._ask.takes)

    def _put(self, text: str, *, same: bool) -> None:
        changed = text != self._text
        self._text, self._same = text, same
        self._refused = self._over = self.signs_refused = False
        self._held_words = self._held_words or bool(text)
        if changed:
            self.post_message(FieldChanged(self._ask.key, text))
            self._point(Offset(*(int(part.value) for part in self.styles.offset)), self.size.width)
            self.refresh(Region(0, 0, self.size.width, 1))

    def _wait_for_quiet(self) -> None:
        self._stop_waiting()
        if self.quiet_s > 0:
            self._quiet = self.set_timer(self.quiet_s, self._stop_waiting)

    def _stop_waiting(self) -> None:
        if self._quiet is not None:
            self._quiet.stop()
            self._quiet = None

    def _throw_away(self) -> None:
        self._wait_for_quiet()
        if not self._thrown:
            self._thrown = True
            self.post_message(KeysThrownAway())

    def _point(self, at: Offset, width: int) -> None:
        """Put the terminal's own cursor at the end of the text: braille and magnifiers follow it."""
        if self.app.screen is self.screen:  # the library calls covered screens current too
            self.app.cursor_position = at + Offset(min(cell_len(self._seen(width)), max(0, width - 1)), 0)

    def _seen(self, width: int) -> str:
        """Give the end of the text that fits, one cell left free for the cursor."""
        text = clean(self._text)
        while cell_len(text) > max(0, width - 1):
            text = text[1:]
        return text

    def render_lines(self, crop: Region) -> list[Strip]:
        """Draw the field in reverse, the text inside."""
        width = self.size.width
        strip = Strip([Segment(self._seen(width), self._looks.get(Look.FIELD))])
        strip = strip.adjust_cell_length(width, self._looks.get(Look.FIELD)).simplify()
        return [strip.crop(crop.x, crop.right)] * crop.height
