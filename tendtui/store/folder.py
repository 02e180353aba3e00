"""The state folder: where it is, and what is called what in it."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

from tendtui.value import value_class

__all__ = ["Folder", "find_folder", "month_name"]


@value_class(kw_only=False)
class Folder:
    """A state folder; nothing is opened or made by naming it."""

    path: Path

    @property
    def rack(self) -> Path:
        """What the rack is."""
        return self.path / "rack.toml"

    @property
    def state(self) -> Path:
        """Walks under way, what was done and learned."""
        return self.path / "state.toml"

    @property
    def log_dir(self) -> Path:
        """The folder of the months."""
        return self.path / "log"

    @property
    def lock(self) -> Path:
        """The file that writers lock; that it is there says nothing."""
        return self.path / ".lock"

    @property
    def claim(self) -> Path:
        """The file that a screen locks while it is open; that it is there says nothing."""
        return self.path / ".screen"

    @property
    def index(self) -> Path:
        """What is remembered about the months to save reading them; may be deleted at any time."""
        return self.log_dir / ".index"

    @property
    def memory(self) -> Path:
        """The last months as they were read, to save reading them again; may be deleted at any time."""
        return self.log_dir / ".memory"

    @property
    def copies(self) -> Path:
        """When and where the last backup was made."""
        return self.path / "copies.toml"

    def month(self, at: datetime) -> Path:
        """Give the log file for a moment, named for its month in its own offset."""
        return self.log_dir / month_name(at)


def month_name(at: datetime) -> str:
    """Give a log file's name, `2026-11.toml`."""
    return f"{at.year:04d}-{at.month:02d}.toml"


def find_folder(option: str | None = None) -> Path:
    """Give the state folder: the option, else `TENDTUI_STATE`, else the platform's place for user data."""
    named = option or os.environ.get("TENDTUI_STATE")
    if named:
        return Path(named).expanduser().absolute()
    from platformdirs import user_data_path

    return user_data_path("tendtui", appauthor=False)
