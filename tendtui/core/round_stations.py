"""The stops of the round along the water, made from the rack, its log and the words.

Made once when a round begins or is taken up; only the pauses between them depend on what was answered.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tendtui.core.band import Band
from tendtui.core.dose_side import dose_side
from tendtui.core.event import Event, Reading
from tendtui.core.habit import Habit, last_reading
from tendtui.core.looks import TIMED, AskWords, RoundWords, StationWords, choices_of, seen_words
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show, Tier
from tendtui.core.show import day_words, show_band, show_number, show_value, unit_words
from tendtui.core.whereabouts import tier_place
from tendtui.value import field, replace, value_class
from tendtui.words import _

__all__ = ["RoundFacts", "has_air_pump", "last_look", "round_stations", "timed_now", "timing_is_due"]

_DOSED_FROM = frozenset({Quantity.LEVEL, Quantity.CONDUCTIVITY, Quantity.PH, Quantity.TEMPERATURE})
"""A dose is computed from these, so 'same as last' is never offered for them."""

_DRIP_L_DAY = 4.0
"""[L/day] A drop a second, 0.05 mL each, is 4.3 L a day; derived here."""

_HALF_A_DAY = timedelta(hours=12)


@value_class
class RoundFacts:
    """What the round's questions are made from."""

    rack: Rack
    events: tuple[Event, ...]
    """Those that still counted when the round began."""
    began: datetime
    words: RoundWords
    bands: Mapping[Quantity, Band]
    """What is wanted: CONDUCTIVITY, PH, TEMPERATURE."""
    hot_c: float
    """Water so warm that something must be done today. [°C]"""
    habits: Mapping[str, Habit]
    """`level`, `ph`, …, `flow.TIER` -> what is usual."""
    looks_first: bool = False
    """Whether the floor is asked about before anything is touched: of everybody but the grower."""
    warned: Mapping[str, str] = field(default_factory=dict)
    """Tier -> what today's page says of its outlet."""


def round_stations(facts: RoundFacts) -> tuple[Station, ...]:
    """Give the stops in the household's order without pauses; what is looked at from afar comes first."""
    rack, words = facts.rack, facts.words
    taken = {station.id for station in words.stations}
    first = tuple(_fixed(s, facts) for s in words.stations if s.first and facts.looks_first)
    before = tuple(_fixed(s, facts) for s in words.stations if s.section != "frame" and not s.first)
    tiers = tuple(_tier(n, tier, facts, taken) for n, tier in enumerate(rack.tiers))
    after = tuple(_fixed(s, facts) for s in words.stations if s.section == "frame")
    return (*first, *_ordered((*before, *tiers, *after), rack))


def timing_is_due(tier: str, facts: RoundFacts) -> bool:
    """Say whether the outlet's flow is to be timed: a week has gone by, or the last look was odd."""
    timed = last_reading(facts.events, Quantity.FLOW, tier)
    if tier in facts.warned or timed is None or f"flow.{tier}" in timed[0].doubt:
        return True
    every = timedelta(days=facts.words.time_every_days) - _HALF_A_DAY
    if facts.began - timed[0].at >= every:
        return True
    looked = last_look(f"{tier}.flow", facts.events)
    return looked is not None and looked[0].at > timed[0].at and looked[1] not in _good_words(facts.words)


def last_look(key: str, events: tuple[Event, ...]) -> tuple[Reading, str] | None:
    """Give the newest answer to a look, with its reading, or None."""
    looks = ((e, e.looks[key]) for e in reversed(events) if isinstance(e, Reading) and key in e.looks)
    return next(looks, None)


def has_air_pump(rack: Rack) -> bool:
    """Say whether bubbles are to be seen: an air pump is on the list of devices, or the file says so."""
    return rack.reservoir.aerated or any("air pump" in f"{d.kind} {d.name}".casefold() for d in rack.devices)


def _fixed(words: StationWords, facts: RoundFacts) -> Station:
    asks = [ask for ask in words.asks if ask.only != "aerated" or has_air_pump(facts.rack)]
    if not facts.rack.meter.temperature_compensated:  # the strength is worked out from it, so it comes first
        asks.sort(key=lambda ask: ask.quantity != "temperature")
    questions = tuple(
        _number(ask, words, facts)
        if ask.kind == "number"
        else _look(ask, words.id, _(ask.place), facts, name=_(ask.name))
        for ask in asks
    )
    show = facts.rack.show
    fill = {
        "hot": show_value(facts.hot_c, Quantity.TEMPERATURE, show),
        "drip": show_value(_DRIP_L_DAY, Quantity.VOLUME, show),
    }
    is_whole = len(asks) == len(words.asks) or not words.name_without
    return Station(
        id=words.id,
        name=_(words.name if is_whole else words.name_without),
        questions=tuple(_filled(question, fill) for question in questions),
        section=words.section,
    )


