"""Taking typed values out of a parsed table, every fault kept with its line and none hiding another."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.finding import Finding
from tendtui.errors import StateError
from tendtui.store.toml_read import is_table
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeGuard

    from tendtui.core.finding import Severity
    from tendtui.store.toml_lines import Path

__all__ = ["Faults", "Fields"]

_LARGEST = 1e9
"""No quantity of a rack comes near; a larger number is a slip."""


class Faults:
    """Collects what is wrong in one file; the lines are looked up only if something is."""

    def __init__(self, *, file: str, text: str | bytes) -> None:
        """Begin without faults.

        Args:
            file: The file, as the reader knows it.
            text: Its content, to find the lines in.
        """
        self.file = file
        self.found: list[Finding] = []
        self._text = text
        self._lines: dict[Path, int] | None = None

    def add(self, path: Path, what: str, do: str, *, severity: Severity = "error") -> None:
        """Keep a fault of the key at `path`."""
        key = ".".join(str(part) for part in path if not isinstance(part, int))
        self.found.append(
            Finding(
                file=self.file,
                what=_printable(what),
                do=_printable(do),
                line=self.line(path),
                key=key,
                severity=severity,
            )
        )

    def line(self, path: Path) -> int | None:
        """Give the line of a key, or of the table around it."""
        from tendtui.store.toml_lines import line_of, lines_of_keys  # not before something is wrong

        if self._lines is None:
            text = self._text if isinstance(self._text, str) else self._text.decode("utf-8", "replace")
            self._lines = lines_of_keys(text)
        return line_of(self._lines, path)

    @property
    def errors(self) -> bool:
        """Say whether something is so wrong that the file can't be used."""
        return any(finding.severity == "error" for finding in self.found)

    def raise_first(self) -> None:
        """Stop at the first error, if there is one.

        Raises:
            StateError: With that error's place and words.
        """
        for finding in self.found:
            if finding.severity == "error":
                raise StateError(finding.what, finding.do, file=finding.file, line=finding.line)


