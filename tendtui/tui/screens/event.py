"""One event of the diary, whole; what was wrong in it is typed anew, and the old one stays in the file."""

from __future__ import annotations

from tendtui.core.correction import correctable
from tendtui.core.event import Event
from tendtui.core.event_facts import FactWords, event_facts, part_name
from tendtui.core.event_words import event_line
from tendtui.core.show import clock, weekday
from tendtui.tui.command import harmless_keys, keys_of, letters_of
from tendtui.tui.commands import EVENT
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look, pad, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

__all__ = ["EventPage"]


class EventPage(TextPage[None]):
    """An event and its facts; a number picks the fact to correct, then the right value is typed."""

    OFFERS = EVENT
    FIELD = 24

    def __init__(self, event: Event) -> None:
        super().__init__()
        self.event = event
        self.part: str | None = None
        """What is being corrected; None: nothing is."""

    def heading(self) -> tuple[str, str]:
        """Give the title, the day and who wrote it."""
        event = self.event
        when = f"{weekday(event.at)} {event.at:%Y-%m-%d} {clock(event.at)}"
        return _("ENTRY"), f"{when}  {event.by}"

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give the line of the diary, every fact, and what can be corrected."""
        desk = self.tend.desk
        show = desk.rack.show
        facts = event_facts(self.event, self._words())
        room = min(28, max((len(name) for name, _value in facts), default=0) + 2)
        lines: list[Line] = [
            (),
            *marked(event_line(self.event, show, desk.task_names()), width - 2, indent="  "),
            (),
        ]
        for name, value in facts:
            for place, text in enumerate(wrap(value, width - room - 5)):
                lines.append(span("    " + pad(name if place == 0 else "", room) + text))
        lines.append(())
        if self.part is None and self._parts:
            lines.append(span("  " + _("Was something typed wrong? Its number, then Enter:"), Look.BOLD))
            lines += [
                ((f"   {n:>2}  ", Look.BOLD), (part_name(name), Look.PLAIN))
                for n, name in enumerate(self._parts, start=1)
            ]
        return tuple(lines)

    def _words(self) -> FactWords:
        desk = self.tend.desk
        rack = desk.rack
        return FactWords(
            show=rack.show,
            round=desk.round_words(),
            tiers=tuple(tier.name for tier in rack.tiers),
            tasks=desk.task_names(),
        )

    @property
    def _parts(self) -> tuple[str, ...]:
        return correctable(self.event)

    def ask(self) -> Ask:
        """Take a number of a part, or the right value."""
        commands = self.active()
        takes = Takes.DIGITS if self.part is None else Takes.WORDS
        return Ask(
            key=f"event.{self.part}",
            takes=takes,
            letters=letters_of(commands),
            keys=keys_of(commands),
            harmless=harmless_keys(commands),
        )

    def entered(self, typed: str) -> None:
        """Choose a part, or correct it."""
        typed = typed.strip()
        if self.part is not None:
            self._correct(self.part, typed)
        elif typed.isdigit() and 1 <= int(typed) <= len(self._parts):
            self._correct_this(self._parts[int(typed) - 1])
        else:
            self.notice = _("Nothing here has the number {n}.").format(n=typed) if typed else ""
            self.open_field()

    def _correct_this(self, part: str | None) -> None:
        """Ask for the right value beside the field, or for a number of a part again."""
        self.part, self.LABEL = part, "" if part is None else part_name(part)
        told = _("{what}: type what is right, then Enter. The old entry stays in the file. Esc: leave it.")
        self.notice = "" if part is None else told.format(what=part_name(part))
        self.open_field()

    def _correct(self, part: str, typed: str) -> None:
        desk, event_id = self.tend.desk, self.event.id
        if not typed:
            self.open_field()
            return

        def corrected() -> Event:
            desk.correct(event_id, {part: typed})
            return next((event for event in reversed(desk.events) if event.replaces == event_id), self.event)

        self.save(corrected, self._show_corrected)

    def _show_corrected(self, event: Event) -> None:
        self.event, self.scroll_rows = event, 0
        self._correct_this(None)
        self.notice = _("Corrected. Both are kept; this one counts.")
        self.redraw()

    def command(self, name: str) -> bool:
        """Leave a correction, or the page."""
        if name == "GoBack" and self.part is not None:
            self._correct_this(None)
            return True
        return super().command(name)
