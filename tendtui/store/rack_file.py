"""Reading, installing and editing `rack.toml`, the grower's own file."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path

from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.errors import NoRackError, RefusedError, StateError
from tendtui.store.atomic import make_folder, read_file, replace_file, unless_changed
from tendtui.store.fields import Faults, Fields
from tendtui.store.folder import Folder
from tendtui.store.rack_sense import sense_whole
from tendtui.store.rack_table import decode_rack
from tendtui.store.schema import newer_words, refuse_newer, schema_in
from tendtui.store.toml_read import SCHEMA, read_toml
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tomlkit.items import Table

__all__ = ["edit_rack", "install_rack", "keep_beside", "parse_rack", "read_rack"]


def read_rack(folder: Folder) -> Rack:
    """Read the rack.

    Raises:
        NoRackError: If there is none yet.
        StateError: If the file can't be read or describes no rack that can be.
    """
    data = read_file(folder.rack)
    if data is None:
        raise NoRackError(
            _("there is no rack yet"), _("Describe it with tendtui setup."), file=str(folder.rack)
        )
    rack, findings = parse_rack(data, file=str(folder.rack))
    if rack is not None:
        return rack
    worst = next(finding for finding in findings if finding.severity == "error")
    more = sum(finding.severity == "error" for finding in findings) - 1
    do = worst.do if not more else _("{do} tendtui check names {n} more.").format(do=worst.do, n=more)
    raise StateError(worst.what, do, file=worst.file, line=worst.line)


def parse_rack(data: bytes, *, file: str | Path) -> tuple[Rack | None, tuple[Finding, ...]]:
    """Read the bytes of a rack file: the rack, or None where an error was found, and all that was found."""
    file = str(file)
    try:
        table = read_toml(data, file)
    except StateError as fault:
        return None, (Finding(file=file, what=fault.what, do=fault.do, line=fault.line),)
    faults = Faults(file=file, text=data)
    top = Fields(table, (), faults)
    newer = schema_in(data) > SCHEMA
    if newer:
        faults.add(("schema",), *newer_words(), severity="warning")
    sense_whole(top)
    rack = decode_rack(top)
    return rack, tuple(sorted(faults.found, key=lambda finding: finding.line or 0))


def install_rack(folder: Folder, data: bytes) -> Path | None:
    """Make these bytes the rack's file; give the place where an older one is kept, if there was one.

    Raises:
        StateError: If the bytes describe no rack that can be, or the folder can't be written.
        HeldError: If another writer doesn't let go in time.
    """
    rack, findings = parse_rack(data, file=folder.rack)
    if rack is None:
        worst = next(finding for finding in findings if finding.severity == "error")
        raise StateError(worst.what, worst.do, file=worst.file, line=worst.line)
    from tendtui.store.lock import write_lock  # readers never wait

    with write_lock(folder):
        make_folder(folder.log_dir)
        old = read_file(folder.rack)
        if old == data:
            return None
        kept = None if old is None else keep_beside(folder.rack, old)
        unless_changed(folder.rack, old, data)
        return kept


def edit_rack(folder: Folder, changes: Mapping[str, object]) -> Rack:
    """Change single values; comments, order and unknown keys stay as they are.

    Args:
        folder: The state folder.
        changes: Dotted place -> new value; None takes the key out. A list's tables are counted from 0:
            `{"reservoir.full_L": 62.0, "tier.0.plants": 8}`. One past the end adds a table.

    Returns:
        The rack as it is now.

    Raises:
        RefusedError: If the changes would make a rack that can't be; nothing was changed.
        StateError: If the file can't be read or written, or a newer version of the program wrote it.
    """
    import tomlkit

    from tendtui.store.lock import write_lock  # readers never wait

    with write_lock(folder):
        read_rack(folder)
        data = read_file(folder.rack) or b""
        refuse_newer(data, file=str(folder.rack))
        document = tomlkit.parse(data.decode())
        for place, value in changes.items():
            _change(document, place.split("."), value)
        edited = tomlkit.dumps(document).encode()
        rack, findings = parse_rack(edited, file=folder.rack)
        if rack is None:
            worst = next(finding for finding in findings if finding.severity == "error")
            raise RefusedError(worst.what, worst.do)
        unless_changed(folder.rack, data, edited)
        return rack


def keep_beside(path: Path, data: bytes) -> Path:
    """Keep bytes beside a file under a name that nobody has, `rack.toml.kept-1`, and give it.

    Raises:
        StateError: If it can't be written.
    """
    number = 1
    while True:
        kept = path.with_name(f"{path.name}.kept-{number}")
        found = read_file(kept) if kept.exists() else None
        if found == data:
            return kept
        if not kept.exists():
            replace_file(kept, data)
            return kept
        number += 1


def _change(document: object, parts: list[str], value: object) -> None:
    import tomlkit
    from tomlkit.items import AoT

    holder = document
    for part, after in pairwise(parts):
        holder = _step(holder, part, after)
    if isinstance(holder, AoT) and parts[-1].isdigit() and value is None:
        del holder[int(parts[-1])]
        return
    if not isinstance(holder, tomlkit.TOMLDocument | tomlkit.items.AbstractTable):
        raise RefusedError(_("{place} is not a place in rack.toml").format(place=".".join(parts)), "")
    if value is None:
        holder.pop(parts[-1], None)
    elif parts[-1] in holder or not isinstance(holder, tomlkit.items.Table):
        holder[parts[-1]] = value
    else:
        _add(holder, parts[-1], value)


def _add(table: Table, key: str, value: object) -> None:
    """Add a key behind the table's last one.

    What stands between that and the next header, a blank line and a comment, speaks of the next table: a key
    appended behind it would tear the two apart.
    """
    from tomlkit.items import Comment

    body = table.value.body
    end = next((n for n in range(len(body), 0, -1) if body[n - 1][0] is not None), 0)
    if not end:  # only comments so far: those right under the header are the table's own
        end = next((n for n, (_key, item) in enumerate(body) if not isinstance(item, Comment)), len(body))
    after = body[end:]
    del body[end:]
    table[key] = value
    body.extend(after)


def _step(holder: object, part: str, after: str) -> object:
    import tomlkit
    from tomlkit.items import AbstractTable, AoT

    if isinstance(holder, AoT):
        number = int(part) if part.isdigit() else -1
        if number == len(holder):
            holder.append(tomlkit.table())
        if not 0 <= number < len(holder):
            raise RefusedError(_("there is no table {n} in this list").format(n=part), "")
        return holder[number]
    if isinstance(holder, tomlkit.TOMLDocument | AbstractTable):
        if part not in holder:
            holder[part] = tomlkit.aot() if after.isdigit() else tomlkit.table()
        inner: object = holder[part]
        return inner
    raise RefusedError(_("{place} is not a place in rack.toml").format(place=part), "")
