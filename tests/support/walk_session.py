"""A session without files: the engine over walks in memory, for faces under test."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta

from tendtui.core import walk as engine
from tendtui.core.event import Event, effective
from tendtui.core.rack import Rack
from tendtui.core.state import Person, State
from tendtui.core.walk import Script, Turn, Walk
from tendtui.errors import TendError
from tendtui.session.session import Outcome
from tendtui.value import field, replace, value_class


@value_class(frozen=False, kw_only=False)
class WalkSession:
    """What `tendtui.session.session.Session` offers to a face; every act takes half a minute."""

    rack: Rack
    make: Callable[[Walk, tuple[Event, ...]], Script]
    clock: datetime
    events: tuple[Event, ...] = ()
    by: str = ""
    state: State = field(default_factory=State)
    troubles: list[str] = field(default_factory=list)
    failing: list[TendError] = field(default_factory=list)
    """Raised by the next saves, one each."""
    leave_out: tuple[str, ...] = ()
    """Kinds of walk passed over in a chain."""

    def script(self, walk: Walk) -> Script:
        return self.make(walk, self.events)

    def person(self, by: str | None = None) -> Person:
        return self.state.people.get(self.by if by is None else by, Person())

    def set_form(self, by: str, form: str) -> None:
        person = replace(self.person(by), form=form)
        self.state = replace(self.state, people={**self.state.people, by: person})

    def left_for(self, kind: str) -> timedelta:
        walk = self.state.walks[kind]
        return self.clock - (walk.entries[-1].at if walk.entries else walk.began)

    def is_stale(self, kind: str) -> bool:
        return bool(self.state.walks[kind].entries) and self.left_for(kind) > timedelta(minutes=15)

    def start(self, kind: str, *, by: str, context: Mapping[str, object] | None = None) -> Outcome:
        self.by = by
        if kind not in self.state.walks:
            self._keep(Walk(kind=kind, id=f"{kind}-1", began=self.clock, by=by, context=context or {}))
        return self.resume(kind)

    def resume(self, kind: str) -> Outcome:
        walk = self.state.walks[kind]
        return Outcome(prompt=engine.prompt(walk, self.script(walk)))

    def abandon(self, kind: str) -> None:
        self.state = replace(self.state, walks={k: w for k, w in self.state.walks.items() if k != kind})

    def enter(self, kind: str, *, key: str, typed: str, same: bool = False) -> Outcome:
        walk = self.state.walks[kind]
        return self._turned(
            engine.enter(walk, self.script(walk), key=key, typed=typed, now=self.clock, by=self.by, same=same)
        )

    def skip(self, kind: str, *, key: str, reason: str, text: str = "") -> Outcome:
        walk = self.state.walks[kind]
        script = self.script(walk)
        return self._turned(
            engine.skip(walk, script, key=key, reason=reason, text=text, now=self.clock, by=self.by)
        )

    def note(self, kind: str, *, text: str) -> Outcome:
        walk = self.state.walks[kind]
        return self._turned(engine.note(walk, self.script(walk), text=text, now=self.clock, by=self.by))

    def undo(self, kind: str) -> Outcome:
        walk = self.state.walks[kind]
        return self._turned(engine.undo(walk, self.script(walk), now=self.clock, by=self.by))

    def look_back(self, kind: str) -> Outcome:
        walk = self.state.walks[kind]
        return self._turned(engine.look_back(walk, self.script(walk), now=self.clock, by=self.by))

    def redo(self, kind: str) -> Outcome:
        walk = self.state.walks[kind]
        script = self.script(walk)
        place = engine.here(walk, script)
        section = "" if place is None else place[0].section
        return self._turned(engine.redo(walk, script, section=section, now=self.clock, by=self.by))

    def _keep(self, walk: Walk) -> None:
        self.state = replace(self.state, walks={**self.state.walks, walk.kind: walk})

    def _turned(self, turn: Turn) -> Outcome:
        if self.failing:
            raise self.failing.pop(0)
        self.clock += timedelta(seconds=30)
        walk, said = turn.walk, list[str]()
        self.events = effective((*self.events, *turn.events))
        script = self.script(walk)
        self._keep(walk)
        while engine.here(walk, script) is None:
            finish = script.finish(walk, engine.fold(walk.entries), self.clock)
            made = (replace(e, id=f"{walk.id}-end-{n}") for n, e in enumerate(finish.events))
            self.events = effective((*self.events, *made))
            said += finish.said
            self.abandon(walk.kind)
            then = "leaving" if finish.then in self.leave_out else finish.then
            if then is None:
                return Outcome(prompt=None, said=tuple(said))
            walk = Walk(kind=then, id=f"{then}-1", began=self.clock, by=walk.by, context=finish.context)
            self._keep(walk)
            script = self.script(walk)
        return Outcome(
            prompt=engine.prompt(walk, script, notice=turn.notice, said=turn.said), said=tuple(said)
        )
