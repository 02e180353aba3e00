"""The lines of rack.toml at which the slow list's findings point."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.store.toml_lines import Path, line_of, lines_of_keys
from tendtui.value import replace

__all__ = ["with_lines"]


def with_lines(findings: Iterable[Finding], rack: Rack, *, data: bytes) -> tuple[Finding, ...]:
    """Give each finding the line of its key, or of the table around it.

    Args:
        findings: With keys like `mains.volts`, `task.3.cadence` (counted from 1) or `device.Pump`.
        rack: For the names.
        data: The file as read.
    """
    lines = lines_of_keys(data.decode("utf-8", "replace"))
    names = {
        "tier": [tier.name for tier in rack.tiers],
        "device": [device.name for device in rack.devices],
    }
    return tuple(
        replace(
            finding, line=line_of(lines, _path(finding.key, names)) if finding.line is None else finding.line
        )
        for finding in findings
    )


def _path(key: str, names: Mapping[str, Sequence[str]]) -> Path:
    table, _dot, rest = key.partition(".")
    if table in names:
        return (table, list(names[table]).index(rest)) if rest in names[table] else (table,)
    return (table, *(int(part) - 1 if part.isdigit() else part for part in rest.split(".") if part))
