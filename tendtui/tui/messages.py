"""Messages that cross from a widget to its page."""

from __future__ import annotations

from textual.message import Message

from tendtui.value import value_class

__all__ = ["CommandGiven", "FieldChanged", "KeysRefused", "KeysThrownAway", "TextEntered"]


@value_class(frozen=False, kw_only=False)
class TextEntered(Message):
    """Enter was pressed: what stood in the field, for the question it was typed for."""

    key: str
    typed: str
    same: bool


@value_class(frozen=False, kw_only=False)
class CommandGiven(Message):
    """A command's key was pressed."""

    key: str
    """The question that was asked when the key came."""
    command: str


@value_class(frozen=False, kw_only=False)
class FieldChanged(Message):
    """The field holds something else now."""

    key: str
    text: str


@value_class(frozen=False, kw_only=False)
class KeysRefused(Message):
    """A key or a paste was not taken, and why."""

    words: str


@value_class(frozen=False, kw_only=False)
class KeysThrownAway(Message):
    """Keys that came before the question could be read were thrown away."""
