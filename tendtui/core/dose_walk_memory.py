"""Plans and foldings of a dose walk that were made already: the same walk asks for them with every key."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from tendtui.core.dose_walk_cycle import Cycle
from tendtui.core.event import Event
from tendtui.core.plan import Plan
from tendtui.core.walk_value import Answers
from tendtui.value import field, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol
else:  # its class is only read by type checkers, and loading it takes as long as a command may
    Protocol = object

__all__ = ["folded_once", "planned_once"]


class Foldable(Protocol):
    """What is remembered of a dose's script; two scripts of one walk are equal."""

    @property
    def began(self) -> datetime:
        """When the walk began."""

    @property
    def past(self) -> tuple[Event, ...]:
        """What was logged before it."""

    def fold(self, answers: Answers) -> tuple[Cycle, ...]:
        """Fold the answers into plans and what was done of them."""

    def plan_at(self, events: tuple[Event, ...], now: datetime, *, put_off: bool = False) -> Plan:
        """Make the plan for a moment of the walk."""


def folded_once(script: Foldable, answers: Answers) -> tuple[Cycle, ...]:
    """Give the cycles of these answers."""
    return _cycles(_Key(script=script, signature=_signature(answers), answers=answers))


def planned_once(script: Foldable, events: tuple[Event, ...], now: datetime, *, put_off: bool) -> Plan:
    """Give the plan for what was logged up to a moment."""
    here = repr(events[len(script.past) :])
    return _planned(_Moment(script=script, here=here, now=now, put_off=put_off, events=events))


@value_class(kw_only=False)
class _Key:
    """What the folding of a walk depends on, compared by value: a new script of the same walk finds it."""

    script: Foldable
    signature: tuple[object, ...]
    answers: Answers = field(compare=False)

    def __hash__(self) -> int:
        return hash((self.script.began, len(self.script.past), self.signature))


@value_class(kw_only=False)
class _Moment:
    """A moment of a walk at which a plan is made; the plans of portions already poured stay as they were."""

    script: Foldable
    here: str
    """What the walk itself has logged so far, in full."""
    now: datetime
    put_off: bool
    events: tuple[Event, ...] = field(compare=False)

    def __hash__(self) -> int:
        return hash((self.script.began, self.now, self.here))


@lru_cache(maxsize=32)
def _planned(moment: _Moment) -> Plan:
    return moment.script.plan_at(moment.events, moment.now, put_off=moment.put_off)


@lru_cache(maxsize=16)
def _cycles(key: _Key) -> tuple[Cycle, ...]:
    return key.script.fold(key.answers)


def _signature(answers: Answers) -> tuple[object, ...]:
    return tuple(
        (key, answer.value, answer.word, answer.reason, answer.doubt, answer.at)
        for key, answer in sorted(answers.by_key.items())
    )
