"""What the end of a walk leaves: events, the walk that follows, and the state after both."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from tendtui.core import walk as engine
from tendtui.core.event import Event, TaskDone
from tendtui.core.state import Person, State
from tendtui.core.walk import Act, Finish, Script, Turn, Walk
from tendtui.value import field, replace, value_class

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["RACK_FILE", "Ends", "ends_of", "state_after"]

RACK_FILE = ("rack_toml", "changes")
"""What the end of a walk can ask to be written to rack.toml: all of it, or dotted places."""

ScriptOf = Callable[[Walk, tuple[Event, ...]], Script]
"""Makes the script of a walk that already sees events about to be saved."""


@value_class
class Ends:
    """What one turn leads to, walks that end with it included."""

    kind: str
    opened: Walk | None
    """The walk under way after it; None: nothing is left to ask."""
    events: tuple[Event, ...]
    closed: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    learned: Mapping[str, object] | None = None
    away: Mapping[str, object] | None = None
    clean: Mapping[str, bool] = field(default_factory=dict)
    """Who finished a round -> whether it was a clean one."""
    practised: str | None = None
    """Who finished a practice round; None: nobody."""
    rack: Mapping[str, object] = field(default_factory=dict)
    """What is still to be written to rack.toml."""


def ends_of(
    turn: Turn,
    script: Script,
    *,
    script_of: ScriptOf,
    begin: Callable[[Walk, Finish], Walk | None],
    write_rack: Callable[[Mapping[str, object]], None],
    now: datetime,
) -> Ends:
    """Follow a turn to the next question: through the ends of walks, and into those that follow.

    Args:
        turn: What a person's act led to.
        script: The walk's script.
        script_of: Makes the script of a walk that follows.
        begin: Begins the walk that follows a finished one, or gives None.
        write_rack: Writes rack.toml, where a walk that follows is made from it.
        now: The moment.
    """
    ends = Ends(kind=turn.walk.kind, opened=turn.walk, events=turn.events)
    while ends.opened is not None and engine.here(ends.opened, script) is None:
        walk = ends.opened
        finish = script.finish(walk, engine.fold(walk.entries), now)
        following = begin(walk, finish)
        ends = _ended(ends, walk, finish, following)
        if following is not None:
            if ends.rack:  # the first fill needs the rack that the set-up describes
                write_rack(ends.rack)
                ends = replace(ends, rack={})
            script = script_of(following, ends.events)
    return ends


def state_after(state: State, ends: Ends) -> State:
    """Give the state after a turn."""
    walks = {kind: walk for kind, walk in state.walks.items() if kind not in (ends.kind, *ends.closed)}
    if ends.opened is not None:
        walks[ends.opened.kind] = ends.opened
    return replace(
        state,
        walks=walks,
        people=_practised(_people(state, ends.clean), ends.practised),
        done=_done(state, ends.events),
        learned=state.learned if ends.learned is None else ends.learned,
        away=state.away if ends.away is None else ends.away,
    )


def _ended(ends: Ends, walk: Walk, finish: Finish, following: Walk | None) -> Ends:
    named = tuple(
        event if event.id else replace(event, id=f"{walk.id}-end-{n}")
        for n, event in enumerate(finish.events)
    )
    return replace(
        ends,
        opened=following,
        events=(*ends.events, *named),
        closed=(*ends.closed, walk.kind),
        said=(*ends.said, *finish.said),
        learned=finish.learned or ends.learned,
        away=ends.away if finish.away is None else finish.away,
        clean={**ends.clean, walk.by: _is_clean(walk)} if walk.kind == "round" else ends.clean,
        practised=walk.by if walk.kind == "practice" else ends.practised,
        rack={**ends.rack, **{key: finish.context[key] for key in RACK_FILE if key in finish.context}},
    )


def _people(state: State, clean: Mapping[str, bool]) -> Mapping[str, Person]:
    people = dict(state.people)
    for by, was_clean in clean.items():
        person = people.get(by, Person())
        people[by] = replace(person, clean_rounds=person.clean_rounds + 1 if was_clean else 0)
    return people


def _practised(people: Mapping[str, Person], by: str | None) -> Mapping[str, Person]:
    if by is None:
        return people
    person = people.get(by, Person())
    return {**people, by: replace(person, practised=person.practised + 1)}


def _done(state: State, events: Iterable[Event]) -> Mapping[str, datetime]:
    done = dict(state.done)
    for event in events:
        if isinstance(event, TaskDone) and event.outcome in ("good", "found"):
            done[event.task] = event.at
    return done


def _is_clean(walk: Walk) -> bool:
    return not any(e.act in (Act.UNDO, Act.SKIP, Act.FIRST) or e.doubt for e in walk.entries)
