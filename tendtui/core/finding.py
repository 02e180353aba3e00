"""What a check found: a value that is collected, never raised."""

from __future__ import annotations

from tendtui.value import value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Severity = Literal["error", "warning", "advice"]
    """`error`: the file can't be used; `warning`: it can, but something is wrong; `advice`: worth knowing."""

__all__ = ["Finding"]


@value_class
class Finding:
    """One fault, with its place and what to do."""

    file: str
    what: str
    do: str
    line: int | None = None
    key: str = ""
    severity: Severity = "error"

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        words = f"{place}: {self.what}. {self.do}".strip()
        return "".join(c if c.isprintable() else "?" for c in words)
