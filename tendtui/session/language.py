"""Which language the sentences stand in: the standard variables decide, English costs nothing."""

from __future__ import annotations

import os
from pathlib import Path

from tendtui.words import _, use

__all__ = ["DOMAIN", "choose_language", "language", "missing_language", "wanted_languages"]

DOMAIN = "tendtui"

_CATALOGUES = Path(__file__).parents[1] / "locale"
_chosen: list[str] = []


def wanted_languages() -> tuple[str, ...]:
    """Give the languages asked for, best first: `LANGUAGE`, else `LC_ALL`, `LC_MESSAGES` or `LANG`.

    As gettext does it: in the plain locale (`C`, `POSIX` or none) `LANGUAGE` is not looked at.
    """
    locale = next(
        (os.environ[name] for name in ("LC_ALL", "LC_MESSAGES", "LANG") if os.environ.get(name)), ""
    )
    plain = locale.partition(".")[0] in ("", "C", "POSIX")
    listed = os.environ.get("LANGUAGE", "")
    names = listed.split(":") if listed and not plain else [] if plain else [locale]
    return tuple(name for name in names if name)


def choose_language() -> str:
    """Install the best translation there is, and give its language; `en` where none is wanted or there.

    A locale that isn't there is no fault: the English stands.
    """
    _chosen.clear()
    use(None)
    for name in wanted_languages():
        for code in _codes(name):
            if code == "en":
                _chosen.append("en")
                return "en"
            if (catalogue := _CATALOGUES / code / "LC_MESSAGES" / f"{DOMAIN}.mo").is_file():
                _install(catalogue)
                _chosen.append(code)
                return code
    _chosen.append("en")
    return "en"


def language() -> str:
    """Give the language that the sentences stand in."""
    return _chosen[0] if _chosen else "en"


def missing_language() -> str:
    """Say it where a language was asked for that isn't there; empty: it is, or none was."""
    wanted = wanted_languages()
    codes = [code for name in wanted for code in _codes(name)]
    if not wanted or language() in codes:
        return ""
    there = sorted(path.name for path in _CATALOGUES.iterdir() if path.is_dir())
    return _("There is no translation for {asked}: the words stand in English. There are: {there}.").format(
        asked=wanted[0], there=", ".join(["en", *there])
    )


def _codes(name: str) -> tuple[str, ...]:
    """Give `de_AT`, then `de`, for `de_AT.UTF-8@euro`."""
    code = name.partition("@")[0].partition(".")[0].replace("-", "_")
    short = code.partition("_")[0].lower()
    # a name is a file's name here: letters and nothing that leads elsewhere
    return tuple(dict.fromkeys(c for c in (code, short) if c.replace("_", "").isalnum()))


def _install(catalogue: Path) -> None:
    from gettext import GNUTranslations
    from struct import error as cut_short

    with catalogue.open("rb") as file:
        try:
            use(GNUTranslations(file))
        except (OSError, ValueError, cut_short):
            use(None)  # a damaged catalogue: English is better than no program