def _tier(place: int, tier: Tier, facts: RoundFacts, taken: set[str]) -> Station:
    asks = facts.words.tier.asks
    if not tier.crops and not tier.plants:  # nothing grows here yet
        asks = tuple(ask for ask in asks if ask.kind == "flow")
    above = facts.rack.tiers[place - 1].name if place else _("the pump")
    fill = {"tier": tier.name, "above": above}
    questions = tuple(
        _counted(
            _filled(
                _flow(ask, tier, facts)
                if ask.kind == "flow"
                else _look(ask, tier.name, tier.name, facts, name=f"{tier.name}, {_(ask.name)}"),
                fill,
            ),
            facts,
        )
        for ask in asks
    )
    id_ = f"tier {tier.name}" if tier.name in taken else tier.name
    return Station(id=id_, name=tier.name, questions=questions, section="tiers")


def _number(ask: AskWords, words: StationWords, facts: RoundFacts) -> Question:
    quantity = Quantity(ask.quantity)
    return Question(
        key=f"{words.id}.{ask.id}",
        name=_(ask.name),
        place=_(ask.place),
        ask=_(ask.ask),
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit_words(quantity, facts.rack.show),
        facts=_facts(quantity, facts),
        where=_(ask.where),
        how=_(ask.how),
        why=_(ask.why),
        good=_(ask.good),
    )


def _look(ask: AskWords, station: str, place: str, facts: RoundFacts, *, name: str) -> Question:
    key = f"{station}.{ask.id}"
    return Question(
        key=key,
        name=name,
        place=place,
        ask=_(ask.ask),
        kind=Kind.CHOICE,
        choices=choices_of(ask.seen, facts.words),
        where=_(ask.where),
        how=_(ask.how),
        why=_(ask.why),
        good=_(ask.good),
        after=_seen_last(key, ask, facts, name=name),
        quiet=True,
    )


def _flow(ask: AskWords, tier: Tier, facts: RoundFacts) -> Question:
    if ask.look is not None and not timing_is_due(tier.name, facts):
        look = replace(ask.look, where=ask.where, why=ask.why)
        return _look(look, tier.name, tier.name, facts, name=f"{tier.name}, {_(ask.name)}")
    return _timing(ask, tier, facts, key=f"{tier.name}.{ask.id}")


def timed_now(stop: Station, facts: RoundFacts, word: str) -> Question | None:
    """Give the timing that follows a look in the same round, where the stream looked odd; None: it didn't.

    Args:
        stop: A tier's.
        facts: What the round is made from.
        word: The answer to the look at its outlet; empty: none, or it was timed anyway.
    """
    tier = next((t for t in facts.rack.tiers if t.name == stop.name), None)
    ask = next((a for a in facts.words.tier.asks if a.kind == "flow"), None)
    if tier is None or ask is None or not word or word in _good_words(facts.words):
        return None
    place = facts.rack.tiers.index(tier)
    above = facts.rack.tiers[place - 1].name if place else _("the pump")
    question = _timing(ask, tier, facts, key=f"{tier.name}.{TIMED}")
    return _counted(_filled(question, {"tier": tier.name, "above": above}), facts)


def _timing(ask: AskWords, tier: Tier, facts: RoundFacts, *, key: str) -> Question:
    show, jug_l = facts.rack.show, facts.rack.measuring.jug_l
    last = last_reading(facts.events, Quantity.FLOW, tier.name)
    jug = "" if jug_l is None else f"{show_number(jug_l, Quantity.VOLUME, show)} {_one_unit(show.volume)}"
    return Question(
        key=key,
        name=f"{tier.name}, {_(ask.name)}",
        place=tier.name,
        ask=(_(ask.ask_cup) if jug_l is None else _(ask.ask_jug)).replace("{jug}", jug),
        kind=Kind.NUMBER,
        quantity=Quantity.FLOW,
        unit=unit_words(Quantity.FLOW, show) if jug_l is None else _("seconds, or a number with L/min"),
        jug_l=jug_l,
        facts=(*_flow_facts(jug_l, facts, tier.name), *_warning(tier.name, facts)),
        where=_(ask.where),
        how=_(ask.how_cup if jug_l is None else ask.how_jug),
        why=_(ask.why),
        good=_(ask.good),
        same="" if last is None else f"{show_number(last[1], Quantity.FLOW, show)} L/min",
    )


def _warning(tier: str, facts: RoundFacts) -> tuple[tuple[str, str], ...]:
    said = facts.warned.get(tier)
    return ((_("today's page"), f"[!] {said}"),) if said else ()


