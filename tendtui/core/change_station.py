"""The stations of change day that are the same on every rack: drain, clean, refill, start up, read."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import clock, show_value, unit_words
from tendtui.core.walk_value import Answers
from tendtui.words import _

__all__ = [
    "Facts",
    "clean_station",
    "drain_station",
    "fill_station",
    "pause_station",
    "read_station",
    "start_station",
]

Facts = tuple[tuple[str, str], ...]
"""What stands beside a field."""

WAIT_MIN = 30
"""Circulating before the reading, so that pipes and reservoir are one. [min] Common practice, 15 to 30."""


def pause_station(station: str, name: str, ask: str, before: tuple[str, ...], *, section: str) -> Station:
    """Give a stop at which something is read and nothing done."""
    return Station(
        id=station, name=name, questions=(_pause(f"{station}.read", ask, before=before),), section=section
    )


def drain_station(rack: Rack, facts: Facts, *, level_l: float | None) -> Station:
    """Ask what was drained.

    Args:
        rack: For the units.
        facts: How long the plants stand without flow.
        level_l: What stood in the reservoir; None: not known. [L]
    """
    stood = () if level_l is None else ((_("stood in it"), show_value(level_l, Quantity.VOLUME, rack.show)),)
    ask = _("Drain the reservoir. How many litres went out?")
    drained = _number(rack, "drain.litres", ask, Quantity.VOLUME, facts=(*stood, *facts))
    return Station(id="drain", name=_("drain"), questions=(drained,), section="drain")


def clean_station(facts: Facts) -> Station:
    """Wipe, stones, impeller, ticked one at a time."""
    steps = (
        ("clean.wipe", _("Wipe the reservoir with clean water: brush slime off, rinse, tip it out.")),
        ("clean.stones", _("Scrub the air stones under the tap; blow through the one-way valve.")),
        (
            "clean.impeller",
            _("Pump by its handle into a bucket: cover off, impeller turned and brushed, cord looked at."),
        ),
    )
    questions = tuple(_pause(key, ask, facts=facts) for key, ask in steps)
    return Station(id="clean", name=_("clean"), questions=questions, section="clean")


def fill_station(rack: Rack, facts: Facts, *, planned_l: float | None) -> Station:
    """Ask what was filled in; the plan's litres are said.

    Args:
        rack: For the full mark and the units.
        facts: How long the plants stand without flow.
        planned_l: What the mix begins with; None: up to the full mark. [L]
    """
    wanted = show_value(rack.reservoir.full_l if planned_l is None else planned_l, Quantity.VOLUME, rack.show)
    ask = _("Refill with {litres} of source water. How many litres are in it?").format(litres=wanted)
    filled = _number(rack, "fill.litres", ask, Quantity.VOLUME, facts=facts, may_skip=False)
    return Station(id="fill", name=_("refill"), questions=(filled,), section="fill")


def start_station(answers: Answers) -> Station:
    """Watch for leaks, look at every tier, and let it circulate until a clock time."""
    plugged = answers.by_key.get("before-plugging-in.state")
    until = None if plugged is None or plugged.at is None else plugged.at + timedelta(minutes=WAIT_MIN)
    watch = _("Two minutes: watch every joint, every cap and the floor for leaks.")
    lights = _("Water falls at every tier, bubbles are fine. Lights in last; timer at the right hour.")
    wait = _("Let it circulate.")
    if until is not None:
        wait = _("Let it circulate; read at {at}.").format(at=clock(until))
    ended = Question(key="start.wait", place=_("rack"), ask=wait, kind=Kind.PAUSE, quiet=True, until=until)
    return Station(
        id="start",
        name=_("start up"),
        questions=(_pause("start.watch", watch), _pause("start.lights", lights), ended),
        section="start",
    )


def read_station(rack: Rack, expected: Mapping[Quantity, Facts]) -> Station:
    """Ask for the readings of the mixed solution, what was expected beside each."""
    asks = (
        ("read.level", _("Level, pump running?"), Quantity.LEVEL),
        ("read.conductivity", _("Conductivity?"), Quantity.CONDUCTIVITY),
        ("read.ph", _("pH?"), Quantity.PH),
        ("read.temperature", _("Temperature?"), Quantity.TEMPERATURE),
    )
    questions = tuple(_number(rack, key, ask, q, facts=expected.get(q, ())) for key, ask, q in asks)
    return Station(id="read", name=_("read"), questions=questions, section="read")


def _pause(key: str, ask: str, *, before: tuple[str, ...] = (), facts: Facts = ()) -> Question:
    return Question(
        key=key, place=_("rack"), ask=ask, kind=Kind.PAUSE, before=before, facts=facts, quiet=True
    )


def _number(
    rack: Rack, key: str, ask: str, quantity: Quantity, *, facts: Facts = (), may_skip: bool = True
) -> Question:
    return Question(
        key=key,
        place=_("reservoir"),
        ask=ask,
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit_words(quantity, rack.show),
        facts=facts,
        may_skip=may_skip,
    )
