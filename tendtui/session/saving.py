"""One commit point for a change of the state and the events it made.

First `state.toml` is replaced by one that holds the change and, in its outbox, the events. Then the
events are appended to the log. Whoever reads counts the outbox, and the next save appends what is
still missing, so a crash between the two loses nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.lock import write_lock
from tendtui.store.log_file import append, number
from tendtui.store.state_file import open_state, write_state
from tendtui.value import replace

if TYPE_CHECKING:
    from tendtui.core.event import Event
    from tendtui.store.folder import Folder

__all__ = ["Saver", "StateChange"]

StateChange = Callable[[State], State]


class Saver:
    """Saves for one run of the program; remembers which events it saw arrive in the log."""

    def __init__(self, folder: Folder) -> None:
        """Name the folder; nothing is read yet."""
        self.folder = folder
        self.troubles: list[str] = []
        """Writes of the log that failed after the answer was already safe; empty once they succeed."""
        self._in_log: set[str] = set()

    def save(self, change: StateChange, events: tuple[Event, ...], *, by: str) -> State:
        """Save a change made to the state as it is on disk now, and the events.

        Args:
            change: Gives the new state; what it raises leaves everything as it was.
            events: With their ids; they are numbered here.
            by: Who saves, for those who wait meanwhile.

        Returns:
            The state now on disk, the events in its outbox.

        Raises:
            StateError: If the state can't be read or written; nothing was changed.
            HeldError: If another writer doesn't let go in time.
        """
        with write_lock(self.folder, who=by):
            state, was = open_state(self.folder)
            numbered = number(self.folder, events, state=state)
            outbox = (*self._undelivered(state), *numbered)
            state = replace(change(state), outbox=outbox)
            write_state(self.folder, state, was=was)
            if outbox:
                self._deliver(outbox)
        return state

    def _undelivered(self, state: State) -> tuple[Event, ...]:
        """Give the outbox's events that may not stand in the log yet, after one more try."""
        if all(event.id in self._in_log for event in state.outbox):
            return ()
        try:
            append(self.folder, ())
        except StateError:
            return state.outbox
        return ()

    def _deliver(self, events: tuple[Event, ...]) -> None:
        try:
            append(self.folder, events)
        except StateError as error:
            # The events are safe in the outbox and every reader counts them; the next save tries again.
            self.troubles = [str(error)]
        else:
            self.troubles = []
            self._in_log |= {event.id for event in events}
