"""Events as the text of month files, for the demo."""
from __future__ import annotations
from collections.abc import Iterable, Mapping
from datetime import datetime
from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone

KIND = {Reading: "reading", Poured: "poured", Change: "change", TaskDone: "task", Note: "note", Plants: "plants", Renewed: "renewed"}
KEY = {"level_l": "level_L", "conductivity_ms_cm": "conductivity_mS_cm", "temperature_c": "temperature_C", "flow_l_min": "flow_L_min", "ml": "mL",
       "alkalinity_meq_l": "alkalinity_meq_L"}
HEAD = ("id", "seq", "at", "by", "replaces")

def month_files(events: Iterable[Event]) -> dict[str, str]:
    out: dict[str, list[str]] = {}
    for event in events:
        out.setdefault(f"{event.at:%Y-%m}.toml", ["schema = 1\n"]).append(_table(event))
    return {name: "\n".join(parts) for name, parts in out.items()}

def _table(event: Event) -> str:
    kind = KIND[type(event)]
    fields = [f for f in event.__dataclass_fields__ if f != "extra"]
    fields.sort(key=lambda f: HEAD.index(f) if f in HEAD else 99)
    lines, subs = [f"[[{kind}]]"], []
    for f in fields:
        value = getattr(event, f)
        if value is None or value in ("", (), {}):
            continue
        if f == "source" and value == "record": continue
        if isinstance(value, Mapping):
            subs.append(f"[{kind}.{KEY.get(f, f)}]")
            subs += [f'"{k}" = {_text(v)}' for k, v in value.items()]
        else:
            lines.append(f"{KEY.get(f, f)} = {_text(value)}")
    return "\n".join(lines + subs) + "\n"

def _text(value: object) -> str:
    if isinstance(value, datetime): return value.isoformat()
    if isinstance(value, tuple): return "[" + ", ".join(_text(v) for v in value) + "]"
    if isinstance(value, str): return '"' + value.replace('"', '\\"') + '"'
    return repr(value)
