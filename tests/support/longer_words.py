"""A language that says everything forty percent longer, to try layouts before a translator comes."""

from __future__ import annotations

import re

__all__ = ["LongerWords"]

SHARE = 0.4
_PLACE = re.compile(r"\{[^}]*\}")


class LongerWords:
    """Repeats the end of each sentence in other letters; placeholders stay as they are."""

    def gettext(self, message: str) -> str:
        """Give the longer sentence."""
        if message == ".":
            return ","
        if message == "." or not any(map(str.isalpha, message)):
            return message
        plain = _PLACE.sub("", message).strip()
        more = max(1, round(SHARE * len(plain)))
        letters = "".join("ö" if c.isalpha() else " " for c in (plain * 2)[:more])
        end = re.search(r"\s*$", message)
        blank = end[0] if end else ""
        return f"{message.rstrip()} {letters.strip() or 'ö'}{blank}"

    def ngettext(self, one: str, many: str, n: int) -> str:
        """Give the longer form for this count."""
        return self.gettext(one if n == 1 else many)
