"""Patterns of what was seen on plants: pale, limp, brown roots, beside the numbers of the same rounds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import islice

from tendtui.core.learn_course import Point
from tendtui.core.pattern_view import RECENT, Found, View, when_words
from tendtui.core.quantity import Quantity
from tendtui.words import _

__all__ = [
    "PLANT_DETECTORS",
    "all_limp",
    "one_tier_limp",
    "pale_and_weak",
    "ph_down_strength_up",
    "roots_look",
    "wrong_plants",
]

PALE, LIMP = "pale-or-spotted", "limp-or-insects"
TAN, BROWN = "tan-firm", "brown-slimy"


def pale_and_weak(view: View, when: Mapping[str, float]) -> Found | None:
    """Find pale leaves with the strength under its band, on several rounds."""
    rounds = _looked(view, int(when["rounds"]))
    if view.conductivity is None or not rounds:
        return None
    low = view.conductivity.low
    if any(p.at_full_ms_cm is None or p.at_full_ms_cm >= low for p in rounds):
        return None
    tiers = _tiers(view, rounds, PALE)
    if not tiers:
        return None
    return Found(
        evidence=(
            _("{tiers} pale; {strength} at the full mark, {low} is wished at least.").format(
                tiers=", ".join(tiers),
                strength=view.said(rounds[-1].at_full_ms_cm, Quantity.CONDUCTIVITY),
                low=view.said(low, Quantity.CONDUCTIVITY),
            ),
        ),
        at=rounds[-1].at,
    )


def wrong_plants(view: View, when: Mapping[str, float]) -> Found | None:
    """Find leaves that look wrong on several rounds with both numbers in their bands."""
    rounds = _looked(view, int(when["rounds"]))
    if view.conductivity is None or view.ph is None or not rounds or not view.course.changes:
        return None
    if view.now - view.course.changes[-1].at < timedelta(days=when["least_days_since_change"]):
        return None
    for point in rounds:
        if point.at_full_ms_cm is None or not view.conductivity.holds(point.at_full_ms_cm):
            return None
        if point.ph is None or not view.ph.holds(point.ph):
            return None
    tiers = _tiers(view, rounds, PALE)
    if not tiers:
        return None
    return Found(
        evidence=(
            _("{tiers}: pale or spotted on {count} rounds.").format(
                tiers=", ".join(tiers), count=len(rounds)
            ),
        ),
        at=rounds[-1].at,
    )


def roots_look(view: View, when: Mapping[str, float]) -> Found | None:
    """Find roots seen brown once, or tan several times."""
    brown = _looked(view, int(when["brown_rounds"]), last=".roots")
    tiers = _tiers(view, brown, BROWN, last=".roots")
    if tiers:
        return _seen(brown, tiers, _("roots brown or slimy"), severity="today")
    tan = _looked(view, int(when["tan_rounds"]), last=".roots")
    tiers = _tiers(view, tan, TAN, last=".roots")
    if tiers:
        return _seen(tan, tiers, _("root tips tan"), severity="week")
    return None


def one_tier_limp(view: View, when: Mapping[str, float]) -> Found | None:
    """Find one tier limp on several rounds, the others upright."""
    rounds = _looked(view, int(when["rounds"]))
    tiers = _tiers(view, rounds, LIMP)
    if len(tiers) != 1 or len(view.course.rack.tiers) < 2:
        return None
    return _seen(rounds, tiers, _("limp, the others upright"), severity="today")


def all_limp(view: View, when: Mapping[str, float]) -> Found | None:
    """Find every tier limp while water flows."""
    rounds = _looked(view, int(when["rounds"]))
    tiers = _tiers(view, rounds, LIMP)
    if not tiers or len(tiers) < len(view.course.rack.tiers) or len(tiers) < 2:
        return None
    return _seen(rounds, tiers, _("limp"), severity="today")


def ph_down_strength_up(view: View, when: Mapping[str, float]) -> Found | None:
    """Find pH falling while the strength at the full mark rises, nothing poured but water."""
    spans = view.course.spans[-int(when["spans"]) :]
    if len(spans) < when["spans"] or view.last_span is None:
        return None
    if any(s.bottles or s.changed or s.drained_l for s in spans):
        return None
    first, last = spans[0].first, spans[-1].last
    if None in (first.ph, last.ph, first.at_full_ms_cm, last.at_full_ms_cm):
        return None
    fall = (first.ph or 0.0) - (last.ph or 0.0)
    rise = (last.at_full_ms_cm or 0.0) - (first.at_full_ms_cm or 0.0)
    if fall < when["least_ph"] or rise < when["least_ms_cm"]:
        return None
    return Found(
        evidence=(
            _("{before} then {after}; at the full mark {weak} then {strong}.").format(
                before=view.said(first.ph, Quantity.PH),
                after=view.said(last.ph, Quantity.PH),
                weak=view.said(first.at_full_ms_cm, Quantity.CONDUCTIVITY),
                strong=view.said(last.at_full_ms_cm, Quantity.CONDUCTIVITY),
            ),
        ),
        at=last.at,
    )


def _looked(view: View, count: int, *, last: str = ".leaves") -> tuple[Point, ...]:
    """Give the newest rounds on which this was looked at; none while there are too few or they are old."""
    rounds = (p for p in reversed(view.course.points) if any(name.endswith(last) for name in p.reading.looks))
    newest = tuple(islice(rounds, count))[::-1]
    if len(newest) < count or view.now - newest[-1].at > RECENT:
        return ()
    return newest


def _tiers(view: View, rounds: Sequence[Point], word: str, *, last: str = ".leaves") -> tuple[str, ...]:
    """Give the tiers of which this was said on every one of the rounds."""
    if not rounds:
        return ()
    names = [tier.name for tier in view.course.rack.tiers]
    return tuple(name for name in names if all(p.reading.looks.get(f"{name}{last}") == word for p in rounds))


def _seen(rounds: Sequence[Point], tiers: Sequence[str], what: str, *, severity: str) -> Found:
    days = ", ".join(when_words(p.at) for p in rounds)
    return Found(
        evidence=(_("{tiers}: {what} ({days}).").format(tiers=", ".join(tiers), what=what, days=days),),
        at=rounds[-1].at,
        about=", ".join(tiers),
        severity="week" if severity == "week" else "today",
    )


PLANT_DETECTORS = {
    "pale_and_weak": pale_and_weak,
    "wrong_plants": wrong_plants,
    "roots_look": roots_look,
    "one_tier_limp": one_tier_limp,
    "all_limp": all_limp,
    "ph_down_strength_up": ph_down_strength_up,
}
