"""Events to tables of the log and back, kind by kind."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.store.fields import Fields
from tendtui.value import fields, value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Shape = Literal["number", "text", "moment", "texts", "numbers", "words"]

__all__ = ["KINDS", "Kind", "decode_event", "encode_event", "kind_of"]


@value_class(kw_only=False)
class Column:
    """How one field stands in the file."""

    key: str
    shape: Shape
    low: float = -1e9
    high: float = 1e9
    needed: bool = False


@value_class(kw_only=False)
class Kind:
    """One kind of event: its class, and its own fields by name."""

    event: type[Event]
    columns: Mapping[str, Column]


SHARED: Mapping[str, Column] = {
    "id": Column("id", "text", needed=True),
    "seq": Column("seq", "number", low=0, needed=True),
    "at": Column("at", "moment", needed=True),
    "by": Column("by", "text"),
    "replaces": Column("replaces", "text"),
}
"""What all events have; `extra` holds every key that isn't named here or in the kind."""

KINDS: Mapping[str, Kind] = {
    "reading": Kind(
        Reading,
        {
            "level_l": Column("level_L", "number", low=0),
            "conductivity_ms_cm": Column("conductivity_mS_cm", "number", low=0, high=20_000),
            "ph": Column("ph", "number", low=0, high=14),
            "temperature_c": Column("temperature_C", "number", low=-60, high=100),
            "alkalinity_meq_l": Column("alkalinity_meq_L", "number", low=0, high=1000),
            "doubt": Column("doubt", "texts"),
            "unmixed": Column("unmixed", "texts"),
            "same": Column("same", "texts"),
            "source": Column("source", "text"),
            "flow_l_min": Column("flow_L_min", "numbers"),
            "looks": Column("looks", "words"),
            "not_done": Column("not_done", "words"),
            "first": Column("first", "numbers"),
            "notes": Column("notes", "words"),
        },
    ),
    "poured": Kind(
        Poured,
        {
            "what": Column("what", "text", needed=True),
            "ml": Column("mL", "number", low=0),
            "g": Column("g", "number", low=0),
            "litres": Column("litres", "number", low=0),
            "planned": Column("planned", "number", low=0),
            "typed_first": Column("typed_first", "number", low=0),
            "doubt": Column("doubt", "texts"),
        },
    ),
    "change": Kind(
        Change,
        {"litres": Column("litres", "number", low=0), "reason": Column("reason", "text")},
    ),
    "task": Kind(
        TaskDone,
        {
            "task": Column("task", "text", needed=True),
            "outcome": Column("outcome", "text"),
            "text": Column("text", "text"),
            "due": Column("due", "moment"),
            "severity": Column("severity", "text"),
            "values": Column("values", "numbers"),
        },
    ),
    "note": Kind(Note, {"text": Column("text", "text", needed=True), "about": Column("about", "text")}),
    "plants": Kind(
        Plants,
        {
            "act": Column("act", "text", needed=True),
            "crop": Column("crop", "text", needed=True),
            "count": Column("count", "number", low=0, needed=True),
            "tier": Column("tier", "text"),
            "stage": Column("stage", "text"),
        },
    ),
    "renewed": Kind(Renewed, {"what": Column("what", "text", needed=True)}),
}
"""The table's name -> what stands in it."""

_NAMES = {kind.event: name for name, kind in KINDS.items()}
_WHOLE = ("seq", "count")
_BY_KEY: Mapping[str, Mapping[str, tuple[str, Column]]] = {
    name: {column.key: (field, column) for field, column in {**SHARED, **kind.columns}.items()}
    for name, kind in KINDS.items()
}
_NEEDED: Mapping[str, tuple[str, ...]] = {
    name: tuple(key for key, (_field, column) in columns.items() if column.needed)
    for name, columns in _BY_KEY.items()
}
_DEFAULTS = {kind.event: {f.name: f.default for f in fields(kind.event)} for kind in KINDS.values()}


def kind_of(event: Event) -> str:
    """Give the name of an event's table."""
    return _NAMES[type(event)]


def encode_event(event: Event) -> dict[str, object]:
    """Give an event's table; what is empty or as usual is left out."""
    kind = KINDS[kind_of(event)]
    usual = _DEFAULTS[kind.event]
    table: dict[str, object] = {"id": event.id, "seq": event.seq, "at": event.at, "by": event.by}
    if event.replaces is not None:
        table["replaces"] = event.replaces
    for name, column in kind.columns.items():
        value: object = getattr(event, name)
        if value is None or value == usual[name] or (value in ((), {}) and not column.needed):
            continue
        table[column.key] = _plain(value, column.shape) if name not in _WHOLE else value
    return {**table, **event.extra}


def decode_event(name: str, row: Fields) -> Event | None:
    """Give the event of a table, or None (and a fault is kept) where something is missing or wrong."""
    columns = _BY_KEY[name]
    values: dict[str, object] = {}
    extra: dict[str, object] = {}
    whole = True
    for key, found in row.table.items():
        known = columns.get(key)
        if known is None:
            if key not in row.taken:
                extra[key] = found
            continue
        field, column = known
        value = found if _is_plain(found, field, column) else _take(row, field, column)
        whole = whole and value is not None
        values[field] = value
    for key in _NEEDED[name]:
        if key not in row.table:
            row.missing(key, _("Every [[{kind}]] has one; add it.").format(kind=name))
            whole = False
    if not whole:
        return None
    return KINDS[name].event(**values, extra=extra)  # type: ignore[arg-type]  # the columns are the class's own fields


def _is_plain(value: object, field: str, column: Column) -> bool:
    """Say at a glance that a value needs no second look; most of a log is such values."""
    kind = type(value)
    if column.shape == "number":
        wanted = int if field in _WHOLE else float
        return kind is wanted and column.low <= value <= column.high  # type: ignore[operator]  # a number by now
    if column.shape == "moment":
        return isinstance(value, datetime) and value.tzinfo is not None
    return kind is str and column.shape == "text"


def _take(row: Fields, field: str, column: Column) -> object:
    match column.shape:
        case "number" if field in _WHOLE:
            return row.whole(column.key, low=int(column.low), high=int(column.high))
        case "number":
            return row.number(column.key, low=column.low, high=column.high)
        case "text":
            return row.text(column.key)
        case "moment":
            return row.moment(column.key)
        case "texts":
            return row.texts(column.key)
        case "numbers":
            return row.numbers_by_name(column.key)
        case _:
            return row.texts_by_name(column.key)


def _plain(value: object, shape: Shape) -> object:
    if shape == "number" and isinstance(value, int | float):
        return float(value)
    if shape == "numbers" and isinstance(value, Mapping):
        return {key: float(number) for key, number in value.items()}
    return value
