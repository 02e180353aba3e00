"""Why something was not done: five answers, the same in every face."""

from __future__ import annotations

from tendtui.core.prompt import Choice
from tendtui.words import _

__all__ = ["reasons"]


def reasons() -> tuple[Choice, ...]:
    """Give the reasons to choose from; the last asks for words."""
    return (
        Choice(digit="1", word="not-reached", text=_("could not reach it")),
        Choice(digit="2", word="no-tool", text=_("the tool is missing or its battery is flat")),
        Choice(digit="3", word="no-time", text=_("no time")),
        Choice(digit="4", word="off-or-empty", text=_("it is switched off or empty")),
        Choice(digit="5", word="other", text=_("something else: you will be asked what"), ask_text=True),
    )