def _flow_facts(jug_l: float | None, facts: RoundFacts, tier: str) -> tuple[tuple[str, str], ...]:
    """Give the past of a flow in what is asked: with a jug in its seconds, else in the unit of the field."""
    show = facts.rack.show
    said: list[tuple[str, str]] = []
    key = _habit_key(Quantity.FLOW, tier)
    last, habit = last_reading(facts.events, Quantity.FLOW, tier), facts.habits.get(key)
    if last is not None:
        reading, value = last
        day = day_words(reading.at, facts.began)
        mark = " [!]" if key in reading.doubt else ""
        flow = show_value(value, Quantity.FLOW, show)
        if jug_l is not None and value > 0.0:
            seconds = show_value(round(60.0 * jug_l / value), Quantity.SECONDS, show)
            said.append((_("last time"), f"{seconds}, {flow} ({day}){mark}"))
        else:
            said.append((_("last time"), f"{flow} ({day}){mark}"))
    if habit is not None and habit.usual is not None:
        said.append((_("usual"), _usual_flow(habit.usual, jug_l, show)))
    return tuple(said)


def _usual_flow(usual: Band, jug_l: float | None, show: Show) -> str:
    unit = unit_words(Quantity.FLOW, show)
    if jug_l is None or usual.low <= 0.0:
        return f"{show_band(usual, Quantity.FLOW, show)} {unit}"
    seconds = Band(low=round(60.0 * jug_l / usual.high), high=round(60.0 * jug_l / usual.low))
    return f"{show_band(seconds, Quantity.SECONDS, show)} {unit_words(Quantity.SECONDS, show)}"


def _facts(quantity: Quantity, facts: RoundFacts) -> tuple[tuple[str, str], ...]:
    show = facts.rack.show
    said: list[tuple[str, str]] = []
    last = last_reading(facts.events, quantity, None)
    if last is not None:
        reading, value = last
        day = day_words(reading.at, facts.began)
        day = ", ".join(filter(None, (day, dose_side(reading, facts.events))))
        in_doubt = _habit_key(quantity, None) in reading.doubt
        mark = " [!]" if in_doubt else ""
        said.append((_("last time"), f"{show_number(value, quantity, show)} ({day}){mark}"))
    habit = facts.habits.get(_habit_key(quantity, None))
    if quantity is Quantity.LEVEL:
        said += _level_since(last, habit, facts)
        marks = Band(low=facts.rack.reservoir.least_l, high=facts.rack.reservoir.full_l)
        said.append((_("marks"), show_band(marks, quantity, show)))
    elif quantity in facts.bands:
        said.append((_("wanted"), show_band(facts.bands[quantity], quantity, show)))
    return tuple(said)


def _level_since(
    last: tuple[Reading, float] | None, habit: Habit | None, facts: RoundFacts
) -> list[tuple[str, str]]:
    """Say where the level stands by the diary, if that isn't what was read last."""
    if last is None or habit is None or habit.last is None or habit.last == last[1]:
        return []
    in_doubt = Quantity.LEVEL.value in last[0].doubt
    more = habit.last > last[1]
    name = _("with water added since") if more else _("with what was drained since")
    name = _("last one without a doubt") if in_doubt else name
    return [(name, show_number(habit.last, Quantity.LEVEL, facts.rack.show))]


def _habit_key(quantity: Quantity, tier: str | None) -> str:
    return quantity.value if tier is None else f"{quantity.value}.{tier}"


def _seen_last(key: str, ask: AskWords, facts: RoundFacts, *, name: str) -> str:
    last = last_look(key, facts.events)
    if last is None:
        return ""
    reading, word = last
    full, _short = seen_words(ask).get(word, (_("something else"), ""))
    said = _("{what} last time ({day}): {seen}.")
    return said.format(what=name[:1].upper() + name[1:], day=day_words(reading.at, facts.began), seen=full)


def _good_words(words: RoundWords) -> frozenset[str]:
    asks = (ask.look for ask in words.tier.asks if ask.look is not None)
    return frozenset(s.word for ask in asks for s in ask.seen if not s.look)


def _filled(question: Question, fill: Mapping[str, str]) -> Question:
    """Put the tier's own names into the words; a name may hold braces, so `format` would not do."""

    def put(text: str) -> str:
        for name, value in fill.items():
            text = text.replace(f"{{{name}}}", value)
        return text

    return replace(
        question,
        ask=put(question.ask),
        where=put(question.where),
        how=put(question.how),
        why=put(question.why),
        good=put(question.good),
    )


def _counted(question: Question, facts: RoundFacts) -> Question:
    """Say which tier it is, counted from the top: not everybody knows them by name."""
    counted = tier_place(question.place, [tier.name for tier in facts.rack.tiers])
    where = ": ".join(text for text in (counted, question.where) if text)
    return replace(question, where=where)


def _one_unit(volume: str) -> str:
    return _("gallon") if volume == "gal" else _("litre")


def _ordered(stations: tuple[Station, ...], rack: Rack) -> tuple[Station, ...]:
    """Put the stations in the household's order, `[round] order` of rack.toml; the rest follow."""
    table = rack.extra.get("round")
    wanted = table.get("order") if isinstance(table, Mapping) else None
    if not isinstance(wanted, list | tuple):
        return stations
    order = {str(id_): n for n, id_ in enumerate(wanted)}
    return tuple(sorted(stations, key=lambda s: order.get(s.id, order.get(s.name, len(order)))))
