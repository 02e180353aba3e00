"""A writer for the tests: notes into a folder, one save each, telling each when it is on disk.

Called as `python tests/crash/many_notes.py FOLDER NAME COUNT`.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from tendtui.core.event import Note
from tendtui.store.folder import Folder
from tendtui.store.log_file import append

AT = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


def main() -> None:
    """Write the notes."""
    folder, name, count = Folder(Path(sys.argv[1])), sys.argv[2], int(sys.argv[3])
    for n in range(count):
        append(folder, [Note(id=f"{name}-{n}", seq=0, at=AT, by=name, text=f"note {n}")])
        print(f"{name}-{n}", flush=True)


if __name__ == "__main__":
    main()
