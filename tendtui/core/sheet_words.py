"""The words of `sheet.toml` as values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.value import value_class

__all__ = ["BeforeWords", "DrillWords", "MeasureWords", "SheetWords", "sheet_words"]


@value_class
class DrillWords:
    """What to do when something happens."""

    title: str
    lines: tuple[str, ...]


@value_class
class MeasureWords:
    """What is said to a stand-in who writes down numbers."""

    depth: str
    """From which depth of the cover on."""
    text: str
    ring: bool = False
    """Whether it is a reason to ring."""


@value_class
class BeforeWords:
    """What the grower does so many days before leaving."""

    days: int
    what: str
    bottles: bool = False
    """Whether it is here that the bottles are filled."""


@value_class
class SheetWords:
    """All of it."""

    first: str
    photo: str
    normal: str
    welcome: str
    advice: str
    act_title: str
    act: tuple[str, ...]
    act_none: str
    act_mixed: str
    """Said beside the act where the bottles hold feed."""
    looks: tuple[tuple[str, str], ...]
    """What is looked at, and what good looks like."""
    measures: tuple[MeasureWords, ...]
    never: tuple[str, ...]
    ring: tuple[str, ...]
    danger: tuple[str, ...]
    drills: tuple[DrillWords, ...]
    before: tuple[BeforeWords, ...]
    on_return: tuple[str, ...]


def sheet_words(table: Mapping[str, object]) -> SheetWords:
    """Turn the data of `sheet.toml` into values.

    Raises:
        KeyError: If a part is missing.
    """
    sheet, act = _inner(table, "sheet"), _inner(table, "act")
    return SheetWords(
        first=str(sheet["first"]),
        photo=str(sheet["photo"]),
        normal=str(sheet["normal"]),
        welcome=str(sheet["welcome"]),
        advice=str(sheet["advice"]),
        act_title=str(act["title"]),
        act=_texts(act["lines"]),
        act_none=str(act["none"]),
        act_mixed=str(act["mixed"]),
        looks=tuple((str(row["what"]), str(row["good"])) for row in _rows(table, "look")),
        measures=tuple(
            MeasureWords(depth=str(row["depth"]), text=str(row["text"]), ring=row.get("ring") is True)
            for row in _rows(table, "measure")
        ),
        never=_column(table, "never"),
        ring=_column(table, "ring"),
        danger=_column(table, "danger"),
        drills=tuple(
            DrillWords(title=str(row["title"]), lines=_texts(row["lines"])) for row in _rows(table, "drill")
        ),
        before=tuple(
            BeforeWords(days=int(str(row["days"])), what=str(row["what"]), bottles=row.get("bottles") is True)
            for row in _rows(table, "before")
        ),
        on_return=_column(table, "return"),
    )


def _inner(table: Mapping[str, object], key: str) -> Mapping[str, object]:
    inner = table[key]
    if not isinstance(inner, Mapping):
        raise KeyError(key)
    return inner


def _rows(table: Mapping[str, object], key: str) -> Iterable[Mapping[str, object]]:
    rows = table[key]
    return [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, list) else []


def _column(table: Mapping[str, object], key: str) -> tuple[str, ...]:
    return tuple(str(row["text"]) for row in _rows(table, key))


def _texts(value: object) -> tuple[str, ...]:
    return tuple(str(each) for each in value) if isinstance(value, list) else ()
