"""`tendtui dose`: the correction for the last readings, or for those given; nothing is logged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tendtui.core.quantity import Quantity
from tendtui.errors import CallError
from tendtui.words import _

if TYPE_CHECKING:
    import argparse

    from tendtui.core.plan import Plan
    from tendtui.core.rack import Rack
    from tendtui.session.session import Session

__all__ = ["add", "given_readings", "run"]

NAMES = (
    Quantity.LEVEL,
    Quantity.CONDUCTIVITY,
    Quantity.PH,
    Quantity.TEMPERATURE,
    Quantity.ALKALINITY,
)
"""What may be named in the call."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the words of the call."""
    parser.add_argument(
        "readings",
        nargs="*",
        metavar="NAME=VALUE",
        help="level, conductivity, ph, temperature or alkalinity, with a unit or without: ph=6.3",
    )
    parser.add_argument("--json", action="store_true", help="print the plan for a script")
    parser.add_argument("--by", metavar="NAME", default="", help="who will pour: only what they may do alone")
    parser.epilog = _(
        "For the last readings: tendtui dose. For others: tendtui dose level=44 conductivity=1.2 ph=6.3. "
        "Nothing is logged."
    )


def run(args: argparse.Namespace) -> int:
    """Print the plan.

    Raises:
        CallError: If a reading named in the call can't be one.
    """
    from tendtui.cli.opened import open_session
    from tendtui.session.knowledge import tank_of
    from tendtui.session.planning import plan_now

    session = open_session(args.state, by=args.by)
    given = given_readings(args.readings, session.rack)
    logged = tank_of(session).temperature
    plan = plan_now(
        session, given=at_25(given, session.rack, logged_c=None if logged is None else logged.value)
    )
    if args.json:
        import json

        print(json.dumps(_table(session, plan, args.by), ensure_ascii=False, indent=1))
        return 0
    for line in _lines(session, plan, args.by):
        print(line)
    return 0


def _table(session: Session, plan: Plan, by: str) -> dict[str, object]:
    """Give the plan for a script: whole, or as somebody may do it alone; no step while a stop stands."""
    from tendtui.core.plan_table import plan_json
    from tendtui.session.guard import stop_bar

    barred = stop_bar(session, "dose")
    if barred is not None:
        from tendtui.core.held_plan import stopped_table

        return stopped_table(plan, ". ".join(barred))
    if by:
        from tendtui.session.handover import held_plan

        held = held_plan(session, plan, by)
        if held is not None:
            from tendtui.core.held_plan import held_table

            return held_table(held)
    return plan_json(plan)


def _lines(session: Session, plan: Plan, by: str) -> tuple[str, ...]:
    """Give the plan for a person: whole for whoever may pour, else what they may; nothing at a stop."""
    from tendtui.core.dose_guard import asker, bottle_lines, held_note, pourers
    from tendtui.session.guard import stop_bar

    barred = stop_bar(session, "dose")
    if barred is not None:
        from tendtui.core.ring import ring_grower

        return (f"[!] {barred[0]}.", barred[1], _("No step is given before that."), ring_grower(session.rack))
    rack, asks = session.rack, asker(by, session.events, session.rack)
    held = None
    if asks:
        from tendtui.session.handover import held_plan

        held = held_plan(session, plan, asks)
    if held is None:
        from tendtui.core.plan_words import plan_words

        lines = _with_guard(session, plan, plan_words(plan, rack))
        return (*held_note(session.events, rack, plan.at), *bottle_lines(plan, rack, by), *lines)
    from tendtui.core.held_plan import held_words

    lines = (*held_note(session.events, rack, plan.at), *_with_guard(session, plan, held_words(held)))
    if by or not held.held_steps or not pourers(rack):
        return lines
    whole = _("{names} may see the steps: tendtui dose --by NAME")
    return (*lines, whole.format(names=", ".join(pourers(rack))))


def _with_guard(session: Session, plan: Plan, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Say who poured today above steps that somebody may now carry out."""
    if not plan.steps:
        return lines
    from tendtui.core.poured_today import poured_today

    return (*poured_today(session.events, plan.at, session.rack), *lines)


def given_readings(words: list[str], rack: Rack) -> Mapping[Quantity, float]:
    """Read `NAME=VALUE` into stored units.

    Args:
        words: The words of the call.
        rack: Its units and meters.

    Raises:
        CallError: If a name isn't known, stands twice, or its value can't be read.
    """
    from tendtui.core.entry import read_number
    from tendtui.errors import RefusedError

    given: dict[Quantity, float] = {}
    names = {quantity.value: quantity for quantity in NAMES}
    for word in words:
        name, equals, value = word.partition("=")
        quantity = names.get(name.strip().lower())
        if not equals or quantity is None:
            raise CallError(
                _("{word!r} is not a reading").format(word=word),
                _("Write one of {names} with its value, like: conductivity=1.2").format(
                    names=", ".join(names)
                ),
            )
        if quantity in given:
            raise CallError(_("{name} stands twice").format(name=name), _("Name each reading once."))
        try:
            given[quantity] = read_number(value, quantity=quantity, show=rack.show, meter=rack.meter)
        except RefusedError as refused:
            raise CallError(f"{name}: {refused.what}", refused.do) from refused
    return given


def at_25(given: Mapping[Quantity, float], rack: Rack, *, logged_c: float | None) -> Mapping[Quantity, float]:
    """Bring a conductivity of the call to 25 °C where the meter doesn't; the log holds it so already.

    Args:
        given: Values of the call, in stored units.
        rack: Its meter.
        logged_c: Temperature last logged. [°C]
    """
    from tendtui.core.units import at_25_c

    read = given.get(Quantity.CONDUCTIVITY)
    temperature_c = given.get(Quantity.TEMPERATURE, logged_c)
    if read is None or temperature_c is None or rack.meter.temperature_compensated:
        return given
    warm = at_25_c(conductivity_ms_cm=read, temperature_c=max(temperature_c, 0.0))
    return {**given, Quantity.CONDUCTIVITY: warm}
