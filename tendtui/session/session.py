"""The verbs of the program.

A verb checks with core, writes (`tendtui.session.saving`), and only then changes memory and returns:
what a face shows as saved is on disk.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import datetime, timedelta
from os import urandom
from typing import TYPE_CHECKING

from tendtui.core.event import Event, Note, TaskDone, effective
from tendtui.core.state import Person, State
from tendtui.core.walk_value import Turn, Walk
from tendtui.errors import OutOfTurnError, RefusedError, TendError
from tendtui.store.log_file import append, read_log
from tendtui.store.rack_file import read_rack
from tendtui.store.state_file import read_state
from tendtui.value import replace, value_class
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.finding import Finding
    from tendtui.core.looks import RoundWords
    from tendtui.core.plan import Plan
    from tendtui.core.printed_page import PrintedPage
    from tendtui.core.prompt import Prompt
    from tendtui.core.rack import Rack
    from tendtui.core.slow_list import SlowList
    from tendtui.core.today import Today
    from tendtui.core.trend import Trends
    from tendtui.core.walk_value import Finish, Script
    from tendtui.session.clock import Clock
    from tendtui.session.saving import Saver, StateChange
    from tendtui.store.folder import Folder
    from tendtui.store.lock import Claim

__all__ = ["MEMORY", "Outcome", "Session", "new_id"]

MEMORY = timedelta(days=150)
"""How far back the log is read for habits, plans and forecasts; the diary reads on as it is turned."""

TEACHING = frozenset({"dose", "change", "round", "leaving"})
"""Walks that end with something worth learning from: a day ends with what is looked at before leaving."""

STALE = timedelta(minutes=15)
"""A walk left for longer offers to do its section again."""


@value_class
class Outcome:
    """What to show after a verb."""

    prompt: Prompt | None
    """The question asked now; None: everything that belonged together is finished."""
    said: tuple[str, ...] = ()
    """What a finished walk leaves to say."""


def new_id() -> str:
    """Make an id that no other machine makes."""
    return urandom(8).hex()  # as `secrets` makes it, without what that imports


class Session:
    """One person at one rack; the only mutable state outside the fields of a screen."""

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

    # walks

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

    def start(self, kind: str, *, by: str, context: Mapping[str, object] | None = None) -> Outcome:
        """Begin a walk, or take up the one of this kind that was left open.

        Raises:
            RefusedError: If a stop finding bars this kind of walk, begun or not.
        """
        self.by = by
        self._guard(kind)
        walk = self.state.walks.get(kind)
        if walk is not None:
            if walk.id not in self._begun:
                self._taken_up.setdefault(walk.id, self.now())
            return self.resume(kind)
        walk = Walk(kind=kind, id=new_id(), began=self.now(), by=by, context=context or {})
        self._begun.add(walk.id)
        return self._commit(walk, Turn(walk=walk), was=None)

    def resume(self, kind: str) -> Outcome:
        """Show the question at which a walk was left."""
        from tendtui.core import walk as engine

        walk = self._walk(kind)
        return Outcome(prompt=engine.prompt(walk, self.script(walk)))

    def left_for(self, kind: str) -> timedelta:
        """Tell how long a walk under way has lain."""
        walk = self._walk(kind)
        return self.now() - (walk.entries[-1].at if walk.entries else walk.began)

    def is_stale(self, kind: str) -> bool:
        """Say whether a section should be offered again: left too long, with answers in it."""
        return bool(self._walk(kind).entries) and self.left_for(kind) > STALE

    def abandon(self, kind: str) -> None:
        """Give a walk up; what it logged stays in the diary."""
        self._walk(kind)
        self._save(
            lambda state: replace(state, walks={k: w for k, w in state.walks.items() if k != kind}), ()
        )

    def enter(self, kind: str, *, key: str, typed: str, same: bool = False) -> Outcome:
        """Take an answer.

        Raises:
            OutOfTurnError: If this is not the question asked; nothing has changed.
            RefusedError: If it can't be taken.
            StateError: If it can't be saved; nothing has changed.
        """
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.enter(walk, script, key=key, typed=typed, now=self.now(), by=self.by, same=same)
        return self._commit(walk, turn, was=walk, script=script)

    def skip(self, kind: str, *, key: str, reason: str, text: str = "") -> Outcome:
        """Leave a question not done, for a reason."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.skip(walk, script, key=key, reason=reason, text=text, now=self.now(), by=self.by)
        return self._commit(walk, turn, was=walk, script=script)

    def note(self, kind: str, *, text: str) -> Outcome:
        """Put a note on the station one stands at."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.note(walk, script, text=text, now=self.now(), by=self.by)
        return self._commit(walk, turn, was=walk, script=script)

    def undo(self, kind: str) -> Outcome:
        """Take the last thing back."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        return self._commit(
            walk, engine.undo(walk, script, now=self.now(), by=self.by), was=walk, script=script
        )

    def look_back(self, kind: str) -> Outcome:
        """Go back to the question before."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        return self._commit(
            walk, engine.look_back(walk, script, now=self.now(), by=self.by), was=walk, script=script
        )

    def redo(self, kind: str) -> Outcome:
        """Do the section one stands in again."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        place = engine.here(walk, script)
        section = "" if place is None else place[0].section
        turn = engine.redo(walk, script, section=section, now=self.now(), by=self.by)
        return self._commit(walk, turn, was=walk, script=script)

    # events without a walk

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

    # inside

    def _rack_or_none(self) -> Rack | None:
        from tendtui.errors import NoRackError

        try:
            return self.rack
        except NoRackError:
            return None

    def _walk(self, kind: str) -> Walk:
        walk = self.state.walks.get(kind)
        if walk is None:
            raise OutOfTurnError(_("This walk is no longer open"), _("Go back to today's page."))
        return walk

    def _walk_and_script(self, kind: str) -> tuple[Walk, Script]:
        walk = self._walk(kind)
        return walk, self.script(walk)

    def _guard(self, kind: str) -> None:
        from tendtui.session.guard import bar_for

        barred = bar_for(self, kind)
        if barred is not None:
            raise RefusedError(*barred)

    def _commit(self, walk: Walk, turn: Turn, *, was: Walk | None, script: Script | None = None) -> Outcome:
        """Save one turn; where nothing is left to ask, the walk's end and the start of the next with it."""
        from tendtui.core import walk as engine
        from tendtui.session.ending import ends_of, state_after

        ends = ends_of(
            turn,
            script or self.script(turn.walk),
            script_of=self._script_after,
            begin=self._next,
            write_rack=self._write_rack,
            now=self.now(),
        )
        if ends.rack:
            self._write_rack(ends.rack)

        def changed(state: State) -> State:
            self._check_unmoved(state, walk.kind, was)
            return state_after(state, ends)

        self._save(changed, ends.events)
        if ends.opened is None:
            if ends.kind in TEACHING or TEACHING.intersection(ends.closed):
                self._keep_lessons()
            return Outcome(prompt=None, said=ends.said)
        shown = engine.prompt(ends.opened, self.script(ends.opened), notice=turn.notice, said=turn.said)
        return Outcome(prompt=shown, said=ends.said)

    def _keep_lessons(self) -> None:
        """Keep what the log has taught by now, so that the next call of `dose` needn't learn it anew."""
        from tendtui.session.learning import learning_table

        with suppress(TendError):  # the log holds it all: whoever asks next learns it again
            learned = learning_table(self.rack, self.events, self.state)
            self._save(lambda state: replace(state, learned=learned), ())

    def _script_after(self, walk: Walk, unsaved: tuple[Event, ...]) -> Script:
        """Make a script that already sees events about to be saved."""
        before = self._events
        self._events = effective((*self.events, *unsaved))
        try:
            return self.script(walk)
        finally:
            self._events = before

    def _next(self, walk: Walk, finish: Finish) -> Walk | None:
        """Begin the walk that follows a finished one.

        One of that kind that was left open is given up for it, its plan being older than what was just
        read; but first it is asked whether any went in, where it was left between a label and its amount.
        """
        from tendtui.session.ending import RACK_FILE

        if finish.then is None:
            return None
        left = self.state.walks.get(finish.then)
        if left is not None and self._is_unsettled(left):
            return left
        handed_on = {**walk.context, **finish.context}
        context = {key: value for key, value in handed_on.items() if key not in RACK_FILE}
        walk_id = new_id()
        self._begun.add(walk_id)
        return Walk(kind=finish.then, id=walk_id, began=self.now(), by=walk.by, context=context)

    def _is_unsettled(self, walk: Walk) -> bool:
        from tendtui.core import walk as engine

        if walk.id not in self._begun:
            self._taken_up.setdefault(walk.id, self.now())
        place = engine.here(walk, self.script(walk))
        return place is not None and bool(place[1].unsettled)

    def _write_rack(self, asked: Mapping[str, object]) -> None:
        from tendtui.session.rack_changes import apply_rack

        apply_rack(self.folder, asked)
        self._rack = None

    def _check_unmoved(self, state: State, kind: str, was: Walk | None) -> None:
        found = state.walks.get(kind)
        if found == was or (found is not None and was is not None and found.entries == was.entries):
            return
        self.forget()
        raise OutOfTurnError(
            _("Somebody else went on with this walk meanwhile"),
            _("Nothing of yours was saved; look where it stands now."),
        )

    def _save(self, change: StateChange, events: tuple[Event, ...]) -> None:
        if self._saver is None:
            from tendtui.session.saving import Saver

            self._saver = Saver(self.folder)
        self._state = self._saver.save(change, events, by=self.by)
        if self._diary is not None and events:
            fresh = {event.id for event in self._state.outbox}
            kept = (event for event in self._diary if event.id not in fresh)
            self._diary, self._events = effective((*kept, *self._state.outbox)), None
