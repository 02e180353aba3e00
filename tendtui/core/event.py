"""What happened, one value per event of the log.

An event is never rewritten. A correction is a new event whose `replaces` names the old one; taking
something back is a note that replaces it. `effective` gives what still counts, in time order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from tendtui.value import field, value_class

__all__ = ["Change", "Event", "Note", "Plants", "Poured", "Reading", "Renewed", "TaskDone", "effective"]


@value_class
class Event:
    """What all events share."""

    id: str
    seq: int
    at: datetime
    by: str = ""
    replaces: str | None = None
    extra: Mapping[str, object] = field(default_factory=dict)
    """Keys of the file that this version doesn't know."""


@value_class
class Reading(Event):
    """A whole round or a single reading; None where not read."""

    level_l: float | None = None
    conductivity_ms_cm: float | None = None
    ph: float | None = None
    temperature_c: float | None = None
    alkalinity_meq_l: float | None = None
    """Of the tank, by drop test. [meq/L]"""
    flow_l_min: Mapping[str, float] = field(default_factory=dict)
    """Tier name -> flow at its outlet. [L/min]"""
    looks: Mapping[str, str] = field(default_factory=dict)
    """`station.question` -> the answer's own word."""
    not_done: Mapping[str, str] = field(default_factory=dict)
    """`station.question` -> the reason's own word."""
    doubt: tuple[str, ...] = ()
    """Quantities with an unusual value that was not measured twice (`ph`, `flow.Top`, …)."""
    unmixed: tuple[str, ...] = ()
    """Of `conductivity` and `ph`, what was read before all that went in was mixed: nothing rests on it."""
    first: Mapping[str, float] = field(default_factory=dict)
    """First keying of what was measured twice."""
    same: tuple[str, ...] = ()
    """Questions answered by 'same as last'."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """Station -> note."""
    source: str = "record"
    """`round`, `record`, `dose` (the read after mixing), `task`, `import`."""

    @property
    def unsure(self) -> tuple[str, ...]:
        """What is not to be reckoned with: in doubt, or read before it was mixed."""
        return (*self.doubt, *self.unmixed) if self.unmixed else self.doubt


@value_class
class Poured(Event):
    """Something went into the reservoir, or was drained; exactly one amount is given."""

    what: str
    """A bottle's name, `water`, or `drained`."""
    ml: float | None = None
    g: float | None = None
    litres: float | None = None
    planned: float | None = None
    """What the plan had asked for, in the same unit; None: no plan."""
    typed_first: float | None = None
    """What was typed first, where the amount was asked for twice; in the same unit."""
    doubt: tuple[str, ...] = ()
    """`amount`, where the two don't agree."""


@value_class
class Change(Event):
    """The solution was changed."""

    litres: float | None = None
    """Litres in the reservoir after the refill, if known. [L]"""
    reason: str = ""


@value_class
class TaskDone(Event):
    """A task was walked."""

    task: str
    """The task's id, or a follow-up's id."""
    outcome: str = "good"
    """`good`, `found` (something to follow up), `could-not`, `closed` (a finding is settled)."""
    text: str = ""
    values: Mapping[str, float] = field(default_factory=dict)
    """Numbers read inside the task: `buffer_7`, `buffer_4`, `standard_ms_cm`, `flow.Top`, …"""
    due: datetime | None = None
    """For `found`: when the follow-up is due."""
    severity: str | None = None
    """For `found`: `stop`, `today` or `week`."""


@value_class
class Note(Event):
    """Somebody's words."""

    text: str
    about: str = ""
    """What the program should know of: `power-cut`, `leak`, `trip`, `heat`, `holiday`, … or empty."""


@value_class
class Plants(Event):
    """Plants came, moved or went."""

    act: str
    """`sow`, `move` (to `tier`), `harvest` (leaves, plants stay), `pull`, `stage`."""
    crop: str
    count: int
    tier: str = ""
    """Empty: the seedling tray."""
    stage: str = ""
    """For `stage`: `seedling`, `leaf`, `flower`, `fruit`."""


@value_class
class Renewed(Event):
    """A new bottle or a new meter: what was learned of the old one is kept aside."""

    what: str
    """A bottle's name, `meter.ph`, `meter.conductivity`."""


def effective(events: Iterable[Event]) -> tuple[Event, ...]:
    """Give the events that still count, by `at`, then `seq`.

    An event named by another's `replaces` is left out, also when that other one was itself replaced:
    a correction corrected twice counts once.
    """
    every = tuple(events)
    replaced = {event.replaces for event in every if event.replaces is not None}
    return tuple(sorted((e for e in every if e.id not in replaced), key=lambda e: (e.at, e.seq)))
