"""The log: one file a month, only ever added to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendtui.core.event import Event
from tendtui.core.finding import Finding
from tendtui.core.lasting import lasting
from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.atomic import make_folder, read_file, unless_changed
from tendtui.store.event_table import encode_event, kind_of
from tendtui.store.folder import Folder, month_name
from tendtui.store.log_index import MonthFacts, conflict_copies, month_files, refresh, survey
from tendtui.store.log_recall import Recall, memorise
from tendtui.store.month_file import Month, parse_month, read_month
from tendtui.store.plain_toml import read_plain
from tendtui.store.schema import refuse_newer
from tendtui.store.state_file import open_state, write_state
from tendtui.store.toml_read import SCHEMA
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "Log",
    "Month",
    "append",
    "earlier_events",
    "events_text",
    "line_of_id",
    "number",
    "parse_month",
    "read_log",
    "read_month",
]

_EARLIEST_OFFSET = timedelta(hours=24)
"""No offset is larger, so an event of a moment stands at most this far from the month it has in UTC."""


@value_class
class Log:
    """What happened, as far back as was asked for."""

    all_events: tuple[Event, ...] = ()
    """Every event once, by `at`, then `seq`; those replaced too."""
    events: tuple[Event, ...] = ()
    """Those that still count."""
    lasting: tuple[Event, ...] = ()
    """Those that still count and matter today, of what was before."""
    findings: tuple[Finding, ...] = ()
    """What is odd but readable: conflict copies, an id that stands twice."""


def read_log(folder: Folder, *, since: datetime | None = None, outbox: Iterable[Event] | None = None) -> Log:
    """Read the log, with the events that a save had confirmed but not yet brought into it.

    Args:
        folder: The state folder.
        since: Leave out what was before; None: all of it.
        outbox: The confirmed events, if the state was read already; None: read them now.

    Raises:
        StateError: If a file that is needed can't be read or is damaged; nothing is changed.
    """
    # the state first: an event that leaves its outbox meanwhile stands in the log by then
    waiting = tuple(open_state(folder)[0].outbox if outbox is None else outbox)
    recall = Recall(folder)
    first = "" if since is None else _first_month(since)
    months = [recall.month(path) for path in month_files(folder, since=first)]
    copies, findings = _read_copies(folder, first)
    once, doubles = _once([*months, *copies], waiting)
    replaced = {event.replaces for event in once if event.replaces is not None}
    ordered = sorted(once, key=lambda e: (e.at, e.seq))
    before: tuple[Event, ...] = ()
    if since is not None:
        facts = survey(folder)
        replaced |= {id_ for name, month in facts.items() if name[:7] < first for id_ in month.replaced}
        older = recall.before(facts, first, once)
        known = sorted((*older, *(e for e in ordered if e.at < since)), key=lambda e: (e.at, e.seq))
        before = lasting(event for event in known if event.id not in replaced)
        ordered = [event for event in ordered if event.at >= since]
    return Log(
        all_events=tuple(ordered),
        events=tuple(event for event in ordered if event.id not in replaced),
        lasting=before,
        findings=(*(f for month in months for f in month.findings), *findings, *doubles),
    )


def earlier_events(
    folder: Folder, at: datetime, *, reach: timedelta, outbox: Iterable[Event]
) -> tuple[Event, ...]:
    """Give what still counts of a stretch before a moment: the newest stretch in which anything happened.

    Args:
        folder: The state folder.
        at: The moment; what happened at it is not given.
        reach: How long a stretch is.
        outbox: The confirmed events.

    Raises:
        StateError: If a file that is needed can't be read or is damaged.
    """
    waiting = tuple(outbox)
    names = [path.name[:7] for path in month_files(folder)]
    since = at
    while any(name <= month_name(since)[:7] for name in names):
        since -= reach
        log = read_log(folder, since=since, outbox=waiting)
        found = tuple(event for event in log.events if event.at < at)
        if found:
            return found
    return ()


def append(folder: Folder, events: Iterable[Event]) -> tuple[Event, ...]:
    """Put events at the end of their months: all of them, or none.

    An event that has no number yet (`seq` 0) gets the next; one that stands in its month already is
    left as it is. Events confirmed earlier but not yet in the log go in first.

    Returns:
        The events with their numbers.

    Raises:
        StateError: If a file that is needed can't be read or written; nothing is changed.
        HeldError: If another writer doesn't let go in time.
    """
    from tendtui.store.lock import write_lock  # readers never wait

    with write_lock(folder):
        state, was = open_state(folder)
        facts = survey(folder)
        numbered = _number(events, _last_seq(facts, state.outbox) + 1)
        pending = tuple({event.id: event for event in (*state.outbox, *numbered)}.values())
        touched = sorted({month_name(event.at) for event in pending})
        one_by_one = len({month_name(event.at) for event in numbered}) > 1 and pending != state.outbox
        if one_by_one:  # two renames are two chances to stop between: so first one that holds all
            was = write_state(folder, replace(state, outbox=pending), was=was)
        recall = Recall(folder)
        for name in touched:
            _grow(recall, folder.log_dir / name, [e for e in pending if month_name(e.at) == name])
        if one_by_one:
            write_state(folder, replace(state, outbox=()), was=was)
        memorise(folder, refresh(folder, facts, touched), recall)
        return numbered


def number(folder: Folder, events: Iterable[Event], *, state: State) -> tuple[Event, ...]:
    """Give events their numbers before they go into the outbox; call it inside `write_lock`."""
    return _number(events, _last_seq(survey(folder), state.outbox) + 1)


def events_text(events: Iterable[Event]) -> str:
    """Give the tables of events as they stand in the log."""
    from tendtui.store.toml_text import rows_text

    return "".join(rows_text(kind_of(event), [encode_event(event)]) for event in events)


def line_of_id(data: bytes, name: str) -> int | None:
    """Give the line on which an event's id stands last in a month, or None."""
    import re

    places = list(re.finditer(rb"^\s*id\s*=\s*[\"']" + re.escape(name.encode()), data, re.MULTILINE))
    return data.count(b"\n", 0, places[-1].end()) + 1 if places else None


