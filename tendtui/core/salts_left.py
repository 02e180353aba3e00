"""The salts that nobody eats: what the source water left behind, and what the feed brings beyond need.

Of a nutrient, what is over is what came with the nitrogen that was eaten and was not taken beside it. How
much nitrogen was eaten follows from the strength that is gone; so a fresh mix has nothing over.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.core.event import Poured
from tendtui.core.learn_course import Course, Point
from tendtui.core.learned import Learning
from tendtui.core.pattern_view import poured_salt
from tendtui.core.rack import Feed
from tendtui.value import field, value_class

__all__ = ["Unused", "litres_gathered_l", "unused_salts"]

EATEN_BESIDE_N: Mapping[str, float] = {"P": 0.28, "K": 2.12, "Ca": 0.67, "Mg": 0.11, "S": 0.10}
"""What leafy plants take up, by weight, for each gram of nitrogen.

Source: uptake of Batavia lettuce in closed hydroponics, 13.4 N, 1.72 P, 10.2 K, 3.13 Ca, 0.86 Mg mmol/L,
Frontiers in Plant Science 15:1411572 (2024), abstract; sulfur from leaf analyses of lettuce, from memory.
"""

MG_N_PER_MS_CM = 14.007 / 0.145
"""Nitrogen eaten for each mS/cm gone. [mg/L per mS/cm]

Source: this program's model of conductivity: a nutrient solution of 1.5 mS/cm loses 0.145 mS/cm with each
mmol/L of nitrate and what is taken beside it as above.
"""

MS_CM_PER_MG_L: Mapping[str, float] = {"P": 1.0e-3, "K": 1.6e-3, "Ca": 2.5e-3, "Mg": 3.7e-3, "S": 4.2e-3}
"""What a nutrient left over adds to the conductivity. [mS/cm per mg/L]

Source: limiting ionic conductivities, CRC Handbook: H2PO4 36, K 73.5, Ca 59.5, Mg 53.0, SO4 80.0 S cm2 for
an equivalent; times 0.85 for a solution of this strength (the share from memory).
"""

_OXIDES = {"P2O5": ("P", 0.4364), "K2O": ("K", 0.8301), "CaO": ("Ca", 0.7147), "MgO": ("Mg", 0.6030)}
_SIMPLE = {"P": "P", "K": "K", "Ca": "Ca", "Mg": "Mg", "S": "S"}


@value_class
class Unused:
    """Salts that nobody eats, summed since the last change."""

    water_l: float
    """Source water that went in since. [L]"""
    sodium_mg_l: float | None
    """In the tank; None: the source water's isn't known. [mg/L]"""
    chloride_mg_l: float | None
    ballast_ms_cm: float
    """What the source water's salts would give by themselves. [mS/cm]"""
    source_ms_cm: float = 0.0
    """What they give in a fresh fill. [mS/cm]"""
    surplus_mg_l: Mapping[str, float] = field(default_factory=dict)
    """Nutrient -> left over beside what leafy plants ate, in the tank. [mg/L]"""

    @property
    def gathered_ms_cm(self) -> float:
        """Give what has gathered since the change and nobody eats. [mS/cm]."""
        return self.ballast_ms_cm - self.source_ms_cm + self.surplus_ms_cm

    @property
    def surplus_ms_cm(self) -> float:
        """Give what the nutrients left over add to the strength. [mS/cm]."""
        return sum(mg * MS_CM_PER_MG_L[name] for name, mg in self.surplus_mg_l.items())


def unused_salts(course: Course, learning: Learning | None = None) -> Unused:
    """Sum what plants leave behind since the last change.

    Args:
        course: The log.
        learning: How strong the feed really is.
    """
    source = course.rack.source
    tank_l = _tank_l(course)
    share = litres_gathered_l(course) / tank_l
    ms_cm = source.conductivity_ms_cm or 0.0
    return Unused(
        water_l=course.water_since_change_l(),
        sodium_mg_l=None if source.sodium_mg_l is None else source.sodium_mg_l * share,
        chloride_mg_l=None if source.chloride_mg_l is None else source.chloride_mg_l * share,
        ballast_ms_cm=ms_cm * share,
        source_ms_cm=ms_cm,
        surplus_mg_l=_surplus(course, learning or Learning()),
    )


def litres_gathered_l(course: Course) -> float:
    """Give the litres of source water whose salts are in the tank: the fill and all that came since. [L].

    Drinking leaves them; draining takes them along, in step with the litres.
    """
    tank_l = _tank_l(course)
    gathered = tank_l
    for poured in _since_change(course):
        if poured.what == "water":
            gathered += poured.litres or 0.0
        elif poured.what == "drained":
            gathered *= 1.0 - min(1.0, (poured.litres or 0.0) / tank_l)
    return gathered


def _tank_l(course: Course) -> float:
    newest = course.rounds[-1] if course.rounds else None
    full_l = course.rack.reservoir.full_l
    return full_l if newest is None else newest.full_l + newest.pipes_l


def _since_change(course: Course) -> Iterable[Poured]:
    since = course.changes[-1].at if course.changes else None
    return (p for p in course.pourings if since is None or p.at > since)


def _surplus(course: Course, learning: Learning) -> Mapping[str, float]:
    """Give what the feed brought beside the nitrogen eaten, beyond what was taken of it. [mg/L]."""
    feeds = {feed.name: feed for feed in course.rack.feeds}
    if not feeds or any(not feed.analysis for feed in feeds.values()):
        return {}
    label: dict[str, float] = {}
    for feed in feeds.values():
        amount = feed.label_ml_per_l or feed.label_g_per_l or 0.0
        for name, percent in _elements(feed).items():
            label[name] = label.get(name, 0.0) + amount * percent
    nitrogen = label.get("N", 0.0)
    if not nitrogen > 0.0:
        return {}
    eaten_mg_l = _eaten_ms_cm(course, learning) * MG_N_PER_MS_CM
    over = {name: label.get(name, 0.0) / nitrogen - beside for name, beside in EATEN_BESIDE_N.items()}
    return {name: eaten_mg_l * more for name, more in over.items() if more * eaten_mg_l > 0.0}


def _eaten_ms_cm(course: Course, learning: Learning) -> float:
    """Give what was eaten since the change, as strength of the full tank. [mS/cm]."""
    since = course.changes[-1].at if course.changes else None
    known = [p for p in course.points if p.salt is not None and (since is None or p.at > since)]
    if len(known) < 2:
        return 0.0
    first, last = known[0], known[-1]
    added, _doubt = poured_salt(course.rack, course.span(first, last), learning)
    return max(0.0, (_salt(first) + added - _salt(last)) / (last.full_l + last.pipes_l))


def _salt(point: Point) -> float:
    return point.salt or 0.0


def _elements(feed: Feed) -> dict[str, float]:
    """Give percent of the elements from what the label prints."""
    found: dict[str, float] = {}
    analysis = feed.analysis or {}
    for key, percent in analysis.items():
        if key == "N" and any(other.startswith("N_") for other in analysis):
            continue
        if key == "N" or key.startswith("N_"):
            found["N"] = found.get("N", 0.0) + percent
        elif key in _OXIDES:
            name, share = _OXIDES[key]
            found[name] = found.get(name, 0.0) + share * percent
        elif key in _SIMPLE:
            found[key] = found.get(key, 0.0) + percent
    return found
