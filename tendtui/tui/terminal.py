"""What the terminal in front of the person can show, told from its environment once, at the start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from tendtui.value import value_class

__all__ = ["Terminal", "terminal_of"]

LEAST_WIDTH, LEAST_HEIGHT = 60, 16
"""Below this the screens offer the plain mode."""


@value_class
class Terminal:
    """What may be drawn; the words are the same everywhere."""

    hues: Literal["none", "few", "many"] = "few"
    """`few` are the 16 named colours, `many` the 256."""
    signs: Literal["ascii", "lines", "shades", "blocks"] = "ascii"
    """`lines` are the light box lines of the Linux console; `shades` draws water lightly, where it has no
    hue of its own; `blocks` draws it full."""
    far: bool = False
    """Whether the person sits behind a network."""


def terminal_of(environment: Mapping[str, str], *, encoding: str) -> Terminal:
    """Tell from the environment what the terminal can show.

    Args:
        environment: The process's environment.
        encoding: Of the stream that is written to.
    """
    term = environment.get("TERM", "")
    utf8 = encoding.lower().replace("-", "").replace("_", "") == "utf8"
    console = term in ("linux", "ansi", "vt100", "vt220", "")
    wealthy = "256" in term or environment.get("COLORTERM", "") in ("truecolor", "24bit")
    hues: Literal["none", "few", "many"] = (
        "none" if environment.get("NO_COLOR") else "many" if wealthy else "few"
    )
    rich: Literal["shades", "blocks"] = "blocks" if hues == "many" else "shades"
    return Terminal(
        hues=hues,
        signs="ascii" if not utf8 else "lines" if console else rich,
        far=any(environment.get(name) for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY")),
    )
