"""All tasks of the slow list, what was found and is still open, and one task with its choices."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from tendtui.core.show import when
from tendtui.core.task_rows import by_list, list_name, row_words
from tendtui.errors import TendError
from tendtui.tui.command import harmless_keys, keys_of, letters_of
from tendtui.tui.commands import TASKS
from tendtui.tui.draw.sheet import marked
from tendtui.tui.line import Line, Look, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.tui.widgets.ask import Ask, Takes
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.due import TaskDue
    from tendtui.core.slow_list import SlowList

__all__ = ["TaskPage", "TasksPage"]


class TasksPage(TextPage[None]):
    """What was found stands first, then every list of tasks; a number opens a line."""

    OFFERS = TASKS

    def __init__(self) -> None:
        super().__init__()
        self.slow: SlowList | None = None

    def arrive(self) -> None:
        """Read the list off the loop."""
        self.read()
        super().arrive()

    def on_screen_resume(self) -> None:
        """Come back from a task: it may have been silenced."""
        super().on_screen_resume()
        if self.slow is not None:
            self.read()

    def read(self) -> None:
        """Read the list off the loop."""
        desk = self.tend.desk

        async def work() -> None:
            try:
                with self.tend.saying_so():
                    self.slow = await asyncio.to_thread(desk.slow_list)
            except TendError as error:
                self.notice = "[!] " + str(error)
            self.redraw()

        self.run_worker(work(), group="read", exclusive=True)

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("TASKS"), _("a number, then Enter: do it, silence it, say what was done")

    @property
    def tasks(self) -> tuple[TaskDue, ...]:
        """Every task in the order shown."""
        lists = () if self.slow is None else by_list(self.slow.dues)
        return tuple(due for _kind, dues in lists for due in dues)

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give what was found, then each list under its name."""
        if self.slow is None:
            return ()
        now, number = self.tend.desk.now(), 1
        lines: list[Line] = []
        if self.slow.open:
            lines.append(span(" " + _("FOUND, NOT YET PUT RIGHT"), Look.BOLD))
        for finding in self.slow.open:
            found = _("found {when} by {by}").format(when=when(finding.found_at, now), by=finding.by or "-")
            what = finding.said
            lines += _numbered(number, "[!] " + what, found, width)
            number += 1
        for kind, dues in by_list(self.slow.dues):
            lines += [*([()] if lines else []), span(" " + list_name(kind), Look.BOLD)]
            for due in dues:
                what, timed = row_words(due, now)
                silenced = _("silenced: {reason}").format(reason=due.task.silenced)
                lines += _numbered(number, what, silenced if due.task.silenced else timed, width)
                number += 1
        return tuple(lines)

    def entered(self, typed: str) -> None:
        """Open a finding's walk, or a task's page."""
        typed = typed.strip()
        found = () if self.slow is None else self.slow.open
        number = int(typed) if typed.isdigit() else 0
        if 1 <= number <= len(found):
            self.tend.begin(f"task:{found[number - 1].id}")
        elif 1 <= number - len(found) <= len(self.tasks):
            self.app.push_screen(TaskPage(self.tasks[number - len(found) - 1]))
        elif typed:
            self.notice = _("There is no line {typed} here.").format(typed=typed)
        self.open_field()

    def ask(self) -> Ask:
        """Take up to three digits."""
        commands = self.active()
        return Ask(
            key="tasks",
            takes=Takes.NUMBER,
            letters=letters_of(commands),
            keys=keys_of(commands),
            harmless=harmless_keys(commands),
        )


def _numbered(number: int, words: str, below: str, width: int) -> list[Line]:
    """Give a line with its number and mark, and what stands below it."""
    mark, what = words[:3], words[4:]
    first, *rest = wrap(what, width - 14)
    line: Line = (
        (f"  {number:>3}  ", Look.BOLD),
        (mark + " ", Look.LOOK if mark == "[!]" else Look.PLAIN),
        (first, Look.PLAIN),
    )
    return [line, *(span(" " * 11 + text) for text in (*rest, *wrap(below, width - 14)))]


class TaskPage(TextPage[None]):
    """One task: do it now, or say that it is to be silent, and why; or let it speak again."""

    OFFERS = TASKS
    REASON = 200

    def __init__(self, due: TaskDue) -> None:
        super().__init__()
        self.due = due
        self.asks_reason = False

    def heading(self) -> tuple[str, str]:
        """Give the title and the place."""
        return _("TASK"), self.due.task.place

    def lines(self, width: int) -> tuple[Line, ...]:
        """Say what it is, when it is due and why, what can be chosen; below it the rest of what is known."""
        task = self.due.task
        what, timed = row_words(self.due, self.tend.desk.now())
        lines: list[Line] = [
            (),
            *marked(what[4:], width - 2, indent="  "),
            *marked(timed, width - 2, indent="  "),
        ]
        if task.why:
            lines += [(), *marked(task.why, width - 2, indent="  ")]
        lines += [(), ((("   1  "), Look.BOLD), (_("do it now, step by step"), Look.PLAIN))]
        silence = (
            _("let it speak again") if task.silenced else _("silence it: it stays listed, with your reason")
        )
        lines.append((("   2  ", Look.BOLD), (silence, Look.PLAIN)))
        return (*lines, *self._known(width))

    def _known(self, width: int) -> tuple[Line, ...]:
        """Give steps, what good looks like, what to do if it isn't, the source, and the id for rack.toml."""
        task, done = self.due.task, self.due.last_done
        known = (
            (_("Last done"), "" if done is None else when(done, self.tend.desk.now())),
            (_("How"), " ".join(task.how)),
            (_("Good"), task.good),
            (_("If not"), task.if_not),
            (_("Source"), task.source),
            (_("In rack.toml"), f'id = "{task.id}"'),
        )
        room = max(len(name) for name, _text in known) + 4
        lines: list[Line] = [()]
        for name, text in known:
            if text:
                first, *rest = wrap(text, width - room - 2)
                lines.append((("  " + name.ljust(room - 2), Look.BOLD), (first, Look.PLAIN)))
                lines += [span(" " * room + more) for more in rest]
        return tuple(lines)

    def ask(self) -> Ask:
        """Take a digit, or the reason."""
        if not self.asks_reason:
            return super().ask()
        return Ask(key="reason", takes=Takes.WORDS, keys=keys_of(self.active()), empty=False)

    def entered(self, typed: str) -> None:
        """Do it, silence it, or let it speak."""
        task, typed = self.due.task, typed.strip()
        desk = self.tend.desk
        if self.asks_reason:
            if typed:
                self.save(lambda: desk.silence_task(task.id, typed), self._changed)
            else:
                self._ask_reason(asks=True)
        elif typed == "1":
            self.tend.begin(task.opens.removeprefix("walk:") or f"task:{task.id}")
            self.open_field()
        elif typed == "2" and task.silenced:
            self.save(lambda: desk.restore_task(task.id), self._changed)
        elif typed == "2":
            self._ask_reason(asks=True)
        else:
            self.notice = _("Type 1 or 2, then Enter.")
            self.open_field()

    def _ask_reason(self, *, asks: bool) -> None:
        self.asks_reason = asks
        self.LABEL, self.FIELD = (_("reason"), self.REASON) if asks else ("", 4)
        self.notice = _("Why is it to be silent? A few words, then Enter. Esc: leave it.") if asks else ""
        self.open_field()

    def _changed(self, _done: None) -> None:
        self.app.pop_screen()

    def command(self, name: str) -> bool:
        """Leave the question why, or the page."""
        if name == "GoBack" and self.asks_reason:
            self._ask_reason(asks=False)
            return True
        return super().command(name)
