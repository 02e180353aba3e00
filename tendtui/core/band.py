"""A band: the usual or wanted lowest and highest value."""

from __future__ import annotations

from tendtui.value import value_class

__all__ = ["Band"]


@value_class
class Band:
    """From low to high, both inside; who says so stands beside it."""

    low: float
    high: float
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse a band upside down.

        Raises:
            ValueError: If `low` is above `high`.
        """
        if not self.low <= self.high:
            raise ValueError(f"a band from {self.low:g} to {self.high:g} is upside down")

    def holds(self, value: float) -> bool:
        """Say whether the value lies inside."""
        return self.low <= value <= self.high
