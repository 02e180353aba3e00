"""What the entry field is open for, and which signs it takes."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from tendtui.value import field, value_class
from tendtui.words import _

__all__ = ["Ask", "Takes", "longest", "refusal"]

LONGEST = {"number": 24, "digits": 2, "words": 1000, "nothing": 0}
"""Signs a field holds; words are twice what an answer may have, so that too many are refused as a whole."""

_SIGNS = frozenset(".,-+/%°µ ")


class Takes(Enum):
    """What a field takes."""

    NUMBER = "number"
    DIGITS = "digits"
    WORDS = "words"
    NOTHING = "nothing"  # Enter and commands only


@value_class
class Ask:
    """What the field is open for."""

    key: str
    """The question; everything posted carries it."""
    takes: Takes
    quiet: bool = False
    """Whether keys typed ahead are thrown away and a pause is waited for."""
    same: str = ""
    """What `=` puts into the empty field; empty: not offered."""
    letters: Mapping[str, str] = field(default_factory=dict)
    """Commands while the field is empty: character -> command."""
    keys: Mapping[str, str] = field(default_factory=dict)
    """Commands at any time: key name -> command."""
    harmless: frozenset[str] = frozenset()
    """Key names that change nothing, and so work also while a pause is waited for."""
    empty: bool = True
    """Whether Enter on the empty field is an answer; if not, one typed ahead means nothing."""
    text: str = ""
    """What stands in it already: a refused answer, to be mended."""


def longest(takes: Takes) -> int:
    """Give how many signs a field holds."""
    return LONGEST[takes.value]


def refusal(takes: Takes, before: str, character: str) -> str:
    """Give the sentence that refuses a sign, or nothing.

    Args:
        takes: What the field takes.
        before: What stands in it.
        character: The sign typed.
    """
    match takes:
        case Takes.NOTHING:
            return _("Nothing is typed here: press Enter to go on.")
        case Takes.WORDS:
            return "" if character.isprintable() else _("That sign can't be kept.")
        case Takes.DIGITS if not (character.isascii() and character.isdigit()):
            return _("Type the number in front of your answer, then Enter.")
        case Takes.NUMBER if character.isdigit() and not character.isascii():
            return _("Only the digits 0 to 9 are taken here.")
        case Takes.NUMBER if not before and character.isalpha():
            return _("{sign} is no command here; a number begins with a digit.").format(sign=character)
        case Takes.NUMBER if character in ".," and ("." in before or "," in before):
            return _("There is a point already; one is enough.")
        case Takes.NUMBER if not (character.isalnum() or character in _SIGNS):
            return _("{sign} is not part of a number.").format(sign=character)
    return ""