class Fields:
    """One table; what was taken is remembered, so that the rest can be kept or named."""

    def __init__(self, table: Mapping[str, object], path: Path, faults: Faults) -> None:
        """Look at a table that stands at `path`."""
        self.table = table
        self.path = path
        self.faults = faults
        self.taken: set[str] = set()

    def rest(self) -> dict[str, object]:
        """Give the keys that nobody took."""
        return {key: value for key, value in self.table.items() if key not in self.taken}

    def has(self, key: str) -> bool:
        """Say whether the key stands in the table."""
        return key in self.table

    def fault(self, key: str, what: str, do: str, *, severity: Severity = "error") -> None:
        """Keep a fault of one of this table's keys."""
        self.faults.add((*self.path, key), what, do, severity=severity)

    def missing(self, key: str, do: str, *, severity: Severity = "error") -> None:
        """Keep that a key must be there and isn't; the line is the table's."""
        where = ".".join(str(part) for part in self.path if not isinstance(part, int))
        named = f"{where}.{key}" if where else key
        self.faults.add((*self.path, key), _("{key} is missing").format(key=named), do, severity=severity)

    def number(self, key: str, *, low: float = -_LARGEST, high: float = _LARGEST) -> float | None:
        """Take a number within limits, both inside; None where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return None
        if not _is_number(value):
            self.fault(key, self._is_not(key, value), _("Write a number, 12.5 for example."))
            return None
        if not low <= value <= high:
            self.fault(key, *_outside(key, value, low, high))
            return None
        return float(value)

    def whole(self, key: str, *, low: int = 0, high: int = 1_000_000) -> int | None:
        """Take a whole number within limits; `2.0` is one too."""
        value = self.number(key, low=low, high=high)
        if value is None:
            return None
        if value != int(value):
            self.fault(
                key, _("{key} is not a whole number").format(key=key), _("Write a number without a point.")
            )
            return None
        return int(value)

    def band(self, key: str, *, low: float, high: float) -> tuple[float, float] | None:
        """Take a pair, lowest and highest; None where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return None
        pair = [v for v in value if _is_number(v)] if isinstance(value, list) else []
        if not isinstance(value, list) or len(value) != 2 or len(pair) != 2:
            self.fault(
                key,
                _("{key} is not a pair of numbers").format(key=key),
                _("Write the lowest and the highest, [5.6, 6.2] for example."),
            )
            return None
        if pair[0] > pair[1]:
            self.fault(
                key, _("{key} is upside down").format(key=key), _("Write the lowest first, then the highest.")
            )
            return None
        outside = [v for v in pair if not low <= v <= high]
        if outside:
            self.fault(key, *_outside(key, outside[0], low, high))
            return None
        return float(pair[0]), float(pair[1])

    def text(self, key: str) -> str | None:
        """Take a text; None where it is missing or wrong."""
        value = self._take(key)
        if value is None or isinstance(value, str):
            return value
        self.fault(key, self._is_not(key, value), _('Write words in quotes, "like this".'))
        return None

    def choice(self, key: str, words: tuple[str, ...]) -> str | None:
        """Take one word out of a list; None where it is missing or another."""
        value = self.text(key)
        if value is None or value in words:
            return value
        self.fault(
            key,
            _("{key} is {value}, which isn't known").format(key=key, value=_shown(value)),
            _("Write one of: {words}.").format(words=", ".join(words)),
        )
        return None

    def flag(self, key: str) -> bool | None:
        """Take a yes or no; None where it is missing or wrong."""
        value = self._take(key)
        if value is None or isinstance(value, bool):
            return value
        self.fault(key, self._is_not(key, value), _("Write true or false."))
        return None

    def moment(self, key: str) -> datetime | None:
        """Take a date and time with offset; None where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return None
        if isinstance(value, datetime) and value.utcoffset() is not None:
            return value
        self.fault(
            key,
            _("{key} is not a date and time with offset").format(key=key),
            _("Write it without quotes, like 2026-11-25T08:10:00+00:00."),
        )
        return None

    def texts(self, key: str) -> tuple[str, ...]:
        """Take a list of texts; empty where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return ()
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(value)
        self.fault(key, self._is_not(key, value), _('Write a list of words, ["one", "two"].'))
        return ()

    def numbers_by_name(self, key: str) -> dict[str, float]:
        """Take a table of numbers; empty where it is missing."""
        inner = self.inner(key)
        got = {} if inner is None else {name: inner.number(name) for name in inner.table}
        return {name: value for name, value in got.items() if value is not None}

    def texts_by_name(self, key: str) -> dict[str, str]:
        """Take a table of texts; empty where it is missing."""
        inner = self.inner(key)
        got = {} if inner is None else {name: inner.text(name) for name in inner.table}
        return {name: value for name, value in got.items() if value is not None}

    def inner(self, key: str) -> Fields | None:
        """Take a table inside this one; None where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return None
        if is_table(value):
            return Fields(value, (*self.path, key), self.faults)
        self.fault(
            key,
            self._is_not(key, value),
            _("Write it as a table, with [{key}] above its lines.").format(key=key),
        )
        return None

    def rows(self, key: str) -> tuple[Fields, ...]:
        """Take a list of tables; empty where it is missing or wrong."""
        value = self._take(key)
        if value is None:
            return ()
        if isinstance(value, list) and all(is_table(item) for item in value):
            return tuple(Fields(item, (*self.path, key, n), self.faults) for n, item in enumerate(value))
        self.fault(
            key,
            self._is_not(key, value),
            _("Write each as a table of its own, with [[{key}]] above its lines.").format(key=key),
        )
        return ()

    def _take(self, key: str) -> object:
        self.taken.add(key)
        return self.table.get(key)

    def _is_not(self, key: str, value: object) -> str:
        return _("{key} is {kind}, which can't be used here").format(key=key, kind=_kind(value))


def _is_number(value: object) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool) and (value - value == 0)


def _kind(value: object) -> str:
    match value:
        case bool():
            return _("true or false")
        case str():
            return _("words in quotes")
        case int() | float():
            return _("no number that can be measured")
        case list():
            return _("a list")
        case dict():
            return _("a table")
        case _:
            return _("a date or time")


def _shown(value: str) -> str:
    short = value if len(value) <= 40 else f"{value[:40]}…"
    return f'"{_printable(short)}"'


def _printable(words: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in words)


def _outside(key: str, value: float, low: float, high: float) -> tuple[str, str]:
    shown = f"{value:g}" if abs(value) < _LARGEST else _("far too large")
    what = _("{key} is {value}").format(key=key, value=shown)
    if value < low and 0.0 < low < 0.001:
        return what, _("It must be more than 0; correct it.")
    if value < low:
        return what, _("It can't be below {low}; correct it.").format(low=f"{low:g}")
    return what, _("It can't be above {high}; correct it.").format(high=f"{high:g}")
