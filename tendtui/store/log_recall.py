"""Reading the log with the help of what was kept of it, and keeping it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from tendtui.core.lasting import LASTING, lasting
from tendtui.errors import StateError
from tendtui.store.atomic import read_file
from tendtui.store.log_memory import KeptMonth, Memory, kept, read_memory, write_memory
from tendtui.store.month_file import Month, parse_month, read_month

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.event import Event
    from tendtui.store.folder import Folder
    from tendtui.store.log_index import MonthFacts

__all__ = ["Recall", "memorise"]

_WINDOW = 6
"""So many months before the newest are read in full by most commands (150 days and a day of offset)."""
_TAIL_BYTES = 8_000
"""So much may be new since the log was last kept; every command reads it anew. A few days of log."""
_HEADER = rb"(?m)^(?=[ \t]*\[\[)"
_PASSING = (b"[[reading]]\n", b"[[poured]]\n", b"[[note]]\n")


class Recall:
    """One reading of the log."""

    def __init__(self, folder: Folder) -> None:
        """Read what was kept."""
        self._folder = folder
        self.memory = read_memory(folder)

    def month(self, path: Path) -> Month:
        """Give a month, read from its file only as far as it isn't known.

        Raises:
            StateError: If it can't be read or is damaged; it names the line.
        """
        known = self.memory.months.get(path.name)
        data = None if known is None else read_file(path)
        if known is None or data is None or not known.begins(data):
            return read_month(path)
        rest = _added(data[known.size :], path)
        if rest is None:
            return read_month(path)
        events = sorted((*known.events(), *rest), key=lambda event: event.seq)
        return Month(path=path, data=data, events=tuple(events), findings=())

    def before(
        self, facts: Mapping[str, MonthFacts], until: str, newer: Iterable[Event]
    ) -> tuple[Event, ...]:
        """Give what matters of the months before one, in time order.

        Args:
            facts: Of all months and of the conflict copies beside them.
            until: That month, `2026-05`.
            newer: All events of the months since; what they replace doesn't count.
        """
        gone = _gone(newer)
        if not any(name[:7] < until for name in facts):
            return ()
        memory = self.memory
        if not memory.cut or memory.cut > until:
            return _picked(self._folder, facts, until, gone)
        between = [name for name in facts if memory.cut <= name[:7] < until]
        try:
            events = [event for name in between for event in self.month(self._folder.log_dir / name).events]
        except StateError:  # told by `check`; a damaged month of old doesn't stop today
            return _picked(self._folder, facts, until, gone)
        gone = _gone((*newer, *events))
        if memory.key != _key(facts, memory.cut, gone):
            return _picked(self._folder, facts, until, gone)
        return _lasting((*memory.before.events(), *events), gone)


def memorise(folder: Folder, facts: Mapping[str, MonthFacts], recall: Recall) -> None:
    """Keep what readers need, where much of it isn't kept yet; call it inside `write_lock`.

    Args:
        folder: The state folder.
        facts: Of all months and conflict copies.
        recall: With what was kept so far.
    """
    months = sorted(name for name in facts if len(name) == len("2026-11.toml"))
    if not months or (len(months) == 1 and facts[months[0]].size < _TAIL_BYTES):
        return
    cut = _months_before(months[-1][:7], _WINDOW)
    memory = recall.memory
    window = [name for name in months if name[:7] >= cut]
    new = sum(facts[n].size - (memory.months[n].size if n in memory.months else 0) for n in window)
    if new < _TAIL_BYTES and (not memory.cut or _months_before(cut, 2) <= memory.cut):
        gone = _gone_by_text(folder, facts, memory.cut)
        if memory.key == _key(facts, memory.cut, gone):
            return
    found: dict[str, KeptMonth] = {}
    events: list[Event] = []
    for name in window:
        with suppress(StateError):
            month = recall.month(folder.log_dir / name)
            events += month.events
            row = None if month.findings or month.unknown else kept(month.data, month.events)
            if row is not None:
                found[name] = row
    picked = kept(b"", recall.before(facts, cut, events))
    if picked is not None:
        write_memory(folder, Memory(found, cut, _key(facts, cut, _gone(events)), picked))


def _added(tail: bytes, path: Path) -> tuple[Event, ...] | None:
    """Read what was added to a month since it was kept; None where the whole file has to be read."""
    if not tail:
        return ()
    if not tail.startswith(b"[["):
        return None
    try:
        month, _faults = parse_month(tail, path)
    except StateError:
        return None
    return None if month.findings or month.unknown else month.events


def _picked(
    folder: Folder, facts: Mapping[str, MonthFacts], until: str, gone: frozenset[str]
) -> tuple[Event, ...]:
    """Read what matters out of the text of all older months; a damaged one is left out, `check` tells it."""
    events: list[Event] = []
    for name in sorted(name for name in facts if name[:7] < until):
        path = folder.log_dir / name
        with suppress(StateError):
            data = _without_passing(read_file(path) or b"")
            if data.strip():
                events += parse_month(data, path)[0].events
    return _lasting(events, gone)


def _without_passing(data: bytes) -> bytes:
    """Leave out tables of kinds that never last, so that ten years are read in a moment.

    Only where they stand as this program writes them; else all of it is left in.
    """
    if b'"""' in data or b"'''" in data:
        return data
    from re import split

    return b"".join(part for part in split(_HEADER, data) if not _passes(part))


def _passes(part: bytes) -> bool:
    return part.startswith(_PASSING) and b"\nreplaces" not in part


def _lasting(events: Iterable[Event], gone: frozenset[str]) -> tuple[Event, ...]:
    every = {event.id: event for event in reversed(tuple(events))}  # the first of an id counts
    replaced = gone | {event.replaces for event in every.values() if event.replaces is not None}
    known = [event for event in every.values() if isinstance(event, LASTING) and event.id not in replaced]
    return lasting(sorted(known, key=lambda event: (event.at, event.seq, event.id)))


def _gone(newer: Iterable[Event]) -> frozenset[str]:
    """Give the ids that newer events replace in months before theirs."""
    known = tuple(newer)
    replaced = {event.replaces for event in known if event.replaces is not None}
    return frozenset(replaced - {event.id for event in known}) if replaced else frozenset()


def _gone_by_text(folder: Folder, facts: Mapping[str, MonthFacts], cut: str) -> frozenset[str]:
    newer = {name: fact for name, fact in facts.items() if name[:7] >= cut}
    replaced = {name for fact in newer.values() for name in fact.replaced}
    if replaced:
        data = b"\n".join(read_file(folder.log_dir / name) or b"" for name in newer)
        replaced = {name for name in replaced if f'\nid = "{name}"'.encode() not in data}
    return frozenset(replaced)


def _key(facts: Mapping[str, MonthFacts], cut: str, gone: frozenset[str]) -> str:
    """Tell one look of the older months from every other."""
    seen = sorted((name, fact.size, fact.time_ns) for name, fact in facts.items() if name[:7] < cut)
    return f"{crc32(repr((seen, sorted(gone))).encode()):08x}"


def _months_before(month: str, many: int) -> str:
    count = int(month[:4]) * 12 + int(month[5:]) - 1 - many
    return f"{count // 12:04d}-{count % 12 + 1:02d}"
