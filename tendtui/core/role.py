"""Who may do what: a newcomer, somebody who has been shown, the grower.

A newcomer never doses concentrates or acid alone: what can be given safely is given (plain water up to the
mark, the day's own bottle), the rest is held for the grower, who sees it first thing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from enum import StrEnum

from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.show import when
from tendtui.value import value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.plan import Plan, Step
    from tendtui.core.rack import Rack
    from tendtui.core.today import Item

__all__ = [
    "HELD",
    "HELD_CHANGE",
    "PUT_OFF",
    "Act",
    "Held",
    "PutOff",
    "Role",
    "barred_for",
    "held_dose",
    "held_item",
    "held_line",
    "held_steps",
    "may",
    "put_off",
    "role_of",
    "safe_steps",
]

HELD = "held-dose"
"""What the diary's note about a held dose is about."""

HELD_CHANGE = "held-change"
"""The same, where the solution is to be changed: only a change settles that, or a grower who puts it off."""

PUT_OFF = "change-put-off"
"""What the diary's note is about where somebody who may change the solution said `later`."""


class Role(StrEnum):
    """How far somebody has come."""

    NEWCOMER = "newcomer"
    SHOWN = "shown"
    GROWER = "grower"


class Act(StrEnum):
    """What can be done at the rack."""

    LOOK = "look"
    READ = "read"
    TOP_UP = "top-up"  # plain water, up to the mark
    BOTTLE = "bottle"  # one that the grower measured and labelled for the day
    FEED = "feed"  # concentrates, by the plan
    ADJUST = "adjust"  # acid and alkali, by the plan
    DRAIN = "drain"
    CHANGE = "change"
    DESCRIBE = "describe"  # the rack itself


_SAFE = frozenset({Act.LOOK, Act.READ, Act.TOP_UP, Act.BOTTLE})
_ALLOWED: Mapping[Role, frozenset[Act]] = {
    Role.NEWCOMER: _SAFE,
    Role.SHOWN: _SAFE | {Act.FEED, Act.ADJUST, Act.DRAIN},
    Role.GROWER: frozenset(Act),
}
"""Source: common practice, no source; which acts need an adult who was shown: the safety reference's list of
who does what, in our words."""

_WALKS: Mapping[str, Act] = {
    "change": Act.CHANGE,
    "fill": Act.CHANGE,
    "season-end": Act.CHANGE,
    "season-start": Act.CHANGE,
    "jar": Act.ADJUST,
    "setup": Act.DESCRIBE,
    "cover": Act.DESCRIBE,
    "figure": Act.DESCRIBE,
}
"""Walks that are one act as a whole; the dose is weighed step by step."""


@value_class
class Held:
    """A dose that waits for a grower."""

    at: datetime
    by: str
    what: str
    """Its steps in words, as the plan had them."""
    change: bool = False
    """Whether it is a change of the solution."""


@value_class
class PutOff:
    """A change of the solution that was due, and put off."""

    at: datetime
    by: str


def role_of(rack: Rack, by: str) -> Role:
    """Tell what somebody may do.

    Whoever rack.toml names as usual, without a role, is a grower; so is everybody where it names nobody,
    and whoever hasn't said who they are.
    """
    named = rack.roles.get(by)
    if named in list(Role):
        return Role(named)
    return Role.GROWER if not by or not rack.people or by in rack.people else Role.NEWCOMER


def may(role: Role, act: Act) -> bool:
    """Say whether somebody in this role may do this alone."""
    return act in _ALLOWED[role]


def barred_for(role: Role, kind: str, rack: Rack | None = None) -> tuple[str, str] | None:
    """Say why somebody in this role may not begin a walk, and whom to ring; None: they may."""
    act = _WALKS.get(kind.partition(":")[0])
    if act is None or may(role, act):
        return None
    from tendtui.core.ring import ring_grower

    return _("This is for the grower"), _("Ring the grower.") if rack is None else ring_grower(rack)


def safe_steps(plan: Plan, role: Role) -> tuple[Step, ...]:
    """Give the steps of a plan that somebody in this role may do alone."""
    return tuple(step for step in plan.steps if _allowed(step, role))


def held_steps(plan: Plan, role: Role) -> tuple[Step, ...]:
    """Give the pourings of a plan that are held for the grower."""
    from tendtui.core.plan import AddWater, Drain, Pour

    return tuple(s for s in plan.steps if isinstance(s, AddWater | Drain | Pour) and not _allowed(s, role))


def held_dose(events: Iterable[Event], rack: Rack) -> Held | None:
    """Give the dose that still waits for a grower.

    It waits no longer once somebody who may do so poured from a bottle, read after mixing or walked a round,
    or the solution was changed: what is right to pour is worked out anew from there. A change waits until
    the solution was changed, or a grower put it off.

    Args:
        events: Effective events, in time order.
        rack: Who is who.
    """
    later: list[Poured | Reading] = []
    for event in reversed(tuple(events)):
        match event:
            case Poured() | Reading():
                later.append(event)
            case Note(about="held-dose" | "held-change"):
                change = event.about == HELD_CHANGE
                held = Held(at=event.at, by=event.by, what=event.text, change=change)
                return None if any(_settles(done, held, rack) for done in later) else held
            case Change() | Note(about="change-put-off"):
                return None
            case _:
                pass
    return None


def put_off(events: Iterable[Event]) -> PutOff | None:
    """Give who put a change of the solution off and when; None: it was changed since, or nobody did.

    Args:
        events: Effective events, in time order.
    """
    for event in reversed(tuple(events)):
        match event:
            case Note(about="change-put-off"):
                return PutOff(at=event.at, by=event.by)
            case Change():
                return None
            case _:
                pass
    return None


def held_item(events: Iterable[Event], rack: Rack, *, role: Role, now: datetime) -> Item | None:
    """Give the line of today's page for a dose that waits, for whoever may do it."""
    held = held_dose(events, rack)
    if held is None or not may(role, Act.CHANGE if held.change else Act.FEED):
        return None
    from tendtui.core.today import Item

    return Item(
        mark="[!]",
        what=_("Change day was held for you") if held.change else _("A dose was held for you"),
        because=_("{who}, {when}: {what}").format(
            who=held.by or _("somebody"), when=when(held.at, now), what=held.what
        ),
        opens="walk:change" if held.change else "walk:dose",
        when=held.at,
    )


def held_line(events: Iterable[Event], rack: Rack, *, role: Role, now: datetime) -> str:
    """Say what waits for the grower to whoever may not do it; an empty text: nothing does."""
    held = held_dose(events, rack)
    if held is None or may(role, Act.CHANGE if held.change else Act.FEED):
        return ""
    from tendtui.core.held_words import for_grower

    return "[!] " + _("{said} (Kept by {who}, {when}.)").format(
        said=for_grower(held.what, rack, change=held.change),
        who=held.by or _("somebody"),
        when=when(held.at, now),
    )


def _settles(event: Poured | Reading, held: Held, rack: Rack) -> bool:
    if held.change:
        return False
    if isinstance(event, Poured):  # a stand-in's mixed bottle leaves what is held as it is
        return event.what not in ("water", "drained") and may(role_of(rack, event.by), Act.FEED)
    by_grower = event.source in ("round", "dose") and may(role_of(rack, event.by), Act.FEED)
    return by_grower and event.by != held.by


def _allowed(step: Step, role: Role) -> bool:
    from tendtui.core.plan import AddWater, Drain, Pour

    match step:
        case AddWater():
            return may(role, Act.TOP_UP)
        case Pour():
            return may(role, Act.FEED)
        case Drain():
            return may(role, Act.DRAIN)
        case _:
            return True
