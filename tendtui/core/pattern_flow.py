"""Patterns of the stream: an outlet that closes, all of them weaker, more water running back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from itertools import islice
from math import exp, log

from tendtui.core.event import Reading, TaskDone
from tendtui.core.middle import median
from tendtui.core.pattern_view import Found, View, when_words
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_amount
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["FLOW_DETECTORS", "all_down", "outlet_closing", "pump_looks", "runs_back"]

TIMING_SPREAD = 0.012
"""Of one flow by jug and seconds, at the least, as a share (common practice, no source)."""

STARTS = 3
"""So many first readings make an outlet's usual flow."""

SPEAKS = timedelta(days=10)
"""How long a flow speaks after it was timed: to the next weekly timing and a little."""

MEMORY = 12
"""Timings looked back on for what is usual."""


@value_class
class _Timing:
    """All outlets timed within a day, as logarithms against their usual."""

    at: datetime
    flow_l_min: Mapping[str, float]


def outlet_closing(view: View, when: Mapping[str, float]) -> Found | None:
    """Find an outlet that falls behind the one above it (the first: behind the next) and behind itself."""
    timings = _timings(view)
    tiers = [tier.name for tier in view.course.rack.tiers]
    worst: tuple[float, Found] | None = None
    for n, tier in enumerate(tiers):
        other = tiers[n - 1] if n else (tiers[1] if len(tiers) > 1 else None)
        drops = _drops(timings, tier, other)
        if drops is None:
            continue
        values, spread, own = drops
        if not _is_closing(values, spread, when) or own > -0.5 * when["first_drop"]:
            continue
        found = _closing_found(timings, tier, other, own, when)
        if worst is None or values[-1] < worst[0]:
            worst = (values[-1], found)
    return None if worst is None else worst[1]


def all_down(view: View, when: Mapping[str, float]) -> Found | None:
    """Find all outlets weaker than usual."""
    timings = _timings(view)
    if len(timings) < STARTS + 1:
        return None
    shares: list[list[float]] = []
    for tier in (tier.name for tier in view.course.rack.tiers):
        own = [(t.at, t.flow_l_min[tier]) for t in timings if tier in t.flow_l_min]
        if len(own) < STARTS + 1:
            return None
        usual = _usual([flow for _at, flow in own])
        shares.append([log(flow / usual) for _at, flow in own[-2:]])
    if not shares:
        return None
    newest, before = max(s[-1] for s in shares), max(s[0] for s in shares)
    steady = newest < log(1.0 - when["drop"]) and before < log(1.0 - when["drop"] / 2.0)
    if not steady and newest > log(1.0 - when["at_once"]):
        return None
    return Found(
        evidence=(
            _("{day}: every outlet gives at least {share:.0f} % less than it used to.").format(
                day=when_words(timings[-1].at), share=100.0 * (1.0 - exp(newest))
            ),
        ),
        at=timings[-1].at,
    )


