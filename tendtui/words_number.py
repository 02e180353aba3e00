"""Broken numbers inside sentences, with the language's own decimal sign."""

from __future__ import annotations

from string import Formatter

from tendtui.words import decimal_sign

__all__ = ["NUMBERS"]


class _Numbers(Formatter):
    """Formats as `str.format` does, but for the decimal sign of floats."""

    def format_field(self, value: object, format_spec: str) -> str:
        """Give a value as text."""
        text: str = super().format_field(value, format_spec)
        return text.replace(".", decimal_sign()) if isinstance(value, float) else text


NUMBERS = _Numbers()
