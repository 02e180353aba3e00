"""Patterns of pH: falling fast, chased, lifted by water, drifting by itself."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from itertools import pairwise
from math import sqrt

from tendtui.core.learn_course import Span
from tendtui.core.learn_feed import ph_spread
from tendtui.core.pattern_view import RECENT, Found, View, signed_words, when_words
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_amount
from tendtui.words import _

__all__ = [
    "PH_DETECTORS",
    "chasing",
    "escapes",
    "no_way_back",
    "ph_falls",
    "ph_rises",
    "ph_sinks",
    "water_lifts_ph",
]


def ph_falls(view: View, when: Mapping[str, float]) -> Found | None:
    """Find pH falling on several days in a row with nothing poured that lowers it."""
    down = {a.name for a in view.course.rack.adjusters if a.direction == "down"}
    spans = [
        s
        for s in view.course.spans
        if s.first.ph is not None and s.last.ph is not None and not s.changed and 0.4 <= s.days <= 2.6
    ][-int(when["days"]) :]
    if len(spans) < when["days"] or view.now - spans[-1].last.at > RECENT or spans[-1] != view.last_span:
        return None
    noise = ph_spread(view.course.rack) * sqrt(2.0)
    lines = []
    for span in spans:
        fall = (span.first.ph or 0.0) - (span.last.ph or 0.0)
        poured = {p.what for p in span.bottles}
        if poured & down or fall < max(when["least_ph_day"] * span.days, when["spreads"] * noise / 2.0):
            return None
        lines.append(_fell(view, span))
    total = (spans[0].first.ph or 0.0) - (spans[-1].last.ph or 0.0)
    if total < when["spreads"] * noise:
        return None
    warm = spans[-1].last.temperature_c
    if warm is not None and warm >= 24.0:
        lines.append(_("The water has {warm}.").format(warm=view.said(warm, Quantity.TEMPERATURE)))
    brown = any(
        word in ("tan-firm", "brown-slimy")
        for name, word in spans[-1].last.reading.looks.items()
        if name.endswith(".roots")
    )
    if brown:
        lines.append(_("Roots were seen tan or brown."))
    return Found(evidence=tuple(lines), at=spans[-1].last.at, about="ph", sure="high" if brown else None)


def chasing(view: View, when: Mapping[str, float]) -> Found | None:
    """Find acid and alkali poured in turns within a few days."""
    way = {a.name: a.direction for a in view.course.rack.adjusters}
    since = view.now - timedelta(days=when["days"])
    pours = [p for p in view.course.pourings if p.at >= since and p.what in way and (p.ml or p.g)]
    turns = sum(way[a.what] != way[b.what] for a, b in pairwise(pours))
    if turns < when["turns"]:
        return None
    days = ", ".join(f"{p.what} ({when_words(p.at)})" for p in pours[-4:])
    return Found(evidence=(_("Poured in turns: {days}.").format(days=days),), at=pours[-1].at, about="ph")


def water_lifts_ph(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a rise of pH after most top-ups with water alone."""
    rises = [
        (s.last.at, (s.last.ph or 0.0) - (s.first.ph or 0.0))
        for s in view.course.spans[-30:]
        if s.first.ph is not None
        and s.last.ph is not None
        and s.water_l > 0.04 * s.last.full_l
        and not s.bottles
        and not s.changed
        and s.days <= 2.6
    ]
    least = when["least_ph"]
    if len(rises) < when["top_ups"]:
        return None
    lifted = [rise for _at, rise in rises if rise >= least]
    if len(lifted) < when["share"] * len(rises):
        return None
    return Found(
        evidence=(
            _("After {lifted} of {count} top-ups pH was higher, by {rise} on average.").format(
                lifted=len(lifted),
                count=len(rises),
                rise=show_amount(sum(r for _a, r in rises) / len(rises), decimals=1),
            ),
        ),
        at=rises[-1][0],
        about="ph",
    )


def ph_rises(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a steady slow rise of pH."""
    return _drift(view, when, sign=1.0)


def ph_sinks(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a steady slow fall of pH."""
    return _drift(view, when, sign=-1.0)


def escapes(view: View, when: Mapping[str, float]) -> Found | None:
    """Find pH out of its band on most mornings though it was left inside it the day before."""
    if view.ph is None or view.newest is None or view.now - view.newest.at > RECENT:
        return None
    read = [p for p in view.course.points if p.ph is not None]
    pairs = [
        (before.ph or 0.0, after.ph or 0.0)
        for before, after in pairwise(read)
        if after.level_was_read and timedelta(hours=10) <= after.at - before.at <= timedelta(days=2)
    ][-int(when["mornings"]) :]
    out = [(left, found) for left, found in pairs if view.ph.holds(left) and not view.ph.holds(found)]
    if len(pairs) < when["mornings"] or len(out) < when["out"]:
        return None
    moved = sum(found - left for left, found in out) / len(out)
    return Found(
        evidence=(
            _("Out again on {out} of {count} mornings, by {moved:+.1f} overnight on average.").format(
                out=len(out), count=len(pairs), moved=moved
            ),
        ),
        at=view.newest.at,
        about="ph",
    )


def no_way_back(view: View, when: Mapping[str, float]) -> Found | None:
    """Find pH out of its band for days with no bottle on the rack that moves it back."""
    if view.ph is None or view.now - (view.newest.at if view.newest else view.now) > RECENT:
        return None
    read = [p.ph for p in view.course.rounds if p.ph is not None][-int(when["rounds"]) :]
    ways = {a.direction for a in view.course.rack.adjusters}
    low = all(ph < view.ph.low for ph in read) and "up" not in ways
    high = all(ph > view.ph.high for ph in read) and "down" not in ways
    if len(read) < when["rounds"] or view.newest is None or not (low or high):
        return None
    return Found(
        evidence=(
            _("{ph} on the last round, and no bottle for {way}.").format(
                ph=view.said(read[-1], Quantity.PH), way=_("up") if low else _("down")
            ),
        ),
        at=view.newest.at,
        about="ph",
    )


def _drift(view: View, when: Mapping[str, float], *, sign: float) -> Found | None:
    pace = view.learning.ph_day
    if pace is None or view.newest is None or pace.count < when["count"]:
        return None
    value = sign * pace.value
    unsure = pace.spread / sqrt(pace.count)
    if not max(when["least_ph_day"], 2.0 * unsure) <= value <= when["most_ph_day"]:
        return None
    return Found(
        evidence=(
            _("{amount} a day, seen on {count} days.").format(
                amount=signed_words(pace.value), count=pace.count
            ),
        ),
        at=view.newest.at,
        about="ph",
    )


def _fell(view: View, span: Span) -> str:
    return _("{before}, then {after} ({day}).").format(
        before=view.said(span.first.ph, Quantity.PH),
        after=view.said(span.last.ph, Quantity.PH),
        day=when_words(span.last.at),
    )


PH_DETECTORS = {
    "ph_falls": ph_falls,
    "escapes": escapes,
    "no_way_back": no_way_back,
    "chasing": chasing,
    "water_lifts_ph": water_lifts_ph,
    "ph_rises": ph_rises,
    "ph_sinks": ph_sinks,
}