def _grow(recall: Recall, path: Path, events: list[Event]) -> None:
    """Add to one month what isn't there yet, by one rename."""
    data = read_file(path)
    there: set[str] = set()
    if data is not None:
        refuse_newer(data, file=str(path))
        there = {event.id for event in recall.month(path).events}
    # A save hands over what waits in its outbox, so the same event can come both ways: by id, once.
    new = list({event.id: event for event in events if event.id not in there}.values())
    if not new:
        return
    make_folder(path.parent)
    old = f"schema = {SCHEMA}\n".encode() if data is None else data
    grown = old + (b"" if old.endswith(b"\n") else b"\n") + _bytes(new, path)
    if read_plain(grown.decode()) is None:
        _must_read(grown, path, len(there) + len(new))
    unless_changed(path, data, grown)


def _bytes(events: list[Event], path: Path) -> bytes:
    """Give the text of events, if it will be read back as what they are.

    Raises:
        StateError: If not; a log that its own program can't read would be worse than one event less.
    """
    try:
        data = events_text(events).encode()
        faults = parse_month(data, path)[1]
        why = faults.found[0].what if faults.errors else ""
    except (TypeError, ValueError, StateError) as fault:
        why = str(fault)
    if why:
        raise StateError(
            _("it can't be kept ({why})").format(why=why), _("Nothing was changed."), file=str(path)
        )
    return data


def _must_read(grown: bytes, path: Path, many: int) -> None:
    """Refuse to add to a file whose hand-made form would swallow what is added.

    Raises:
        StateError: If the new events wouldn't be read back.
    """
    try:
        month, faults = parse_month(grown, path)
        fine = not faults.errors and len({event.id for event in month.events}) == many
    except StateError:
        fine = False
    if not fine:
        raise StateError(
            _("nothing can be added after this file's last line"),
            _("Write each event as a table of its own, [[reading]] for example. Nothing was changed."),
            file=str(path),
            line=grown.count(b"\n"),
        )


def _number(events: Iterable[Event], first: int) -> tuple[Event, ...]:
    numbered: list[Event] = []
    for event in events:
        if event.seq > 0:
            numbered.append(event)
        else:
            numbered.append(replace(event, seq=first))
            first += 1
    return tuple(numbered)


def _last_seq(facts: Mapping[str, MonthFacts], outbox: tuple[Event, ...]) -> int:
    return max((*(month.last_seq for month in facts.values()), *(event.seq for event in outbox)), default=0)


def _first_month(since: datetime) -> str:
    """Give the first month whose file may hold events of `since` or later, whatever their offsets."""
    return month_name(since.astimezone(UTC) - _EARLIEST_OFFSET)[:7]


def _read_copies(folder: Folder, first: str) -> tuple[list[Month], list[Finding]]:
    """Read the conflict copies; a damaged one is told and left out, since its month is there."""
    months: list[Month] = []
    findings: list[Finding] = []
    for path in conflict_copies(folder):
        if path.name[:7] < first:
            continue
        try:
            months.append(read_month(path))
            what = _("a file sync left this beside its month; its events are counted, each once")
        except StateError as fault:
            what = _("a file sync left this beside its month, and it can't be read ({why})").format(
                why=fault.what
            )
        findings.append(
            Finding(
                file=str(path),
                what=what,
                do=_("Run tendtui check --mend to bring them together."),
                severity="warning",
            )
        )
    return months, findings


def _once(months: list[Month], waiting: tuple[Event, ...]) -> tuple[list[Event], list[Finding]]:
    """Give each event once, the first of each id; different words under one id are told."""
    by_id: dict[str, Event] = {}
    findings: list[Finding] = []
    for month in months:
        for event in month.events:
            first = by_id.setdefault(event.id, event)
            if first is not event and first != event:
                findings.append(_double(month, event))
    for event in waiting:
        by_id.setdefault(event.id, event)
    return list(by_id.values()), findings


def _double(month: Month, event: Event) -> Finding:
    line = line_of_id(month.data, event.id)
    return Finding(
        file=str(month.path),
        what=_("the id {id} stands twice with different words; the first counts").format(id=event.id),
        do=_("Give the other an id of its own, or remove it."),
        line=line,
        key="id",
        severity="warning",
    )
