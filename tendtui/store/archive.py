"""The whole state folder in one file, and back."""

from __future__ import annotations

import gzip
import hashlib
import io
import re
import tarfile
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from tendtui.errors import CallError, StateError
from tendtui.store.atomic import DRAFT_SUFFIX, list_folder, make_folder, read_file, remove_file, replace_file
from tendtui.store.copies import Copy, note_copy
from tendtui.store.folder import Folder
from tendtui.store.lock import claim, write_lock
from tendtui.store.toml_read import SCHEMA, is_table, read_toml
from tendtui.store.toml_text import table_text
from tendtui.words import _

__all__ = ["backup", "contents", "restore", "unpack"]

_MANIFEST = "manifest.toml"
_LARGEST = 512 * 1024 * 1024
"""More than a hundred years of log; a larger archive is something else. [bytes]"""
_NAME = re.compile(r"(?:log/)?[^/\x00-\x1f]{1,200}")
_PASSING = (".lock", ".screen", ".index", ".memory", "copies.toml")
"""What belongs to this place and this moment, and to no copy."""


def backup(folder: Folder, file: Path, *, now: datetime) -> int:
    """Put the whole folder into one file; give how many files are in it.

    Raises:
        CallError: If something else stands in the file's place.
        StateError: If the folder can't be read or the file can't be written.
    """
    if file.exists() and not _is_backup(file):
        raise CallError(
            _("{file} is there and isn't a backup").format(file=file),
            _("Name another file; nothing was changed."),
        )
    inside = contents(folder)
    inside.pop(_relative(folder, file), None)
    if not inside:
        raise StateError(
            _("there is nothing to back up"),
            _("Name the state folder with --state DIR."),
            file=str(folder.path),
        )
    replace_file(file, _pack(inside, now))
    note_copy(folder, Copy(at=now, file=str(file.absolute())))
    return len(inside)


def restore(folder: Folder, file: Path) -> Path | None:
    """Make the folder what it was when the backup was made; give where what stood there is kept.

    All that is in the folder is first copied into `kept-N` inside it, so that nothing is lost even if
    this is stopped half way; doing it again then finishes.

    Raises:
        StateError: If the file is no whole backup, or the folder can't be written; nothing was changed.
        HeldError: If a screen or another writer has the folder.
    """
    wanted = unpack(file)
    mine = claim(folder)
    try:
        with write_lock(folder):
            here = contents(folder)
            kept = _keep(folder, here) if here and here != wanted else None
            for name in sorted(wanted, key=lambda n: (not n.startswith("log/"), n)):
                _put(folder.path / name, wanted[name], here.get(name))
            for name in here.keys() - wanted.keys():
                remove_file(folder.path / name)
            return kept
    finally:
        mine.release()


def contents(folder: Folder) -> dict[str, bytes]:
    """Give every file of the folder by its name in it.

    The state is read first: an event that leaves its outbox meanwhile stands in the log by then.

    Raises:
        StateError: If one can't be read.
    """
    paths = [folder.state, *_files(folder.path), *_files(folder.log_dir)]
    found: dict[str, bytes] = {}
    for path in paths:
        name = path.relative_to(folder.path).as_posix()
        data = None if name in found else read_file(path)
        if data is not None:
            found[name] = data
    return found


def unpack(file: Path) -> Mapping[str, bytes]:
    """Give the files of a backup by name, every one compared with the list inside.

    Raises:
        StateError: If it isn't a whole backup, or holds what no backup holds.
    """
    data = read_file(file, limit_bytes=_LARGEST)
    if data is None:
        raise StateError(_("there is no such file"), _("Name the backup's file."), file=str(file))
    try:
        members = _members(data)
    except (OSError, EOFError, tarfile.TarError, ValueError, OverflowError) as fault:
        raise _no_backup(file, _("it can't be unpacked")) from fault
    manifest = members.pop(_MANIFEST, None)
    if manifest is None:
        raise _no_backup(file, _("it has no list of what is in it"))
    _compare(read_toml(manifest, file), members, file)
    return members


def _files(place: Path) -> list[Path]:
    paths = [place / entry.name for entry in list_folder(place)]
    return [p for p in paths if p.is_file() and p.name not in _PASSING and p.suffix != DRAFT_SUFFIX]


def _relative(folder: Folder, file: Path) -> str:
    with suppress(ValueError):
        return file.absolute().relative_to(folder.path).as_posix()
    return ""


def _pack(inside: Mapping[str, bytes], now: datetime) -> bytes:
    rows = [
        {"name": name, "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in inside.items()
    ]
    manifest = table_text({"schema": SCHEMA, "program": "tendtui", "at": now, "file": rows}).encode()
    raw = io.BytesIO()
    with tarfile.open(fileobj=raw, mode="w", format=tarfile.PAX_FORMAT) as tar:
        for name, data in {_MANIFEST: manifest, **inside}.items():
            about = tarfile.TarInfo(name)
            about.size, about.mode, about.mtime = len(data), 0o600, int(now.timestamp())
            tar.addfile(about, io.BytesIO(data))
    return gzip.compress(raw.getvalue(), mtime=0)


def _members(data: bytes) -> dict[str, bytes]:
    """Unpack in memory; nothing of the archive touches the disk before it is known to be whole."""
    with gzip.GzipFile(fileobj=io.BytesIO(data)) as packed:
        raw = packed.read(_LARGEST + 1)
    if len(raw) > _LARGEST:
        raise ValueError("too large")
    members: dict[str, bytes] = {}
    with tarfile.open(fileobj=io.BytesIO(raw), mode="r:") as tar:
        for about in tar:
            content = tar.extractfile(about) if about.isreg() else None
            if content is None or not _may_be(about.name) or about.name in members:
                raise ValueError(about.name)
            members[about.name] = content.read()
    return members


def _may_be(name: str) -> bool:
    last = name.rpartition("/")[2]
    return _NAME.fullmatch(name) is not None and last not in (".", "..", "log") and last not in _PASSING


def _compare(manifest: Mapping[str, object], members: Mapping[str, bytes], file: Path) -> None:
    schema = manifest.get("schema")
    if isinstance(schema, int) and schema > SCHEMA:
        raise StateError(
            _("a newer tendtui made this backup"), _("Bring tendtui up to date first."), file=str(file)
        )
    rows = manifest.get("file")
    listed = {
        str(row.get("name")): row.get("sha256")
        for row in (rows if isinstance(rows, list) else [])
        if is_table(row)
    }
    if listed != {name: hashlib.sha256(data).hexdigest() for name, data in members.items()}:
        raise _no_backup(file, _("what is in it differs from its list"))


def _is_backup(file: Path) -> bool:
    try:
        unpack(file)
    except StateError:
        return False
    return True


def _no_backup(file: Path, why: str) -> StateError:
    return StateError(
        _("this is not a whole backup: {why}").format(why=why),
        _("Use another copy; nothing was changed."),
        file=str(file),
    )


def _keep(folder: Folder, here: Mapping[str, bytes]) -> Path:
    number = 1
    while (kept := folder.path / f"kept-{number}").exists():
        number += 1
    for name, data in here.items():
        path = kept / name
        make_folder(path.parent)
        replace_file(path, data)
    return kept


def _put(path: Path, data: bytes, there: bytes | None) -> None:
    if data != there:
        make_folder(path.parent)
        replace_file(path, data)
