"""Holding, freeing and forgetting a learned figure: in the state, and as a note in the diary.

The state says what counts. Where it is lost, the diary's notes give the same again: a figure held is what
the log had taught by that moment.
"""

from __future__ import annotations

from tendtui.core.figure import FORGOTTEN, HELD, acts_by_hand, note_of
from tendtui.core.learned import Learning
from tendtui.core.learned_words import learning_from
from tendtui.value import replace

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from tendtui.core.event import Event
    from tendtui.core.rack import Rack
    from tendtui.core.state import State
    from tendtui.session.session import Session

__all__ = ["do_by_hand", "kept_of", "table_after"]


def kept_of(rack: Rack, events: Iterable[Event], state: State) -> Learning:
    """Give what was kept, held and forgotten: as the state has it; where that is gone, as the diary says.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        state: What is kept.
    """
    if state.learned:
        return learning_from(state.learned)
    known = tuple(events)
    kept = Learning()
    for done in acts_by_hand(known):
        kept = _after(rack, known, kept, act=done.act, figure=done.figure, at=done.at)
    return kept


def table_after(
    rack: Rack, events: Iterable[Event], state: State, *, act: str, figure: str, at: datetime
) -> dict[str, object]:
    """Give the new content of `[learned]` after an act by hand.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        state: What is kept.
        act: `figure-held`, `figure-freed` or `figure-forgotten`.
        figure: See `tendtui.core.figure`.
        at: Now.
    """
    from tendtui.session.learning import lesson_table, taught

    known = tuple(events)
    kept = _after(rack, known, kept_of(rack, known, state), act=act, figure=figure, at=at)
    return lesson_table(rack, known, taught(rack, known, kept))


def do_by_hand(session: Session, act: str, figure: str) -> None:
    """Do it: the state and the diary's note in one commit.

    Args:
        session: The rack and its log, and who is here.
        act: `figure-held`, `figure-freed` or `figure-forgotten`.
        figure: See `tendtui.core.figure`.

    Raises:
        RefusedError: If whoever is here may not.
        HeldError: If another writer doesn't let go in time.
        StateError: If it can't be saved; nothing has changed.
    """
    from tendtui.core.role import barred_for, role_of
    from tendtui.errors import RefusedError

    held_back = barred_for(role_of(session.rack, session.by), "figure")
    if held_back is not None:
        raise RefusedError(*held_back)
    now = session.now()

    def changed(state: State) -> State:
        table = table_after(session.rack, session.events, state, act=act, figure=figure, at=now)
        return replace(state, learned=table)

    session.change_state(changed, (note_of(act, figure, at=now, by=session.by),))


def _after(
    rack: Rack, events: tuple[Event, ...], kept: Learning, *, act: str, figure: str, at: datetime
) -> Learning:
    from tendtui.session.learning import taught

    others = tuple(name for name in kept.frozen if name != figure)
    if act == HELD:
        now = taught(rack, tuple(e for e in events if e.at <= at), kept)
        return replace(now, frozen=tuple(sorted((*others, figure))), reset=kept.reset)
    reset = {**kept.reset, figure: at} if act == FORGOTTEN else kept.reset
    return replace(kept, frozen=others, reset=reset)
