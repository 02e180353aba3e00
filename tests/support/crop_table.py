"""The crop table that ships with the program."""

from __future__ import annotations

import tomllib
from importlib.resources import files

from tendtui.core.crops import crops_from

__all__ = ["CROPS", "CROP_DATA"]

CROP_DATA = tomllib.loads((files("tendtui") / "data" / "crops.toml").read_text(encoding="utf-8"))
CROPS = crops_from(CROP_DATA)
