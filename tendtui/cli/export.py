"""`tendtui export`: the log as CSV or JSON lines, one row per reading that counts."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tendtui.core.event import Reading
from tendtui.store.event_table import encode_event
from tendtui.store.folder import Folder, find_folder
from tendtui.store.log_file import read_log
from tendtui.store.log_index import month_files
from tendtui.store.rack_file import read_rack

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime
from tendtui.words import _

__all__ = ["add", "csv_rows", "run"]

_FIXED = (
    "id", "seq", "at", "by", "level_L", "conductivity_mS_cm", "ph", "temperature_C", "alkalinity_meq_L",
)  # fmt: skip
_LAST = ("doubt", "unmixed", "same", "source")
_TABLES = {"flow_L_min": "flow", "looks": "looks", "not_done": "not_done", "first": "first", "notes": "notes"}
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--csv", action="store_true", help="comma-separated values (as without a flag)")
    form.add_argument("--jsonl", action="store_true", help="one JSON object per line")
    parser.epilog = _("Like: tendtui export > readings.csv, for a spreadsheet.")


def run(args: argparse.Namespace) -> int:
    """Print the readings."""
    folder = Folder(find_folder(args.state))
    if not month_files(folder):
        read_rack(folder)  # with nothing logged either, this names the set-up
    readings = [event for event in read_log(folder).events if isinstance(event, Reading)]
    if args.jsonl:
        _print_jsonl(readings)
    else:
        _print_csv(readings)
    return 0


def csv_rows(readings: list[Reading]) -> list[list[str]]:
    """Give the table, its header first; no cell can be taken for a formula."""
    tables = [_flat(reading) for reading in readings]
    present = {key for table in tables for key in table}
    mapped = [key for table in tables for key in table if "." in key]
    columns = [*_FIXED, *dict.fromkeys(mapped), *(key for key in _LAST if key in present or key == "doubt")]
    return [[_cell(name) for name in columns], *([_cell(table.get(c)) for c in columns] for table in tables)]


def _print_csv(readings: list[Reading]) -> None:
    import csv
    import sys

    csv.writer(sys.stdout, lineterminator="\n").writerows(csv_rows(readings))


def _print_jsonl(readings: list[Reading]) -> None:
    import json

    for reading in readings:
        print(json.dumps(encode_event(reading), ensure_ascii=False, default=_moment))


def _moment(value: datetime) -> str:
    return value.isoformat()


def _flat(reading: Reading) -> dict[str, object]:
    """Give the event's keys, those of its inner tables as `flow.Top`."""
    flat: dict[str, object] = {}
    for key, value in encode_event(reading).items():
        if key in _TABLES:
            flat.update(_under(_TABLES[key], value))
        elif key in (*_FIXED, *_LAST):
            flat[key] = value
    return flat


def _under(name: str, inner: object) -> Mapping[str, object]:
    return {f"{name}.{key}": value for key, value in inner.items()} if isinstance(inner, dict) else {}


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case str():
            text = value
        case tuple() | list():
            text = " ".join(str(item) for item in value)
        case float() | int():
            return str(value)
        case _:
            return _moment(value) if hasattr(value, "isoformat") else str(value)  # type: ignore[arg-type]  # a moment
    guarded = f"'{text}" if text.startswith(_FORMULA) else text
    return "".join(c if c.isprintable() else " " for c in guarded)
