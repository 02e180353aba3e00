"""What a command is: one class each; keys, footer, help and the README's key table come from the list."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

__all__ = ["Command", "harmless_keys", "keys_of", "letters_of"]


class Command:
    """Something a key does."""

    letters: ClassVar[tuple[str, ...]] = ()
    """Signs that give it while the field is empty; `backspace` counts as one."""
    keys: ClassVar[tuple[str, ...]] = ()
    """Key names that give it at any time."""
    harmless: ClassVar[bool] = False
    """Whether its named keys work also before a question may be answered: it changes nothing."""
    hint: ClassVar[str] = ""
    """The key as the footer names it; empty: the first letter, or the first key."""

    @property
    def name(self) -> str:
        """Its name, which stays for ever."""
        return type(self).__name__

    def footer(self) -> str:
        """One or two words for the footer; empty: never shown there."""
        return ""

    def told(self) -> str:
        """One sentence for the help page."""
        return ""

    def shown_key(self, *, words: bool = False) -> str:
        """Give the key as people know it; in a field of words letters are words, so it is another."""
        if self.hint and not (words and self.keys):
            return self.hint
        names = (*self.keys, *self.letters) if words else (*self.letters, *self.keys)
        return key_name(names[0]) if names else ""

    def all_keys(self) -> str:
        """Give every key, for the help page."""
        return ", ".join(dict.fromkeys(key_name(name) for name in (*self.letters, *self.keys)))


_NAMES = {
    "escape": "Esc",
    "pageup": "PageUp",
    "pagedown": "PageDown",
    "backspace": "Backspace",
    "enter": "Enter",
    "up": "Up",
    "down": "Down",
    "home": "Home",
    "end": "End",
}


def key_name(name: str) -> str:
    """Give a key's name as it is printed on keyboards."""
    if name in _NAMES:
        return _NAMES[name]
    return name.upper() if len(name) in (2, 3) and name[0] == "f" and name[1:].isdigit() else name


def letters_of(commands: Iterable[Command]) -> dict[str, str]:
    """Give sign -> command name."""
    return {letter: command.name for command in commands for letter in command.letters}


def harmless_keys(commands: Iterable[Command]) -> frozenset[str]:
    """Give the key names that change nothing."""
    return frozenset(key for command in commands if command.harmless for key in command.keys)


def keys_of(commands: Iterable[Command]) -> dict[str, str]:
    """Give key name -> command name."""
    return {key: command.name for command in commands for key in command.keys}
