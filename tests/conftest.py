"""No test reaches the user's own files, clock or language."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from hypothesis import settings

# the same draws every time, so that a run says something about the change; TENDTUI_HUNT=5000 draws new ones
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("hunt", max_examples=int(os.environ.get("TENDTUI_HUNT", "100")), deadline=None)
settings.load_profile("hunt" if "TENDTUI_HUNT" in os.environ else "same")


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
