"""The demo: a copy of the invented rack with its dates moved so that the last round was yesterday.

The move is done on the text, so that a copied file differs from its original in nothing but its times.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

from tendtui.errors import StateError
from tendtui.words import _

__all__ = ["copy_demo", "demo_folder", "moved"]

_TIME = re.compile(r"(?m)^(\w+ = )(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?(?:Z|[+-]\d\d:\d\d))(?=\s*$)")
"""A key with an offset date-time, alone on its line: what every file of the demo holds."""

_TABLE = re.compile(r"(?m)^(?=\[\[)")
_ROUND = re.compile(r'(?m)^\[\[reading\]\]\n(?:(?!\[\[).*\n)*?source = "round"$')


def copy_demo(target: Path, now: datetime) -> Path:
    """Copy the demo's rack, state and log, its last round moved to the day before `now`.

    Times of the day stay as they were written, with the offset of `now`.

    Args:
        target: A folder that holds no rack yet; it is made.
        now: The present, with offset.

    Returns:
        `target`.

    Raises:
        StateError: If there is a rack already, or the demo isn't there or can't be copied.
    """
    source = demo_folder()
    if (target / "rack.toml").exists():
        raise StateError(_("{folder} holds a rack already").format(folder=target), _("Name an empty folder."))
    try:
        files = {
            f"log/{path.name}": path.read_text("utf-8") for path in sorted((source / "log").glob("*.toml"))
        }
        files["state.toml"] = (source / "state.toml").read_text("utf-8")
        (target / "log").mkdir(parents=True, exist_ok=True)
        (target / "rack.toml").write_bytes((source / "rack.toml").read_bytes())
        for name, text in moved(files, now).items():
            (target / name).write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise StateError(
            _("the demo can't be copied: {error}").format(error=error.strerror), _("Is the disk full?")
        ) from None
    return target


def demo_folder() -> Path:
    """Find the demo: inside the installed package, or beside it in a checkout.

    Raises:
        StateError: If it is in neither place.
    """
    package = Path(__file__).parents[1]
    for folder in (package / "demo_state", package.parent / "demo_state"):
        if (folder / "rack.toml").is_file():
            return folder
    raise StateError(_("the demo is missing from this installation"), _("Install tendtui again."))


def moved(files: Mapping[str, str], now: datetime) -> dict[str, str]:
    """Move every time in the files by whole days, and each event to the file of its new month.

    Args:
        files: Name below the state folder -> text; months are `log/YYYY-MM.toml`.
        now: The present, with offset.

    Returns:
        The same files with their new names and texts, log files in the order of time.
    """
    logs = [text for name, text in sorted(files.items()) if name.startswith("log/")]
    days = (now.date() - timedelta(days=1)) - _last_round(logs)
    out = {name: _shift(text, days, now) for name, text in files.items() if not name.startswith("log/")}
    out.update(_months(_shift(text, days, now) for text in logs))
    return out


def _last_round(logs: Iterable[str]) -> date:
    times = [at for text in logs for table in _ROUND.findall(text) for _key, at in _TIME.findall(table)]
    return max(datetime.fromisoformat(at) for at in times).date()


def _shift(text: str, days: timedelta, now: datetime) -> str:
    zone = timezone(now.utcoffset() or timedelta())

    def later(match: re.Match[str]) -> str:
        at = datetime.fromisoformat(match[2]).replace(tzinfo=zone) + days
        return match[1] + at.isoformat()

    return _TIME.sub(later, text)


def _months(logs: Iterable[str]) -> dict[str, str]:
    """Sort tables into months; what stands above a file's first table heads each of its months."""
    out: dict[str, list[str]] = {}
    for text in logs:
        head, *tables = _TABLE.split(text)
        for table in tables:
            match = _TIME.search(table)
            month = "" if match is None else match[2][:7]
            out.setdefault(f"log/{month}.toml", [head]).append(table)
    return {
        name: "".join(part if part.endswith("\n") else part + "\n" for part in parts)
        for name, parts in out.items()
    }
