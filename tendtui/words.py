"""The one place where sentences meet a translation.

Every sentence that a person reads is marked `_("…")` where it is made, in English, with named
placeholders filled by `.format`. `use` installs a translation for the whole process; without one
the English stands. The standard gettext tools read the marks.
"""

from __future__ import annotations

from typing import Protocol

__all__ = ["Translation", "_", "n_", "use"]


class Translation(Protocol):
    """What `gettext.GNUTranslations` offers."""

    def gettext(self, message: str) -> str:
        """Give the sentence in the chosen language."""

    def ngettext(self, one: str, many: str, n: int) -> str:
        """Give the form for this count."""


_current: list[Translation] = []


def use(translation: Translation | None) -> None:
    """Install a translation, or `None` for English."""
    _current.clear()
    if translation is not None:
        _current.append(translation)


def _(message: str) -> str:
    """Give a sentence in the installed language."""
    return _current[0].gettext(message) if _current and message else message


def n_(one: str, many: str, n: int) -> str:
    """Give the singular or plural sentence for a count."""
    if _current:
        return _current[0].ngettext(one, many, n)
    return one if n == 1 else many
