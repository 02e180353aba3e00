"""Messages that cross from a widget to its page."""

from __future__ import annotations

from dataclasses import dataclass

from textual.message import Message

__all__ = ["CommandGiven", "FieldChanged", "KeysRefused", "KeysThrownAway", "TextEntered"]


@dataclass
class TextEntered(Message):
    """Enter was pressed: what stood in the field, for the question it was typed for."""

    key: str
    typed: str
    same: bool


@dataclass
class CommandGiven(Message):
    """A command's key was pressed."""

    key: str
    """The question that was asked when the key came."""
    command: str


@dataclass
class FieldChanged(Message):
    """The field holds something else now."""

    key: str
    text: str


@dataclass
class KeysRefused(Message):
    """A key or a paste was not taken, and why."""

    words: str


@dataclass
class KeysThrownAway(Message):
    """Keys that came before the question could be read were thrown away."""
