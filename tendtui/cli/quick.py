"""Reading the words of a usual call at once; whatever is unusual about them, argparse decides.

Loading argparse and building its parser is a tenth of what a short command takes. A command names its
options once (`add`); this reads the plain forms of them and never complains.
"""

from __future__ import annotations

from types import SimpleNamespace

__all__ = ["QuickWords"]


class QuickWords:
    """Takes what `add` names, as a parser does."""

    def __init__(self) -> None:
        self.epilog = ""
        self._plain = True
        self._flags: dict[str, str] = {}
        self._values: dict[str, str] = {}
        self._defaults: dict[str, object] = {}
        self._many: str | None = None

    def add_argument(self, *names: str, **about: object) -> None:
        """Take an option or the words of the call; of an unusual kind, and nothing is read here."""
        kind = {key: value for key, value in about.items() if key not in ("help", "metavar", "default")}
        name = names[0].lstrip("-").replace("-", "_")
        if not names[0].startswith("-"):
            self._plain = self._plain and kind == {"nargs": "*"} and self._many is None
            self._many = name
        elif kind == {"action": "store_true"} and len(names) == 1:
            self._flags[names[0]] = name
        elif not kind and len(names) == 1:
            self._values[names[0]] = name
        else:
            self._plain = False
        self._defaults[name] = about.get("default", False if kind.get("action") == "store_true" else None)

    def read(self, words: list[str]) -> SimpleNamespace | None:
        """Give what the words say; None where argparse has to look."""
        if not self._plain:
            return None
        found, many, ended, rest = dict(self._defaults), list[str](), False, iter(words)
        for word in rest:
            name, equals, value = word.partition("=")
            if not word.startswith("-"):
                if self._many is None or ended or not word:
                    return None
                many.append(word)
                continue
            ended = bool(many)  # words on both sides of an option are an error that argparse words
            if word in self._flags:
                found[self._flags[word]] = True
            elif name in self._values and equals:
                found[self._values[name]] = value
            elif word in self._values:
                value = next(rest, "-")
                if value.startswith("-"):
                    return None
                found[self._values[word]] = value
            else:
                return None
        if self._many is not None:
            found[self._many] = many
        return SimpleNamespace(**found)
