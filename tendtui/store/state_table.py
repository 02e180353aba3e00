"""The state to tables of `state.toml` and back.

The lists lie flat (`[[entry]]` names its walk) so that the file is quick to read and easy to look at.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.event import Event
from tendtui.core.state import Person, State
from tendtui.store.event_table import KINDS, decode_event, encode_event, kind_of
from tendtui.store.fields import Fields
from tendtui.store.toml_read import SCHEMA
from tendtui.value import replace
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.walk_value import Entry, Walk

__all__ = ["decode_state", "encode_state"]

_KNOWN = ("schema", "done", "learned", "away", "person", "walk", "entry", "outbox")


def encode_state(state: State) -> dict[str, object]:
    """Give the tables of the whole file."""
    tables: dict[str, object] = {
        "schema": SCHEMA,
        "done": dict(state.done),
        "learned": state.learned,
        "away": state.away,
        "person": [
            {"name": name, "form": p.form, "clean_rounds": p.clean_rounds, "practised": p.practised}
            for name, p in state.people.items()
        ],
        "walk": [_encode_walk(walk) for walk in state.walks.values()],
        "entry": [_encode_entry(w.kind, entry) for w in state.walks.values() for entry in w.entries],
        "outbox": [{"kind": kind_of(event), **encode_event(event)} for event in state.outbox],
    }
    kept = {key: value for key, value in tables.items() if value not in ({}, [])}
    return {**kept, **{key: value for key, value in state.extra.items() if key not in _KNOWN}}


def decode_state(top: Fields) -> State:
    """Give the state that the tables hold; what is wrong is kept as a fault and left out."""
    walks = {walk.kind: walk for row in top.rows("walk") if (walk := _decode_walk(row)) is not None}
    for row in top.rows("entry"):
        kind, entry = _decode_entry(row)
        if kind not in walks:
            row.fault("walk", _("this entry belongs to no walk"), _("Put its [[walk]] back, or remove it."))
        elif entry is not None:
            walks[kind] = replace(walks[kind], entries=(*walks[kind].entries, entry))
    top.whole("schema")
    return State(
        walks=walks,
        outbox=tuple(event for row in top.rows("outbox") if (event := _decode_outbox(row)) is not None),
        done=_moments(top),
        learned=_table(top, "learned"),
        people={name: person for row in top.rows("person") for name, person in _decode_person(row)},
        away=_table(top, "away"),
        extra=top.rest(),
    )


def _encode_walk(walk: Walk) -> dict[str, object]:
    head = {"kind": walk.kind, "id": walk.id, "began": walk.began, "by": walk.by}
    return {**head, "context": walk.context} if walk.context else head


def _encode_entry(kind: str, entry: Entry) -> dict[str, object]:
    table: dict[str, object] = {"walk": kind, "key": entry.key, "act": entry.act.value, "at": entry.at}
    optional: dict[str, object] = {
        "by": entry.by,
        "typed": entry.typed,
        "value": None if entry.value is None else float(entry.value),
        "word": entry.word,
        "text": entry.text,
        "first": None if entry.first is None else float(entry.first),
        "doubt": entry.doubt,
        "look": entry.look,
        "same": entry.same,
        "events": list(entry.events),
    }
    # 0.0 is a value; False, empty and missing are not written
    return {**table, **{k: v for k, v in optional.items() if v or isinstance(v, float)}}


def _decode_walk(row: Fields) -> Walk | None:
    from tendtui.core.walk_value import Walk  # most files hold no walk

    kind, name, began = row.text("kind"), row.text("id"), row.moment("began")
    if kind is None or name is None or began is None:
        _needs(row, ("kind", "id", "began"))
        return None
    return Walk(kind=kind, id=name, began=began, by=row.text("by") or "", context=_table(row, "context"))


def _decode_entry(row: Fields) -> tuple[str, Entry | None]:
    from tendtui.core.walk_value import Act, Entry

    kind, key, act, at = row.text("walk") or "", row.text("key"), row.text("act"), row.moment("at")
    if key is None or act is None or at is None:
        _needs(row, ("key", "act", "at"))
        return kind, None
    if act not in [known.value for known in Act]:
        row.fault("act", _("{act} is not something that can be done").format(act=act), _("Correct the word."))
        return kind, None
    return kind, Entry(
        key=key,
        act=Act(act),
        at=at,
        by=row.text("by") or "",
        typed=row.text("typed") or "",
        value=row.number("value"),
        word=row.text("word") or "",
        text=row.text("text") or "",
        first=row.number("first"),
        doubt=row.flag("doubt") or False,
        look=row.flag("look") or False,
        same=row.flag("same") or False,
        events=row.texts("events"),
    )


def _decode_outbox(row: Fields) -> Event | None:
    kind = row.text("kind")
    if kind is None or kind not in KINDS:
        row.fault("kind", _("this is not a kind of event"), _("Correct the word."))
        return None
    return decode_event(kind, row)


def _decode_person(row: Fields) -> tuple[tuple[str, Person], ...]:
    name = row.text("name")
    if name is None:
        _needs(row, ("name",))
        return ()
    form, clean_rounds, practised = row.text("form"), row.whole("clean_rounds"), row.whole("practised")
    person = Person(form=form or "learner", clean_rounds=clean_rounds or 0, practised=practised or 0)
    return ((name, person),)


def _moments(top: Fields) -> dict[str, datetime]:
    inner = top.inner("done")
    got = {} if inner is None else {name: inner.moment(name) for name in inner.table}
    return {name: at for name, at in got.items() if at is not None}


def _table(row: Fields, key: str) -> Mapping[str, object]:
    inner = row.inner(key)
    return {} if inner is None else inner.table


def _needs(row: Fields, keys: tuple[str, ...]) -> None:
    for key in keys:
        if not row.has(key):
            row.missing(key, _("Add it, or remove the table."))
