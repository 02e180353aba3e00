"""What isn't known exactly about a tank: how far each doubt reaches, and one draw of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from math import exp, sqrt

from tendtui.core.dose_facts import DoseFacts
from tendtui.core.rack import Rack
from tendtui.core.tank import TankNow
from tendtui.core.tier_volume import pipes_spread
from tendtui.core.uncertainty import normal_draws
from tendtui.value import fields, value_class

__all__ = ["Guess", "Spreads", "guesses", "one_off", "pipes_spread", "spreads_of"]


@value_class
class Spreads:
    """One standard deviation of each doubt; a share where nothing else is said.

    Source:
        Hand meters as their makers state them (2 % of conductivity, 0.1 pH with a buffer's 0.02) taken as two
        standard deviations; levels, labels and bottles: common practice, no source.
    """

    gain: float = 0.015
    """Of the conductivity meter, the same in every reading."""
    conductivity_before_ms_cm: float = 0.01
    """Of one reading. [mS/cm]"""
    conductivity_after_ms_cm: float = 0.01
    """Of the reading to come. [mS/cm]"""
    ph_offset: float = 0.05
    """Of the pH meter, the same in every reading."""
    ph_before: float = 0.03
    """Of one reading."""
    ph_after: float = 0.03
    """Of the reading to come."""
    ph_first: float = 0.03
    """Of the reading that a last portion or a jar started from."""
    level_l: float = 0.5
    """Of the level. [L]"""
    pipes: float = 0.08
    label: float = 0.05
    """Of the feed's strength against its label."""
    phosphate: float = 0.3
    alkalinity: float = 0.1
    """Of the source water's."""
    source: float = 0.03
    """Of the source water's conductivity."""
    pco2: float = 0.3
    """Of the carbon dioxide over the water."""
    poured: float = 0.02
    """Of one pouring: the eye at the mark."""
    response: float = 0.06
    """Of the adjuster's effect: its strength, and the model."""


@value_class
class Guess:
    """One way the truth may be; shares are factors about 1, the rest are additions about 0."""

    gain: float = 1.0
    conductivity_before_ms_cm: float = 0.0
    conductivity_after_ms_cm: float = 0.0
    ph_offset: float = 0.0
    ph_before: float = 0.0
    ph_after: float = 0.0
    ph_first: float = 0.0
    level_l: float = 0.0
    pipes: float = 1.0
    label: float = 1.0
    phosphate: float = 1.0
    alkalinity: float = 1.0
    source: float = 1.0
    pco2: float = 1.0
    poured: float = 1.0
    response: float = 1.0


_NAMES = tuple(field.name for field in fields(Guess))
_ADDITIONS = frozenset(
    {
        *("conductivity_before_ms_cm", "conductivity_after_ms_cm", "level_l"),
        *("ph_offset", "ph_before", "ph_after", "ph_first"),
    }
)


def spreads_of(
    rack: Rack,
    tank: TankNow,
    facts: DoseFacts,
    *,
    label: float,
    phosphate: float,
    alkalinity: float,
    source: float,
    response: float,
) -> Spreads:
    """Give how far each doubt reaches for this rack and these readings.

    Args:
        rack: Its meters and marks.
        tank: How old the level is.
        facts: The air.
        label: Of the feed's strength, as a share.
        phosphate: Of the feed's phosphate, as a share.
        alkalinity: Of the source water, as a share.
        source: Of the source water's conductivity, as a share.
        response: Of the adjuster, as a share.
    """
    # the step's own rounding: evenly spread over one step has a deviation of a step over the root of 12
    ms_cm = sqrt(0.006**2 + rack.meter.conductivity_step_ms_cm**2 / 12.0)
    coarse = rack.meter.ph_step > 0.2
    ph = sqrt((0.15 if coarse else 0.02) ** 2 + rack.meter.ph_step**2 / 12.0)
    air = facts.air
    return Spreads(
        conductivity_before_ms_cm=ms_cm,
        conductivity_after_ms_cm=ms_cm,
        ph_before=ph,
        ph_after=ph,
        ph_first=ph,
        ph_offset=0.10 if coarse else 0.05,
        level_l=_level_l(rack, tank),
        pipes=pipes_spread(measured=tank.pipes_known),
        label=label,
        phosphate=phosphate,
        alkalinity=alkalinity,
        source=source,
        pco2=air.pco2_spread if rack.reservoir.aerated else air.pco2_still_spread,
        response=response,
    )


def _level_l(rack: Rack, tank: TankNow) -> float:
    read_l = max(0.25, 0.01 * rack.reservoir.full_l)
    if tank.level is None or not tank.level.carried:
        return read_l
    days = (tank.at - tank.level.at) / timedelta(days=1)
    # plants drink between a reading and now: up to a twentieth of the reservoir a day (common practice, no
    # source)
    return read_l + (0.01 + 0.03 * days) * rack.reservoir.full_l


def guesses(spreads: Spreads) -> tuple[Guess, ...]:
    """Give the draws of the truth, always the same."""
    return tuple(_guess(spreads, dict(zip(_NAMES, row, strict=True))) for row in normal_draws(len(_NAMES)))


def one_off(spreads: Spreads, name: str, *, deviations: float) -> Guess:
    """Give the truth with one doubt off by some standard deviations, all others as expected."""
    return _guess(spreads, {name: deviations})


def _guess(spreads: Spreads, normals: Mapping[str, float]) -> Guess:
    values = {}
    for name, normal in normals.items():
        reach: float = getattr(spreads, name)
        values[name] = reach * normal if name in _ADDITIONS else exp(reach * normal)
    return Guess(**values)
