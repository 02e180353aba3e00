"""The verbs of the program.

A verb checks with core, writes (`tendtui.session.saving`), and only then changes memory and returns:
what a face shows as saved is on disk.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.core.event import Event, Note
from tendtui.core.state import Person, State
from tendtui.errors import RefusedError
from tendtui.session.knowing import MEMORY
from tendtui.session.walking import Outcome, Walking, new_id
from tendtui.store.log_file import append
from tendtui.value import replace
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.session.saving import StateChange

__all__ = ["MEMORY", "Outcome", "Session", "new_id"]


class Session(Walking):
    """One person at one rack; the only mutable state outside the fields of a screen."""

    def record_events(self, events: Iterable[Event]) -> tuple[Event, ...]:
        """Log events, all or none; ids and seq are given here.

        Raises:
            StateError: If the log can't be written; nothing was.
            HeldError: If another writer holds the folder.
        """
        from tendtui.store.lock import write_lock

        named = tuple(event if event.id else replace(event, id=new_id()) for event in events)
        with write_lock(self.folder, who=self.by):
            written = append(self.folder, named)
        self._events = self._diary = None
        return written

    def add_note(self, text: str, *, about: str = "") -> None:
        """Put a note in the diary."""
        from tendtui.core.entry import read_text

        self.record_events(
            (Note(id="", seq=0, at=self.now(), by=self.by, text=read_text(text), about=about),)
        )

    def take_back(self, event_id: str) -> None:
        """Cancel an event of the log by a new one.

        Raises:
            RefusedError: If there is no such event any more.
        """
        event = self.event(event_id)
        self.record_events(
            (Note(id="", seq=0, at=event.at, by=self.by, text=_("taken back"), replaces=event.id),)
        )

    def correct(self, event_id: str, changes: Mapping[str, str]) -> None:
        """Correct an event: a new one that replaces it.

        Args:
            event_id: The event's id.
            changes: Field name of the event -> what was typed.

        Raises:
            RefusedError: If the event is gone, or something typed can't be taken.
        """
        from tendtui.core.correction import corrected

        event = self.event(event_id)
        self.record_events((corrected(event, changes, rack=self.rack, by=self.by),))

    def event(self, event_id: str) -> Event:
        """Find an event that still counts.

        Raises:
            RefusedError: If there is none.
        """
        found = next((event for event in self.events if event.id == event_id), None)
        if found is None:
            raise RefusedError(
                _("That entry is no longer there"), _("Somebody corrected it; look at the diary anew.")
            )
        return found

    def silence_task(self, task_id: str, reason: str) -> None:
        """Silence a task of the slow list for a reason; it stays listed, and the diary says who did it.

        Raises:
            CallError: If there is no such task, or no reason is given.
            RefusedError: If whoever is here may not do it.
            StateError: If rack.toml can't be read or written; nothing was changed.
        """
        from tendtui.session.tasks_silenced import silence_task

        silence_task(self, task_id, reason)

    def restore_task(self, task_id: str) -> None:
        """Let a silenced task speak again.

        Raises:
            CallError: If there is no such task, or it isn't silenced.
            RefusedError: If whoever is here may not do it.
            StateError: If rack.toml can't be read or written; nothing was changed.
        """
        from tendtui.session.tasks_silenced import restore_task

        restore_task(self, task_id)

    def set_form(self, by: str, form: str) -> None:
        """Choose how somebody is asked: `learner` or `brief`."""

        def changed(state: State) -> State:
            person = replace(state.people.get(by, Person()), form=form)
            return replace(state, people={**state.people, by: person})

        self._save(changed, ())

    def change_state(self, change: StateChange, events: Iterable[Event] = ()) -> None:
        """Save a change of the state that belongs to no walk, and the events that go with it, at once.

        Raises:
            StateError: If it can't be saved; nothing has changed.
            HeldError: If another writer holds the folder.
        """
        named = tuple(event if event.id else replace(event, id=new_id()) for event in events)
        self._save(change, named)
