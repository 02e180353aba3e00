"""The stations of change day that are the same on every rack: drain, clean, refill, start up."""

from __future__ import annotations

from datetime import datetime, timedelta

from tendtui.core.dose_strength import MIX_MINUTES
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import clock, show_value, unit_words
from tendtui.core.task import Task
from tendtui.core.walk_value import Answers
from tendtui.value import replace
from tendtui.words import _

__all__ = [
    "Facts",
    "as_cleaned",
    "drain_station",
    "fill_station",
    "number_question",
    "pause_station",
    "rinse_stations",
    "start_station",
    "wait_until",
    "wipe_station",
]

Facts = tuple[tuple[str, str], ...]
"""What stands beside a field."""


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
    drained = number_question(rack, "drain.litres", ask, Quantity.VOLUME, facts=(*stood, *facts))
    return Station(id="drain", name=_("drain"), questions=(drained,), section="drain")


def wipe_station(facts: Facts) -> Station:
    """Wipe the reservoir out."""
    ask = _("Wipe the reservoir with clean water: brush slime off, rinse, tip it out.")
    wipe = _pause("clean.wipe", ask, facts=facts)
    return Station(id="clean", name=_("clean"), questions=(wipe,), section="clean")


def as_cleaned(task: Task) -> Task:
    """Say stones and impeller as they are done with the reservoir empty and the plugs out."""
    match task.id:
        case "clean-air-stones":
            return replace(task, good=_("Scrubbed; the valve lets air through one way only."))
        case "clean-pump":
            bucket = _(
                "Pump by its handle into a bucket: cover off, impeller turned and brushed, cord looked at."
            )
            leaflet = _("Take off only the cover that its leaflet lets you open. The plug stays out.")
            return replace(task, how=(bucket, leaflet))
        case _:
            return task


def rinse_stations(rack: Rack, facts: Facts, *, rinse_l: float | None) -> tuple[Station, ...]:
    """Rinse pipes in which too strong a solution stands; nothing where none does.

    Args:
        rack: For the units.
        facts: How long the plants stand without flow.
        rinse_l: Litres of water for it. [L]
    """
    if rinse_l is None:
        return ()
    wanted = show_value(rinse_l, Quantity.VOLUME, rack.show)
    ask = _("Fill in {litres} of source water to rinse the pipes. How many went in?").format(litres=wanted)
    run = _(
        "Lid on, plugs dry: plug the pump in for {n:.0f} minutes, then pull the plug again with dry hands."
    )
    out = _("Drain the reservoir again. How many litres went out?")
    why = _("What stands in the pipes is so strong that it would be half of the new mix.")
    filled = number_question(rack, "rinse.litres", ask, Quantity.VOLUME, facts=facts, may_skip=False)
    questions = (
        replace(filled, why=why),
        _pause("rinse.run", run.format(n=MIX_MINUTES), facts=facts),
        number_question(rack, "rinse.drained", out, Quantity.VOLUME, facts=facts),
    )
    return (Station(id="rinse", name=_("rinse the pipes"), questions=questions, section="fill"),)


def fill_station(rack: Rack, facts: Facts, *, planned_l: float | None) -> Station:
    """Ask what was filled in; the plan's litres are said.

    Args:
        rack: For the full mark and the units.
        facts: How long the plants stand without flow.
        planned_l: What the mix begins with; None: up to the full mark. [L]
    """
    wanted = show_value(rack.reservoir.full_l if planned_l is None else planned_l, Quantity.VOLUME, rack.show)
    ask = _("Refill with {litres} of source water. How many litres went in?").format(litres=wanted)
    filled = number_question(rack, "fill.litres", ask, Quantity.VOLUME, facts=facts, may_skip=False)
    return Station(id="fill", name=_("refill"), questions=(filled,), section="fill")


def start_station(rack: Rack, answers: Answers) -> Station:
    """Watch for leaks, look at every tier, and let it circulate until a clock time."""
    until = wait_until(answers)
    watch = _("Two minutes: watch every joint, every cap and the floor for leaks.")
    lights = _("Water falls at every tier. Lights in last; timer at the right hour.")
    if rack.reservoir.aerated:
        lights = _("Water falls at every tier, bubbles are fine. Lights in last; timer at the right hour.")
    wait = _("Let it circulate.")
    if until is not None:
        wait = _("Let it circulate; read at {at}. Press Enter then.").format(at=clock(until))
    ended = Question(
        key="start.wait",
        place=_("rack"),
        ask=wait,
        kind=Kind.PAUSE,
        before=(_("You can leave this page: the time stays on today's page."),),
        quiet=True,
        until=until,
    )
    return Station(
        id="start",
        name=_("start up"),
        questions=(_pause("start.watch", watch), _pause("start.lights", lights), ended),
        section="start",
    )


def wait_until(answers: Answers) -> datetime | None:
    """Give the clock time at which the mix is one, to the full minute; None: the pump isn't on yet."""
    for key in ("before-plugging-in.right", "before-plugging-in.state", "start.watch"):
        on = answers.by_key.get(key)
        if on is not None and on.at is not None and on.word != "not-so":
            until = on.at + timedelta(minutes=MIX_MINUTES)
            whole = until.replace(second=0, microsecond=0)
            return whole if whole == until else whole + timedelta(minutes=1)
    return None


def _pause(key: str, ask: str, *, before: tuple[str, ...] = (), facts: Facts = ()) -> Question:
    return Question(
        key=key, place=_("rack"), ask=ask, kind=Kind.PAUSE, before=before, facts=facts, quiet=True
    )


def number_question(
    rack: Rack, key: str, ask: str, quantity: Quantity, *, facts: Facts = (), may_skip: bool = True
) -> Question:
    """Give a question for a number at the reservoir."""
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
