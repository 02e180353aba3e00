"""The facts of the trade that come with the package, as tables."""

from __future__ import annotations

from _frozen_importlib_external import SourceFileLoader
from functools import cache
from pathlib import Path

from tendtui.store.toml_read import Table, read_toml

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import CodeType
    from typing import Any

__all__ = ["data_names", "data_text", "read_data"]


_PLACE = Path(__file__).parents[1] / "data"
# `importlib.resources` would do the same, and cost every command a tenth of its start


class _Facts(SourceFileLoader):
    """Reads a TOML file as Python reads a module: once, then from `__pycache__` while size and time stay.

    That is a quarter of the work of `tendtui status`. All of it (where it may be kept, that it is replaced
    in one step, that it may be deleted) is Python's own; where nothing can be kept, the text is read.
    """

    def source_to_code(self, data: object, path: object, *, _optimize: int = -1) -> CodeType:  # type: ignore[override]
        """Give code that makes the table anew."""
        table = read_toml(bytes(data), str(path))  # type: ignore[call-overload]  # the bytes of the file
        return compile(f"import datetime\nTABLE = {table!r}", str(path), "exec", optimize=_optimize)


@cache
def read_data(name: str) -> Table:
    """Read `tendtui/data/<name>.toml`; it is read once, so leave what is given unchanged.

    Raises:
        FileNotFoundError: If the package has no such file.
    """
    place = _PLACE / f"{name}.toml"
    made: dict[str, Any] = {}
    code = _Facts(name, str(place)).get_code(name)
    assert code is not None  # noqa: S101 - a source loader has code or raises
    exec(code, made)  # noqa: S102 - made by `source_to_code` from our own file
    table: Table = made["TABLE"]
    return table


def data_text(file: str) -> str:
    """Read a file of `tendtui/data` as text.

    Raises:
        FileNotFoundError: If the package has no such file.
    """
    return (_PLACE / file).read_text(encoding="utf-8")


def data_names() -> tuple[str, ...]:
    """Give the names that `read_data` takes."""
    return tuple(sorted(path.stem for path in _PLACE.glob("*.toml")))
