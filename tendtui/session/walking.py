"""The verbs of a walk: begin it, answer, skip, note, go back, undo, take it up again."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import timedelta
from os import urandom

from tendtui.core.event import Event, effective
from tendtui.core.state import State
from tendtui.errors import OutOfTurnError, RefusedError, TendError
from tendtui.session.knowing import Knowing
from tendtui.value import replace, value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.prompt import Prompt
    from tendtui.core.walk_value import Finish, Script, Turn, Walk

__all__ = ["Outcome", "Walking", "new_id"]

TEACHING = frozenset({"dose", "change", "round", "leaving", "renewed"})
"""Walks that end with something worth learning from: a day ends with what is looked at before leaving."""

KEPT = frozenset({"round", "dose", "change", "fill", "leaving", "setup"})
"""Walks that stay open though nothing was answered in them: they stand in a chain, or are wanted anyway."""

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


class Walking(Knowing):
    """The verbs of walks."""

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
        from tendtui.core.walk_value import Turn, Walk

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

    def leave(self, kind: str) -> None:
        """Go away from a walk: one in which nothing was answered was only looked at, and isn't left open."""
        walk = self.state.walks.get(kind)
        if walk is None or walk.entries or kind in KEPT:
            return
        with suppress(TendError):  # it then stands on today's page as left open
            self.abandon(kind)

    def enter(self, kind: str, *, key: str, typed: str, same: bool = False) -> Outcome:
        """Take an answer.

        Raises:
            OutOfTurnError: If this is not the question asked; nothing has changed.
            RefusedError: If it can't be taken.
            StateError: If it can't be saved; nothing has changed.
        """
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.enter(
            walk, script, key=key, typed=typed, now=self.now(), by=self.by or walk.by, same=same
        )
        return self._commit(walk, turn, was=walk, script=script)

    def skip(self, kind: str, *, key: str, reason: str, text: str = "") -> Outcome:
        """Leave a question not done, for a reason."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.skip(
            walk, script, key=key, reason=reason, text=text, now=self.now(), by=self.by or walk.by
        )
        return self._commit(walk, turn, was=walk, script=script)

    def note(self, kind: str, *, text: str) -> Outcome:
        """Put a note on the station one stands at."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        turn = engine.note(walk, script, text=text, now=self.now(), by=self.by or walk.by)
        return self._commit(walk, turn, was=walk, script=script)

    def undo(self, kind: str) -> Outcome:
        """Take the last thing back."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        return self._commit(
            walk, engine.undo(walk, script, now=self.now(), by=self.by or walk.by), was=walk, script=script
        )

    def look_back(self, kind: str) -> Outcome:
        """Go back to the question before."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        return self._commit(
            walk,
            engine.look_back(walk, script, now=self.now(), by=self.by or walk.by),
            was=walk,
            script=script,
        )

    def redo(self, kind: str) -> Outcome:
        """Do the section one stands in again."""
        from tendtui.core import walk as engine

        walk, script = self._walk_and_script(kind)
        place = engine.here(walk, script)
        section = "" if place is None else place[0].section
        turn = engine.redo(walk, script, section=section, now=self.now(), by=self.by or walk.by)
        return self._commit(walk, turn, was=walk, script=script)

    # inside

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
        from tendtui.core.walk_value import Walk
        from tendtui.session.ending import RACK_FILE

        if finish.then is None:
            return None
        left = self.state.walks.get(finish.then)
        if left is not None and self._is_unsettled(left):
            return left
        handed_on = {**walk.context, **finish.context}
        context = {key: value for key, value in handed_on.items() if key not in (*RACK_FILE, "by")}
        by = str(finish.context.get("by", ""))  # whom the set-up names, before anybody could say who they are
        walk_id = new_id()
        self._begun.add(walk_id)
        return Walk(kind=finish.then, id=walk_id, began=self.now(), by=walk.by or by, context=context)

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
