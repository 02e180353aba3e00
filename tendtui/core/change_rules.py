"""Why the solution should be changed now: which rule spoke, and when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from tendtui.core.due import Asked
from tendtui.core.event import Change, Event, Note, Poured, Reading
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.recurrence import day_done, start_of_day
from tendtui.core.show import show_value
from tendtui.core.slow_rules import SlowRules
from tendtui.core.tier_volume import litres_in_pipes
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Spoken", "at_full_ms_cm", "change_asked", "change_days", "rules_stand", "why_change"]

_SICK = "brown-slimy"


@value_class
class Spoken:
    """A rule that asks for a change."""

    rule: str
    """`water`, `creep`, `limit`, `days` or `roots`."""
    words: str
    at: datetime
    """When it began to ask."""


def why_change(
    rack: Rack, events: Sequence[Event], now: datetime, *, rules: SlowRules, top_ms_cm: float | None = None
) -> tuple[Spoken, ...]:
    """Give every rule that asks for a change, the one that spoke first in front.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        now: With offset.
        rules: Thresholds.
        top_ms_cm: Top of the wanted band; None: the rack's own target, if it has one. [mS/cm]
    """
    known = [event for event in events if event.at <= now]
    began = min((event.at for event in known), default=now)
    changed = max((event.at for event in known if isinstance(event, Change)), default=began)
    since = [event for event in known if event.at > changed]
    if top_ms_cm is None and rack.target.conductivity_ms_cm is not None:
        top_ms_cm = rack.target.conductivity_ms_cm[1]
    spoken = (
        _water(rack, since, rules),
        _creep(rack, since, rules, top_ms_cm),
        _limit(rack, since),
        _roots(since, now, rules),
        _days(rack, changed, now, rules) if known else None,
    )
    return tuple(sorted((rule for rule in spoken if rule is not None), key=lambda rule: rule.at))


def change_asked(
    rack: Rack, events: Sequence[Event], now: datetime, *, rules: SlowRules, top_ms_cm: float | None = None
) -> Asked | None:
    """Give when and why a change is wanted by another rule than the days; None: by none."""
    every = why_change(rack, events, now, rules=rules, top_ms_cm=top_ms_cm)
    other = [rule for rule in every if rule.rule != "days"]
    return Asked(at=other[0].at, because=other[0].words) if other else None


def change_days(rack: Rack, rules: SlowRules) -> int:
    """Give the days after which the water is changed anyway: the grower's own figure, else the habit."""
    return rack.target.change_every_days or rules.change_habit_days


def at_full_ms_cm(rack: Rack, *, level_l: float, conductivity_ms_cm: float) -> float:
    """Give the strength the solution would have, topped up to the full mark with source water. [mS/cm].

    Salt stays, water joins: (strength x litres + source x litres missing) / litres at the full mark,
    litres being reservoir and pipes.

    Source:
        Mass balance of salts that neither leave nor come, derived.
    """
    pipes_l = _pipes_l(rack)
    source_ms_cm = rack.source.conductivity_ms_cm or 0.0
    missing_l = max(0.0, rack.reservoir.full_l - level_l)
    salt = conductivity_ms_cm * (level_l + pipes_l) + source_ms_cm * missing_l
    return salt / (level_l + pipes_l + missing_l)


def rules_stand(rack: Rack, events: Sequence[Event], now: datetime, *, rules: SlowRules) -> tuple[str, ...]:
    """Say how far the rules that count are from asking: water added, and days. Nothing before a change.

    Args:
        rack: The rack.
        events: Effective events, in time order.
        now: With offset.
        rules: Thresholds.
    """
    changed = max((e.at for e in events if isinstance(e, Change) and e.at <= now), default=None)
    if changed is None:
        return ()
    since = [event for event in events if changed < event.at <= now]
    added_l = sum(
        event.litres or 0.0 for event in since if isinstance(event, Poured) and event.what == "water"
    )
    tank_l = rack.reservoir.full_l + _pipes_l(rack)
    return (
        _("{litres} of water added since the change; with such water about {limit} ask for the next").format(
            litres=show_value(added_l, Quantity.VOLUME, rack.show),
            limit=show_value(
                round(tank_l * rules.tanks_added / _weight(rack, rules)), Quantity.VOLUME, rack.show
            ),
        ),
        _("{gone} of {days} days").format(
            gone=(now.date() - day_done(changed, now)).days, days=change_days(rack, rules)
        ),
    )


