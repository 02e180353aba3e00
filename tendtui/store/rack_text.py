"""A `Rack` to the text of `rack.toml`, for the set-up; hand edits go through `edit_rack`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tendtui.core.rack import Rack
from tendtui.store.rack_words import TABLES
from tendtui.store.toml_read import SCHEMA
from tendtui.store.toml_text import table_text
from tendtui.value import REQUIRED, fields

__all__ = ["COMMENTS", "rack_bytes"]

COMMENTS: Mapping[str, str] = {
    "show": "units that people see and type",
    "reservoir": "litres with the pump running; below least_L the pump draws air",
    "source": "the water used for topping up and for changes",
    "meter": "what the meters can show",
    "place": "for intervals and rules of electrical checks; never legal advice",
    "target": "optional where the crops decide it",
    "tier": "in the order the water passes them",
    "feed": "in pouring order, as the labels say it",
    "adjuster": "bottles that move pH",
    "measuring": "the smallest steps that can really be measured",
    "device": "everything with a plug",
    "mains": "the supply; in doubt ask a licensed electrician",
    "people": "who usually looks after it",
}
"""One line above each table's first header."""

_SINGLE = ("show", "reservoir", "source", "meter", "place", "target", "measuring", "mains")
_LISTS = {"tier": "tiers", "feed": "feeds", "adjuster": "adjusters", "device": "devices"}
_ORDER = tuple(TABLES)


def rack_bytes(rack: Rack) -> bytes:
    """Give the text of a new `rack.toml` that says this; what is as usual is left out."""
    parts = [table_text({"schema": SCHEMA, "name": rack.name})]
    for table in _ORDER:
        text = _people_text(rack) if table == "people" else _table(rack, table)
        if text:
            parts.append(f"# {COMMENTS[table]}\n{text}")
    if rack.extra:
        parts.append(table_text({k: v for k, v in rack.extra.items() if k not in ("schema", "name")}))
    return "\n".join(part for part in parts if part).encode()


def _table(rack: Rack, table: str) -> str:
    if table in _SINGLE:
        value = getattr(rack, table)
        inner = {} if value is None else _columns(table, value)
        return table_text({table: inner}) if inner else ""
    rows = [_columns(table, value) for value in getattr(rack, _LISTS[table])]
    return table_text({table: rows}) if rows else ""


def _columns(table: str, value: Any) -> dict[str, object]:  # noqa: ANN401  # any of the rack's values
    """Give a value's keys; the file's keys stand in the order of the class's fields."""
    given: dict[str, object] = {}
    for key, field in zip(_keys(table, value), fields(value), strict=True):
        content = getattr(value, field.name)
        if content is None or (field.default is not REQUIRED and content == field.default):
            continue
        given[key] = content
    return given


def _keys(table: str, value: Any) -> tuple[str, ...]:  # noqa: ANN401  # any of the rack's values
    by_lower = {key.lower(): key for key in TABLES[table]}
    return tuple(by_lower[field.name] for field in fields(value))


def _people_text(rack: Rack) -> str:
    people: dict[str, object] = {
        "usual": list(rack.people) or None,
        "phones": rack.phones or None,
        "roles": rack.roles or None,
    }
    given = {key: value for key, value in people.items() if value is not None}
    return table_text({"people": given}) if given else ""
