"""What every page has: a pane, the entry field, commands, and one way to save."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import events, on
from textual.app import ComposeResult
from textual.screen import Screen

from tendtui.errors import RefusedError, TendError
from tendtui.tui.command import Command, harmless_keys, keys_of, letters_of
from tendtui.tui.draw.sheet import Sheet, too_small
from tendtui.tui.messages import CommandGiven, KeysRefused, KeysThrownAway, TextEntered
from tendtui.tui.terminal import LEAST_HEIGHT, LEAST_WIDTH
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.tui.widgets.number_entry import NumberEntry
from tendtui.tui.widgets.pane import Pane
from tendtui.value import replace
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.tui.app import TendApp

__all__ = ["Page"]

Result = TypeVar("Result")
Saved = TypeVar("Saved")


_SMALL = Ask(key="too-small", takes=Takes.WORDS)


class Page(Screen[Result], inherit_bindings=False):
    """One page; it draws a sheet, and answers what its field posts."""

    OFFERS: ClassVar[tuple[Command, ...]] = ()
    AUTO_FOCUS = "NumberEntry"

    def __init__(self) -> None:
        super().__init__()
        self.notice = ""
        self.changed = ""
        """What a key has just changed for good: a refusal that follows it says it once more."""
        self.scroll_rows = 0
        self.entered_same = False
        """Whether what was entered last came from `=`."""
        self._sheet: Sheet | None = None
        self._was_small = False

    @property
    def tend(self) -> TendApp:
        """The program this page belongs to."""
        from tendtui.tui.app import TendApp

        app = self.app
        if not isinstance(app, TendApp):
            raise TypeError("a page lives in a TendApp")
        return app

    @property
    def is_drawn(self) -> bool:
        """Whether there is a picture to send."""
        return any(pane.is_drawn for pane in self.query(Pane))

    @property
    def pane(self) -> Pane:
        """Where the page is drawn."""
        return self.query_one(Pane)

    @property
    def entry(self) -> NumberEntry:
        """The field."""
        return self.query_one(NumberEntry)

    def compose(self) -> ComposeResult:
        """Put the field over the pane."""
        yield Pane(self.tend.terminal)
        yield NumberEntry(self.tend.terminal)

    def on_mount(self) -> None:
        """Open the field."""
        self.entry.quiet_s = self.tend.quiet_s
        for under in self.app.screen_stack[-2:-1]:
            if isinstance(under, Page) and under.query(NumberEntry):
                self.entry.take_over(under.entry.hand_over())
        self.arrive()

    def take_back(self) -> None:
        """Act on the keys that were kept for another page and that no page took."""
        if self.query(NumberEntry):
            for key in self.entry.hand_over():
                self.entry.on_key(key)

    def on_screen_resume(self) -> None:
        """Come back to the page."""
        self.redraw()

    def on_resize(self) -> None:
        """Draw for the new size; what was typed stays."""
        if self.is_too_small is not self._was_small and self.entry.is_open:
            self._was_small = self.is_too_small
            self.entry.ask(replace(_SMALL if self._was_small else self.ask(), text=self.entry.text))
        self.redraw()

    # what a page says for itself

    def arrive(self) -> None:
        """Ask what this page asks."""
        self.open_field()

    @abstractmethod
    def sheet(self, width: int, height: int) -> Sheet:
        """Draw the page."""

    def active(self) -> tuple[Command, ...]:
        """Give the commands that can be given now."""
        return self.OFFERS

    def ask(self) -> Ask:
        """Say what the field is open for."""
        commands = self.active()
        return Ask(
            key=type(self).__name__,
            takes=Takes.DIGITS,
            letters=letters_of(commands),
            keys=keys_of(commands),
            harmless=harmless_keys(commands),
        )

    def entered(self, typed: str) -> None:
        """Answer what was entered."""
        del typed
        self.open_field()

    def command(self, name: str) -> bool:
        """Answer a command; say whether it was one of this page's."""
        del name
        return False

    # what a page can do

    def open_field(self) -> None:
        """Open the field for what the page asks now; a page that went away meanwhile has none."""
        if not self.query(NumberEntry):
            return
        self.entry.ask(_SMALL if self.is_too_small else self.ask())
        self.redraw()

    def reopen_field(self) -> None:
        """Go on with the field as it was."""
        self.entry.reopen()
        self.redraw()

    def redraw(self) -> None:
        """Draw the page as it stands; only what changed is sent."""
        width, height = self.size
        if not width or not self.is_mounted or not self.query(NumberEntry) or self.app.screen is not self:
            return  # a covered page is drawn when it comes back
        if self.is_too_small:
            self._sheet = too_small(width, height)
        else:
            self._sheet = self.sheet(width, height)
        self.pane.show(self._sheet.lines)
        spot = self._sheet.field
        self.entry.set_class(spot is None, "away")
        if spot is not None:
            self.entry.place(spot.column, spot.row, spot.width)
        self.tend.show_cursor(shown=spot is not None)

    def save(self, verb: Callable[[], Saved], then: Callable[[Saved], None]) -> None:
        """Call a verb of the session off the loop, in order, and go on with what it gives."""

        async def work() -> None:
            try:
                value = await self.tend.save(verb)
            except TendError as error:
                if self.is_attached:
                    self.refused(error)
            else:
                if self.is_attached:
                    then(value)

        self.app.run_worker(work(), group="save", exclusive=False)

    def at_work(self, *, working: bool) -> None:
        """Say that something takes its time, or no longer; Enter pressed meanwhile answers nothing."""
        moment = _("One moment ..")
        if not self.query(NumberEntry):
            return  # the page is being taken down
        if working:
            self.notice = moment
            self.entry.was_slow()
        elif self.notice == moment:
            self.notice = ""
        self.redraw()

    def refused(self, error: TendError) -> None:
        """Say why a verb was not done; what was typed stays in the field, to be mended."""
        self.notice = str(error)
        was_read = isinstance(error, RefusedError)
        if self.entry.text and was_read:
            self.notice += " " + _("Type it anew, or mend it with Backspace.")
        self.entry.mend(refused=was_read)
        self.redraw()

    def on_key(self, event: events.Key) -> None:
        """Give the field the keys that found it without focus: the library takes it from what was hidden."""
        if self.query(NumberEntry):
            self.entry.on_key(event)

    def on_paste(self, event: events.Paste) -> None:
        """Give the field what was pasted, for the same reason."""
        if self.query(NumberEntry):
            self.entry.on_paste(event)

    # what the field posts

    @on(TextEntered)
    def _on_text_entered(self, event: TextEntered) -> None:
        event.stop()
        self.notice = ""
        if self.is_too_small:
            self._answer_too_small(event.typed)
            return
        self.entered_same = event.same
        self.entered(event.typed)

    @on(CommandGiven)
    def _on_command_given(self, event: CommandGiven) -> None:
        event.stop()
        match event.command:
            case "LookUp":
                self.look(-1)
            case "LookDown":
                self.look(1)
            case "DrawAgain":
                self.tend.draw_again()
                self.reopen_field()
            case "OpenHelp":
                from tendtui.tui.screens.help import HelpPage

                self.app.push_screen(HelpPage())
                self.reopen_field()
            case "OpenDrills":
                self.tend.open("page:drills")
                self.reopen_field()
            case name:
                if not self.command(name):
                    self.reopen_field()

    @on(KeysRefused)
    def _on_keys_refused(self, event: KeysRefused) -> None:
        event.stop()
        self.notice = " ".join(filter(None, (self.changed, event.words)))
        self.redraw()

    @on(KeysThrownAway)
    def _on_keys_thrown_away(self, event: KeysThrownAway) -> None:
        event.stop()
        self.notice = _("Keys that came before you could read this were not taken.")
        self.redraw()

    @property
    def is_too_small(self) -> bool:
        """Whether the window is too small for the page."""
        return self.size.width < LEAST_WIDTH or self.size.height < LEAST_HEIGHT

    def _answer_too_small(self, typed: str) -> None:
        if typed.strip().lower() == "p":
            self.tend.leave("plain")
        else:
            self.entry.mend()

    def look(self, direction: int) -> None:
        """Look further up or down."""
        step = max(3, self.size.height // 2)
        low, high = (0, 0) if self._sheet is None else self._sheet.scrolls
        self.scroll_rows = max(low, min(high, self.scroll_rows + direction * step))
        self.reopen_field()