def _weight(rack: Rack, rules: SlowRules) -> float:
    """Give how much each litre added counts: by the salts that stay when it is drunk."""
    source = rack.source.conductivity_ms_cm
    if source is None:
        return 1.0
    return min(rules.most_weight, max(rules.least_weight, source / rules.usual_ms_cm))


def _water(rack: Rack, since: Iterable[Event], rules: SlowRules) -> Spoken | None:
    """Share of the tank added since the change, weighed by the salts in that water."""
    tank_l = rack.reservoir.full_l + _pipes_l(rack)
    source = rack.source.conductivity_ms_cm
    weight = _weight(rack, rules)
    added_l, spoke = 0.0, None
    for event in since:
        if isinstance(event, Poured) and event.what == "water":
            added_l += event.litres or 0.0
            if spoke is None and added_l / tank_l * weight >= rules.tanks_added:
                spoke = event.at
    if spoke is None:
        return None
    salts = (
        _("of unknown salts")
        if source is None
        else _("of {salts}").format(salts=show_value(source, Quantity.CONDUCTIVITY, rack.show))
    )
    words = _("{litres} of water {salts} added since the change, {share:.0f} percent of the tank").format(
        litres=show_value(added_l, Quantity.VOLUME, rack.show), salts=salts, share=100.0 * added_l / tank_l
    )
    return Spoken(rule="water", words=words, at=spoke)


def _creep(rack: Rack, since: Iterable[Event], rules: SlowRules, top_ms_cm: float | None) -> Spoken | None:
    """Full-mark strength above the band and rising although only water was added."""
    if top_ms_cm is None:
        return None
    first: float | None = None
    spoke: Spoken | None = None
    for event in since:
        if isinstance(event, Poured) and event.what not in ("water", "drained"):
            first, spoke = None, None
        if not isinstance(event, Reading) or event.level_l is None or event.conductivity_ms_cm is None:
            continue
        full = at_full_ms_cm(rack, level_l=event.level_l, conductivity_ms_cm=event.conductivity_ms_cm)
        first = full if first is None else first
        if full <= top_ms_cm or full < first + rules.creep_ms_cm:
            spoke = None
        elif spoke is None:
            words = _("at the full mark {now}, above {top} and rising on water alone").format(
                now=show_value(full, Quantity.CONDUCTIVITY, rack.show),
                top=show_value(top_ms_cm, Quantity.CONDUCTIVITY, rack.show),
            )
            spoke = Spoken(rule="creep", words=words, at=event.at)
    return spoke


def _limit(rack: Rack, since: Iterable[Event]) -> Spoken | None:
    limit = rack.target.change_above_ms_cm
    readings = [e for e in since if isinstance(e, Reading) and e.conductivity_ms_cm is not None]
    if limit is None or not readings:
        return None
    last = readings[-1]
    value = last.conductivity_ms_cm or 0.0
    if last.level_l is not None:
        value = at_full_ms_cm(rack, level_l=last.level_l, conductivity_ms_cm=value)
    if value <= limit:
        return None
    words = _("{now} at the full mark, over the change limit of {limit}").format(
        now=show_value(value, Quantity.CONDUCTIVITY, rack.show),
        limit=show_value(limit, Quantity.CONDUCTIVITY, rack.show),
    )
    return Spoken(rule="limit", words=words, at=last.at)


def _roots(since: Iterable[Event], now: datetime, rules: SlowRules) -> Spoken | None:
    for event in since:
        if event.at < now - timedelta(days=rules.sick_days):
            continue
        if isinstance(event, Note) and event.about == "roots":
            return Spoken(rule="roots", words=_("brown, slimy roots"), at=event.at)
        if not isinstance(event, Reading):
            continue
        for key, word in event.looks.items():
            station, _dot, question = key.rpartition(".")
            if question == "roots" and word == _SICK:
                return Spoken(
                    rule="roots", words=_("brown, slimy roots in {tier}").format(tier=station), at=event.at
                )
    return None


def _days(rack: Rack, changed: datetime, now: datetime, rules: SlowRules) -> Spoken | None:
    days = change_days(rack, rules)
    due = start_of_day(day_done(changed, now) + timedelta(days=days), now)
    if due > now:
        return None
    gone = (now.date() - day_done(changed, now)).days
    words = _("{gone} days since the change, {days} wanted").format(gone=gone, days=days)
    return Spoken(rule="days", words=words, at=due)


def _pipes_l(rack: Rack) -> float:
    try:
        return litres_in_pipes(rack)
    except ValueError:
        return 0.0  # a tier that can't be is a finding of `check`
