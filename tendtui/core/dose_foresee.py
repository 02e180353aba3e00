"""What the meters will show after the steps, and between which values, nine times in ten."""

from __future__ import annotations

from tendtui.core.dose_doubt import Guess, guesses, one_off
from tendtui.core.dose_model import CURVE, TankModel
from tendtui.core.plan import AddWater, Amounts, Drain, Pour, Ranges, Step
from tendtui.core.uncertainty import nine_in_ten
from tendtui.value import value_class

__all__ = ["Foreseen", "Shown", "effect_of", "foresee", "foresee_cheaply", "level_after", "shown_after"]


@value_class
class Shown:
    """What the meters show at one moment; None where it can't be foreseen."""

    conductivity_ms_cm: float | None
    ph: float | None
    ph_tomorrow: float | None


@value_class
class Foreseen:
    """The expected readings and their ranges."""

    expect: Amounts
    range: Ranges
    draws: tuple[Shown, ...] = ()
    """Every draw, in the order of the lattice."""


def level_after(level_l: float, steps: tuple[Step, ...]) -> float:
    """Give the level after the steps. [L]."""
    for step in steps:
        match step:
            case AddWater(litres=litres):
                level_l += litres
            case Drain(litres=litres):
                level_l -= litres
            case Pour(ml=ml) if ml is not None:
                level_l += ml / 1000.0
            case _:
                pass
    return max(0.0, level_l)


def shown_after(
    model: TankModel, steps: tuple[Step, ...], guess: Guess, *, ph: float | None, ms_cm: float | None
) -> Shown:
    """Give what the meters show after the steps, under one guess.

    Args:
        model: The tank.
        steps: What is done.
        guess: The truth.
        ph: As read before; None: not read, and not foreseen.
        ms_cm: As read before; None: not read, and not foreseen. [mS/cm]

    Raises:
        ValueError: If the chemistry can't settle it.
    """
    state = model.state_now(guess, ph_read=6.0 if ph is None else ph)
    for step in steps:
        state = model.after(state, step, guess)
    conductivity = None
    if ms_cm is not None:
        true = state.strength**CURVE + guess.conductivity_after_ms_cm
        conductivity = true * guess.gain
    if ph is None:
        return Shown(conductivity_ms_cm=conductivity, ph=None, ph_tomorrow=None)
    mixed = state.blend.solved(temperature_c=model.temperature_c)
    aired = mixed.open_to_air(model.air_atm(guess))
    off = guess.ph_offset + guess.ph_after
    return Shown(conductivity_ms_cm=conductivity, ph=mixed.ph + off, ph_tomorrow=aired.ph + off)


def foresee(model: TankModel, steps: tuple[Step, ...], *, ph: float | None, ms_cm: float | None) -> Foreseen:
    """Give the expected readings after the steps, and their ranges over all draws of the doubts.

    Args:
        model: The tank.
        steps: What is done.
        ph: As read before; None: not read. [pH]
        ms_cm: As read before; None: not read. [mS/cm]

    Raises:
        ValueError: If the chemistry can't settle the expected case.
    """
    usual = shown_after(model, steps, Guess(), ph=ph, ms_cm=ms_cm)
    fine = _chemical_ms_cm(model, steps, ph=ph, ms_cm=ms_cm)
    scale = 1.0 if fine is None or not usual.conductivity_ms_cm else fine / usual.conductivity_ms_cm
    draws = []
    for guess in guesses(model.spreads):
        try:
            draws.append(_scaled(shown_after(model, steps, guess, ph=ph, ms_cm=ms_cm), scale))
        except ValueError:  # a corner of the doubts that can't be; the others still tell the range
            continue
    return Foreseen(
        expect=Amounts(
            level_l=level_after(model.level_l, steps),
            conductivity_ms_cm=fine,
            ph=usual.ph,
            temperature_c=None if model.tank.temperature is None else model.tank.temperature.value,
            ph_tomorrow=usual.ph_tomorrow,
        ),
        range=Ranges(
            conductivity_ms_cm=_range([d.conductivity_ms_cm for d in draws], fine),
            ph=_range([d.ph for d in draws], usual.ph),
            ph_tomorrow=_range([d.ph_tomorrow for d in draws], usual.ph_tomorrow),
        ),
        draws=tuple(draws),
    )


def foresee_cheaply(
    model: TankModel, steps: tuple[Step, ...], *, ph: float | None, ms_cm: float | None
) -> Shown:
    """Give the expected readings only, for finding an amount by trial."""
    usual = shown_after(model, steps, Guess(), ph=ph, ms_cm=None)
    return Shown(
        conductivity_ms_cm=_chemical_ms_cm(model, steps, ph=ph, ms_cm=ms_cm),
        ph=usual.ph,
        ph_tomorrow=usual.ph_tomorrow,
    )


def effect_of(
    model: TankModel, steps: tuple[Step, ...], doubt: str, *, ph: float | None, ms_cm: float | None
) -> tuple[float, float]:
    """Give how far one doubt moves the readings: half the width it alone makes, nine times in ten.

    Returns:
        Of conductivity in mS/cm and of pH (the larger of mixed and tomorrow).
    """
    try:
        low, high = (
            shown_after(
                model,
                steps,
                one_off(model.spreads, doubt, deviations=sign * _NINE_IN_TEN),
                ph=ph,
                ms_cm=ms_cm,
            )
            for sign in (-1.0, 1.0)
        )
    except ValueError:
        return 0.0, 0.0
    return (
        _half(low.conductivity_ms_cm, high.conductivity_ms_cm),
        max(_half(low.ph, high.ph), _half(low.ph_tomorrow, high.ph_tomorrow)),
    )


_NINE_IN_TEN = 1.645
"""Standard deviations that hold nine values of ten of a normal distribution."""


def _half(low: float | None, high: float | None) -> float:
    return 0.0 if low is None or high is None else abs(high - low) / 2.0


def _scaled(shown: Shown, scale: float) -> Shown:
    if shown.conductivity_ms_cm is None:
        return shown
    return Shown(
        conductivity_ms_cm=shown.conductivity_ms_cm * scale, ph=shown.ph, ph_tomorrow=shown.ph_tomorrow
    )


def _range(values: list[float | None], expected: float | None) -> tuple[float, float] | None:
    known = [value for value in values if value is not None]
    if expected is None or not known:
        return None
    low, high = nine_in_ten(known)
    return min(low, expected), max(high, expected)


def _chemical_ms_cm(
    model: TankModel, steps: tuple[Step, ...], *, ph: float | None, ms_cm: float | None
) -> float | None:
    """Give the conductivity of the mix; by how much the model misses the reading stays with the old water."""
    if ms_cm is None:
        return None
    if not steps:
        return ms_cm
    state = model.state_now(Guess(), ph_read=6.0 if ph is None else ph)
    of_tank = state.blend.warm_ms_cm()
    # salts that the model doesn't know of are thinned by water; feed adds what its label says all the same
    missed_ms_cm = min(model.ms_cm - of_tank, of_tank)
    for step in steps:
        before_l = state.litres
        state = model.after(state, step, Guess())
        if isinstance(step, AddWater):
            missed_ms_cm *= before_l / state.litres
    return max(0.0, state.blend.warm_ms_cm() + missed_ms_cm)
