"""No test reaches the user's own files, clock or language."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("work", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "work")


@pytest.fixture(autouse=True)
def nobody_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Point every place for user data at an empty folder, and take the program's own variables away."""
    home: Path = tmp_path_factory.mktemp("home")
    for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(home))
    for name in ("TENDTUI_STATE", "TENDTUI_NOW", "TENDTUI_DEBUG", "NO_COLOR", "LANGUAGE", "LC_ALL", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
