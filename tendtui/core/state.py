"""What `state.toml` holds: walks under way, when tasks were last done, what was learned, who is how far."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.event import Event
from tendtui.value import field, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.walk_value import Walk

__all__ = ["Person", "State"]


@value_class
class Person:
    """How somebody likes to be asked."""

    form: str = "learner"
    """`learner` (where, how, why, good in view) or `brief`."""
    clean_rounds: int = 0
    """Rounds finished in a row without an undo, a doubt or a thing not done."""
    practised: int = 0
    """Practice rounds finished: the next one plants other faults."""

    @property
    def may_be_brief(self) -> bool:
        """Whether fewer words are worth offering: five clean rounds as a learner. Common practice."""
        return self.form != "brief" and self.clean_rounds >= 5


@value_class
class State:
    """Everything that is not a fact of the log or of the rack."""

    walks: Mapping[str, Walk] = field(default_factory=dict)
    """Kind -> the walk under way."""
    outbox: tuple[Event, ...] = ()
    """Events confirmed here that may not stand in the log yet; readers count them, by id, once."""
    done: Mapping[str, datetime] = field(default_factory=dict)
    """Task id -> when it was last done; can be rebuilt from the log."""
    learned: Mapping[str, object] = field(default_factory=dict)
    """What was learned of this tank; can be rebuilt from the log."""
    people: Mapping[str, Person] = field(default_factory=dict)
    away: Mapping[str, object] = field(default_factory=dict)
    """Cover while the grower is away; plain TOML values."""
    extra: Mapping[str, object] = field(default_factory=dict)
    """Tables that this version doesn't know."""
