"""Today's page as values: what is open, what is due and why, what comes later, the rack as it stands."""

from __future__ import annotations

from datetime import datetime

from tendtui.value import value_class

__all__ = ["Item", "TierNow", "Today"]


@value_class
class Item:
    """One line that a digit opens."""

    what: str
    because: str
    opens: str
    """What the digit starts: `walk:round`, `walk:dose`, `task:<id>`, `finding:<id>`, `page:tasks`, …"""
    mark: str = ""
    """`[!]` where another look is wanted."""
    when: datetime | None = None


@value_class
class TierNow:
    """A tier as last seen."""

    name: str
    crops: tuple[str, ...]
    plants: int
    litres: float
    """Standing in its pipe up to the lip. [L]"""
    fill: float
    """Depth of the lip as share of the bore, 0 to 1."""
    flow_l_min: float | None
    flow_usual_l_min: tuple[float, float] | None
    mark: str = ""
    found: str = ""


@value_class
class Today:
    """The page."""

    at: datetime
    rack: str
    by: str
    water_days: int | None
    """Days since the solution was changed."""
    stop: tuple[Item, ...] = ()
    """Stop findings: a bar on every page until each is cleared."""
    left_open: tuple[Item, ...] = ()
    due: tuple[Item, ...] = ()
    later: tuple[Item, ...] = ()
    last_round: tuple[str, ...] = ()
    """At most four lines: who and when, what was read, what was poured, what was read after it."""
    level_l: float | None = None
    full_l: float = 0.0
    least_l: float = 0.0
    tiers: tuple[TierNow, ...] = ()
    words: tuple[str, ...] = ()
    """Patterns and forecasts worth a line."""
