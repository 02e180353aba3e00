"""A task of the slow list."""

from __future__ import annotations

from tendtui.core.rack import Rack
from tendtui.core.recurrence import Cadence
from tendtui.value import value_class

__all__ = ["GROUPS", "NOT_HERE", "Task", "fits"]

GROUPS = ("safety-daily", "safety-weekly", "safety-monthly", "safety-first")
"""Short checks that are walked together; a group's name opens the walk of all that are due."""


NOT_HERE = "not_here"
"""Value logged with a task of which there is none here: it isn't asked again by its period."""


@value_class
class Task:
    """One task: what, where, how often, how, and what to do if it isn't good."""

    id: str
    what: str
    place: str
    cadence: Cadence
    minutes: float
    who: str
    """`anyone`, `shown` (somebody who has been shown) or `grower`."""
    how: tuple[str, ...]
    good: str
    if_not: str
    severity: str
    """Of what may be found: `stop`, `today` or `week`."""
    why: str
    source: str
    known: str = ""
    """How the source is known: seen, seen-2nd, memory, derived; empty: as the source says."""
    row: str = ""
    """Number of the check in the safety reference."""
    group: str = ""
    on: tuple[str, ...] = ()
    """Happenings that make it due at once (or `after_days` later)."""
    after_days: int = 0
    after_tanks: float | None = None
    """Tanks of water added since it was last done that make it due."""
    hot: Cadence | None = None
    cold: Cadence | None = None
    young: Cadence | None = None
    """The cadence of the rack's first month."""
    first: str = ""
    """`now`: due on the first day."""
    done_by: tuple[str, ...] = ()
    """Events that count as done: `round`, `reading:ph`, `poured:water`, `change`, `plants:sow` …"""
    reads: tuple[str, ...] = ()
    """Readings taken inside it: `buffers`, `standard`, `flow`, `source`, `drops`, `levels`."""
    reads_after: int | None = None
    """After how many of its steps they are taken; None: after the last."""
    needs: str = ""
    """What the rack must have for it: `air`, `adjuster` or `tray`; empty: nothing."""
    wrong: str = ""
    """What is wrong where it isn't good, for the bar of a stop; empty: `what` says so itself."""
    region_key: str = ""
    """The region's figure that bounds the cadence, in months."""
    adult_only: bool = False
    hands_in_water: bool = False
    chemical: bool = False
    may_not_apply: bool = False
    """Whether `not here` is an answer."""
    only_if: str = ""
    """In a walk of many checks: the yes-or-no question that decides whether this one is asked."""
    risk: float | None = None
    """Weight among the overdue; None: by severity."""
    opens: str = ""
    """The walk it opens; empty: its own."""
    laid_up: str = ""
    """Whether it is asked for between two seasons: `too`, `only` then; empty: it rests."""
    silenced: str = ""
    """The grower's reason for silencing it; it stays listed."""
    own: bool = False
    """Whether the grower wrote or changed it."""

    @property
    def is_help(self) -> bool:
        """Whether it says what to do when something has happened, as rows of the safety reference do.

        Harvesting is an event too, and work.
        """
        return self.kind == "event" and bool(self.row)

    @property
    def kind(self) -> str:
        """The list it belongs to: daily, weekly, monthly …, change-day, crop-change, first-time, event."""
        return self.cadence.kind


def fits(task: Task, rack: Rack, *, tray: bool = True) -> bool:
    """Say whether this rack has what the task is about; what isn't known counts as there.

    Args:
        task: The task.
        rack: The rack.
        tray: Whether seedlings stand in the tray, or nothing is known of plants.
    """
    match task.needs:
        case "air":
            return rack.reservoir.aerated
        case "adjuster":
            return bool(rack.adjusters)
        case "tray":
            return tray
        case _:
            return True
