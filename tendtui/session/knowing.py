"""What is known of a rack: its file, its state, its log, and the pages made from them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tendtui.core.event import Event, TaskDone, effective
from tendtui.core.state import Person, State
from tendtui.store.log_file import read_log
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import read_state

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.finding import Finding
    from tendtui.core.looks import RoundWords
    from tendtui.core.plan import Plan
    from tendtui.core.printed_page import PrintedPage
    from tendtui.core.rack import Rack
    from tendtui.core.slow_list import SlowList
    from tendtui.core.today import Today
    from tendtui.core.trend import Trends
    from tendtui.core.walk_value import Script, Walk
    from tendtui.session.clock import Clock
    from tendtui.session.saving import Saver, StateChange
    from tendtui.store.folder import Folder
    from tendtui.store.lock import Claim

__all__ = ["MEMORY", "Knowing"]

MEMORY = timedelta(days=150)
"""How far back the log is read for habits, plans and forecasts; the diary reads on as it is turned."""


class Knowing:
    """What is known of a rack, read when it is asked for; and the one way to save."""

    def __init__(self, folder: Folder, *, clock: Clock, by: str = "") -> None:
        """Name the folder; nothing is read yet."""
        self.folder = folder
        self.clock = clock
        self.by = by
        self._rack: Rack | None = None
        self._state: State | None = None
        self._diary: tuple[Event, ...] | None = None
        self._lasting: tuple[Event, ...] = ()
        self._events: tuple[Event, ...] | None = None
        self._saver: Saver | None = None
        self._begun: set[str] = set()
        self._taken_up: dict[str, datetime] = {}
        """Walk's id -> when it was taken up, for those that another run of the program began."""
        self._claim: Claim | None = None

    # what is

    @property
    def troubles(self) -> list[str]:
        """Writes that failed after the answer was already safe; shown until they succeed."""
        return [] if self._saver is None else self._saver.troubles

    def now(self) -> datetime:
        """Give the time, with its offset."""
        return self.clock.now()

    @property
    def rack(self) -> Rack:
        """The rack as its file says.

        Raises:
            NoRackError: If there is none yet.
            StateError: If its file can't be used.
        """
        if self._rack is None:
            self._rack = read_rack(self.folder)
        return self._rack

    @property
    def state(self) -> State:
        """Walks under way, what was done and learned."""
        if self._state is None:
            self._state = read_state(self.folder)
        return self._state

    @property
    def events(self) -> tuple[Event, ...]:
        """What happened in the last months and still counts, and what lasts of before; in time order."""
        if self._events is None:
            diary = self.diary
            self._events = effective((*self._lasting, *diary)) if self._lasting else diary
        return self._events

    @property
    def diary(self) -> tuple[Event, ...]:
        """All that happened in the last months and still counts, in time order."""
        if self._diary is None:
            log = read_log(self.folder, since=self.now() - MEMORY, outbox=self.state.outbox)
            self._diary, self._lasting = log.events, log.lasting
        return self._diary

    def events_before(self, at: datetime) -> tuple[Event, ...]:
        """Give what counted at a moment, which may itself lie long ago: as `events` did then."""
        if at > self.now() - MEMORY / 2:
            return tuple(event for event in self.events if event.at <= at)
        log = read_log(self.folder, since=at - MEMORY, outbox=self.state.outbox)
        return tuple(event for event in (*log.lasting, *log.events) if event.at <= at)

    def diary_before(self, at: datetime) -> tuple[Event, ...]:
        """Give the next older part of the diary; nothing where it begins."""
        from tendtui.store.log_file import earlier_events

        return earlier_events(self.folder, at, reach=MEMORY, outbox=self.state.outbox)

    def forget(self) -> None:
        """Read everything anew at the next look: another process may have written."""
        self._rack = self._state = self._events = self._diary = None

    def person(self, by: str | None = None) -> Person:
        """Tell how somebody likes to be asked."""
        return self.state.people.get(self.by if by is None else by, Person())

    def role(self, by: str | None = None) -> str:
        """Tell what somebody may do: `newcomer`, `shown` or `grower`.

        Whoever rack.toml names as usual, without a role, is a grower; so is everybody where it names nobody,
        and whoever hasn't said who they are and only looks.
        """
        name = self.by if by is None else by
        usual = self.rack.people
        known = not name or not usual or name in usual
        return self.rack.roles.get(name, "grower" if known else "newcomer")

    def last_done(self) -> Mapping[str, datetime]:
        """Tell when each task was last done, from the state and the log."""
        done = dict(self.state.done)
        for event in self.events:
            if isinstance(event, TaskDone) and event.outcome in ("good", "found"):
                done[event.task] = max(event.at, done.get(event.task, event.at))
        return done

    def plan(self) -> Plan:
        """Make the correction for the last readings."""
        from tendtui.session.planning import plan_now

        return plan_now(self)

    def today(self, by: str | None = None) -> Today:
        """Make today's page."""
        from tendtui.session.today_page import today_page

        return today_page(self, self.by if by is None else by)

    def findings(self) -> tuple[Finding, ...]:
        """Read every file and give what is wrong with each."""
        from tendtui.store.check import check_folder

        return check_folder(self.folder, now=self.now())

    def task_names(self) -> Mapping[str, str]:
        """Give task id -> what is done, in words."""
        from tendtui.core.slow_list import FILES, tasks_of
        from tendtui.store.data_file import read_data

        tasks, _faults = tasks_of({name: read_data(name) for name in FILES}, self.rack)
        return {task.id: task.what for task in tasks}

    def pages(self) -> tuple[PrintedPage, ...]:
        """Make the pages to read and to print: drills, cards, checklists, load, plants."""
        from tendtui.session.pages import pages_of

        return pages_of(self)

    def trends(self) -> Trends:
        """Give the courses of level, strength, pH, warmth and flow over the whole log."""
        from tendtui.session.trends import trends_now

        return trends_now(self)

    def ahead_page(self, name: str) -> PrintedPage:
        """Make a page: `ahead` what lies ahead, `away` some days away, `taught` what was learned."""
        from tendtui.session.ahead import ahead_page

        return ahead_page(self, name)

    def round_words(self) -> RoundWords:
        """Give the words of the round, in which looks are said."""
        from tendtui.core.looks import round_words
        from tendtui.store.data_file import read_data

        return round_words(read_data("round"))

    def slow_list(self) -> SlowList:
        """Give every task, when it is due, and what was found and is not closed."""
        from tendtui.session.knowledge import slow_list_of

        return slow_list_of(self)

    def held_elsewhere(self) -> str:
        """Say which other screen has a walk open, since when and where; empty: none."""
        from tendtui.store.lock import holder

        other = None if self._claim is not None else holder(self.folder)
        return "" if other is None else str(other)

    def hold(self) -> None:
        """Take the folder's walks for this screen, until `let_go` or the end of the process.

        Raises:
            HeldError: If another screen has them; it names who, since when and where.
            StateError: If the folder can't be written.
        """
        if self._claim is None:
            from tendtui.store.lock import claim

            self._claim = claim(self.folder, who=self.by)

    def let_go(self) -> None:
        """Give the folder's walks back; a second call does nothing."""
        if self._claim is not None:
            self._claim.release()
            self._claim = None

    def script(self, walk: Walk) -> Script:
        """Make the script that a walk follows."""
        from tendtui.session.scripts import Needs, script_for

        setting_up = walk.kind == "setup"
        return script_for(
            Needs(
                walk=walk,
                rack=self._rack_or_none() if setting_up else self.rack,
                events=() if setting_up else self.events,
                state=self.state,
                now=self.now(),
                by=self.by,
                done={} if setting_up else self.last_done(),
                resumed_at=self._taken_up.get(walk.id),
            )
        )

    # inside

    def _rack_or_none(self) -> Rack | None:
        from tendtui.errors import NoRackError

        try:
            return self.rack
        except NoRackError:
            return None

    def _save(self, change: StateChange, events: tuple[Event, ...]) -> None:
        if self._saver is None:
            from tendtui.session.saving import Saver

            self._saver = Saver(self.folder)
        self._state = self._saver.save(change, events, by=self.by)
        if self._diary is not None and events:
            fresh = {event.id for event in self._state.outbox}
            kept = (event for event in self._diary if event.id not in fresh)
            self._diary, self._events = effective((*kept, *self._state.outbox)), None
