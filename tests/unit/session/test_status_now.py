"""The one look: its short form sees what its long form sees."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendtui.session.clock import FixedClock
from tendtui.session.demo import copy_demo
from tendtui.session.session import Session
from tendtui.session.status_now import status_now
from tendtui.store.folder import Folder
from tendtui.value import replace

NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


@pytest.mark.parametrize("days_later", [0, 1, 3])
def test_the_one_line_is_made_from_what_the_table_shows(tmp_path: Path, days_later: int) -> None:
    copy_demo(tmp_path / "state", NOW)
    session = Session(Folder(tmp_path / "state"), clock=FixedClock(NOW + timedelta(days=days_later)))
    whole = status_now(session)
    assert whole.wrong
    assert status_now(session, ahead=False) == replace(whole, forecast={}, ranges={})
