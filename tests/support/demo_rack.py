"""A copy of the demo rack for tests: its change day is moved off, so that a round ends in a dose."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

from tendtui.session.demo import copy_demo

__all__ = ["NOW", "demo_rack"]

NOW = datetime(2026, 11, 25, 7, 52, tzinfo=UTC)


def demo_rack(folder: Path, now: datetime = NOW) -> Path:
    """Copy the demo so that its last round was the day before `now`."""
    state = copy_demo(folder, now)
    rack = state / "rack.toml"
    rack.write_text(re.sub(r"change_every_days = \d+", "change_every_days = 90", rack.read_text()))
    return state
