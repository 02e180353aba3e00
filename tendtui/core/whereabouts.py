"""Where on the rack a question is asked, so that a picture can mark it and plain words can say it."""

from __future__ import annotations

from collections.abc import Sequence

from tendtui.core.prompt import Prompt
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Whereabouts", "tier_place", "whereabouts"]


@value_class
class Whereabouts:
    """A place on the rack."""

    tier: str = ""
    """Its name; empty: it is none."""
    at_reservoir: bool = False
    words: str = ""
    """The same in a few words; empty: it isn't on the rack, or not known."""


def tier_place(tier: str, tiers: Sequence[str]) -> str:
    """Count a tier from the top; an empty text where there is only one, or it isn't among them.

    Args:
        tier: Its name.
        tiers: All names, in the order in which the water reaches them.
    """
    if tier not in tiers or len(tiers) < 2:
        return ""
    return _("tier {n} of {all} from the top").format(n=tiers.index(tier) + 1, all=len(tiers))


def whereabouts(prompt: Prompt, tiers: Sequence[str]) -> Whereabouts:
    """Tell where somebody stands who answers this.

    Args:
        prompt: The question as it stands.
        tiers: The names of the tiers, from the top.
    """
    place = prompt.question.place
    if place in tiers:
        counted = tier_place(place, tiers)
        return Whereabouts(tier=place, words=f"{place}: {counted}" if counted else place)
    if prompt.walk == "dose" or place in {_("reservoir"), _("pump"), _("air pump"), _("return hose")}:
        words = _("at the reservoir, into which the last tier runs")
        return Whereabouts(at_reservoir=True, words=words)
    return Whereabouts()
