"""The learned figures that a person may hold, free or forget, and the diary's notes that say so.

A note's `about` names the act and the figure, `figure-held:feed`; so what was done by hand can be had again
from the log alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from tendtui.core.event import Event, Note
from tendtui.core.rack import Rack
from tendtui.value import value_class
from tendtui.words import _

__all__ = [
    "FORGOTTEN",
    "FREED",
    "HELD",
    "METERS",
    "RESPONSE",
    "STANDARDS",
    "ByHand",
    "acts_by_hand",
    "figure_name",
    "figures_of",
    "is_by_hand",
    "note_of",
    "part_words",
]

HELD, FREED, FORGOTTEN = "figure-held", "figure-freed", "figure-forgotten"

RESPONSE = "response."
"""What the names of the figures of acid and alkali begin with; the bottle's name follows."""

METERS = ("meter.ph", "meter.conductivity")
"""What can be new besides a bottle."""

STANDARDS = ("buffer 7", "buffer 4", "conductivity standard")
"""What meters are checked in; `[use_by]` of rack.toml has their dates under these names."""

_SIMPLE = ("feed", "pipes", "ph_day", "eaten_day", "thirst")


@value_class
class ByHand:
    """One act."""

    act: str
    """`figure-held`, `figure-freed` or `figure-forgotten`."""
    figure: str
    at: datetime


def figures_of(rack: Rack) -> tuple[str, ...]:
    """Give the names of the figures as commands take them, `response.<bottle>` among them."""
    bottles = tuple(f"{RESPONSE}{adjuster.name}" for adjuster in rack.adjusters)
    return ("feed", *bottles, *_SIMPLE[1:])


def figure_name(figure: str) -> str:
    """Name a figure as people say it.

    Args:
        figure: As commands take it.
    """
    names = {
        "feed": _("strength of the feed"),
        "pipes": _("litres in the pipes"),
        "ph_day": _("pH by the day"),
        "eaten_day": _("what the plants eat by the day"),
        "thirst": _("thirst"),
    }
    return names.get(figure) or _("how {bottle} acts").format(bottle=figure.removeprefix(RESPONSE))


def part_words(what: str) -> str:
    """Name a bottle or a meter that can be new: a bottle by its own name.

    Args:
        what: As the log has it.
    """
    names = {
        "meter.ph": _("pH meter"),
        "meter.conductivity": _("conductivity meter"),
        "buffer 7": _("buffer 7"),
        "buffer 4": _("buffer 4"),
        "conductivity standard": _("conductivity standard"),
    }
    return names.get(what, what)


def note_of(act: str, figure: str, *, at: datetime, by: str) -> Note:
    """Make the diary's note of an act.

    Args:
        act: `figure-held`, `figure-freed` or `figure-forgotten`.
        figure: As commands take it.
        at: When.
        by: Who.
    """
    said = {
        HELD: _("held as it is: {figure}"),
        FREED: _("may learn again: {figure}"),
        FORGOTTEN: _("learned anew from now on: {figure}"),
    }
    text = said[act].format(figure=figure_name(figure))
    return Note(id="", seq=0, at=at, by=by, text=text, about=f"{act}:{figure}")


def is_by_hand(event: Event) -> bool:
    """Say whether an event is the note of such an act."""
    return isinstance(event, Note) and event.about.startswith("figure-")


def acts_by_hand(events: Iterable[Event]) -> Iterator[ByHand]:
    """Give what was done by hand, in the order of the events.

    Args:
        events: Effective events, in time order.
    """
    for event in events:
        if isinstance(event, Note):
            act, _colon, figure = event.about.partition(":")
            if act in (HELD, FREED, FORGOTTEN) and figure:
                yield ByHand(act=act, figure=figure, at=event.at)
