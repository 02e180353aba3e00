"""The slow tasks as an iCalendar object (RFC 5545), so that any calendar can remind of them.

A task has one entry, whose name never changes: read in again, it moves, and no double appears.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256

from tendtui.core.due import TaskDue
from tendtui.core.priority import group_words, stands_behind
from tendtui.core.rack import Rack
from tendtui.core.show import day_words
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["CalendarEntry", "calendar_entries", "calendar_text", "few_entries", "rack_mark"]

_EPOCH = datetime(2020, 1, 1, tzinfo=UTC)
_PRIORITY = {"stop": 1, "today": 5, "week": 9}
"""1 is highest, 5 middle, 9 lowest. Source: RFC 5545, section 3.8.1.9."""

_LINE_OCTETS = 75
"""Without the line break. Source: RFC 5545, section 3.1."""


@value_class
class CalendarEntry:
    """One task on its day."""

    uid: str
    """The same for ever."""
    day: date
    summary: str
    description: str = ""
    location: str = ""
    category: str = ""
    severity: str = "week"


def rack_mark(rack: Rack) -> str:
    """Give letters that stay this rack's own: from `id` in rack.toml where there is one, else its name."""
    own = rack.extra.get("id")
    return sha256((own if isinstance(own, str) and own else rack.name).encode()).hexdigest()[:12]


def calendar_entries(
    dues: Iterable[TaskDue], *, rack: Rack, now: datetime, daily: bool = True
) -> tuple[CalendarEntry, ...]:
    """Give an entry for each task that has a day; what is late stands today, and says since when.

    Args:
        dues: Tasks and when they are next due.
        rack: The rack they belong to.
        now: With offset; its zone is where days begin.
        daily: Whether daily tasks are wanted too.
    """
    mark = rack_mark(rack)
    return tuple(
        CalendarEntry(
            uid=f"{due.task.id}.{mark}@tendtui.invalid",
            day=max(due.due, now).astimezone(now.tzinfo).date(),
            summary=_(due.task.what),
            description=_description(due, now),
            location=f"{rack.name}, {_(due.task.place)}" if due.task.place else rack.name,
            category=due.task.kind,
            severity=due.task.severity,
        )
        for due in dues
        if due.due is not None and (daily or due.task.kind != "daily")
    )


def few_entries(dues: Iterable[TaskDue], *, rack: Rack, now: datetime) -> tuple[CalendarEntry, ...]:
    """Give an entry for the round, for each group of checks walked together, and for what stands alone.

    Args:
        dues: Tasks and when they are next due.
        rack: The rack they belong to.
        now: With offset; its zone is where days begin.
    """
    known = tuple(due for due in dues if not stands_behind(due.task) and due.due is not None)
    alone = calendar_entries((due for due in known if not due.task.group), rack=rack, now=now)
    groups = dict.fromkeys(due.task.group for due in known if due.task.group)
    together = (
        _group(group, calendar_entries((d for d in known if d.task.group == group), rack=rack, now=now), rack)
        for group in groups
    )
    return (*alone, *together)


def _group(group: str, members: Sequence[CalendarEntry], rack: Rack) -> CalendarEntry:
    first = min(members, key=lambda entry: entry.day)
    return replace(
        first,
        uid=f"{group}.{rack_mark(rack)}@tendtui.invalid",
        summary=group_words(group),
        description="\n".join(entry.summary for entry in members),
        location=rack.name,
    )


def calendar_text(entries: Iterable[CalendarEntry], *, name: str, now: datetime, todo: bool = False) -> str:
    """Give the whole object, its lines folded and ended as the standard asks.

    Args:
        entries: What is to be done on which day.
        name: The rack's name.
        now: When the object is made.
        todo: To-dos instead of all-day events; fewer calendars take them in.

    Source:
        RFC 5545 (2009), sections 3.1 (folding), 3.3.11 (escaping), 3.6.1 and 3.6.2; the name of the calendar:
        RFC 7986 (2016), section 5.1.
    """
    title = _("{rack}: tasks").format(rack=name)
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//tendtui//tasks//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{_escaped(title)}",
        f"X-WR-CALNAME:{_escaped(title)}",
        *(line for entry in entries for line in _component(entry, now, todo=todo)),
        "END:VCALENDAR",
    ]
    return "".join(_folded(line) + "\r\n" for line in lines)


def _component(entry: CalendarEntry, now: datetime, *, todo: bool) -> list[str]:
    stamp = f"{now.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    kind = "VTODO" if todo else "VEVENT"
    # A calendar takes the entry with the higher SEQUENCE for the newer; minutes never run backwards.
    sequence = max(0, (now - _EPOCH) // timedelta(minutes=1))
    day = f"{entry.day:%Y%m%d}"
    days = [f"DUE;VALUE=DATE:{day}"] if todo else [f"DTSTART;VALUE=DATE:{day}", "TRANSP:TRANSPARENT"]
    optional = (
        ("DESCRIPTION", entry.description),
        ("LOCATION", entry.location),
        ("CATEGORIES", entry.category),
    )
    return [
        f"BEGIN:{kind}",
        f"UID:{entry.uid}",
        f"DTSTAMP:{stamp}",
        f"LAST-MODIFIED:{stamp}",
        f"SEQUENCE:{sequence}",
        *days,
        f"SUMMARY:{_escaped(entry.summary)}",
        *(f"{key}:{_escaped(text)}" for key, text in optional if text),
        f"PRIORITY:{_PRIORITY.get(entry.severity, 9)}",
        f"END:{kind}",
    ]


def _description(due: TaskDue, now: datetime) -> str:
    task = due.task
    since = (
        _("Due since {day}: {because}.").format(day=day_words(due.due, now), because=due.because)
        if due.due is not None and due.due.date() < now.date()
        else _("Why now: {because}.").format(because=due.because)
        if due.because
        else ""
    )
    good = _("Good: {what}").format(what=_(task.good)) if task.good else ""
    if_not = _("If not: {what}").format(what=_(task.if_not)) if task.if_not else ""
    return "\n".join(filter(None, (since, *(_(line) for line in task.how), good, if_not)))


def _escaped(text: str) -> str:
    """Escape a TEXT value; control characters can't stand in one."""
    lines = ("".join(c for c in line if c.isprintable()) for line in text.splitlines())
    escaped = (line.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,") for line in lines)
    return "\\n".join(escaped)


def _folded(line: str) -> str:
    """Break a line after at most 75 octets, never inside a character."""
    parts, part, octets = [], "", 0
    for character in line:
        size = len(character.encode())
        if octets + size > _LINE_OCTETS:
            parts.append(part)
            part, octets = " ", 1
        part += character
        octets += size
    return "\r\n".join([*parts, part])
