"""The facts of the trade that come with the package, as tables."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from tendtui.store.toml_read import Table, read_toml

__all__ = ["data_names", "data_text", "read_data"]


_PLACE = Path(__file__).parents[1] / "data"
# `importlib.resources` would do the same, and cost every command a tenth of its start


@cache
def read_data(name: str) -> Table:
    """Read `tendtui/data/<name>.toml`; it is read once, so leave what is given unchanged.

    Raises:
        FileNotFoundError: If the package has no such file.
    """
    return read_toml(data_text(f"{name}.toml").encode(), f"tendtui/data/{name}.toml")


def data_text(file: str) -> str:
    """Read a file of `tendtui/data` as text.

    Raises:
        FileNotFoundError: If the package has no such file.
    """
    return (_PLACE / file).read_text(encoding="utf-8")


def data_names() -> tuple[str, ...]:
    """Give the names that `read_data` takes."""
    return tuple(sorted(path.stem for path in _PLACE.glob("*.toml")))
