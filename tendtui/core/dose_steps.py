"""Pourings as steps of a plan, and as litres at label strength."""

from __future__ import annotations

from tendtui.core.event import Poured
from tendtui.core.plan import AddWater, Drain, Pour, Step
from tendtui.core.rack import Feed

__all__ = ["as_steps", "poured_strengths"]


def poured_strengths(feeds: tuple[Feed, ...], pour: Pour) -> float:
    """Give how many litres at label strength a pouring of one part makes, its share of all parts."""
    for feed in feeds:
        label = feed.label_ml_per_l if feed.label_ml_per_l is not None else feed.label_g_per_l
        if feed.name == pour.what and label:
            amount = pour.ml if feed.label_ml_per_l is not None else pour.g
            return (amount or 0.0) / label / len(feeds)
    return 0.0


def as_steps(poured: tuple[Poured, ...]) -> tuple[Step, ...]:
    """Turn what was logged into steps."""
    steps: list[Step] = []
    for event in poured:
        if event.what == "water":
            steps.append(AddWater(litres=event.litres or 0.0))
        elif event.what == "drained":
            steps.append(Drain(litres=event.litres or 0.0))
        else:
            steps.append(Pour(what=event.what, ml=event.ml, g=event.g))
    return tuple(steps)
