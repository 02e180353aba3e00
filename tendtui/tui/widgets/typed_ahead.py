"""Keys as they were meant: Esc and a letter read as one, and an Enter that answers nothing."""

from __future__ import annotations

from collections.abc import Iterable

from textual import events

__all__ = ["ENTER", "as_typed", "begins_with_enter", "without_bare_enters"]

ENTER = frozenset({"enter", "ctrl+j"})
_META = "alt+"


def as_typed(event: events.Key) -> tuple[events.Key, ...]:
    """Give Esc and the key after it, where they came so close together that they were read as one."""
    if not event.key.startswith(_META) or not event.is_printable:
        return (event,)
    return events.Key("escape", None), events.Key(event.key.removeprefix(_META), event.character)


def begins_with_enter(keys: list[events.Key]) -> bool:
    """Say whether the first key is Enter: pressed while nothing happened, it answers nothing."""
    return bool(keys) and keys[0].key in ENTER


def without_bare_enters(keys: Iterable[events.Key]) -> Iterable[events.Key]:
    """Leave out each Enter with nothing typed before it."""
    typed = False
    for key in keys:
        if key.key not in ENTER or typed:
            yield key
        typed = key.key not in ENTER
