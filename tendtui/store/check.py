"""Looking at every file of the folder and naming each fault; nothing is changed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path

from tendtui.core.event import Event, Poured, Reading
from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.core.slow_finding import slow_findings
from tendtui.core.slow_list import FILES
from tendtui.errors import NoRackError, StateError
from tendtui.store.atomic import DRAFT_SUFFIX, list_folder, read_file
from tendtui.store.check_crops import crop_findings
from tendtui.store.check_lines import with_lines
from tendtui.store.copies import last_copy
from tendtui.store.data_file import read_data
from tendtui.store.event_table import KINDS
from tendtui.store.fields import Faults, Fields
from tendtui.store.folder import Folder, month_name
from tendtui.store.log_file import Month, line_of_id, parse_month
from tendtui.store.log_index import conflict_copies, month_files
from tendtui.store.rack_file import parse_rack
from tendtui.store.schema import newer_words, schema_in
from tendtui.store.state_table import decode_state
from tendtui.store.toml_read import SCHEMA, read_toml
from tendtui.words import _, n_

__all__ = ["check_folder", "sync_copies"]

_OLD_COPY = timedelta(days=30)
"""Common practice, no source: a copy a month old still spares most of the work."""


def check_folder(folder: Folder, *, now: datetime) -> tuple[Finding, ...]:
    """Read every file and give what is wrong with each, worst first within a file.

    Raises:
        NoRackError: If there is nothing at all to check.
    """
    rack_data = _bytes(folder.rack)
    months = _months(folder)
    if rack_data is None and not months and not folder.state.exists():
        raise NoRackError(
            _("there is no rack yet"), _("Describe it with tendtui setup."), file=str(folder.rack)
        )
    rack, findings = _check_rack(folder, rack_data)
    findings += _check_state(folder)
    read = [_check_month(path, data) for path, data in months]
    for _month, found in read:
        findings += found
    whole = [month for month, found in read if month is not None]
    findings += _between(whole, now)
    if rack is not None and isinstance(rack_data, bytes):
        findings += _against_rack(whole, rack)
        findings += crop_findings(read_data("crops"), rack, data=rack_data, file=str(folder.rack))
        slow = slow_findings({name: read_data(name) for name in FILES}, rack, file=str(folder.rack))
        findings += with_lines(slow, rack, data=rack_data)
    return (*findings, *_beside(folder), *_copies(folder, now))


def sync_copies(folder: Folder) -> tuple[Path, ...]:
    """Give what a file sync left beside rack, state and months, as far as one can look."""
    found: list[Path] = []
    with suppress(StateError):
        found += [folder.path / e.name for e in list_folder(folder.path) if _is_copy(e.name)]
    with suppress(StateError):
        found += conflict_copies(folder)
    return tuple(found)


def _is_copy(name: str) -> bool:
    return (
        name.startswith(("rack", "state"))
        and name.endswith(".toml")
        and name not in ("rack.toml", "state.toml")
    )


def _bytes(path: Path) -> bytes | StateError | None:
    try:
        return read_file(path)
    except StateError as fault:
        return fault


def _months(folder: Folder) -> list[tuple[Path, bytes | StateError]]:
    try:
        paths = (*month_files(folder), *conflict_copies(folder))
        return [(path, data) for path in paths if (data := _bytes(path)) is not None]
    except StateError as fault:
        return [(folder.log_dir, fault)]


def _of(fault: StateError, path: Path) -> Finding:
    return Finding(file=fault.file or str(path), what=fault.what, do=fault.do, line=fault.line)


def _check_rack(folder: Folder, data: bytes | StateError | None) -> tuple[Rack | None, list[Finding]]:
    if isinstance(data, StateError):
        return None, [_of(data, folder.rack)]
    if data is None:
        do = _("Put it back from a copy (tendtui restore), or describe the rack with tendtui setup.")
        return None, [Finding(file=str(folder.rack), what=_("the rack's file is missing"), do=do)]
    rack, findings = parse_rack(data, file=folder.rack)
    return rack, list(findings)


def _check_state(folder: Folder) -> list[Finding]:
    data = _bytes(folder.state)
    if data is None:
        return []
    if isinstance(data, StateError):
        return [_of(data, folder.state)]
    faults = Faults(file=str(folder.state), text=data)
    try:
        table = read_toml(data, folder.state)
    except StateError as fault:
        return [_of(fault, folder.state)]
    if schema_in(data) > SCHEMA:
        faults.add(("schema",), *newer_words(), severity="warning")
    decode_state(Fields(table, (), faults))
    return faults.found


def _check_month(path: Path, data: bytes | StateError) -> tuple[Month | None, list[Finding]]:
    if isinstance(data, StateError):
        return None, [_of(data, path)]
    try:
        month, faults = parse_month(data, path)
    except StateError as fault:
        return None, [_of(fault, path)]
    for key in month.unknown:
        faults.add(
            (key,),
            _("{key} is not a kind of event; it is kept and not used").format(key=key),
            _("Correct the word; the kinds are {words}.").format(words=", ".join(KINDS)),
            severity="warning",
        )
    for event in month.events:
        faults.found.extend(_alone(event, month))
    return month, faults.found


def _alone(event: Event, month: Month) -> Iterator[Finding]:
    name = month_name(event.at)
    if name[:7] != month.path.name[:7]:
        what = _("an event of {month} stands in this month's file").format(month=name[:7])
        yield _told(
            month, event, what, _("Move it to log/{file}, or correct its at.").format(file=name), key="at"
        )
    if isinstance(event, Poured) and sum(v is not None for v in (event.ml, event.g, event.litres)) != 1:
        what = _("a pouring has one amount: mL, g or litres")
        yield _told(month, event, what, _("Keep the one that was measured."), key="mL")


def _between(months: list[Month], now: datetime) -> list[Finding]:
    """Compare the events of all months with each other and with the clock."""
    findings: list[Finding] = []
    seen: dict[str, Event] = {}
    for month in months:
        for event in month.events:
            first = seen.setdefault(event.id, event)
            if first is not event and first != event:
                what = _("the id {id} stands twice with different words; the first counts")
                do = _("Give the other an id of its own, or remove it.")
                findings.append(_told(month, event, what.format(id=event.id), do, key="id"))
        findings += _after_now(month, now)
    for month in months:
        for event in month.events:
            if event.replaces is not None and event.replaces not in seen:
                what = _("it corrects {id}, which isn't in the log").format(id=event.replaces)
                do = _("Nothing needs doing if that event was removed on purpose.")
                findings.append(_told(month, event, what, do, key="replaces"))
    return findings


def _after_now(month: Month, now: datetime) -> list[Finding]:
    """Tell once a month that events stand after now; with a clock set back it may be all of them."""
    later = [event for event in month.events if event.at > now + timedelta(minutes=5)]
    if not later:
        return []
    what = n_(
        "{n} event is said to happen after now, so a clock was wrong then or is now",
        "{n} events are said to happen after now, so a clock was wrong then or is now",
        len(later),
    )
    do = _("Set the clock, or correct at.")
    return [_told(month, later[0], what.format(n=len(later)), do, key="at")]


def _told(month: Month, event: Event, what: str, do: str, *, key: str) -> Finding:
    return Finding(
        file=str(month.path),
        what=what,
        do=do,
        line=line_of_id(month.data, event.id),
        key=key,
        severity="warning",
    )


def _against_rack(months: list[Month], rack: Rack) -> list[Finding]:
    """Tell tiers of the log that the rack doesn't have; it may have been rebuilt since."""
    names = {tier.name for tier in rack.tiers}
    found: dict[str, Finding] = {}
    for month in months:
        for event in month.events:
            for tier in event.flow_l_min if isinstance(event, Reading) else ():
                if tier not in names and tier not in found:
                    found[tier] = Finding(
                        file=str(month.path),
                        what=_("the log has flows of a tier {tier} that the rack hasn't").format(tier=tier),
                        do=_("Nothing needs doing if it was renamed or taken down."),
                        line=line_of_id(month.data, event.id),
                        severity="advice",
                    )
    return list(found.values())


def _beside(folder: Folder) -> Iterator[Finding]:
    for path in sync_copies(folder):
        yield Finding(
            file=str(path),
            what=_("a file sync left this when two machines wrote at once"),
            do=(
                _("Compare it with rack.toml, then move one of them away.")
                if path.name.startswith("rack")
                else _("Run tendtui check --mend; it brings both together and keeps the originals.")
            ),
            severity="warning",
        )
    for place in (folder.path, folder.log_dir):
        for path in sorted(place.glob(f".*{DRAFT_SUFFIX}")):
            yield Finding(
                file=str(path),
                what=_("a save was stopped here; what was saved before stands"),
                do=_("Nothing needs doing; the next save clears it away."),
                severity="advice",
            )


def _copies(folder: Folder, now: datetime) -> Iterator[Finding]:
    copy = last_copy(folder)
    if copy is None:
        what = _("no backup was ever made of this folder")
    elif now - copy.at > _OLD_COPY:
        what = _("the last backup is {days} days old").format(days=(now - copy.at).days)
    else:
        return
    yield Finding(
        file=str(folder.path),
        what=what,
        do=_("Run tendtui backup FILE and keep the file on another disk."),
        severity="advice",
    )