def runs_back(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a rise of the reservoir at pump stop that grew."""
    rises = [
        (e.at, e.values["level_stopped_l"] - e.values["level_running_l"])
        for e in view.course.events
        if isinstance(e, TaskDone) and "level_stopped_l" in e.values and "level_running_l" in e.values
    ]
    if len(rises) < 2 or view.now - rises[-1][0] > 3 * SPEAKS:
        return None
    usual = median(rise for _at, rise in rises[:-1])
    at, newest = rises[-1]
    if newest - usual < max(when["least_l"], when["least_share"] * usual):
        return None
    return Found(
        evidence=(
            _("{day}: it rose by {litres}; {usual} before.").format(
                day=when_words(at),
                litres=view.said(newest, Quantity.VOLUME),
                usual=view.said(usual, Quantity.VOLUME),
            ),
        ),
        at=at,
    )


def pump_looks(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a pump that was heard noisy or silent on several rounds in a row."""
    looked = (
        (r.at, r.looks["pump.pump"])
        for r in (p.reading for p in reversed(view.course.points))
        if "pump.pump" in r.looks
    )
    heard = list(islice(looked, int(when["rounds"])))[::-1]
    if len(heard) < when["rounds"] or any(word == "steady-hum" for _at, word in heard):
        return None
    if view.now - heard[-1][0] > timedelta(days=3):
        return None
    days = ", ".join(when_words(at) for at, _word in heard)
    return Found(evidence=(_("Heard on {days}.").format(days=days),), at=heard[-1][0])


def _timings(view: View) -> tuple[_Timing, ...]:
    """Give flows by the day they were timed on, oldest first; none while the newest is old."""
    days: dict[date, dict[str, float]] = {}
    times: dict[date, datetime] = {}
    for event in reversed(view.course.events):
        flows = _flows(event)
        if not flows:
            continue
        if not days and view.now - event.at > SPEAKS:
            return ()
        day = event.at.date()
        days[day] = {**flows, **days.get(day, {})}  # the day's last counts
        times.setdefault(day, event.at)
        if len(days) > MEMORY + 1:  # one day more: where offsets differ, neighbouring days may mix
            break
    newest = list(days.items())[:MEMORY]
    return tuple(_Timing(at=times[day], flow_l_min=flows) for day, flows in reversed(newest))


def _flows(event: object) -> Mapping[str, float]:
    match event:
        case Reading() if event.flow_l_min:
            return {t: f for t, f in event.flow_l_min.items() if f > 0.0 and f"flow.{t}" not in event.doubt}
        case TaskDone():
            flows = {n.removeprefix("flow."): f for n, f in event.values.items() if n.startswith("flow.")}
            return {tier: flow for tier, flow in flows.items() if flow > 0.0}
        case _:
            return {}


def _drops(
    timings: Sequence[_Timing], tier: str, other: str | None
) -> tuple[list[float], float, float] | None:
    """Give how far the outlet lies under its usual beside the other; its spread; and itself alone."""
    both = [t for t in timings if tier in t.flow_l_min and (other is None or other in t.flow_l_min)]
    if len(both) < STARTS + 1:
        return None
    own = [t.flow_l_min[tier] for t in both]
    usual = _usual(own)
    values = [log(flow / usual) for flow in own]
    if other is not None:
        beside = [t.flow_l_min[other] for t in both]
        other_usual = _usual(beside)
        values = [v - log(b / other_usual) for v, b in zip(values, beside, strict=True)]
    # bends, not steps: a steady trend must not count as noise (their spread is root 6 times one value's)
    bends = [abs(a - 2.0 * b + c) / 6.0**0.5 for a, b, c in _threes(values)]
    spread = min(max(1.5 * TIMING_SPREAD, 1.4826 * median(bends)), 2.0 * TIMING_SPREAD)
    return values, spread, log(own[-1] / usual)


def _is_closing(values: Sequence[float], spread: float, when: Mapping[str, float]) -> bool:
    """Weaker twice in a row, or by far at once."""
    newest, before = values[-1], values[-2]
    least = when["spreads"] * spread
    if newest < -max(when["at_once"], 1.3 * least):
        return True
    return newest < -max(when["second_drop"], least) and before < -max(when["first_drop"], 0.58 * least)


def _threes(values: Sequence[float]) -> Iterator[tuple[float, float, float]]:
    return zip(values, values[1:], values[2:], strict=False)


def _usual(flows: Sequence[float]) -> float:
    """Give the usual flow: the middle of the first readings looked back on."""
    return median(flows[: max(STARTS, len(flows) // 3)])


def _closing_found(
    timings: Sequence[_Timing], tier: str, other: str | None, own: float, when: Mapping[str, float]
) -> Found:
    shown = [t for t in timings if tier in t.flow_l_min][-4:]
    lines = [
        _("{tier}: {flows} litres a minute.").format(
            tier=tier,
            flows=", ".join(f"{show_amount(t.flow_l_min[tier])} ({when_words(t.at)})" for t in shown),
        )
    ]
    if other is not None and other in shown[-1].flow_l_min:
        lines.append(
            _("{other} gave {flow} on the same day.").format(
                other=other, flow=show_amount(shown[-1].flow_l_min[other])
            )
        )
    far = own < log(1.0 - when["today"])
    return Found(evidence=tuple(lines), at=shown[-1].at, about=tier, severity="today" if far else None)


FLOW_DETECTORS = {
    "outlet_closing": outlet_closing,
    "all_down": all_down,
    "runs_back": runs_back,
    "pump_looks": pump_looks,
}
