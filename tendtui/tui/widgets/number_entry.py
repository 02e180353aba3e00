"""The one entry field: numbers, digits of a list, and words.

It cuts its text inside the Enter key's own handler, tags it with the question it was typed for, closes
and posts. Keys that come while it is closed are held. The page then asks the next question: a reading
gets the held keys, whole and in order; a look, a pause or a pour throws them away and waits until no key
has come for half a second, so that nothing is answered that was not read.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

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
from tendtui.tui.widgets.pane import palette
from tendtui.value import field, replace, value_class
from tendtui.words import _

__all__ = ["Ask", "NumberEntry", "Takes"]

QUIET_S = 0.5
"""How long no key may have come before a question that must be read takes one."""
LONGEST = {"number": 24, "digits": 2, "words": 200, "nothing": 0}

_SIGNS = frozenset(".,-+/%°µ ")
_ENTER = frozenset({"enter", "ctrl+j"})
_RUB_OUT = frozenset({"backspace", "ctrl+h"})


class Takes(Enum):
    """What a field takes."""

    NUMBER = "number"
    DIGITS = "digits"
    WORDS = "words"
    NOTHING = "nothing"  # Enter and commands only


@value_class
class Ask:
    """What the field is open for."""

    key: str
    """The question; everything posted carries it."""
    takes: Takes
    quiet: bool = False
    """Whether keys typed ahead are thrown away and a pause is waited for."""
    same: str = ""
    """What `=` puts into the empty field; empty: not offered."""
    letters: Mapping[str, str] = field(default_factory=dict)
    """Commands while the field is empty: character -> command."""
    keys: Mapping[str, str] = field(default_factory=dict)
    """Commands at any time: key name -> command."""
    harmless: frozenset[str] = frozenset()
    """Key names that change nothing, and so work also while a pause is waited for."""
    text: str = ""
    """What stands in it already: a refused answer, to be mended."""


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
        self._quiet: Timer | None = None
        self._thrown = False
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
        return self._open and self._quiet is None

    def ask(self, question: Ask) -> None:
        """Open the field for a question; held keys go in, or are thrown away."""
        held, self._held = self._held, []
        self._ask, self._open = question, True
        self._stop_waiting()
        self._put(question.text, same=False)
        if question.quiet:
            self._thrown = False
            self._wait_for_quiet()
            if held:
                self._throw_away()
            return
        for place, key in enumerate(held):
            if not self._open:
                self._held = held[place:]
                return
            self._take(key)

    def reopen(self) -> None:
        """Go on with the same question after a command that changed nothing; held keys follow."""
        self.ask(replace(self._ask, text=self._text, quiet=self._quiet is not None))

    def mend(self) -> None:
        """Open again with a refused answer in the field; keys typed after it were not meant for it."""
        held, self._held = bool(self._held), []
        self.ask(replace(self._ask, text=self._text, quiet=held))

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
        if not self._open:
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
        elif not text or len(self._text) + len(text) > self._longest or any(self._refusal(c) for c in text):
            self.post_message(KeysRefused(_("What was pasted was not taken: it is not one answer.")))
        else:
            self._put(self._text + text, same=False)

    def _take(self, event: events.Key) -> None:
        key, character = event.key, event.character
        if key in _ENTER:
            self._enter()
        elif key in self._ask.keys:
            self._command(self._ask.keys[key])
        elif key in _RUB_OUT:
            self._rub_out()
        elif character is None or not character.isprintable():
            return
        elif not self._text and character == "=" and self._ask.same:
            self._put(self._ask.same, same=True)
        elif not self._text and character in self._ask.letters and self._ask.takes is not Takes.WORDS:
            self._command(self._ask.letters[character])
        else:
            self._add(character)

    def _enter(self) -> None:
        # Cut here, not where the message is read: keys that come before that belong to the next question.
        typed, same = self._text, self._same
        self._open = False
        self.post_message(TextEntered(self._ask.key, typed, same))

    def _command(self, command: str) -> None:
        self._open = False
        self.post_message(CommandGiven(self._ask.key, command))

    def _rub_out(self) -> None:
        if self._text:
            self._put(self._text[:-1], same=False)
        elif "backspace" in self._ask.letters:
            self._command(self._ask.letters["backspace"])

    def _add(self, character: str) -> None:
        refusal = self._refusal(character)
        if refusal:
            self.post_message(KeysRefused(refusal))
        elif len(self._text) >= self._longest:
            self.post_message(KeysRefused(_("The field is full: {n} signs at most.").format(n=self._longest)))
        else:
            self._put(self._text + character, same=False)

    def _refusal(self, character: str) -> str:
        """Give the sentence that refuses a sign, or nothing."""
        match self._ask.takes:
            case Takes.NOTHING:
                return _("Nothing is typed here: press Enter to go on.")
            case Takes.WORDS:
                return "" if character.isprintable() else _("That sign can't be kept.")
            case Takes.DIGITS if not (character.isascii() and character.isdigit()):
                return _("Type the number in front of your answer, then Enter.")
            case Takes.NUMBER if character.isdigit() and not character.isascii():
                return _("Only the digits 0 to 9 are taken here.")
            case Takes.NUMBER if not self._text and character.isalpha():
                return _("{sign} is no command here; a number begins with a digit.").format(sign=character)
            case Takes.NUMBER if character in ".," and ("." in self._text or "," in self._text):
                return _("There is a point already; one is enough.")
            case Takes.NUMBER if not (character.isalnum() or character in _SIGNS):
                return _("{sign} is not part of a number.").format(sign=character)
        return ""

    @property
    def _longest(self) -> int:
        return LONGEST[self._ask.takes.value]

    def _put(self, text: str, *, same: bool) -> None:
        changed = text != self._text
        self._text, self._same = text, same
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
