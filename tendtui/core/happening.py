"""What happened to the rack that makes tasks due: a power cut, a leak, a heat spell, a crop change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta

from tendtui.core.event import Change, Event, Note, Plants, Reading, Renewed
from tendtui.core.middle import median
from tendtui.core.slow_rules import SlowRules
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["GROUPS", "SAID", "Happening", "happening_words", "happenings", "hot_or_cold"]

GROUPS = (
    ("power-cut", "trip", "wet-plug", "tingle", "shock", "fire"),
    ("leak", "low-flow", "water-notice"),
    ("splash", "swallowed", "fumes", "spill", "overdose"),
    ("new-device", "new-meter", "new-tier", "replumbed"),
    ("holiday", "crop-change", "heat", "cold", "roots"),
)
"""What people say, by what it has to do with: power, water, bottles, something new, all else."""

SAID = tuple(about for group in GROUPS for about in group)
"""Everything that a person can say has happened."""

_FLOWS_FOR_USUAL = 3
"""Timings of an outlet that make its usual flow, and how many of them count. Judgement."""


@value_class
class Happening:
    """One occurrence, under the word that tasks name in `on`."""

    about: str
    at: datetime


def happenings(events: Sequence[Event], rules: SlowRules) -> tuple[Happening, ...]:
    """Give all happenings, in time order.

    Args:
        events: Effective events, in time order.
        rules: For what counts as hot and cold.
    """
    found = [*_said(events), *_spells(events, rules), *_flows(events, rules), *_crops(events)]
    return tuple(sorted(found, key=lambda happening: happening.at))


def hot_or_cold(events: Sequence[Event], rules: SlowRules, now: datetime) -> str:
    """Give `hot`, `cold` or an empty text, from the newest temperature while it still speaks."""
    since = now - timedelta(days=rules.hold_days)
    for event in reversed(events):
        if event.at < since:
            break
        if (
            isinstance(event, Reading)
            and event.temperature_c is not None
            and "temperature" not in event.doubt
        ):
            return _weather(event.temperature_c, rules)
    return ""


def happening_words(about: str) -> str:
    """Say it after `after`: `the power cut`."""
    words = {
        "power-cut": _("the power cut"),
        "leak": _("the leak"),
        "trip": _("the trip switch went off"),
        "new-device": _("a new device"),
        "new-meter": _("a new meter"),
        "new-tier": _("a new tier"),
        "replumbed": _("new plumbing"),
        "crop-change": _("a tier was emptied"),
        "heat": _("the water got hot"),
        "cold": _("the water got cold"),
        "holiday": _("the holiday"),
        "sow": _("sowing"),
        "harvest": _("the harvest"),
        "low-flow": _("the flow fell"),
        "water-notice": _("a notice from the water company"),
        "wet-plug": _("water reached a plug"),
        "tingle": _("a tingle"),
        "shock": _("an electric shock"),
        "splash": _("a splash"),
        "fumes": _("a choking smell"),
        "fire": _("fire or smoke"),
        "spill": _("a spill"),
        "swallowed": _("something was swallowed"),
        "overdose": _("too much was poured"),
        "roots": _("brown, slimy roots"),
    }
    return words.get(about, about)


def _weather(temperature_c: float, rules: SlowRules) -> str:
    if temperature_c > rules.hot_c:
        return "hot"
    return "cold" if temperature_c < rules.cold_c else ""


def _said(events: Iterable[Event]) -> Iterator[Happening]:
    for event in events:
        match event:
            case Note(about=about) if about:
                yield Happening(about=about, at=event.at)
            case Plants(act="sow" | "harvest" as act):
                yield Happening(about=act, at=event.at)
            case Renewed(what=what) if what.startswith("meter"):
                yield Happening(about="new-meter", at=event.at)
            case Change():
                yield Happening(about="change", at=event.at)
            case _:
                pass


def _spells(events: Iterable[Event], rules: SlowRules) -> Iterator[Happening]:
    """Give the first reading of each spell: hot (or cold) readings without a milder one between them."""
    before = ""
    for event in events:
        if not isinstance(event, Reading) or event.temperature_c is None or "temperature" in event.doubt:
            continue
        weather = _weather(event.temperature_c, rules)
        if weather and weather != before:
            yield Happening(about="heat" if weather == "hot" else weather, at=event.at)
        before = weather


def _flows(events: Iterable[Event], rules: SlowRules) -> Iterator[Happening]:
    """Give the first reading of each spell of flow that fell below the outlet's own usual."""
    usual: dict[str, list[float]] = {}
    is_low: set[str] = set()
    for event in events:
        if not isinstance(event, Reading):
            continue
        for tier, flow in event.flow_l_min.items():
            if f"flow.{tier}" in event.doubt:
                continue
            before = usual.setdefault(tier, [])
            if len(before) >= _FLOWS_FOR_USUAL and flow <= _low_flow(before, rules):
                if tier not in is_low:
                    yield Happening(about="low-flow", at=event.at)
                is_low.add(tier)
                continue  # a low flow is not what is usual
            is_low.discard(tier)
            usual[tier] = [*before, flow][-_FLOWS_FOR_USUAL:]


def _low_flow(before: Sequence[float], rules: SlowRules) -> float:
    return median(before) * (1.0 - rules.fallen_percent / 100.0)


def _crops(events: Iterable[Event]) -> Iterator[Happening]:
    """Give the moments at which the last plant of a tier was pulled."""
    standing: dict[str, int] = {}
    for event in events:
        if not isinstance(event, Plants) or not event.tier:
            continue
        there = standing.get(event.tier, 0)
        if event.act == "move":
            standing[event.tier] = there + event.count
        elif event.act == "pull":
            standing[event.tier] = max(0, there - event.count)
            if there > 0 and standing[event.tier] == 0:
                yield Happening(about="crop-change", at=event.at)
