"""The one place where sentences meet a translation.

Every sentence that a person reads is marked `_("…")` where it is made, in English, with named
placeholders filled by `.format`. `use` installs a translation for the whole process; without one
the English stands. The standard gettext tools read the marks.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol
else:
    Protocol = object


__all__ = ["Translation", "_", "decimal_sign", "n_", "use"]


class Translation(Protocol):
    """What `gettext.GNUTranslations` offers."""

    def gettext(self, message: str) -> str:
        """Give the sentence in the chosen language."""

    def ngettext(self, one: str, many: str, n: int) -> str:
        """Give the form for this count."""


class _Sentence(str):
    """A sentence of a language whose decimal sign is not the point."""

    __slots__ = ()

    def format(self, *args: object, **fields: object) -> str:
        """Fill the placeholders as `str.format` does, but for the decimal sign."""
        from tendtui.words_number import NUMBERS  # not before a language needs it

        return NUMBERS.vformat(self, args, fields)


_current: list[Translation] = []
_signs: list[str] = ["."]


def use(translation: Translation | None) -> None:
    """Install a translation, or `None` for English."""
    _current.clear()
    _signs[0] = "."
    if translation is not None:
        _current.append(translation)
        _signs[0] = translation.gettext(".")


def decimal_sign() -> str:
    """Give the sign between whole and part of a number: the translation of `.`."""
    return _signs[0]


def _(message: str) -> str:
    """Give a sentence in the installed language."""
    if not _current or not message:
        return message
    text = _current[0].gettext(message)
    return text if _signs[0] == "." else _Sentence(text)


def n_(one: str, many: str, n: int) -> str:
    """Give the singular or plural sentence for a count."""
    if _current:
        text = _current[0].ngettext(one, many, n)
        return text if _signs[0] == "." else _Sentence(text)
    return one if n == 1 else many
